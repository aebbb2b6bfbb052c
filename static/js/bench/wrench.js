/** Which torque wrench holds a figure, and what is set with an adapter: the same as webapp/trade/wrench.py, which names
 * the sources. Torques are {value, unit}; a wrench's own unit is that of the end of its scale. */
import { convert } from "../units.js"
import { Refused, exact, fineStep, four, join, line, number, plain, roundedTo, said, span, to } from "./say.js"

const BIT = 1e-9
const BAND = 0.1
const FLOOR = { value: 20, unit: "%" }
const SOURCE = "Range and deviation: ISO 6789:2003, type II class A (setting wrenches). ±10 % where the maker gives no band: US Army TM 9-2320-362-14&P"
const VALIDITY =
  "Wrenches that are set and click, in good order, used at 18–28 °C as they are calibrated. A mark is a whole count of graduations from nought"
const ADAPTER_SOURCE = "Moment balance. Worked examples: US Army TM 9-2350-261-20-1, TM 1-1500-204-23-9, TM 9-254 (also at an angle)"
const ADAPTER_VALIDITY =
  "The hand pulls at the middle of the grip and square to the handle. Angles 0–180° between the adapter " +
  "and the line of the handle. An extension bar on the axis of the drive needs no correction"

/** A wrench on its own scale. Throws Refused for a scale that is none. */
function wrenchOf(least, most, graduation, floor, months, dropped) {
  const { unit } = most
  const [low, high, step] = [to(least, unit), most.value, to(graduation, unit)]
  if (!(low >= 0 && low < high))
    throw new Refused("a wrench's scale does not run from a smaller to a larger figure", "what it holds is judged by both", "Give the smallest and the largest figure on its scale, such as 10 N·m and 60 N·m")
  if (!(step > 0 && step < high))
    throw new Refused(`marks ${four(step)} ${unit} apart do not fit a scale that ends at ${four(high)}`, "it is set to its marks", "Give the step between two marks of its scale, such as 1 N·m")
  if (!(floor.value >= 0 && floor.value < 100))
    throw new Refused("the wrench's floor is not between 0 and 100 % of its scale", "below it nothing is set", "Leave it at 20 %, or give what the wrench's maker says")
  if (months !== undefined && !(months >= 0 && months < 1200))
    throw new Refused("the months since calibration are no number from 0 up", "an old calibration is warned of", "Count them from the certificate, or leave them out")
  return { unit, step, floor, months, dropped, lowest: Math.max(low, (floor.value / 100) * high), highest: high, name: span(four(low), four(high), unit) }
}

const deviation = (wrench) => (convert(wrench.highest, wrench.unit, "N·m") <= 10 * (1 + BIT) ? 0.06 : 0.04)
const times = ({ value, unit }, factor) => ({ value: value * factor, unit })
const torques = (least, most, unit) => span(four(to(least, unit)), four(to(most, unit)), unit)
const reach = (value, floor) => (floor.value ? four(value / (floor.value / 100)) : "any")

function bandOf(wanted, low, high) {
  if (!(wanted.value > 0)) throw new Refused("the figure is not more than 0", "a wrench is set to it", "Write the torque wanted, such as 25 N·m")
  if (!low && !high) return [times(wanted, 1 - BAND), times(wanted, 1 + BAND)]
  const [least, most] = [low ?? wanted, high ?? wanted]
  const value = to(wanted, "N·m")
  if (!(to(least, "N·m") * (1 - BIT) <= value && value <= to(most, "N·m") * (1 + BIT)))
    throw new Refused(`the figure ${exact(wanted)} lies outside its band ${torques(least, most, wanted.unit)}`, "the setting is kept inside the band", "Correct the figure or the band")
  return [least, most]
}

/** The mark to set: the nearest one in the band and on the true part of the scale. */
function dial(wanted, wrench, low, high) {
  const [least, most] = bandOf(wanted, low, high)
  const { unit, step, name, lowest, highest } = wrench
  const value = to(wanted, unit)
  const text = `${four(value)} ${unit}`
  const other = `Use a wrench that ends at ${text} to ${reach(value, wrench.floor)} ${unit}`
  if (value < lowest * (1 - BIT)) throw new Refused(`${text} is too little for the wrench ${name}`, `it is true from ${four(lowest)} ${unit} up`, other)
  if (value > highest * (1 + BIT)) throw new Refused(`${text} is too much for the wrench ${name}`, `its scale ends at ${four(highest)} ${unit}`, other)
  const bottom = roundedTo(Math.max(to(least, unit), lowest), step, "up")
  const top = roundedTo(Math.min(to(most, unit), highest), step, "down")
  if (bottom > top)
    throw new Refused(`the wrench ${name} has no mark for ${text}`, `its marks are ${four(step)} ${unit} apart and none lies in ${torques(least, most, unit)}`, "Use a wrench with finer marks")
  const mark = Math.min(Math.max(roundedTo(value, step), bottom), top)
  const share = deviation(wrench)
  return { wrench, value, mark, error: mark / value - 1, least: { value: mark / (1 + share), unit }, most: { value: mark / (1 - share), unit } }
}

const atMark = ({ mark, wrench }) => `${number(roundedTo(mark, "0.000001"))} ${wrench.unit}`
function off(share) {
  const percent = said(share * 100)
  return Math.abs(share) < BIT ? "exact" : `${percent[0] === "−" ? "" : "+"}${percent} %`
}

function dialled(found) {
  const { wrench, value } = found
  const share = deviation(wrench) * 100
  return [
    `Marks ${four(wrench.step)} ${wrench.unit} apart: ${four(value)} → ${atMark(found)} (${off(found.error)})`,
    `±${four(share)} % of the true torque (ISO 6789): ${atMark(found)} / (1 ± ${four(share / 100)}) = ${torques(found.least, found.most, wrench.unit)}`,
  ]
}

function cautionsOf(found, bottom, top) {
  const { wrench, mark } = found
  const all = []
  if (mark < wrench.lowest + 0.05 * wrench.highest) all.push("Near the low end of the scale, where a wrench is least sure: a smaller one is better")
  if (mark > wrench.highest * (1 - 0.05)) all.push("Near the top of the scale: pull slowly, and do not go past the click")
  if (wrench.months > 12) all.push(`Calibrated ${four(wrench.months)} months ago: have it checked, 12 months are usual (from memory)`)
  if (wrench.dropped) all.push("It was dropped: have it checked before it is trusted (from memory)")
  if (to(found.least, "N·m") < to(bottom, "N·m") * (1 - BIT) || to(found.most, "N·m") > to(top, "N·m") * (1 + BIT))
    all.push("The wrench's own deviation reaches past the band, though the setting lies in it")
  return all
}

/** The smallest of the wrenches that holds a figure, and what to set on it. */
export function wrench({ wanted, least, most, graduation, low, high, floor = FLOOR, months = [], dropped = [] }) {
  const count = most.length
  if (least.length !== count || graduation.length !== count)
    throw new Refused(`${least.length} smallest figures, ${count} largest and ${graduation.length} steps make no wrenches`, "each wrench has one of each", "Give them in one order, one of each for a wrench")
  for (const [name, given] of [["months since calibration", months], ["answers on a fall", dropped]])
    if (given.length && given.length !== count)
      throw new Refused(`${given.length} ${name} do not go with ${count} wrenches`, "an old or dropped wrench is warned of by name", "Give one for each wrench, or none")
  const wrenches = most.map((end, at) => wrenchOf(least[at], end, graduation[at], floor, months[at], dropped[at] === "yes"))
  const [bottom, top] = bandOf(wanted, low, high)
  const found = choose(wanted, wrenches, low, high)
  const { wrench: one } = found
  const working = [
    `Band: ${torques(bottom, top, wanted.unit)}${low || high ? "" : " (±10 %, none was given)"}`,
    `${one.name} is true from ${four(one.lowest)} ${one.unit} (its first mark, or ${exact(floor)} of its scale) to ${four(one.highest)} ${one.unit}`,
    ...dialled(found),
  ]
  const lines = [plain("Set", atMark(found)), plain("Wrench", one.name), plain("Rounding", off(found.error)), plain("The fastener gets", torques(found.least, found.most, one.unit))]
  return { lines, working, source: SOURCE, validity: VALIDITY, cautions: cautionsOf(found, bottom, top) }
}

function choose(wanted, wrenches, low, high) {
  const metric = (one, value) => convert(value, one.unit, "N·m")
  const order = [...wrenches].sort((a, b) => metric(a, a.highest) - metric(b, b.highest) || metric(a, a.step) - metric(b, b.step))
  const reasons = []
  for (const one of order) {
    try {
      return dial(wanted, one, low, high)
    } catch (refused) {
      if (!(refused instanceof Refused)) throw refused
      reasons.push(`${one.name}: ${refused.why}`)
    }
  }
  const { value, unit } = wanted
  const [bottom, top] = bandOf(wanted, low, high).map((end) => to(end, unit))
  const sides = [value - bottom, top - value].filter((side) => side > BIT * value)
  const fine = sides.length ? `with marks at most ${four(Math.min(...sides))} ${unit} apart` : "with a mark for just this figure"
  throw new Refused(`none of these wrenches serves for ${four(value)} ${unit}`, reasons.join("; "), `Use one that ends at ${four(value)} to ${reach(value, FLOOR)} ${unit}, ${fine}`)
}

const LONGEST = 3000 // mm

/** (L + A · cos θ) / L: how many times the setting reaches the fastener. */
function factorOf(length, extension, angle, way) {
  const [lever, arm, degrees] = [to(length, "mm"), to(extension, "mm"), angle.value]
  if (!(lever > 0 && lever <= LONGEST))
    throw new Refused("the wrench's length is not between 0 and 3 m", "the correction hangs on it", "Measure from the middle of the grip to the middle of the drive square")
  if (!(arm >= 0 && arm <= LONGEST))
    throw new Refused("the adapter's length is not between 0 and 3 m", "the correction hangs on it",
      "Measure from the drive square to the middle of the fastener. For one that points back give the length as it is, and say that it points toward the handle")
  if (!(degrees >= 0 && degrees <= 180)) {
    const other = degrees > 180 && degrees < 360 ? 360 - degrees : Math.abs(degrees)
    throw new Refused(`an angle of ${four(degrees)}° is not between 0 and 180°`, "the angle is the one between the adapter and the line of the handle, the same on either side",
      other <= 180 ? `Write ${four(other)}°` : "Measure it again, from 0° straight on")
  }
  const rest = four(180 - degrees)
  if (degrees > 90 + BIT && way !== "toward the handle")
    throw new Refused(`at ${four(degrees)}° the adapter points back toward the handle`, "there it takes from the lever, and the setting comes out above the figure",
      `Say that it points toward the handle, or write ${rest}° if it points away`)
  if (degrees < 90 - BIT && way === "toward the handle")
    throw new Refused(`at ${four(degrees)}° the adapter points away from the handle`, "there it adds to the lever, and the setting comes out below the figure",
      `Say that it points away from the handle, or write ${rest}° if it points back`)
  const far = lever + arm * Math.cos((degrees * Math.PI) / 180)
  if (far <= lever * BIT) throw new Refused("the fastener is at the hand or behind it", "no pull turns it as the wrench shows", "Turn the adapter, or use a shorter one")
  return far / lever
}

/** What to set so that the fastener gets the figure: wanted · L / (L + A · cos θ). */
export function adapter({ wanted, length, extension, angle = { value: 0, unit: "°" }, way = "away from the handle", least, most, graduation, low, high, floor = FLOOR }) {
  const factor = factorOf(length, extension, angle, way)
  bandOf(wanted)
  const setting = { value: wanted.value / factor, unit: wanted.unit }
  const [lever, arm] = [exact(length), exact({ value: to(extension, length.unit), unit: length.unit })]
  const working = [
    `(${lever} + ${arm} × cos ${join(four(angle.value), "°")}) / ${lever} = ${four(factor)}`,
    `Setting: ${exact(wanted)} / ${four(factor)} = ${exact(setting)}`,
  ]
  const cautions = ["Hold the wrench at the middle of its grip: the correction holds for that length only"]
  if (factor < 0.5) cautions.push("So little lever is left that a small error of length counts much: use a shorter adapter")
  else if (factor > 1.5) cautions.push("The adapter is more than half as long as the wrench: it bends and slips easily")
  const raw = times(wanted, factor)
  const rest = line("Without this correction the fastener gets", raw, raw.unit, "torque", fineStep(raw.value))
  if (!least && !most && !graduation) {
    const lines = [line("Set", setting, setting.unit, "torque", fineStep(setting.value)), rest]
    return { lines, working, source: ADAPTER_SOURCE, validity: ADAPTER_VALIDITY, cautions }
  }
  if (!least || !most || !graduation)
    throw new Refused("the wrench is only half said", "what it holds and where its marks are is judged by all three", "Give the smallest and the largest figure of its scale and the step between its marks, or none")
  const [bottom, top] = bandOf(wanted, low, high).map(({ value, unit }) => ({ value: value / factor, unit }))
  const found = dial(setting, wrenchOf(least, most, graduation, floor), bottom, top)
  working.push(`${found.wrench.name} is true from ${four(found.wrench.lowest)} ${found.wrench.unit} up, judged on the corrected setting`, ...dialled(found))
  const lines = [plain("Set", atMark(found)), plain("Exact setting", exact(setting)), plain("Rounding", off(found.error)), rest]
  return { lines, working, source: `${ADAPTER_SOURCE}. ${SOURCE}`, validity: ADAPTER_VALIDITY, cautions: [...cautions, ...cautionsOf(found, bottom, top)] }
}
