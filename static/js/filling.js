/** The mix of a coolant: what to pour on what stayed behind. Worked out on the phone, and kept in the log.
 *
 * The formula, its refusals and its sources are those of webapp/trade/fill.py, in bench/fill.js: it comes when it is
 * first asked for, so that no job waits for it. What is kept is what was asked and what was answered, in words. */
import { el, moment, write } from "./el.js"
import { convert, readNumber } from "./units.js"

const FIELDS = ["capacity", "amount", "strength", "target", "poured"]
const ENOUGH = 0.005 // L: less is not poured

/** What a form holds, or what is missing in it. @param {HTMLFormElement} form
 * @returns {{inputs: object}|{problem: string, field: HTMLInputElement}} */
export function asked(form) {
  const { known, jug } = form.elements
  const inputs = { known: known.value, jug: jug.value }
  for (const name of FIELDS) {
    if (name === "poured" && jug.value !== "premix") continue
    const field = form.elements[name]
    const label = form.querySelector(`label[for="${CSS.escape(field.id)}"]`).textContent
    const { value, ask } = readNumber(field.value.replace(/\s*%\s*$/, ""))
    if (ask.length === 2) return { problem: `${label} Is that ${ask[0]} or ${ask[1]}? Write it without the comma.`, field }
    if (value === null) return { problem: `${label} ${field.value.trim() ? "That is no number. Write it like 2.5 or 1 1/2." : "It is needed."}`, field }
    inputs[name] = { value, unit: form.elements[`${name}-unit`].value }
  }
  return { inputs }
}

/** What fill.js is asked for these inputs. */
export function given({ known, capacity, amount, strength, target, poured }) {
  const litres = convert(amount.value, amount.unit, "L")
  const stayed = known === "stayed" ? litres : convert(capacity.value, capacity.unit, "L") - litres
  return { capacity, stayed: { value: stayed, unit: "L" }, stayed_strength: strength, target, ...(poured ? { poured } : {}) }
}

/** An answer as it is kept: plain data, so that a reload shows the same words. @returns {Promise<object>} */
export async function answer(inputs) {
  const { fill } = await import("./bench/fill.js")
  try {
    const { lines, working, cautions } = fill(given(inputs))
    const worked = inputs.known === "stayed" ? working : [stays(inputs), ...working]
    return { lines: lines.map(({ label, us, si, text }) => ({ label, us, si, text })), working: worked, cautions }
  } catch (refused) {
    if (!refused.what) throw refused
    return { refused: { what: refused.what, why: refused.why, write: refused.write } }
  }
}

const litres = ({ value, unit }) => `${Number(convert(value, unit, "L").toPrecision(4))} L`
const stays = (inputs) =>
  `Stayed: ${litres(inputs.capacity)} − ${litres(inputs.amount)} that came out = ${litres(given(inputs).stayed)}`

// --- On the screen

const form = (place) => place.querySelector("form")
const mixOf = (place) => JSON.parse(place.dataset.mix)

/** Bring a mix up to date with the log. What somebody is typing is left alone. */
export function dress(page, place) {
  const kept = page.state.mixes[`${place.closest(".step").dataset.step} ${mixOf(place).fluid}`]
  const said = kept ? `${kept.entry}` : ""
  if (!place.dataset.typed) fillIn(page, place, kept)
  if (place.dataset.said === said) return
  place.dataset.said = said
  show(place, kept, page.now())
}

/** What is known already stands in the fields, each volume in the units that are shown. */
function fillIn(page, place, kept) {
  const { capacity, stayed, target, unit, drained, rinsed } = mixOf(place)
  const fields = form(place).elements
  const system = document.documentElement.dataset.units
  const reading = page.state.readings[drained]
  const rinse = rinsed.some((step) => page.state.steps[step]?.is === "done")
  const amount = reading ?? (stayed === null ? null : { value: stayed, unit })
  const inputs = kept?.inputs ?? {
    known: reading || stayed === null ? "drained" : "stayed", jug: "concentrate",
    capacity: { value: capacity, unit }, amount, strength: rinse ? { value: 0, unit: "%" } : null,
    target: target === null ? null : { value: target, unit: "%" }, poured: target === null ? null : { value: target, unit: "%" },
  }
  fields.known.value = inputs.known
  fields.jug.value = inputs.jug
  for (const name of FIELDS) {
    const own = inputs[name]
    if (!own) continue
    const units = [...form(place).querySelectorAll(`[name="${name}-unit"]`)]
    const radio = units.find(({ dataset }) => !kept && dataset.system === system) ?? units.find(({ value }) => value === own.unit) ?? units[0]
    if (radio.type === "radio") radio.checked = true
    fields[name].value = short(convert(own.value, own.unit, radio.value))
  }
  const help = (name, words) => write(place.querySelector(`[id$="-${name}-help"]`), words)
  help("amount", kept ? "As you gave it" : reading ? "From your reading" : stayed === null ? "Measure it" : "From the pack: measure it if you can")
  help("strength", rinse ? "Rinsed: plain water, 0\u00a0%" : "By volume. Plain rinse water is 0\u00a0%. Old coolant: measure it")
  premix(place)
}

const short = (value) => String(Number(value.toPrecision(4)))

function premix(place) {
  place.querySelector(".premix").hidden = form(place).elements.jug.value !== "premix"
}

/** A number of the pack or of a reading goes with its unit; a number that somebody typed stays as it was typed. */
function changeUnit(radio) {
  const field = radio.form.elements[radio.name.replace(/-unit$/, "")]
  const before = field.dataset.unit
  if (field.dataset.typed || !before) return
  const { value } = readNumber(field.value)
  if (value !== null) field.value = short(convert(value, before, radio.value))
}

const remember = (place) => {
  for (const name of FIELDS) form(place).elements[name].dataset.unit = form(place).elements[`${name}-unit`].value
}

function both({ us, si }, place) {
  if (us === si) return el("span", { class: "q" }, us)
  const author = mixOf(place).units.find(([unit]) => unit === mixOf(place).unit)[1]
  return el("span", { class: `q q-a-${author}` }, el("span", { class: "q-us" }, us), " ", el("span", { class: "q-si" }, si))
}

const nought = ({ text }) => Number.parseFloat(text) < ENOUGH

/** The answer, large; what it is made of, one tap away. */
function show(place, kept, now) {
  const said = place.querySelector(".mixed")
  said.hidden = !kept
  write(place.querySelector("summary"), kept ? "Work it out again" : "Work out the mix")
  if (!kept) return said.replaceChildren()
  const { refused, lines, working, cautions } = kept.answer
  if (refused) {
    const why = `${refused.why[0].toUpperCase()}${refused.why.slice(1)}.`
    return said.replaceChildren(el("p", { class: "pour" }, `✗ No mix: ${refused.what}.`), el("p", {}, why), el("p", {}, el("b", {}, `${refused.write}.`)))
  }
  const [first, water, ...others] = lines
  const name = kept.inputs.jug === "premix" ? `Premix of ${short(kept.inputs.poured.value)}\u00a0%` : "Concentrate"
  const pour = nought(first) ? [["No concentrate"]] : [[`${name} `, both(first, place)]]
  pour.push(nought(water) ? ["and no water"] : [nought(first) ? "only water " : "then water ", both(water, place)])
  said.replaceChildren(
    el("p", { class: "pour" }, ...pour.flatMap((parts, index) => [index ? ", " : "", el("span", {}, ...parts)])),
    el("p", {}, `Worked out ${moment(kept.at, now)}. Pour no faster than `, both(others.find(({ label }) => label.startsWith("Pour")), place)),
    el("details", {}, el("summary", {}, "How it is worked out"),
      el("ul", { class: "working" }, ...working.map((line) => el("li", {}, line))),
      el("ul", {}, ...cautions.map((line) => el("li", {}, line)))),
  )
}

/** @param {any} page the job's page */
export function setUp(page) {
  const placeOf = ({ target }) => target.closest?.("form.mixing")?.closest(".mix")
  document.addEventListener("toggle", ({ target }) => {
    if (target.matches?.(".mix > .asks") && target.open) remember(target.parentElement)
  }, { capture: true })
  document.addEventListener("input", (event) => {
    const place = placeOf(event)
    if (!place || !FIELDS.includes(event.target.name)) return
    place.dataset.typed = event.target.dataset.typed = "yes"
  })
  document.addEventListener("change", (event) => {
    const place = placeOf(event)
    if (!place) return
    const { name } = event.target
    place.dataset.typed = "yes"
    if (name === "jug") premix(place)
    if (name.endsWith("-unit")) changeUnit(event.target)
    if (name === "known") {
      form(place).elements.amount.value = "" // the same number would now say something else
      write(place.querySelector('[id$="-amount-help"]'), "Measure it")
    }
    remember(place)
  })
  document.addEventListener("submit", async (event) => {
    const place = placeOf(event)
    if (!place) return
    event.preventDefault()
    const { inputs, problem, field } = asked(event.target)
    write(place.querySelector(".verdict"), problem ? `✗ ${problem}` : "")
    if (problem) return field.focus()
    const worked = await answer(inputs)
    delete place.dataset.typed
    for (const name of FIELDS) delete event.target.elements[name].dataset.typed
    place.querySelector(".asks").open = false
    await page.add([["mix-worked-out", page.step, { fluid: mixOf(place).fluid, inputs, answer: worked }]])
    place.scrollIntoView({ block: "center" })
  })
}
