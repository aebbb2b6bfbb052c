/** The torque wrench: which one of the owner's holds a figure, and what is set on it, with an adapter too. Pure.
 *
 * Rules, sources and words are those of webapp/trade/wrench.py; both are held to tests/vectors/wrench.json.
 *
 * @typedef {{least: number, most: number, graduation: number, unit: string}} Wrench  all in the unit of its scale
 * @typedef {{length: number, extension: number, angle: number, way: string}} Adapter  mm, mm, degrees
 */
import { convert } from "./units.js"

export const AWAY = "away from the handle"
export const TOWARD = "toward the handle"
const FLOOR = 20 // % of the largest figure, from where on a wrench is true: ISO 6789:2003, type II class A
const BAND = 0.1 // of the figure, where its maker gives none
const OLDEST = 12 // months between calibrations, from memory
const NEAR = 0.05 // of the largest figure: so near an end of the range one is warned. Common practice, no source
const LONGEST = 3000 // mm
const BIT = 1e-9

/** A figure that has no honest answer: what it is, why, and what to write or use instead. */
export class Refused extends Error {
  constructor(what, why, write) {
    super(what)
    Object.assign(this, { what, why, write })
  }
}

/** A number with four figures. */
export const four = (value) => String(Number(value.toPrecision(4))).replace("-", "−")

const span = (low, high, unit) => `${low}${/[−/ ]/.test(low + high) ? " to " : "–"}${high} ${unit}`

/** What a wrench is called: by its scale. @param {Wrench} wrench */
export const nameOf = ({ least, most, unit }) => span(four(least), four(most), unit)

/** What is wrong with a wrench, or null. @param {Wrench} wrench  @returns {Refused|null} */
export function fault({ least, most, graduation, months = null }) {
  if (!(least >= 0 && least < most && Number.isFinite(most))) {
    return new Refused("a wrench's scale does not run from a smaller to a larger figure", "what it holds is judged by both",
      "Give the smallest and the largest figure on its scale, such as 10 N·m and 60 N·m")
  }
  if (!(graduation > 0 && graduation < most)) {
    return new Refused(`marks ${four(graduation)} apart do not fit a scale that ends at ${four(most)}`, "it is set to its marks",
      "Give the step between two marks of its scale, such as 1 N·m")
  }
  if (months !== null && !(months >= 0 && months < 1200)) {
    return new Refused("the months since calibration are no number from 0 up", "an old calibration is warned of",
      "Count them from the certificate, or leave them out")
  }
  return null
}

/** (L + A · cos θ) / L: how many times the setting reaches the fastener. @param {Adapter} adapter @throws {Refused} */
export function factor({ length, extension, angle, way = AWAY }) {
  if (!(length > 0 && length <= LONGEST)) {
    throw new Refused("the wrench's length is not between 0 and 3 m", "the correction hangs on it",
      "Measure from the middle of the grip to the middle of the drive square")
  }
  if (!(extension >= 0 && extension <= LONGEST)) {
    throw new Refused("the adapter's length is not between 0 and 3 m", "the correction hangs on it",
      "Measure from the drive square to the middle of the fastener. For one that points back give the length as it is, and say that it points toward the handle")
  }
  if (!(angle >= 0 && angle <= 180)) {
    const other = angle > 180 && angle < 360 ? 360 - angle : Math.abs(angle)
    throw new Refused(`an angle of ${four(angle)}° is not between 0 and 180°`,
      "the angle is the one between the adapter and the line of the handle, the same on either side",
      other >= 0 && other <= 180 ? `Write ${four(other)}°` : "Measure it again, from 0° straight on")
  }
  if (angle > 90 + BIT && way !== TOWARD) {
    throw new Refused(`at ${four(angle)}° the adapter points back toward the handle`,
      "there it takes from the lever, and the setting comes out above the figure",
      `Say that it points toward the handle, or write ${four(180 - angle)}° if it points away`)
  }
  if (angle < 90 - BIT && way === TOWARD) {
    throw new Refused(`at ${four(angle)}° the adapter points away from the handle`,
      "there it adds to the lever, and the setting comes out below the figure",
      `Say that it points away from the handle, or write ${four(180 - angle)}° if it points back`)
  }
  const reach = length + extension * Math.cos((angle * Math.PI) / 180)
  if (reach <= length * BIT) {
    throw new Refused("the fastener is at the hand or behind it", "no pull turns it as the wrench shows", "Turn the adapter, or use a shorter one")
  }
  return reach / length
}

/** The mark to set on one wrench: the nearest to the figure in the band and on the true part of the scale.
 * @param {{wanted: number, low?: number|null, high?: number|null, unit: string}} figure  @param {Wrench} wrench
 * @returns {{wrench: Wrench, setting: number, error: number}} setting: on the wrench's scale; error: share of the figure
 * @throws {Refused} */
export function dial(figure, wrench) {
  const { graduation: step, most, unit } = wrench
  const on = (value) => convert(value, figure.unit, unit)
  const [least, highest] = band(figure).map(on)
  const value = on(figure.wanted)
  const lowest = Math.max(wrench.least, (FLOOR / 100) * most)
  const said = `${four(value)} ${unit}`
  const one = `Use a wrench that ends at ${said} to ${reach(value)} ${unit}`
  if (value < lowest * (1 - BIT)) {
    throw new Refused(`${said} is too little for the wrench ${nameOf(wrench)}`, `it is true from ${four(lowest)} ${unit} up`, one)
  }
  if (value > most * (1 + BIT)) {
    throw new Refused(`${said} is too much for the wrench ${nameOf(wrench)}`, `its scale ends at ${four(most)} ${unit}`, one)
  }
  const bottom = Math.ceil(Math.max(least, lowest) / step - BIT)
  const top = Math.floor(Math.min(highest, most) / step + BIT)
  if (bottom > top) {
    throw new Refused(`the wrench ${nameOf(wrench)} has no mark for ${said}`,
      `its marks are ${four(step)} ${unit} apart and none lies in ${span(four(least), four(highest), unit)}`, "Use a wrench with finer marks")
  }
  const setting = Number((Math.min(Math.max(nearest(value, step), bottom), top) * step).toPrecision(12))
  return { wrench, setting, error: setting / value - 1 }
}

/** The smallest wrench that holds a figure, and what is set on it: see dial. @param {Wrench[]} wrenches @throws {Refused} */
export function choose(figure, wrenches) {
  const [least, most] = band(figure)
  if (!wrenches.length) throw new Refused("there is no wrench", "a figure is set on one", "Say which wrenches you have")
  const size = ({ most: value, unit }) => convert(value, unit, "N·m")
  const fine = ({ graduation, unit }) => convert(graduation, unit, "N·m")
  const reasons = []
  for (const wrench of [...wrenches].sort((a, b) => size(a) - size(b) || fine(a) - fine(b))) {
    try {
      return dial(figure, wrench)
    } catch (refused) {
      if (!(refused instanceof Refused)) throw refused
      reasons.push(`${nameOf(wrench)}: ${refused.why}`)
    }
  }
  const value = figure.wanted
  const sides = [value - least, most - value].filter((side) => side > BIT * value)
  const marks = sides.length ? `with marks at most ${four(Math.min(...sides))} ${figure.unit} apart` : "with a mark for just this figure"
  throw new Refused(`none of these wrenches serves for ${four(value)} ${figure.unit}`, reasons.join("; "),
    `Use one that ends at ${four(value)} to ${reach(value)} ${figure.unit}, ${marks}`)
}

/** A figure as it is set with an adapter: figure and band by the same factor. @param {Adapter} adapter @throws {Refused} */
export function corrected(figure, adapter) {
  const by = factor(adapter)
  const [low, high] = band(figure)
  return { wanted: figure.wanted / by, low: low / by, high: high / by, unit: figure.unit }
}

/** What to know before a wrench is trusted with this setting. @returns {string[]} */
export function cautions({ wrench, setting }, figure) {
  const { least, most, unit, months = null, dropped = false } = wrench
  const said = []
  if (setting < Math.max(least, (FLOOR / 100) * most) + NEAR * most) said.push("Near the low end of the scale, where a wrench is least sure: a smaller one is better")
  if (setting > most * (1 - NEAR)) said.push("Near the top of the scale: pull slowly, and do not go past the click")
  if (months !== null && months > OLDEST) said.push(`Calibrated ${four(months)} months ago: have it checked, 12 months are usual (from memory)`)
  if (dropped) said.push("It was dropped: have it checked before it is trusted (from memory)")
  const share = convert(most, unit, "N·m") <= 10 * (1 + BIT) ? 0.06 : 0.04 // ISO 6789:2003, type II class A
  const [low, high] = band(figure).map((value) => convert(value, figure.unit, unit))
  if (setting / (1 + share) < low * (1 - BIT) || setting / (1 - share) > high * (1 + BIT)) {
    said.push("The wrench's own deviation reaches past the band, though the setting lies in it")
  }
  return said
}

/** The least and the most that the fastener may get; where one end is given, the figure is the other. */
function band({ wanted, low = null, high = null, unit }) {
  if (!(wanted > 0 && wanted < Infinity)) {
    throw new Refused("the figure is not more than 0", "a wrench is set to it", "Write the torque wanted, such as 25 N·m")
  }
  if (low === null && high === null) return [wanted * (1 - BAND), wanted * (1 + BAND)]
  const [least, most] = [low ?? wanted, high ?? wanted]
  if (!(least * (1 - BIT) <= wanted && wanted <= most * (1 + BIT))) {
    throw new Refused(`the figure ${four(wanted)} ${unit} lies outside its band ${span(four(least), four(most), unit)}`,
      "the setting is kept inside the band", "Correct the figure or the band")
  }
  return [least, most]
}

/** The largest figure of the largest wrench that is true at a value. */
const reach = (value) => four(value / (FLOOR / 100))

/** The mark nearest to a value, as a count of steps, halves up. The middle between two marks is written as a decimal
 * number is: 11.5 steps of 0.1 are 1.15, and not a bit more. */
function nearest(value, step) {
  const below = Math.floor(value / step)
  return value < Number(((below + 0.5) * step).toPrecision(15)) ? below : below + 1
}
