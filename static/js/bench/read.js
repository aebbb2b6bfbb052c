/** What is typed for a figure, read as webapp/pack/amounts.py and webapp/figures.py read it, in the same words.
 *
 * Left to the server: a second amount in brackets, and which word was meant by a misspelt one. Both are asked back. */
import { convert } from "../units.js"
import { KNOWN, Refused, join, number, span, unitsOf } from "./say.js"

/** A text that cannot be read: what, why, what to write. */
class Unclear extends Refused {}
const no = (what, why, write) => { throw new Unclear(what, why, write) }

// Spellings ---------------------------------------------------------------------------------------------------------

const across = (...lists) => lists.reduce((heads, list) => heads.flatMap((head) => list.map((tail) => head + tail)), [""])
const list = (text) => text.split("|")
const SYMBOLS = new Map([...KNOWN.keys()].filter((unit) => !["rpm", "mph", "psi"].includes(unit)).map((unit) => [unit, unit]))
const WORDS = new Map()
const FIELD_ONLY = new Map([["in.", "in"], ["ft.", "ft"], ["C", "°C"], ["F", "°F"]])
const put = (map, unit, spellings) => spellings.forEach((spelling) => map.set(spelling, unit))
const DOTS = list("·|| |-|*|.")
for (const prefix of ["", "c", "m"]) put(SYMBOLS, `${prefix}N·m`, across([`${prefix}N`], DOTS, ["m"]))
for (const size of ["m", "cm"]) put(SYMBOLS, `kgf·${size}`, across(["kgf", "kg", "kp"], DOTS, [size]))
for (const text of [
  "kgf·m|mkp|mkg", "µm|μm", "L|l", "mL|ml|cm³|cm3|cc", "L/min|l/min", "°C|degC|deg C|° C|℃", "°F|degF|deg F|° F|℉",
  "kgf/cm²|kgf/cm2|kg/cm²|kg/cm2", "rpm|r/min|1/min|min⁻¹", 'in|"',
]) put(SYMBOLS, list(text)[0], list(text).slice(1))
for (const [unit, names] of [["ft", ["ft", "foot", "feet"]], ["in", ["in", "inch", "inches"]]]) {
  const forces = list("lbf|lb|lbs|pound-force|pound|pounds")
  const joints = list("·|-| |.|. |.-|*|")
  put(WORDS, `lbf·${unit}`, [...across(names, joints, forces), ...across(forces, joints, names)])
}
const ounces = [["in", "inch"], list("·|-| |"), list("ozf|oz|ounce|ounces")]
put(WORDS, "ozf·in", [...across(...ounces), ...across(...ounces.reverse())])
put(WORDS, "N·m", across(["newton"], ["-", " "], list("metre|meter|metres|meters")))
for (const [unit, names] of Object.entries({ mm: ["milli"], cm: ["centi"], m: [""], km: ["kilo"] })) put(WORDS, unit, across(names, ["metre", "meter"], ["", "s"]))
for (const text of [
  "in|in|inch|inches", "ft|ft|foot|feet", "thou|thou", "mi|mile|miles", "s|sec|second|seconds", "min|min|mins|minute|minutes",
  "h|hr|hrs|hour|hours", "d|day|days", "wk|week|weeks", "°C|degrees c", "°F|degrees f", "L|litre|litres|liter|liters",
  "mL|millilitre|millilitres|milliliter|milliliters", "US gal/min|us gpm", "L/min|litres per minute|liters per minute",
  "psi|psi|psig|lbf/in²|pounds per square inch", "inHg|in hg", "mmHg|mm hg", "°|deg|degree|degrees",
  "kg|kilogram|kilograms|kilo|kilos", "g|gram|grams", "lb|lb|lbs|pound|pounds", "oz|oz|ounce|ounces", "V|volt|volts",
  "mV|millivolt|millivolts", "A|amp|amps|ampere|amperes", "Ω|ohm|ohms", "rpm|rpm|rev/min|revs/min|revolutions per minute",
  "mph|mph|miles per hour", "km/h|kph", "%|percent|per cent|pct", "hp|horsepower|bhp",
]) put(WORDS, list(text)[0], list(text).slice(1))
const DEGREES = list("degrees |degree |deg |°|° ")
put(WORDS, "°C", across(DEGREES, ["celsius", "centigrade"]))
put(WORDS, "°F", across(DEGREES, ["fahrenheit"]))
const MEASURES = { gal: list("gal|gallon|gallons"), qt: list("qt|quart|quarts"), pt: list("pt|pint|pints"), "fl oz": list("fl oz|fl. oz|fluid ounce|fluid ounces") }
const TWO_COUNTRIES = new Map()
for (const [measure, words] of Object.entries(MEASURES)) {
  put(TWO_COUNTRIES, measure, words)
  for (const [country, names] of [["US", list("us|u.s.")], ["imp", list("imp|imp.|imperial|uk")]])
    put(WORDS, `${country} ${measure}`, [...across(names, [" "], words), ...across(words, [" ("], names, [")"])])
}
put(TWO_COUNTRIES, "gal/min", list("gpm|gal/min|gallons per minute"))
const TURNS = { turn: 360, turns: 360, flat: 60, flats: 60 }
const MISSPELT = new Map()
put(MISSPELT, "N·m", list("nm|NM|nM|n·m|N/m"))
put(MISSPELT, "mN·m", list("MNm|MN·m|MN m|MN-m"))
for (const length of ["ft", "in"]) {
  put(MISSPELT, `lbf·${length}`, [...across([`${length}/`], list("lb|lbs|lbf|pounds")), ...across(list("lb|lbs|lbf"), [`/${length}`])])
}
put(MISSPELT, "kPa", list("kpa|KPA|KPa|Kpa"))
put(MISSPELT, "psi", ["psia"])
put(MISSPELT, "mm", ["MM"])

const oneOf = (...maps) => [...new Set(maps.flatMap((map) => [...map.keys()]))].sort((one, other) => other.length - one.length)
  .map((spelling) => spelling.replace(/[.*+?^${}()|[\]\\/]/g, "\\$&")).join("|")
const GAP = "(?: {0,2}|-)"
const END = "(?![A-Za-z0-9°·²³µΩ⁻]|[-/*^.][A-Za-z])"
const SYMBOL = new RegExp(`${GAP}(${oneOf(SYMBOLS, MISSPELT)})${END}`, "y")
const WORD = new RegExp(`${GAP}(${oneOf(WORDS, new Map(Object.entries(TURNS)), TWO_COUNTRIES)})${END}`, "y")
const FIELD_UNIT = new RegExp(`${GAP}(${oneOf(FIELD_ONLY)})(?![A-Za-z0-9])`, "y")

const match = (pattern, text, at) => {
  pattern.lastIndex = at
  return pattern.exec(text)
}
const ends = (found) => found.index + found[0].length

function unitAt(text, at) {
  const symbol = match(SYMBOL, text, at)
  const word = match(WORD, text.toLowerCase(), at)
  if (word && (!symbol || ends(word) > ends(symbol))) return { spelling: text.slice(ends(word) - word[1].length, ends(word)), end: ends(word) }
  const found = symbol ?? match(FIELD_UNIT, text, at)
  return found && { spelling: found[1], end: ends(found) }
}

/** The unit a spelling stands for; none for one that only asks or errs. */
export function known(spelling) {
  if (SYMBOLS.has(spelling)) return SYMBOLS.get(spelling)
  if (MISSPELT.has(spelling)) return null
  const word = spelling.toLowerCase()
  return word in TURNS ? "°" : (WORDS.get(word) ?? FIELD_ONLY.get(spelling) ?? null)
}

// The grammar -------------------------------------------------------------------------------------------------------

const SAME = [[/[\t\n\r\u00a0\u2002-\u200a\u202f\u3000]/g, " "], [/[\u2010\u2011\u2212]/g, "-"], [/[\u2044\u2215]/g, "/"],
  [/[\u22c5\u2219\u2022\u2027\u0387]/g, "·"], [/[\u2033\u201d]/g, '"'], [/[\u00ba\u02da]/g, "°"], [/\u2126/g, "Ω"]]
const level = (text) => SAME.reduce((whole, [every, same]) => whole.replace(every, same), text)
const VULGAR = { "½": [1, 2], "¼": [1, 4], "¾": [3, 4], "⅓": [1, 3], "⅔": [2, 3], "⅛": [1, 8], "⅜": [3, 8], "⅝": [5, 8], "⅞": [7, 8] }
const SIGNS = Object.keys(VULGAR).join("")
const NUMBER_TEXT = `[0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+ ?[${SIGNS}]|[${SIGNS}]|[0-9]+(?:[.,][0-9]+)*`
const NUMBER = new RegExp(NUMBER_TEXT, "y")
const A_NUMBER = new RegExp(`^(?:${NUMBER_TEXT})$`)
const SIGN = /[-–]/y
const OPERATOR = /( ?(?:±|\+\/-) ?)|(?: ?[-–] ?| to )([-–])?/y
const AND = / (?:and )?/y
const BEFORE = /(?:(at most|no more than|not more than|maximum|max\.?|≤|<=|up to|below|under|less than)|(at least|no less than|not less than|minimum|min\.?|≥|>=|above|over|more than)) ?/iy
const AFTER = / (?:(max\.?|maximum|at most|or less)|(minimum|at least|or more))(?!\w)/iy
const MINUTES = { wk: 10080, d: 1440, h: 60, min: 1, s: 1 / 60 }
const NAMES = {
  torque: "a torque", length: "a length", distance: "a distance", duration: "a length of time", temperature: "a temperature",
  "temperature-difference": "a difference of temperatures", volume: "a volume", flow: "a flow", pressure: "a pressure",
  angle: "an angle", mass: "a mass", voltage: "a voltage", current: "a current", resistance: "a resistance",
  speed: "a speed of rotation", "road-speed": "a road speed", share: "a share", power: "a power",
}
const EXAMPLES = {
  torque: "25 N·m", length: "3 mm", distance: "100 km", duration: "10 min", temperature: "50 °C",
  "temperature-difference": "10 °C", volume: "7.4 L", flow: "10 L/min", pressure: "100 kPa", angle: "90°", mass: "18 kg",
  voltage: "12.6 V", current: "10 A", resistance: "120 Ω", speed: "800 rpm", "road-speed": "50 km/h", share: "50 %", power: "15 kW",
}
const words = (text) => text.split(/\s+/).filter(Boolean).join(" ")
const short = (text) => (text.length <= 40 ? text : `${text.slice(0, 39)}…`)
const quoted = (text) => `“${short(words(text))}”`

function scan(text, at) {
  const sign = match(SIGN, text, at)
  const first = match(NUMBER, text, sign ? ends(sign) : at)
  if (!first) return null
  const one = (sign ? "-" : "") + first[0]
  const unit = unitAt(text, ends(first))
  const end = unit?.end ?? ends(first)
  const together = unit && known(unit.spelling) in MINUTES && sum(text, one, unit.spelling, end)
  if (together) return together
  const operator = match(OPERATOR, text, end)
  const second = operator && match(NUMBER, text, ends(operator))
  if (second) {
    const after = unitAt(text, ends(second))
    const band = operator[1] !== undefined
    const alike = unit && after && known(unit.spelling) && known(unit.spelling) === known(after.spelling)
    if ((after && (!unit || band || alike)) || (unit && band)) {
      const units = [unit, after].filter(Boolean).map(({ spelling }) => spelling)
      return { end: after?.end ?? ends(second), numbers: [one, (operator[2] ? "-" : "") + second[0]], units, operator: band ? "band" : "range" }
    }
  }
  return unit && { end, numbers: [one], units: [unit.spelling], operator: "" }
}

function sum(text, one, spelling, end) {
  const numbers = [one]
  const units = [spelling]
  for (let gap; (gap = match(AND, text, end)); ) {
    const more = match(NUMBER, text, ends(gap))
    const after = more && unitAt(text, ends(more))
    if (!after || !(MINUTES[known(after.spelling)] < MINUTES[known(units.at(-1))])) break
    numbers.push(more[0])
    units.push(after.spelling)
    end = after.end
  }
  return numbers.length > 1 && { end, numbers, units, operator: "sum" }
}

/** The amount a field holds: kind, form, low, high, nominal, unit, written. @param {string|null} kind null: any */
export function read(text, kind) {
  text = text.trim()
  if (text.length > 200) no(`${quoted(text)} is ${text.length} characters long`, "an amount is a number and its unit, nothing more", EXAMPLES[kind ?? "torque"])
  if (/\p{L}\.$/u.test(text)) text = text.slice(0, -1)
  const same = level(text)
  const before = match(BEFORE, same, 0)
  const start = before ? ends(before) : 0
  const tokens = scan(same, start)
  if (!tokens) noAmount(same.slice(start), kind, text)
  const after = before ? null : match(AFTER, same, tokens.end)
  const bound = before ?? after
  tokens.bound = bound && (bound[1] ? "most" : "least")
  if (after) tokens.end = ends(after)
  const amount = judge(tokens, kind, words(text.slice(0, tokens.end)))
  if (tokens.end < same.length)
    no(`after “${short(text.slice(0, tokens.end).trim())}” stands “${short(text.slice(tokens.end).trim())}”`, "one field holds one amount; what follows it would be lost", amount.written)
  return amount
}

function noAmount(rest, kind, text) {
  const example = EXAMPLES[kind ?? "torque"]
  rest = rest.trim()
  if (rest.startsWith("+")) no(`${quoted(text)} begins with a plus sign`, "it may mean so much, or so much more", short(rest.slice(1).trim()) || example)
  rest = rest.replace(/^[-–]+/, "")
  if (rest.startsWith(".")) no(`${quoted(text)} begins with its decimal point`, "a point without a figure before it is lost under one drop of oil", `0${short(rest)}`)
  const found = match(NUMBER, rest, 0)
  if (!found) no(`${quoted(text)} is not a number and a unit`, "a figure that cannot be read cannot be followed", example)
  const after = rest.slice(ends(found)).trim()
  if (/^e\d/i.test(after)) no(`${quoted(text)} is written with an exponent`, "nobody reads one with greasy hands, and a slip in it is a factor of ten", `the number in full, as in ${example}`)
  valueOf(found[0], kind, "")
  if (!/\p{L}/u.test(after)) no(`${quoted(text)} has no unit`, "a bare number is read in whatever unit the reader is used to", join(after ? `${found[0]} ${after}` : found[0], example.replace(/^[\d. ]+/, "")))
  no(`“${short(after)}” is not a unit Droplight knows`, "a unit that is guessed is a figure that is guessed", kind ? `one of ${unitsOf(kind).join(", ")}` : `a unit as in ${EXAMPLES.torque}`)
}

function judge(tokens, kind, text) {
  if (tokens.bound && ["range", "band"].includes(tokens.operator)) no(`${quoted(text)} is a bound and a range at once`, "nobody can tell which end counts", "either the range, or the bound alone")
  const percent = tokens.operator === "band" && tokens.units.length === 2 && tokens.units[1] === "%" && tokens.units[0] !== "%"
  const spelled = percent ? tokens.units.slice(0, 1) : tokens.units
  const units = spelled.map((spelling) => unitOf(spelling, kind, tokens.numbers, text))
  let unit = units.at(-1)
  kind ??= KNOWN.get(unit).kind
  if (tokens.operator !== "sum" && new Set(units).size > 1) no(`${quoted(text)} has two units for one amount`, "the two numbers are not of one measure", `both numbers in ${units[0]}`)
  const turn = spelled.at(-1).toLowerCase()
  const [scale, shown] = turn in TURNS ? [TURNS[turn], turn] : [1, unit]
  const values = tokens.numbers.map((word) => scale * valueOf(word, kind, unit))
  for (const value of values) check(value, kind, unit, text)
  const said = tokens.numbers.map((word) => word.replace(/^-/, "−"))
  const amount = (form, low, high, nominal, written) => ({ kind, form, low, high, nominal, unit, written })
  if (tokens.operator === "range") {
    const [low, high] = values
    if (low >= high)
      no(`${quoted(text)} runs from ${said[0]} to ${said[1]}`, "a range is written from its least to its most; one of the two may be a slip", low > high ? span(said[1], said[0], shown) : join(said[0], shown))
    return amount("range", low, high, null, span(said[0], said[1], shown))
  }
  if (tokens.operator === "band") {
    const [middle, printed] = values
    const band = percent ? (middle * printed) / 100 : printed
    if (band <= 0 || (band > middle && kind !== "temperature"))
      no(`${quoted(text)} has a tolerance of ${band <= 0 ? "nothing" : "more than the figure"}`, "no work can be held to it", `${join(said[0], shown)} alone, or with the tolerance that its source prints`)
    return amount("tolerance", middle - band, middle + band, middle, percent ? `${join(said[0], shown)} ± ${said[1]} %` : join(said.join(" ± "), shown))
  }
  let [value] = values
  let written = join(said[0], shown)
  if (tokens.operator === "sum") {
    value = total(values, units, text)
    written = said.map((word, index) => join(word, units[index])).join(" ")
    unit = "min"
  }
  if (tokens.bound === "most") return amount("at-most", null, value, null, `at most ${written}`)
  if (tokens.bound === "least") return amount("at-least", value, null, null, `at least ${written}`)
  return amount("figure", value, value, value, written)
}

function unitOf(spelling, kind, numbers, text) {
  const shown = numbers.join("–")
  if (kind === "torque" && /^(?:lbs?|pounds?)\.?$/i.test(spelling)) no(`“${words(text)}” may be lbf·ft or lbf·in`, "the two differ by a factor of twelve: the bolt stays loose or breaks", `${shown} lbf·ft, or ${shown} lbf·in, whichever the source prints`)
  if (MISSPELT.has(spelling) && !SYMBOLS.has(spelling))
    no(`“${spelling}” is not a unit Droplight knows; did you mean ${MISSPELT.get(spelling)}?`,
      spelling.startsWith("MN") ? "M is a million and m a thousandth: a slip of case is a factor of a thousand million" : "a unit that is guessed is a figure that is guessed",
      join(shown, MISSPELT.get(spelling)))
  const unit = known(spelling)
  if (!unit) {
    const measure = TWO_COUNTRIES.get(spelling.toLowerCase())
    no(`“${text}” may be of the United States or imperial`, "an imperial gallon is a fifth larger, an imperial fluid ounce a little smaller", `${shown} US ${measure}, or ${shown} imp ${measure}`)
  }
  const own = KNOWN.get(unit).kind
  if (!kind || own === kind || (own === "temperature" && kind === "temperature-difference")) return unit
  return no(`“${text}” is ${NAMES[own]}; here stands ${NAMES[kind]}`, "the two cannot be compared, so one of number, unit and field is a slip", `one of ${unitsOf(kind).join(", ")}, as in ${EXAMPLES[kind]}`)
}

function valueOf(text, kind, unit) {
  const bare = text.replace(/^-+/, "")
  if (bare !== text && kind !== "temperature")
    no(`“${text.replaceAll("-", "−")}” is below nought`, "only temperatures go below nought here; a dash before a number may be a slip", join(bare, unit))
  if (bare.includes(",")) comma(bare, kind, unit)
  const digits = (bare.match(/\d+/g) ?? []).map((part) => part.length)
  if (bare.split(".").length > 2) no(`“${short(bare)}” has more than one decimal point`, "it is no number", "25.5")
  if (digits[0] > 7 || digits.slice(1).some((count) => count > 6)) no(`“${short(bare)}” has too many figures`, "no figure at a vehicle has more than 7 before its point or 6 after it", "the figure as a gauge or wrench would show it")
  const sign = bare === text ? 1 : -1
  let whole, top, bottom
  if (VULGAR[bare.at(-1)]) {
    [top, bottom] = VULGAR[bare.at(-1)]
    whole = bare.slice(0, -1).trim() || "0"
  } else if (bare.includes("/")) {
    const parts = bare.replaceAll("-", " ").split(" ");
    [top, bottom] = parts.pop().split("/").map(Number)
    whole = parts[0] ?? "0"
  } else return sign * Number(bare)
  if (kind && !["length", "distance", "duration", "volume", "angle", "mass"].includes(kind))
    no(`“${bare}” is a fraction`, `no scale of ${NAMES[kind].replace(/^\w+ /, "")} is marked in fractions; it may be two figures`, "a decimal number, or each figure with its unit")
  if (![2, 3, 4, 5, 6, 8, 10, 12, 16, 32, 64].includes(bottom) || (whole !== "0" && top >= bottom))
    no(`“${bare}” is not a fraction of the trade`, "rules and drills are marked in halves down to sixty-fourths; this may be two figures", "a fraction such as 9/16 or 1-5/32, or a decimal number")
  return sign * (Number(whole) + top / bottom)
}

function comma(text, kind, unit) {
  const joined = text.replaceAll(",", "")
  const pointed = text.replaceAll(",", ".")
  if (pointed.split(".").length > 2) no(`“${short(text)}” has commas in its number`, "a comma parts thousands for some readers and decimals for others", short(join(joined, unit)))
  const places = text.length - text.indexOf(",") - 1
  const times = { 1: "ten", 2: "a hundred", 3: "a thousand" }[places] ?? `10 to the power ${places}`
  no(`“${short(join(text, unit))}” may be ${short(pointed)} or ${short(joined)}`, `the wrong guess is ${times} times the ${kind === "torque" ? "torque, and the thread goes with it" : "amount"}`,
    short(join(places === 3 && text[0] !== "0" ? joined : pointed, unit)))
}

function check(value, kind, unit, text) {
  if (["torque", "length", "angle"].includes(kind) && value <= 0) no(`“${text}” is ${NAMES[kind]} of nought`, "it asks for nothing to be done", EXAMPLES[kind])
  if (kind === "temperature" && convert(value, unit, "°C") < -273.15) no(`“${text}” is below absolute zero`, "nothing is that cold", EXAMPLES[kind])
}

function total(values, units, text) {
  return values.reduce((minutes, value, index) => {
    if (index && value * MINUTES[units[index]] >= MINUTES[units[index - 1]])
      no(`“${text}” holds a whole ${units[index - 1]} in its ${units[index]}`, "one of the two numbers may be a slip", "1 h 30 min")
    return minutes + value * MINUTES[units[index]]
  }, 0)
}

// One field ---------------------------------------------------------------------------------------------------------

function quantity(ask, text) {
  const same = level(text)
  const nought = /^0(?:\.0{1,6})? ?(.+)$/.exec(same)
  const unit = nought && known(nought[1].trim())
  if (unit && unitsOf(ask.kind).includes(unit)) return { value: 0, unit }
  let amount
  try {
    amount = read(text, ask.kind)
  } catch (unclear) {
    if (!(unclear instanceof Unclear) || /[\p{L}%°"″'′Ω]/u.test(same)) throw unclear
    const units = unitsOf(ask.kind)
    if (same.includes(",")) no(unclear.what.replace(" ”", "”"), unclear.why, `${unclear.write.trim()} and its unit: ${units.join(", ")}`)
    no(`“${short(words(text))}” has no unit`, "a bare number is read in whatever unit the reader is used to", `${unclear.write}${units.length > 1 ? `; these units work: ${units.join(", ")}` : ""}`)
  }
  if (amount.form === "figure") return { value: amount.nominal, unit: amount.unit, kind: ask.kind }
  const is = { range: "a range", tolerance: "a figure with a tolerance" }[amount.form] ?? "a bound"
  const ends = [amount.nominal, amount.low, amount.high].filter((end) => end !== null).map((end) => `${number(end)} ${amount.unit}`)
  return no(`“${short(words(amount.written))}” is ${is}`, "one figure is asked with here, and the answer would be another at each end",
    amount.form === "range" ? `${ends[0]}, and once more ${ends[1]}` : `${ends[0]} alone`)
}

function plainNumber(ask, text) {
  const same = level(text).replaceAll("–", "-")
  const bare = same.replace(/^-/, "").trim()
  if (!A_NUMBER.test(bare)) no(`“${short(words(text))}” is not a plain number`, "here stands a number without a unit", example(ask))
  if (bare.includes(",")) {
    const parts = bare.split(",")
    const [pointed, joined] = [parts.join("."), parts.join("")]
    const plain = parts.length === 2 && !bare.includes(".")
    no(plain ? `“${short(words(text))}” may be ${short(pointed)} or ${short(joined)}` : `“${short(words(text))}” has commas in its number`,
      "a comma parts thousands for some readers and decimals for others",
      short(plain && (parts[1].length !== 3 || parts[0] === "0") ? pointed : joined))
  }
  if (bare.split(".").length > 2) no(`“${short(words(text))}” has more than one decimal point`, "it is no number", example(ask))
  if (bare.match(/\d+/g)?.some((part) => part.length > 9))
    no(`“${short(words(text))}” has too many figures`, "no number at a vehicle has more than 9 before its point or after it", "the number as you would say it")
  return (same.startsWith("-") ? -1 : 1) * (/[^\d.]/.test(bare) ? valueOf(bare, "length", "in") : Number(bare))
}

function choice(ask, text) {
  const same = words(text).toLowerCase()
  return ask.choices.find((one) => one.toLowerCase() === same) ??
    no(`“${short(words(text))}” is none of the choices`, "the answer is another one for each of them", example(ask))
}

const example = (ask) => (ask.kind === "choice" ? `one of ${ask.choices.join(", ")}` : ask.example)

function one(ask, text) {
  text = text.trim()
  if (text.length > 200) no(`what is written here is ${text.length} characters long`, "this field holds a word or a number", example(ask))
  if (ask.kind === "choice") return choice(ask, text)
  if (ask.kind === "number") return plainNumber(ask, text)
  return ask.kind === "amount" ? read(text, null) : quantity(ask, text)
}

/** What a text means for an ask: {name, kind, required, many, example, choices}. Throws Refused. */
export function value(ask, text) {
  if (!text.trim()) return ask.required ? no("nothing is written here", "the answer needs it", example(ask)) : undefined
  if (!ask.many) return one(ask, text)
  const parts = text.trim().replace(/;$/, "").split(";")
  if (parts.length > 50) no(`the list has ${parts.length} entries`, "more than 50 of one thing are not laid out on a bench", "no more than 50")
  if (!parts.every((part) => part.trim())) no("a place in the list is empty", "what follows it would be taken for what stands before it", example(ask))
  return parts.map((part) => one(ask, part))
}
