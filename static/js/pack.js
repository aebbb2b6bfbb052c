/** The pack as the document carries it: read once from its data-* attributes, plain data for the pure modules. */

const list = (text) => (text ? text.split(" ") : [])
const json = (text, otherwise) => (text ? JSON.parse(text) : otherwise)

/** @param {Document} document  @returns {import("./course.js").Pack & {hash: string, title: string}} */
export function readPack(document) {
  const steps = [...document.querySelectorAll("[data-step]")].map((node) => ({
    id: node.dataset.step,
    title: node.querySelector("h2").textContent,
    phase: node.closest(".phase").dataset.phase,
    needs: list(node.dataset.needs),
    after: list(node.dataset.after),
    closes: list(node.dataset.closes),
    when: json(node.dataset.when, {}),
    hazards: list(node.dataset.hazards),
    strips: json(node.dataset.strips, []).map(([id, text, begins]) => ({ id, text, begins })),
    readings: [...node.querySelectorAll("[data-reading]")].map(({ dataset }) => ({ id: dataset.reading, name: dataset.name })),
    waits: [...node.querySelectorAll("[data-wait]")].map(({ dataset }) => ({
      id: dataset.wait, step: node.dataset.step, cure: json(dataset.cure, null), ...JSON.parse(dataset.clock),
    })),
  }))
  const hazards = [...document.querySelectorAll(".hazard")].map(({ dataset }) => ({
    id: dataset.hazard, word: dataset.word, range: json(dataset.range, null),
  }))
  const questions = [...document.querySelectorAll("[data-question]")].map((node) => ({
    id: node.dataset.question, when: json(node.dataset.when, {}),
    answers: [...node.querySelectorAll("input")].map(({ value }) => value),
  }))
  const byId = (things) => new Map(things.map((thing) => [thing.id, thing]))
  return {
    hash: document.documentElement.dataset.pack,
    title: document.querySelector("#cover-title").textContent,
    steps, questions, step: byId(steps), hazards: byId(hazards), waits: byId(steps.flatMap(({ waits }) => waits)),
  }
}
