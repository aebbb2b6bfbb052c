/** The job as a whole: every step and how it stands, the answers, the notes, the record to take away. */
import { holds, progress, selected } from "./course.js"
import { el, moment } from "./el.js"
import { photo as storedPhoto } from "./log.js"

const $ = (selector) => document.querySelector(selector)

export function setUp(page) {
  $("#note").addEventListener("submit", async (event) => {
    event.preventDefault()
    const { text } = event.target.elements
    if (!text.value.trim()) return
    page.add([["note", page.step, { text: text.value.trim() }]])
    text.value = ""
  })
  $("[data-do=save-record]").addEventListener("click", () => save(page))

  // The questions stand on the cover; while a job runs they lie in the overview.
  const cover = $("#cover")
  const before = [...document.querySelectorAll(".question")]
  const place = $("#answers")
  if (page.record) place?.append(...before)
  document.addEventListener("change", ({ target }) => {
    const question = target.closest(".question")?.dataset.question
    if (question && page.record) page.add([["answer-changed", null, { question, answer: target.value }]])
    if (question) showQuestions(page, page.record ? page.state.answers : chosen())
  })
  page.moveQuestions = () => place?.append(...cover.querySelectorAll(".question"))
}

/** The answers that are chosen on the page. @returns {Object<string, string>} */
export const chosen = () =>
  Object.fromEntries([...document.querySelectorAll(".question")]
    .map((node) => [node.dataset.question, node.querySelector("input:checked")?.value])
    .filter(([, answer]) => answer))

/** Tick the answers, and show the questions that are asked under them. @returns {HTMLElement[]} those shown */
export function showQuestions(page, answers) {
  return page.pack.questions.filter((question) => {
    const node = document.querySelector(`.question[data-question="${CSS.escape(question.id)}"]`)
    for (const input of node.querySelectorAll("input")) input.checked = input.value === answers[question.id]
    const asked = Object.keys(question.when).every((one) => one in answers) && holds(question.when, answers)
    node.hidden = !asked
    return asked
  })
}

/** Bring the overview up to date. */
export function dress(page) {
  const { pack, state } = page
  const { done, of } = progress(pack, state)
  const out = selected(pack, state).filter(({ id }) => state.steps[id]?.is === "passed" && !state.steps[id].already).length
  $("#standing").textContent = `${done - out} of ${of} steps done${out ? `, ${out} left out` : ""}.`
  let latest = -1
  const marks = new Map()
  const shown = new Set(selected(pack, state))
  pack.steps.forEach((step, index) => { if (state.steps[step.id]) latest = index })
  pack.steps.forEach((step, index) => {
    const tick = state.steps[step.id]
    if (tick) marks.set(step.id, tick.is === "done" ? ["done", tick.open.length ? "✓ with open points" : "✓ done"] : ["passed", tick.already ? "✓ was so" : "– left out"])
    else marks.set(step.id, index < latest ? ["open", "open, passed by"] : ["open", "open"])
  })
  for (const link of document.querySelectorAll("#overview .steps [data-to]")) {
    const [mark, text] = marks.get(link.dataset.to)
    const step = pack.step.get(link.dataset.to)
    link.dataset.mark = mark
    link.querySelector(".state").textContent = link.dataset.to === page.step ? `${text}, here` : text
    link.parentElement.hidden = !shown.has(step)
  }
  for (const list of document.querySelectorAll("#overview .steps")) {
    const none = [...list.children].every(({ hidden }) => hidden)
    list.hidden = none
    list.previousElementSibling.hidden = none
  }
  showQuestions(page, state.answers)
  $("#passed").hidden = !state.permits.length
  $("#passed ul").replaceChildren(...state.permits.map(({ at, step, gate, rules, reason }) =>
    el("li", {}, `${moment(at, page.now())}, ${pack.step.get(step)?.title ?? step}: ${reason} (${gate}, ${rules.join(", ")})`)))
  const paper = $("#passed form")
  paper.elements.passed.value = JSON.stringify(state.permits.map(({ at, step, gate, rules, reason }) => ({ step, gate, rules, reason, when: moment(at, page.now()) })))
  paper.querySelector("span").replaceChildren(...Object.entries(state.answers).map(([name, value]) => el("input", { type: "hidden", name, value })))
  $("#notes").replaceChildren(...state.notes.map(({ at, text }) => el("li", {}, `${moment(at, page.now())}: ${text}`)))
}

/** Hand the record over as a file: by the phone's own sharing where it can, else as a download. */
async function save(page) {
  const said = $("#record-said")
  const { pack, record, state } = page
  try {
    const photos = {}
    for (const { photo } of state.photos) photos[photo] = await asText(await storedPhoto(photo))
    const whole = { format: 1, job: record.job, pack: pack.hash, title: pack.title, saved: new Date().toISOString(), entries: record.entries, photos }
    const file = new File([JSON.stringify(whole, null, 1)], `droplight-${record.job.slice(0, 13)}.json`, { type: "application/json" })
    if (navigator.canShare?.({ files: [file] })) await navigator.share({ files: [file], title: pack.title })
    else download(file)
    said.textContent = `The record holds ${record.entries.length} entries and ${state.photos.length} photos.`
  } catch (error) {
    if (error.name !== "AbortError") said.textContent = `The record was not saved: ${error.message}. Try again.`
  }
}

function download(file) {
  const url = URL.createObjectURL(file)
  el("a", { href: url, download: file.name }).click()
  setTimeout(() => URL.revokeObjectURL(url), 60_000)
}

async function asText(bytes) {
  if (!bytes) return null
  const url = await new Promise((resolve) => {
    const reader = new FileReader()
    reader.onload = () => resolve(reader.result)
    reader.readAsDataURL(new Blob([bytes], { type: "image/jpeg" }))
  })
  return url.slice(url.indexOf(",") + 1)
}
