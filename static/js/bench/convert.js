/** A figure in other units and on a scale: the same as webapp/trade/conversion.py. */
import { convert } from "../units.js"
import { KNOWN, Refused, base, figures, join, number, plain, roundedTo, said, show, span, unitsOf } from "./say.js"

const BAND = 0.1
const SOURCE = "Unit definitions of NIST SP 811 (2008), Appendix B"
const VALIDITY = "Any amount whose unit is known. A difference of temperatures is said to be one"
const DIFFERENCE = "how much hotter"

/** Marks of a scale, `step` apart, that keep to a figure: {written, error}. Throws Refused where none does. */
export function onScale(figure, unit, step) {
  if (KNOWN.get(unit).kind !== KNOWN.get(figure.unit).kind)
    throw new Refused(`a scale in ${unit} does not show ${figure.written}`, "they measure different things", `Name the step in a unit such as ${base(figure.kind)}`)
  if (step <= 0)
    throw new Refused("the marks of the scale are no distance apart", "a figure is rounded to a mark", "Give the difference between two marks, such as 1")
  let [low, high, nominal] = [figure.low, figure.high, figure.nominal].map((value) => (value === null ? null : convert(value, figure.unit, unit, figure.kind)))
  const held = (least, most) => {
    if (least !== null && least <= most && (high === null || most <= high + step * 1e-6)) return
    throw new Refused(`no mark ${join(number(step), unit)} apart keeps to ${figure.written}`, "the nearest one lies outside what the figure permits", "Take a scale with finer marks, or one in the unit of the figure")
  }
  if (nominal !== null) {
    const mark = roundedTo(nominal, step)
    if (figure.form === "figure") {
      const band = figure.kind === "torque" ? BAND * Math.abs(nominal) : Infinity
      low = nominal - band
      high = nominal + band
    }
    held(low === null || mark >= low ? mark : null, mark)
    return { written: join(number(mark), unit), error: nominal ? mark / nominal - 1 : null }
  }
  const least = low === null ? null : roundedTo(low, step, "up")
  const most = high === null ? null : roundedTo(high, step, "down")
  if (least !== null && most !== null) held(least, most)
  if (least === null) return { written: `at most ${join(number(most), unit)}`, error: null }
  if (most === null) return { written: `at least ${join(number(least), unit)}`, error: null }
  return { written: least === most ? join(number(least), unit) : span(number(least), number(most), unit), error: null }
}

/** An amount for readers of both systems, in a unit asked for, and on a scale. */
export function converted({ amount, temperature, to, marks }) {
  if (amount.kind === "temperature" && temperature === DIFFERENCE) amount = { ...amount, kind: "temperature-difference" }
  const [us, si] = [show(amount, "us"), show(amount, "si")]
  const lines = [plain("In both systems", us === si ? si : `${us} · ${si}`), plain("As written", amount.written)]
  const working = []
  const usual = unitsOf(KNOWN.get(amount.unit).kind).filter((unit) => unit !== amount.unit)
  for (const other of to ? [to.unit] : usual) {
    if (KNOWN.get(other).kind !== KNOWN.get(amount.unit).kind)
      throw new Refused(`${amount.written} cannot be said in ${other}`, "the units measure different things", `Ask for a unit such as ${base(amount.kind)}`)
    const parts = amount.nominal === null ? [amount.low, amount.high].filter((part) => part !== null) : [amount.nominal]
    const text = parts.map((part) => number(figures(convert(part, amount.unit, other, amount.kind), 6))).join(" to ")
    working.push(`${amount.written} = ${join(text, other)}`)
    if (to) lines.unshift(plain("Exactly", join(text, other)))
  }
  const cautions = []
  if (marks) {
    const step = marks.nominal ?? 0
    const scale = onScale(amount, marks.unit, step)
    lines.unshift(plain("On the scale", scale.written))
    if (scale.error !== null) working.push(`Nearest mark, ${join(number(step), marks.unit)} apart: ${scale.written}, ${percent(scale.error)}`)
    if (amount.kind === "torque" && amount.form === "figure") cautions.push("No band is given: up to 10 % either way is taken. The maker's band wins")
  }
  if (amount.kind.startsWith("temperature")) cautions.push("A temperature and a difference of temperatures convert differently: say which it is")
  return { lines, working, source: SOURCE, validity: VALIDITY, cautions }
}

function percent(share) {
  const text = said(100 * share)
  return share < 0 || text === "0" ? `${text} %` : `+${text} %`
}
