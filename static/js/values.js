/** Numbers that are typed: read, judged against their range while they are typed, never thrown away. */
import { write } from "./el.js"
import { convert, judge, readNumber } from "./units.js"

const VERDICTS = { in: "✓ In range", low: "✗ Too low", high: "✗ Too high" }

/** What a value form holds now.
 * @param {HTMLFormElement} form
 * @returns {{value: number|null, unit: string, verdict: "in"|"low"|"high"|"none", problem: string}} */
export function held(form) {
  const unit = form.elements.unit?.value ?? ""
  const { value, ask } = readNumber(form.elements.value.value)
  const range = form.dataset.range ? JSON.parse(form.dataset.range) : null
  let problem = ""
  if (ask.length === 2) problem = `Is that ${ask[0]} or ${ask[1]}? Write it without the comma.`
  else if (ask.length) problem = `Is that ${ask[0]}? Write it without the comma.`
  else if (value === null) problem = "That is no number. Write it like 25.5 or 1 1/2."
  return { value, unit, verdict: value === null || !range ? "none" : judge(value, unit, range), problem }
}

/** Say under the form how its value lies. Only while typing a missing number is no fault. */
export function show(form, typing = false) {
  const { value, unit, verdict, problem } = held(form)
  const place = form.querySelector(".verdict")
  const empty = form.elements.value.value.trim() === ""
  place.dataset.verdict = verdict
  if (value === null) return write(place, typing && empty ? "" : problem)
  const own = form.dataset.range ? JSON.parse(form.dataset.range) : { unit }
  const same = own.unit === unit ? "" : ` (${short(convert(value, unit, own.unit, own.kind))} ${own.unit})`
  write(place, verdict === "none" ? "" : `${VERDICTS[verdict]}: ${value} ${unit}${same}`)
}

/** A number as short as it can be said: three or four figures. */
export const short = (value) => String(Number(value.toPrecision(4)))

/** A refusal of the cure clock as sentences, its °C said in °F too. @returns {[string, string]} what; why and what to do */
export function refusal({ what, why, write }) {
  const inBoth = (text) => text.replace(/(-?\d+) °C/g, (celsius, degrees) => `${celsius} (${short(convert(Number(degrees), "°C", "°F"))} °F)`)
  return [`Refused: ${inBoth(what)}.`, `${why[0].toUpperCase()}${why.slice(1)}. ${write}.`]
}

/** Words for a value that was taken. */
export function told({ value, unit, verdict }) {
  if (verdict === "in" && !unit) return "✓ It is so"
  if (verdict === "out") return "✗ It is not so"
  const judged = verdict === "none" ? "" : ` – ${VERDICTS[verdict].toLowerCase()}`
  return `${value} ${unit}${judged}`
}

/** Let forms that hold nothing yet ask in the units that are shown. */
export function preferUnits(root = document) {
  const system = document.documentElement.dataset.units
  for (const radio of root.querySelectorAll(`input[name=unit][data-system="${system}"]`)) {
    const typed = [...radio.form.querySelectorAll("input[inputmode=decimal]")].some(({ value }) => value)
    if (!typed) radio.checked = true
  }
}

export function setUp() {
  const judged = ({ target }) => target.form?.classList.contains("value") && show(target.form, true)
  document.addEventListener("input", judged)
  document.addEventListener("change", (event) => {
    judged(event)
    if (event.target.name === "units") preferUnits()
  })
  document.addEventListener("units", () => preferUnits())
  preferUnits()
}
