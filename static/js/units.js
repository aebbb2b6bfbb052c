/** Readings on the phone: the number a thumb typed, its unit, and whether it lies in its range.
 *
 * The factors are those of webapp/trade/units.py; both are held to tests/vectors/amounts.json. */

/** Unit: [kind, factor, offset]: number × factor + offset is the number in the first unit of its kind.
 * @type {Record<string, [string, number, number?]>} */
export const UNITS = {
  "N·m": ["torque", 1],
  "cN·m": ["torque", 0.01],
  "mN·m": ["torque", 0.001],
  "lbf·ft": ["torque", 1.3558179483314003],
  "lbf·in": ["torque", 0.1129848290276167],
  "ozf·in": ["torque", 0.007061551814226044],
  "kgf·m": ["torque", 9.80665],
  "kgf·cm": ["torque", 0.0980665],
  "mm": ["length", 1],
  "µm": ["length", 0.001],
  "cm": ["length", 10],
  "m": ["length", 1000],
  "in": ["length", 25.4],
  "thou": ["length", 0.0254],
  "ft": ["length", 304.8],
  "km": ["distance", 1],
  "mi": ["distance", 1.609344],
  "min": ["duration", 1],
  "s": ["duration", 1 / 60],
  "h": ["duration", 60],
  "d": ["duration", 1440],
  "wk": ["duration", 10080],
  "°C": ["temperature", 1],
  "°F": ["temperature", 5 / 9, -160 / 9],
  "L": ["volume", 1],
  "mL": ["volume", 0.001],
  "US fl oz": ["volume", 0.0295735295625],
  "US pt": ["volume", 0.473176473],
  "US qt": ["volume", 0.946352946],
  "US gal": ["volume", 3.785411784],
  "imp fl oz": ["volume", 0.0284130625],
  "imp pt": ["volume", 0.56826125],
  "imp qt": ["volume", 1.1365225],
  "imp gal": ["volume", 4.54609],
  "L/min": ["flow", 1],
  "mL/min": ["flow", 0.001],
  "US qt/min": ["flow", 0.946352946],
  "US gal/min": ["flow", 3.785411784],
  "kPa": ["pressure", 1],
  "Pa": ["pressure", 0.001],
  "hPa": ["pressure", 0.1],
  "mbar": ["pressure", 0.1],
  "bar": ["pressure", 100],
  "MPa": ["pressure", 1000],
  "psi": ["pressure", 6.894757293168361],
  "inHg": ["pressure", 3.386388640341],
  "mmHg": ["pressure", 0.133322387415],
  "kgf/cm²": ["pressure", 98.0665],
  "°": ["angle", 1],
  "kg": ["mass", 1],
  "g": ["mass", 0.001],
  "oz": ["mass", 0.028349523125],
  "lb": ["mass", 0.45359237],
  "V": ["voltage", 1],
  "mV": ["voltage", 0.001],
  "A": ["current", 1],
  "mA": ["current", 0.001],
  "Ω": ["resistance", 1],
  "kΩ": ["resistance", 1000],
  "rpm": ["speed", 1],
  "km/h": ["road-speed", 1],
  "mph": ["road-speed", 1.609344],
  "%": ["share", 1],
  "kW": ["power", 1],
  "W": ["power", 0.001],
  "hp": ["power", 0.7456998715822702],
  "PS": ["power", 0.73549875],
}

const DIFFERENCE = "temperature-difference"

/** The number in another unit of the same kind; a difference of temperatures has no offset.
 * @param {number} value @param {string} from @param {string} to @param {string} [kind]
 * @returns {number} @throws {RangeError} for units of two kinds */
export function convert(value, from, to, kind = UNITS[from]?.[0]) {
  if (from === to) return value
  const [mine, factor, offset = 0] = UNITS[from] ?? []
  const [theirs, divisor, shift = 0] = UNITS[to] ?? []
  if (!mine || mine !== theirs) throw new RangeError(`${from} and ${to} do not measure the same`)
  if (kind === DIFFERENCE) return (value * factor) / divisor
  return (value * factor + offset - shift) / divisor
}

/** How a reading lies in its range. What lies on the edge is in.
 * @param {number} value @param {string} unit the reading's own
 * @param {{kind?: string, low: number|null, high: number|null, unit: string}} range as the compiled pack has it
 * @returns {"in"|"low"|"high"} */
export function judge(value, unit, range) {
  const here = convert(value, unit, range.unit, range.kind)
  const bit = 1e-9 * Math.max(1, Math.abs(here))
  if (range.low !== null && here < range.low - bit) return "low"
  if (range.high !== null && here > range.high + bit) return "high"
  return "in"
}

/** The number a thumb typed, with point or comma, or a fraction of the trade: 25.5, 25,5, −5, 9/16, 1 1/2.
 *
 * A comma that may part thousands is asked back: 1,234 is 1.234 or 1234.
 * @param {string} text
 * @returns {{value: number|null, ask: number[]}} value null: nothing readable; ask: what it may have meant */
export function readNumber(text) {
  const none = { value: null, ask: [] }
  const typed = text.replace(/[\u2010-\u2013\u2212]/g, "-").replace(/\s+/g, " ").trim()
  const fraction = /^(?:(\d{1,4})[ -])?(\d{1,3})\/(\d{1,3})$/.exec(typed)
  if (fraction) {
    const [, whole = "0", top, bottom] = fraction
    if (+bottom === 0 || (fraction[1] && +top >= +bottom)) return none
    return { value: +whole + top / bottom, ask: [] }
  }
  if (!/^-?(?:\d{1,9}|(?=[.,]))(?:[.,]\d{1,9})*$/.test(typed) || typed.length > 24) return none
  const marks = typed.replace(/[-\d]/g, "")
  if (marks === "" || marks === ".") return { value: +typed, ask: [] }
  const grouped = /^-?[1-9]\d{0,2}(?:,\d{3})+$/.test(typed)
  const pointed = +typed.replace(",", ".")
  if (marks === ",") return grouped ? { value: null, ask: [pointed, +typed.replace(",", "")] } : { value: pointed, ask: [] }
  return grouped ? { value: null, ask: [+typed.replaceAll(",", "")] } : none
}
