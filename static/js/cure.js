/** The cure clock on the phone: the same as webapp/trade/cure.py, and both are held to tests/vectors/cure.json.
 *
 * A cured skin grows inward from the open edge, fed by the water that gets through it. So the time goes with the
 * square of the path the water must travel, and against the vapour pressure of the water in the air. The label's
 * time is only ever lengthened. Plain numbers in: minutes, millimetres, °C, % of relative humidity. */

const BIT = 1e-9

/** Common practice, no source. */
export const COLDEST = 5 // °C
const HOTTEST = 50 // °C
const DRIEST = 1 // %
const DEEPEST = 10 // mm
const LONGEST = 100000 // min
const WIDEST = 100 // mm

export const SOURCE =
  "Moving boundary of moisture cure: J. Comyn, Int. J. Adhesion and Adhesives (1998), " +
  "DOI 10.1016/S0143-7496(97)00031-6 (abstract; the formula from memory). " +
  "Vapour pressure: W. Wagner and A. Pruß, J. Phys. Chem. Ref. Data 31 (2002) 387, eq. 2.5"
export const VALIDITY =
  "One-part sealants that cure by moisture, at 5–50 °C and 1–100 % humidity (common practice, no source)"
const LABEL_WINS = "The label in hand wins wherever it says longer"
const COLD = "Cold also slows the sealant itself, which is not counted: this is the least wait"
const NO_PATH = "The label names no bead, so a longer path is not counted: wait longer for a wider joint"
const DEEP = "Beyond about 10 mm many one-part sealants never cure through (common practice, no source)"
const SKINS_SOONER = "The bay is warmer or damper than the label: the bead may skin sooner. Close at once"

/** No honest answer exists: what is wrong, why it matters, what to do instead. */
export class Refused extends Error {
  constructor(what, why, write) {
    super(`${what}: ${why}. ${write}.`)
    Object.assign(this, { what, why, write })
  }
}

/** Vapour pressure of water over water. Wagner and Pruß (2002), eq. 2.5.
 * @param {number} celsius 0.01–60  @returns {number} kPa */
export function saturationPressure(celsius) {
  const kelvin = celsius + 273.15
  const away = 1 - kelvin / 647.096
  const powers =
    -7.85951783 * away +
    1.84408259 * away ** 1.5 +
    -11.7866497 * away ** 3 +
    22.6807411 * away ** 3.5 +
    -15.9618719 * away ** 4 +
    1.80122502 * away ** 7.5
  return 22064 * Math.exp((647.096 / kelvin) * powers)
}

/** The label's time, lengthened for this joint and this bay. Throws Refused outside VALIDITY.
 * @param {object} wait
 * @param {number} wait.label minutes on the label
 * @param {"open"|"tacky"|"set"|"full"} wait.clock an open time is never lengthened; tacky counts no path
 * @param {number} wait.labelTemperature @param {number} wait.labelHumidity
 * @param {number} wait.bayTemperature @param {number} wait.bayHumidity
 * @param {number|null} [wait.labelPath] mm the label's time holds for
 * @param {number|null} [wait.path] mm the moisture must travel here
 * @returns {{minutes: number, pathFactor: number, vapourFactor: number, working: string[], cautions: string[],
 *   source: string, validity: string}} */
export function stretched({
  label, clock, labelTemperature, labelHumidity, bayTemperature, bayHumidity, labelPath = null, path = null,
}) {
  sensible(label, LONGEST, "min", "the label's time")
  if (labelPath !== null) sensible(labelPath, WIDEST, "mm", "the label's bead")
  if (path !== null) sensible(path, WIDEST, "mm", "the path")
  const labelAir = air(labelTemperature, labelHumidity, "on the label")
  const bayAir = air(bayTemperature, bayHumidity, "in the bay")
  const labelVapour = vapour(labelAir)
  const bayVapour = vapour(bayAir)

  const at = labelPath === null ? "" : `, ${mm(labelPath)} path`
  const working = [`Label: ${time(label)} at ${airText(labelAir)}${at}`, `Bay: ${airText(bayAir)}`]
  const answer = { minutes: label, pathFactor: 1, vapourFactor: 1, working, cautions: [], source: SOURCE, validity: VALIDITY }
  if (clock === "open") {
    working.push(`An open time is never lengthened: ${time(label)}`)
    if (bayTemperature > labelTemperature || bayVapour > labelVapour) answer.cautions.push(SKINS_SOONER)
    return answer
  }

  answer.cautions.push(LABEL_WINS)
  if (clock !== "tacky" && path !== null) {
    if (labelPath === null) answer.cautions.push(NO_PATH)
    else {
      answer.pathFactor = Math.max(1, (path / labelPath) ** 2)
      working.push(pathLine(path, labelPath, answer.pathFactor))
    }
    if (path > DEEPEST) answer.cautions.push(DEEP)
  }
  answer.vapourFactor = Math.max(1, labelVapour / bayVapour)
  working.push(vapourLine(labelVapour, bayVapour, answer.vapourFactor))
  if (bayTemperature < labelTemperature) answer.cautions.push(COLD)

  answer.minutes = label * answer.pathFactor * answer.vapourFactor
  const factors = [answer.pathFactor, answer.vapourFactor].filter((factor) => factor > 1).map((factor) => ` × ${figures(factor)}`)
  working.push(
    factors.length
      ? `${time(label)}${factors.join("")} = ${time(answer.minutes, label)} (${clockText(answer.minutes)})`
      : `The label's time stands: ${time(label)}`,
  )
  return answer
}

function air(celsius, percent, where) {
  if (!Number.isFinite(celsius) || !Number.isFinite(percent))
    throw new Refused(
      `temperature or humidity ${where} is no number`,
      "the wait is worked out from both",
      "Read thermometer and hygrometer again",
    )
  if (celsius < COLDEST - BIT)
    throw new Refused(
      `below ${COLDEST} °C ${where}`,
      "so cold, sealants cure unpredictably or not at all",
      "Warm the bay and the parts, then start the clock",
    )
  if (celsius > HOTTEST + BIT)
    throw new Refused(
      `above ${HOTTEST} °C ${where}`,
      "labels are not tested so hot",
      "Let the parts cool, or ask the maker of the sealant",
    )
  if (!(percent >= DRIEST - BIT && percent <= 100 + BIT))
    throw new Refused(
      `a humidity outside ${DRIEST}–100 % ${where}`,
      "air holds more than none and no more than all the water it can",
      "Give the humidity as a hygrometer shows it, from 1 to 100 %",
    )
  return { celsius, percent }
}

function sensible(value, most, unit, name) {
  if (!(value > 0 && value <= most))
    throw new Refused(
      `${name} is not between 0 and ${most} ${unit}`,
      "the wait is worked out from it",
      "Read it off the label again",
    )
}

const vapour = ({ celsius, percent }) => (Math.min(percent, 100) / 100) * saturationPressure(celsius)

const airText = ({ celsius, percent }) =>
  `${places(celsius, 1)} °C / ${places(celsius * 1.8 + 32, 0)} °F and ${places(percent, 1)} % humidity`

function pathLine(now, was, factor) {
  if (factor > 1) return `Path ${mm(now)}: (${places(now, 2)}/${places(was, 2)})² = ${figures(factor)} times as long`
  return `Path ${mm(now)}: no longer than the label's, nothing is taken off`
}

function vapourLine(label, bay, factor) {
  const both = `Water vapour: ${figures(label, 3)} kPa on the label, ${figures(bay, 3)} kPa in the bay`
  if (factor > 1) return `${both}: ${figures(factor)} times as long`
  return `${both}: no less than on the label, nothing is taken off`
}

const mm = (value) => `${places(value, 2)} mm / ${places(value / 25.4, 2)} in`

/** A number with at most so many decimals. */
function places(value, count) {
  const fixed = value.toFixed(count)
  const text = fixed.includes(".") ? fixed.replace(/\.?0+$/, "") : fixed
  return text === "-0" ? "0" : text.replace("-", "−")
}

/** A number with so many figures, or all of its whole part. */
const figures = (value, count = 4) => places(value, Math.max(0, count - 1 - Math.floor(Math.log10(value))))

/** Minutes as text, in hours from two hours up (or in the unit of another time); rounded up. */
function time(minutes, like = minutes) {
  if (like < 120) return `${Math.ceil(minutes - BIT)} min`
  return `${places(Math.ceil(minutes / 6 - BIT) / 10, 1)} h`
}

/** Minutes as days, hours and minutes; rounded up to the minute. */
export function clockText(minutes) {
  const whole = Math.ceil(minutes - BIT)
  const parts = [[Math.floor(whole / 1440), "d"], [Math.floor(whole / 60) % 24, "h"], [whole % 60, "min"]]
  return parts.filter(([count]) => count).map((part) => part.join(" ")).join(" ")
}
