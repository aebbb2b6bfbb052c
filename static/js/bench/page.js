/** A figure's page when the network is gone: the phone answers, with the words and numbers the server would say.
 *
 * The server answers while it can. The modules that work things out are fetched only when they are needed; the service
 * worker keeps them, and this page. */
import { el } from "../el.js"
import "./keep.js"

const PATIENCE = 3_000 // ms that the server may take
const form = document.querySelector("form.fields")
const place = document.querySelector("#answer")
const fields = [...form.querySelectorAll("[data-kind]")]
const name = location.pathname.split("/").pop()
const asks = fields.map((field) => ({
  name: field.name, kind: field.dataset.kind, required: field.hasAttribute("aria-required"), many: "many" in field.dataset,
  example: field.dataset.example, choices: (field.dataset.choices ?? "").split("|").filter(Boolean),
}))
let slow

form.addEventListener("htmx:beforeRequest", (event) => {
  if (navigator.onLine) return
  event.preventDefault()
  answerHere()
})
form.addEventListener("htmx:beforeSend", () => {
  slow = setTimeout(() => {
    form.dispatchEvent(new Event("htmx:abort"))
    answerHere()
  }, PATIENCE)
})
form.addEventListener("htmx:afterRequest", () => clearTimeout(slow))
for (const silent of ["htmx:sendError", "htmx:timeout"]) {
  form.addEventListener(silent, (event) => {
    event.stopPropagation() // what says that the server is silent has nothing to say here
    answerHere()
  })
}

// A kept page is opened by a link that asks: what it asks with stands in the address alone.
const query = new URLSearchParams(location.search)
const example = query.get("fill-in")
if (!document.querySelector("#answer-is") && (example || fields.some((field) => query.has(field.name)))) {
  for (const field of fields) fill(field, example ? field.dataset.example : (query.get(field.name) ?? ""))
  answerHere()
}

function fill(field, text) {
  if (text) unfold(field)
  field.value = text
  if (field.value === text || field.tagName !== "SELECT") return
  field.append(el("option", { value: text }, text))
  field.value = text
}

/** Show a field that is folded away. */
function unfold(field) {
  field.closest("details")?.setAttribute("open", "")
}

async function answerHere() {
  const texts = Object.fromEntries(fields.map((field) => [field.name, field.value]))
  const { answer } = await import("./figures.js")
  const found = answer(name, asks, texts)
  history.replaceState(history.state, "", `${location.pathname}?${new URLSearchParams(texts)}`)
  for (const field of fields) tell(field, found.problems?.find((problem) => problem.field === field.name))
  place.replaceChildren(card(found))
  place.dispatchEvent(new CustomEvent("htmx:afterSettle", { bubbles: true, detail: { target: place } }))
}

const sentence = (words) => words[0].toUpperCase() + words.slice(1)

function tell(field, problem) {
  if (problem) unfold(field)
  const words = problem ? [el("strong", {}, `${sentence(problem.what)}.`), ` ${sentence(problem.why)}. Write: `, el("b", {}, problem.write)] : []
  document.getElementById(`problem-${field.name}`).replaceChildren(...words)
}

const section = (title, kind, ...children) =>
  el("section", { class: `card answer${kind}`, "aria-labelledby": "answer-is" }, el("h2", { id: "answer-is", tabindex: "-1" }, title), ...children)

function card({ refused, problems, lines, cautions, working, validity, source }) {
  if (problems) {
    const links = fields.filter((field) => problems.some((problem) => problem.field === field.name)).map((field) => {
      const ask = form.querySelector(`label[for="${field.id}"]`).firstChild.textContent.trim()
      return el("li", {}, el("a", { href: `#${field.id}` }, ask))
    })
    const count = problems.length === 1 ? "1 field needs" : `${problems.length} fields need`
    return section(`Not yet: ${count} another look`, " refused", el("ul", { class: "contents" }, ...links))
  }
  if (refused) {
    const { what, why, write } = refused
    return section("No honest answer", " refused", el("p", { class: "main-line" }, el("strong", {}, `${sentence(what)}.`)),
      el("p", {}, `${sentence(why)}.`), el("p", {}, el("b", {}, `${sentence(write)}.`)))
  }
  const list = (tag, kind, items) => el(tag, { class: kind }, ...items.map((item) => el("li", {}, item)))
  const pairs = (kind, items) => el("dl", { class: kind }, ...items.map(([title, text]) => el("div", {}, el("dt", {}, title), el("dd", {}, text))))
  const [first, ...rest] = lines
  return section("Answer", "",
    el("p", { class: "main-line" }, el("span", {}, first.label), " ", el("strong", {}, marked(first))),
    pairs("block", rest.map((line) => [line.label, marked(line)])),
    ...(cautions.length ? [el("h3", {}, "Mind"), list("ul", "cautions", cautions)] : []),
    el("details", {}, el("summary", {}, "How it was worked out"), list("ol", "working", working)),
    pairs("keys", [["Holds for", validity], ["Source", source], ["Worked out", "on this phone, without the server"]]))
}

/** A line's text, marked up for the unit toggle where the two systems read differently. */
function marked({ text, us, si, system }) {
  if (us === si) return el("span", {}, text)
  return el("span", { class: `q q-a-${system}` }, el("span", { class: "q-us" }, us), " ", el("span", { class: "q-si" }, si))
}
