/** When coolant freezes and how strong it must be: the same as webapp/trade/{coolant,glycol}.py, which say where the
 * tables are printed. Between two rows a straight line is drawn; beyond the last row nothing is answered. */
import { Refused, line, plain, said, to } from "./say.js"

const BIT = 1e-9
export const STRONG = "Past about 60 to 68 % more glycol protects less: never top up with straight concentrate"
const LABEL_WINS = "The label of the coolant in hand wins: it is not pure glycol, and knows its own table"
const HOT = "Never open a hot system: what is held under pressure boils over at once"
const POISON = "Ethylene glycol tastes sweet and kills people and animals: catch it, close it, label it"
const TESTER =
  "A refractometer reads this on the scale of its own kind of glycol, the coolant near 20 °C or the tester " +
  "compensated (common practice, no source). A float tester misreads propylene: its density hardly changes"
const THIN = "Below about 30 % the additives protect too little against rust (US Army TM 5-3820-245-14&P)"
const ROWS_LINE = "Between two rows a straight line is drawn; with rows 10 % apart it may promise 0.5 °C too much"
const SHARE_SOURCE = "ASHRAE Handbook of Fundamentals: the same rows by volume and by mass"
const DENSITY_SOURCE = "ASHRAE Handbook of Fundamentals, density of aqueous glycol (values as CoolProp keeps them)"
/** What is minded whenever coolant is poured: webapp/trade/fill.py. */
export const ALWAYS = [
  LABEL_WINS,
  "Concentrate in the jug is not all glycol: if its label gives another share for a strength, use that",
  "Never mix two kinds of coolant: their additives spoil each other (common practice, no source)",
  "Use distilled or softened water (common practice, no source)",
  "Mixing shrinks the volume by about 1 %: top up with the same mix once it has run",
  HOT,
  POISON,
]

const pairs = (text) => {
  const all = text.split(" ").map(Number)
  return all.filter((_, index) => index % 2 === 0).map((value, index) => [value, all[2 * index + 1]])
}
/** Rows of % by volume and °C; by mass they are 0, 5, 10, 15 and 20 to 60 %. */
const ETHYLENE = pairs(
  "0 0 4.4 -1.4 8.9 -3.2 13.6 -5.4 18.1 -7.8 19.2 -8.4 20.1 -8.9 21 -9.5 22 -10.2 22.9 -10.7 23.9 -11.4 24.8 -12 25.8 -12.7 " +
  "26.7 -13.3 27.7 -14.1 28.7 -14.8 29.6 -15.4 30.6 -16.2 31.6 -17 32.6 -17.9 33.5 -18.6 34.5 -19.4 35.5 -20.3 36.5 -21.3 " +
  "37.5 -22.3 38.5 -23.2 39.5 -24.3 40.5 -25.3 41.5 -26.4 42.5 -27.5 43.5 -28.8 44.5 -29.8 45.5 -31.1 46.6 -32.6 47.6 -33.8 " +
  "48.6 -35.1 49.6 -36.4 50.6 -37.9 51.6 -39.3 52.7 -41.1 53.7 -42.6 54.7 -44.2 55.7 -45.6 56.8 -47.1 57.8 -48.3",
)
const PROPYLENE = pairs(
  "0 0 4.8 -1.6 9.6 -3.3 14.5 -5.1 19.4 -7.1 20.4 -7.6 21.4 -8 22.4 -8.6 23.4 -9.1 24.4 -9.6 25.3 -10.2 26.4 -10.8 27.4 -11.4 " +
  "28.4 -12 29.4 -12.7 30.4 -13.4 31.4 -14.1 32.4 -14.8 33.5 -15.6 34.4 -16.4 35.5 -17.3 36.5 -18.2 37.5 -19.1 38.5 -20.1 " +
  "39.6 -21.1 40.6 -22.1 41.6 -23.2 42.6 -24.3 43.7 -25.5 44.7 -26.7 45.7 -27.9 46.8 -29.3 47.8 -30.6 48.9 -32.1 49.9 -33.5 " +
  "50.9 -35 51.9 -36.6 53 -38.2 54 -39.8 55 -41.6 56 -43.3 57 -45.2 58 -47.1 59 -49 60 -51.1",
)
const MASS = [0, 5, 10, 15, ...Array.from({ length: 41 }, (_, index) => 20 + index)]
const SHARES = { ethylene: ETHYLENE, propylene: PROPYLENE }
const PRINTED = "ASHRAE Handbook of Fundamentals, freezing points of aqueous {} glycol (values as CoolProp keeps them)"
const MELINDER = "Å. Melinder, Properties of Secondary Working Fluids, IIR 2010 (as fitted by CoolProp 8.0.0)"
const TABLES = {
  ethylene: {
    ASHRAE: ["by volume", ETHYLENE, PRINTED.replace("{}", "ethylene")],
    Melinder: ["by mass", pairs("0 0 5 -1.58 10 -3.36 15 -5.44 20 -7.95 25 -10.97 30 -14.58 35 -18.84 40 -23.81 45 -29.52 50 -35.99 55 -43.22 60 -51.2"), MELINDER],
    "Army manual": ["by volume", pairs("30 -15 40 -22.78 50 -37.22 60 -51.11"), "US Army TM 5-3895-382-24, °F column"],
  },
  propylene: {
    ASHRAE: ["by volume", PROPYLENE, PRINTED.replace("{}", "propylene")],
    Melinder: ["by mass", pairs("0 -0.03 5 -1.21 10 -2.87 15 -4.87 20 -7.17 25 -9.79 30 -12.79 35 -16.32 40 -20.57 45 -25.77 50 -32.19 55 -40.16 60 -50"), MELINDER],
    Lange: ["by volume", pairs("5 -1.1 10 -2.2 15 -3.9 20 -6.7 25 -8.9 30 -12.8 35 -16.1 40 -20.6 45 -26.7 50 -33.3"), "Lange's Handbook of Chemistry, 15th ed., table 5.13"],
  },
}
/** kg/m³ at 20 and at 90 °C, of 10, 20, … 60 % by volume. */
const DENSITY = {
  ethylene: [[1013.34, 1029.72, 1045.25, 1059.68, 1073.35, 1086.27], [979.15, 993.59, 1007.09, 1019.44, 1030.95, 1041.65]],
  propylene: [[1008.13, 1019.01, 1028.35, 1036.24, 1042.87, 1048.25], [972.7, 979.25, 984.65, 988.95, 992.28, 994.63]],
}

function around(rows, x) {
  const upper = rows.findIndex((row, index) => index && row[0] >= x)
  const at = upper < 0 ? rows.length - 1 : upper
  return [rows[at - 1], rows[at]]
}

function between(rows, x) {
  const [[x0, y0], [x1, y1]] = around(rows, x)
  return y0 + ((Math.min(Math.max(x, rows[0][0]), rows.at(-1)[0]) - x0) / (x1 - x0)) * (y1 - y0)
}

function told(rows, x, basis, y) {
  const [[x0, y0], [x1, y1]] = around(rows, x)
  return `${said(x, "0.01")} % ${basis} lies between ${said(x0)} % (${said(y0, "0.01")} °C) and ${said(x1)} % (${said(y1, "0.01")} °C): ` +
    `${said((x - x0) / (x1 - x0), "0.01")} of the way, ${said(y, "0.01")} °C`
}

function percentOf({ value }) {
  if (!(value >= -BIT && value <= 100 + BIT))
    throw new Refused(`${said(value)} % is no strength`, "a mix holds between none and nothing but glycol", "Give the share of glycol from 0 to 100 %")
  return Math.min(Math.max(value, 0), 100)
}

const other = (basis) => (basis === "by volume" ? "by mass" : "by volume")
const lastOf = (kind, basis) => (basis === "by volume" ? SHARES[kind].at(-1)[0] : 60)

function beyond(percent, basis, last, kind) {
  const melts = kind === "ethylene" ? ", and nothing but glycol is solid at −12.9 °C" : ""
  return new Refused(`${said(percent)} % ${basis} is beyond the table, which ends at ${said(last)} %`, `past about 60 to 68 % more glycol protects less${melts}`, `Mix no stronger than ${said(last)} %`)
}

function shared(percent, kind, basis, wanted) {
  if (basis === wanted) return percent
  if (percent > lastOf(kind, basis) + BIT) throw beyond(percent, basis, lastOf(kind, basis), kind)
  return between(SHARES[kind].map(([volume], index) => (basis === "by volume" ? [volume, MASS[index]] : [MASS[index], volume])), percent)
}

function tableOf(kind, name) {
  const chosen = TABLES[kind][name]
  if (!chosen) throw new Refused(`${name} has no table of ${kind} glycol here`, "the two kinds freeze differently", `Choose ${Object.keys(TABLES[kind]).join(" or ")}`)
  return chosen
}

/** % on the table's own basis, and °C. */
function freezing(percent, kind, basis, table) {
  const [own, rows] = tableOf(kind, table)
  const within = shared(percent, kind, basis, own)
  const [first, last] = [rows[0][0], rows.at(-1)[0]]
  if (within > last + BIT) throw beyond(within, own, last, kind)
  if (within < first - BIT) throw new Refused(`the ${table} table begins at ${said(first)} % ${own}`, `${said(within)} % is weaker than its first row`, "Choose the ASHRAE table, which begins with water")
  return { within, celsius: between(rows, within) }
}

const converted = (percent, basis, within, own) => `${said(percent)} % ${basis} is ${said(within)} % ${own} (${SHARE_SOURCE})`
const share = (label, value, step, way) => line(label, { value, unit: "%" }, "%", "share", step, way)

/** When a mix begins to freeze. */
export function freeze({ kind, strength, basis, table }) {
  const [own, rows, source] = tableOf(kind, table)
  const percent = percentOf(strength)
  const { within, celsius } = freezing(percent, kind, basis, table)
  const lines = [line("Begins to freeze at", { value: celsius, unit: "°C" }, "°C", "temperature", "1", "up")]
  const working = [...(basis === own ? [] : [converted(percent, basis, within, own)]), told(rows, within, own, celsius)]
  const others = Object.keys(TABLES[kind]).filter((name) => name !== table).flatMap((name) => {
    try {
      return `${name} ${said(freezing(percent, kind, basis, name).celsius)} °C`
    } catch (refused) {
      if (refused instanceof Refused) return [] // the other table does not reach so far
      throw refused
    }
  })
  if (others.length) lines.push(plain("Other tables", others.join(", ")))
  if (percent <= lastOf(kind, basis) + BIT) {
    const same = shared(percent, kind, basis, other(basis))
    lines.push(share(`The same ${other(basis)}`, same, "0.1"))
    const volume = basis === "by volume" ? percent : same
    if (volume >= 10 && volume <= 60) {
      const [cold, hot] = DENSITY[kind].map((row) => between(row.map((heavy, index) => [10 * (index + 1), heavy]), volume))
      lines.push(plain("A litre at 20 °C weighs", `${said(cold / 1000, "0.001")} kg`), share("Grows from 20 to 90 °C by", (cold / hot - 1) * 100, "0.1"))
    }
  }
  const cautions = [...(percent < 30 ? [THIN] : []), LABEL_WINS, TESTER, STRONG, HOT, ...(kind === "ethylene" ? [POISON] : [])]
  const validity = `${said(rows[0][0])}–${said(rows.at(-1)[0])} % ${own}, pure ${kind} glycol in water. ${ROWS_LINE}`
  return { lines, working, source: `${source}. ${DENSITY_SOURCE}`, validity, cautions }
}

/** How strong a mix must be for a cold. */
export function protect({ kind, temperature, basis, table }) {
  const [own, printed, source] = tableOf(kind, table)
  const celsius = to(temperature, "°C")
  const rows = printed.map(([percent, point]) => [point, percent]).reverse()
  if (celsius >= 0) throw new Refused(`${said(celsius)} °C is no frost`, "water itself is safe down to 0 °C", "Give the coldest temperature the machine will stand in, below 0 °C")
  if (celsius < rows[0][0] - BIT)
    throw new Refused(`no mix of this table protects to ${said(celsius)} °C`, `the ${table} table ends at ${said(rows[0][0])} °C, and stronger mixes protect less`, "Keep the machine warmer, or ask the maker of the coolant")
  if (celsius > rows.at(-1)[0] + BIT)
    throw new Refused(`the ${table} table begins at ${said(rows.at(-1)[0])} °C`, `${said(celsius)} °C is warmer than its weakest mix`, "Choose the ASHRAE table, which begins with water")
  const percent = shared(between(rows, celsius), kind, own, basis)
  const within = shared(percent, kind, basis, own)
  const working = [told(printed, within, own, celsius), ...(basis === own ? [] : [converted(within, own, percent, basis)])]
  const cautions = [...(percent < 30 ? [THIN] : []), "Mix for some degrees colder than the coldest night", LABEL_WINS, STRONG, TESTER, ...(kind === "ethylene" ? [POISON] : [])]
  const validity = `0 to ${said(rows[0][0])} °C, pure ${kind} glycol in water. ${ROWS_LINE}`
  return { lines: [share(`Glycol ${basis}`, percent, "1", "up")], working, source, validity, cautions }
}
