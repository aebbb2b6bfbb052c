/** How the bench says a number on the phone: exactly as webapp/trade/{answer,units,shown}.py do, and both are held to
 * tests/vectors/figures.json. Numbers are rounded as decimal numbers, in whole counts of a step. */
import { convert } from "../units.js"

/** No honest answer exists: what is wrong, why it matters, what to do instead. */
export class Refused extends Error {
  constructor(what, why, write) {
    super(`${what}: ${why}. ${write}.`)
    Object.assign(this, { what, why, write })
  }
}

/** The units in the order they are listed in, by whose they are: u US, s SI, b both, o neither. By kind. */
const ORDER = {
  torque: "s N·m|s cN·m|s mN·m|u lbf·ft|u lbf·in|u ozf·in|o kgf·m|o kgf·cm",
  length: "s mm|s µm|s cm|s m|u in|u thou|u ft",
  distance: "s km|u mi",
  duration: "b s|b min|b h|b d|b wk",
  temperature: "s °C|u °F",
  volume: "s mL|s L|u US fl oz|u US pt|u US qt|u US gal|o imp fl oz|o imp pt|o imp qt|o imp gal",
  flow: "s mL/min|s L/min|u US qt/min|u US gal/min",
  pressure: "s Pa|s hPa|s mbar|s kPa|s bar|s MPa|u psi|u inHg|o mmHg|o kgf/cm²",
  angle: "b °",
  mass: "s g|s kg|u oz|u lb",
  voltage: "b mV|b V",
  current: "b mA|b A",
  resistance: "b Ω|b kΩ",
  speed: "b rpm",
  "road-speed": "s km/h|u mph",
  share: "b %",
  power: "s kW|s W|u hp|o PS",
}
/** Unit: {kind, system}, in their order. @type {Map<string, {kind: string, system: string}>} */
export const KNOWN = new Map(Object.entries(ORDER).flatMap(([kind, units]) =>
  units.split("|").map((unit) => [unit.slice(2), { kind, system: { u: "us", s: "si", b: "both", o: "other" }[unit[0]] }])))
/** The units of a kind of amount. @returns {string[]} */
export const unitsOf = (kind) => {
  const own = kind === "temperature-difference" ? "temperature" : kind
  return [...KNOWN].filter(([, unit]) => unit.kind === own).map(([name]) => name)
}
/** The unit that others of its kind are compared in. */
export const base = (kind) =>
  ({ volume: "L", flow: "L/min", pressure: "kPa", duration: "min", mass: "kg", voltage: "V", current: "A" })[kind] ?? unitsOf(kind)[0]

// Decimal numbers ---------------------------------------------------------------------------------------------------

/** A number as whole digits and a power of ten. @returns {[bigint, number]} */
function decimal(value) {
  const [mantissa, power] = Number(value).toExponential().split("e")
  const [whole, part = ""] = mantissa.split(".")
  return [BigInt(whole + part), Number(power) - part.length]
}

function placed(digits, power) {
  if (power >= 0) return String(digits * 10n ** BigInt(power))
  const text = String(digits < 0n ? -digits : digits).padStart(1 - power, "0")
  return `${digits < 0n ? "-" : ""}${text.slice(0, power)}.${text.slice(power)}`
}

/** A number as a whole count of steps; of halves the one away from nought.
 * @param {number} value  @param {number|string} step  @param {"nearest"|"up"|"down"} way  @returns {number} */
export function roundedTo(value, step, way = "nearest") {
  const [v, a] = decimal(value)
  const [s, b] = decimal(step)
  const least = Math.min(a, b)
  const top = v * 10n ** BigInt(a - least)
  const under = s * 10n ** BigInt(b - least)
  const floor = (x, y) => (x < 0n && x % y ? x / y - 1n : x / y)
  const bits = 1_000_000_000n // the last bits of a float are no difference
  let count
  if (way === "up") count = -floor(under - top * bits, under * bits)
  else if (way === "down") count = floor(top * bits + under, under * bits)
  else count = ((top < 0n ? -1n : 1n) * (2n * (top < 0n ? -top : top) + under)) / (2n * under)
  return Number(placed(count * s, b))
}

/** A number as it is printed: no exponent, no needless zeros, a true minus sign. @param {number|string} value */
export function number(value) {
  const text = typeof value === "string" ? value : placed(...decimal(value))
  const short = text.includes(".") ? text.replace(/\.?0+$/, "") : text
  return short === "-0" || short === "" ? "0" : short.replace("-", "−")
}

/** A number with so many figures; of halves the even one. @returns {number} */
export function figures(value, count) {
  const [all, power] = value.toExponential(60).split("e") // every digit there is
  const digits = all.replace(/[-.]/g, "")
  const half = digits[count] === "5" && !/[1-9]/.test(digits.slice(count + 1))
  if (!half || digits[count - 1] % 2) return Number(value.toPrecision(count))
  return Math.sign(value) * Number(`${digits.slice(0, count)}e${power - count + 1}`)
}

export const four = (value) => number(figures(value, 4))
/** A number to the unit, of halves the even one, as text. */
export const whole = (value) => (value < 1 ? number(Math.round(value - 1e-16)) : number(figures(value, Math.floor(Math.log10(value)) + 1)))
export const said = (value, step = "0.1") => number(roundedTo(value, step))
export const join = (numbers, unit) => (unit === "°" ? `${numbers}°` : `${numbers} ${unit}`)
export const span = (low, high, unit) => join(`${low}${/[−/ ]/.test(low + high) ? " to " : "–"}${high}`, unit)
/** A quantity with four figures in its own unit. */
export const exact = ({ value, unit }) => join(four(value), unit)
/** A quantity's number in another unit. */
export const to = ({ value, unit }, other) => convert(value, unit, other)
/** A step that loses a number of 1 or more less than 0.5 %. */
export const fineStep = (value) => (value >= 100 ? "1" : value >= 10 ? "0.1" : value >= 1 ? "0.01" : "0.001")

// Lines -------------------------------------------------------------------------------------------------------------

export const plain = (label, text) => ({ label, text, us: text, si: text })

/** A quantity as a figure in a unit, rounded to a step of that unit. */
export function figure(quantity, unit, kind, step = "1", way = "nearest") {
  const value = roundedTo(convert(quantity.value, quantity.unit, unit, kind), step, way)
  return { kind, form: "figure", low: value, high: value, nominal: value, unit, written: join(number(value), unit) }
}

/** A line that says a quantity in a unit, and what readers of either system are shown. */
export function line(label, quantity, unit, kind, step, way) {
  const shown = figure(quantity, unit, kind, step, way)
  return { label, text: shown.written, us: show(shown, "us"), si: show(shown, "si"), system: KNOWN.get(unit).system }
}

// For readers of one system -----------------------------------------------------------------------------------------

const HALVES = ["1", "0.5", "0.2", "0.1", "0.05", "0.02", "0.01", "0.005", "0.002", "0.001", "0.0005", "0.0002", "0.0001"]
const TENTHS = HALVES.slice(3)
const HUNDREDTHS = HALVES.slice(6)
const FINE = ["10", "5", "2", ...HALVES]
const one = (us, si) => ({ us: [[us, 0, HALVES]], si: [[si, 0, HALVES]] })
/** By kind and system: a unit, the least number it serves, its steps, coarse to fine. */
const LADDERS = {
  torque: { us: [["lbf·ft", 10, ["1"]], ["lbf·ft", 20, ["0.5"]], ["lbf·in", 0, HALVES]], si: [["N·m", 0, HALVES]] },
  length: {
    us: [["ft", 10, TENTHS], ["in", 10, TENTHS], ["in", 0, HUNDREDTHS]],
    si: [["m", 3, TENTHS], ["mm", 100, ["1"]], ["mm", 0, TENTHS]],
  },
  distance: one("mi", "km"),
  temperature: one("°F", "°C"),
  "temperature-difference": one("°F", "°C"),
  volume: {
    us: [["US gal", 2.1, TENTHS], ["US qt", 0.5, TENTHS], ["US fl oz", 0, HALVES]],
    si: [["L", 1, TENTHS], ["mL", 0, FINE]],
  },
  flow: { us: [["US gal/min", 0.5, TENTHS], ["US qt/min", 0, TENTHS]], si: [["L/min", 1, TENTHS], ["mL/min", 0, FINE]] },
  pressure: one("psi", "kPa"),
  mass: { us: [["lb", 1, HALVES], ["oz", 0, HALVES]], si: [["kg", 1, HALVES], ["g", 0, HALVES]] },
  "road-speed": one("mph", "km/h"),
  power: one("hp", "kW"),
}

/** The figure for readers of one system: as written where that is its own, else converted. @param {"us"|"si"} system */
export function show(figure, system) {
  if ([system, "both"].includes(KNOWN.get(figure.unit).system)) return figure.written
  const smallest = Math.min(...[figure.low, figure.high].filter((value) => value !== null).map(Math.abs))
  for (const [unit, least, steps] of LADDERS[figure.kind][system]) {
    if (least && convert(smallest, figure.unit, unit, figure.kind) < least) continue
    for (const step of steps) {
      const shown = rounded(figure, unit, step)
      if (shown !== null) return shown
    }
  }
  return figure.written
}

const BIT = 1e-9

function rounded(figure, unit, step) {
  const size = Number(step)
  const [low, high, nominal] = [figure.low, figure.high, figure.nominal].map((value) => (value === null ? null : convert(value, figure.unit, unit, figure.kind)))
  const times = (count) => roundedTo(count * size, step)
  const down = (value) => times(Math.floor(value / size + BIT))
  const gap = unit === "mm" && step === "0.01" && nominal === null
  const fits = (shown, value) => {
    const lost = Math.abs(shown - value)
    if (gap && lost <= Math.min(0.02 * Math.abs(value), size / 2)) return true
    return figure.kind === "temperature" || lost <= 0.01 * Math.abs(value)
  }
  if (nominal !== null) {
    const middle = times(Math.floor(nominal / size + 0.5 + BIT))
    if (!fits(middle, nominal)) return null
    if (figure.form === "figure") return `${number(middle)} ${unit}`
    const within = Math.min(high - middle, middle - low)
    const band = down(within)
    return band <= 0 || band < 0.8 * within ? null : `${number(middle)} ± ${number(band)} ${unit}`
  }
  const least = low === null ? null : times(Math.ceil(low / size - BIT))
  const most = high === null ? null : down(high)
  if ((least !== null && !fits(least, low)) || (most !== null && !fits(most, high))) return null
  if (least === null) return `at most ${number(most)} ${unit}`
  if (most === null) return `at least ${number(least)} ${unit}`
  return least < most ? span(number(least), number(most), unit) : null
}
