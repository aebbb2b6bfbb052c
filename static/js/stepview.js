/** One step on the screen: what stands in the document, and what the log says about it. */
import { before as says } from "./cards.js"
import { dress as cut } from "./cutting.js"
import { holds, open, selected, unanswered } from "./course.js"
import { button, el, moment, write } from "./el.js"
import { dress as mix } from "./filling.js"
import { showIn as showPhotos } from "./photos.js"
import * as tighten from "./tighten.js"
import { told } from "./values.js"

export const nodeOf = (id) => document.querySelector(`#step-${CSS.escape(id)}`)

/** Put over a step what is to be known before it is read. `ticked`: the step that was ticked to come here, if so. */
export function head(page, id, ticked = null) {
  notice(page, nodeOf(id), page.pack.step.get(id), ticked)
}

/** Bring what stands in a step up to date with the log: hazards, readings, photos. */
export function dress(page, id) {
  const node = nodeOf(id)
  const step = page.pack.step.get(id)
  for (const place of node.querySelectorAll(".hazard")) hazard(page, place, step)
  for (const place of node.querySelectorAll(".reading")) reading(page, place)
  for (const place of node.querySelectorAll(".mix")) mix(page, place)
  for (const line of node.querySelectorAll("[data-drills]")) cut(line)
  if (node.querySelector(".photo")) showPhotos(node, page.state)
  if (node.querySelector("[data-bolts]")) tighten.dress(page, id, node)
}

/** What is to be known before the step is read: it is ticked, it is not for this vehicle, something is open. */
function notice(page, node, step, ticked) {
  const now = page.now()
  const state = page.state.steps[step.id]
  const lines = []
  if (ticked && page.state.steps[ticked]) {
    lines.push(el("p", { class: "ticked just" }, el("span", {}, `✓ ${page.pack.step.get(ticked).title}`), button("Undo", () => page.undo(ticked), { "data-do": "undo-last" })))
  }
  if (state) {
    const how = state.is === "done" ? "Done" : state.already ? "Was already so" : `Left out: ${state.reason}`
    lines.push(el("p", { class: "ticked" }, el("span", {}, `✓ ${how}, ${moment(state.at, now)}.`), button("Undo the tick", () => page.undo(step.id), { "data-do": "undo" })))
    if (state.open?.length) lines.push(el("p", {}, `Open when it was done: ${state.open.join("; ")}.`))
  } else {
    const before = open(page.pack, page.state, step, now)
    if (before.steps.length + before.waits.length) {
      lines.push(
        el("p", {}, el("b", {}, "Still open before this:")),
        el("ul", { class: "open-before" }, ...before.steps.map((one) => el("li", {}, el("a", { class: "button wide", href: `#step-${one.id}`, "data-to": one.id }, one.title))),
          ...before.waits.map((wait) =>
            el("li", {}, el("a", { class: "button wide", href: `#step-${wait.step}`, "data-to": wait.step }, `${wait.name}: ${says(wait, page.state.waits[wait.id], now)}`)))),
      )
    }
  }
  if (!holds(step.when, page.state.answers)) {
    const still = selected(page.pack, page.state).includes(step)
    lines.unshift(el("p", {}, still ? "An answer was changed, and what was done for the old one still holds: this step ends it." : "By the answers given, this step is not for this vehicle."))
  }
  const place = document.querySelector("#notice")
  place.replaceChildren(...lines)
  place.hidden = !lines.length
  node.querySelector("header").after(place)
}

function hazard(page, place, step) {
  const id = place.dataset.hazard
  const due = unanswered(page.pack, page.state, step, page.now()).includes(id)
  const answer = page.state.hazards[id]
  const read = place.querySelector("[data-do=caution]")
  if (read) read.hidden = !due
  const said = place.querySelector(".answered")
  if (!said) return
  said.hidden = due || !answer
  if (answer) write(said, `✓ ${answer.value === null ? answer.fact : `${answer.fact} ${answer.value} ${answer.unit}`} – ${moment(answer.at, page.now())}`)
}

function reading(page, place) {
  const taken = page.state.readings[place.dataset.reading]
  const before = page.state.readings[place.dataset.before]
  const said = place.querySelector(".taken")
  const lines = []
  if (taken) lines.push(`Kept ${moment(taken.at, page.now())}: ${told(taken)}${taken.taken > 1 ? `, corrected ${taken.taken - 1} ×` : ""}`)
  if (before) lines.push(`Before: ${told(before)}`)
  said.hidden = !lines.length
  write(said, lines.join(". "))
  said.dataset.verdict = taken?.verdict ?? ""
  const outside = ["low", "high", "out"].includes(taken?.verdict)
  place.querySelector(".if-outside")?.toggleAttribute("data-now", outside)
}

/** What is still open when a step is about to be ticked, in words. Steps and waits that must come first, a clock of
 * its own that has not ended, a bead that has skinned, bolts of a group that was begun bolt by bolt, readings that
 * are not taken or lie outside.
 * @returns {{text: string, to: string|null}[]} `to`: the step to go to */
export function openAtTick(page, step) {
  const now = page.now()
  const before = open(page.pack, page.state, step, now)
  const attended = step.waits.filter(({ id, attended: stays }) => stays && page.state.waits[id]?.is !== "ended")
  return [
    ...before.steps.map(({ id, title }) => ({ text: title, to: id })),
    ...before.waits.map((wait) => ({ text: `${wait.name}: ${says(wait, page.state.waits[wait.id], now)}`, to: wait.step })),
    ...attended.map(({ name, id }) => ({ text: `${name}: ${page.state.waits[id] ? "has not ended" : "has not begun"}`, to: null })),
    ...tighten.open(page, step.id, nodeOf(step.id)).map((text) => ({ text, to: null })),
    ...step.readings.flatMap(({ id, name }) => {
      const taken = page.state.readings[id]
      if (!taken) return [{ text: `Reading not taken: ${name}`, to: null }]
      return ["in", "none"].includes(taken.verdict) ? [] : [{ text: `Reading outside its range: ${name}`, to: null }]
    }),
  ]
}
