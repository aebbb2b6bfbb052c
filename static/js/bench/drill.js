/** The drill nearest to a hole and how fast it turns: the same as webapp/trade/drills.py, which names the sources. */
import { Refused, figure, figures, line, number, plain, roundedTo, to, whole } from "./say.js"

const INCH = 25.4
const SLACK = 1e-6
const NUMBERS =
  "135 145 160 180 200 210 225 240 250 260 280 292 310 320 330 350 360 370 380 390 400 410 420 430 465 520 550 595 635 670 " +
  "700 730 760 785 810 820 860 890 935 960 980 995 1015 1040 1065 1100 1110 1130 1160 1200 1285 1360 1405 1440 1470 1495 " +
  "1520 1540 1570 1590 1610 1660 1695 1730 1770 1800 1820 1850 1890 1910 1935 1960 1990 2010 2040 2055 2090 2130 2210 2280"
const LETTERS = "234 238 242 246 250 257 261 266 272 277 281 290 295 302 316 323 332 339 348 358 368 377 386 397 404 413"
const FT = 0.3048
const SPEEDS = {
  "NAVEDTRA 14345": {
    aluminium: [200 * FT, 300 * FT], brass: [200 * FT, 300 * FT], "mild steel": [80 * FT, 110 * FT],
    "medium carbon steel": [70 * FT, 80 * FT], "cast iron": [70 * FT, 150 * FT], "stainless steel": [30 * FT, 40 * FT],
  },
  "shop rule": { aluminium: [60, 60], "mild steel": [25, 25], "cast iron": [20, 20], "stainless steel": [12, 12] },
}
const SOURCE =
  "Number and letter sizes: ASME B94.11M. Speed: n = v / (π·d), Machinery's Handbook. " +
  "Cutting speeds: the list named, NAVEDTRA 14345 or a shop rule from memory. " +
  "Half speed by hand and pilot steps: common practice, no source"
const VALIDITY =
  "Twist drills of high-speed or carbon steel, #80 to 1 3/4 in and 0.5 to 32 mm. " +
  "Not for hole saws, step drills, carbide or masonry drills"

const range = (count, make) => Array.from({ length: count }, (_, index) => make(index))
const named = (name, series, mm) => {
  const inches = `${number(roundedTo(mm / INCH, "0.0001"))} in`
  const both = series === "metric" ? inches : `${inches}, ${number(roundedTo(mm, "0.01"))} mm`
  return { name, mm, said: `${name} (${both})` }
}

function mixed(count) {
  let [over, under] = [count % 64, 64]
  while (over && over % 2 === 0) [over, under] = [over / 2, under / 2]
  return [Math.floor(count / 64), over && `${over}/${under}`].filter(Boolean).join(" ")
}

const SERIES = {
  fraction: () => range(112, (index) => named(`${mixed(index + 1)} in`, "fraction", ((index + 1) / 64) * INCH)),
  number: () => NUMBERS.split(" ").map((size, index) => named(`#${80 - index}`, "number", (size / 10000) * INCH)),
  letter: () => LETTERS.split(" ").map((size, index) => named(String.fromCharCode(65 + index), "letter", (size / 1000) * INCH)),
  metric: () => [...range(126, (step) => (5 + step) / 10), ...range(38, (step) => (27 + step) / 2)].map((size) => named(`${number(size)} mm`, "metric", size)),
}
const DRAWERS = { metric: ["metric"], inch: ["fraction", "number", "letter"], "inch fractions": ["fraction"], all: ["fraction", "number", "letter", "metric"] }

function drawer(name) {
  const bySize = new Map()
  for (const series of DRAWERS[name]) for (const drill of SERIES[series]()) {
    const size = drill.mm.toFixed(6)
    if (!bySize.has(size)) bySize.set(size, drill)
  }
  return [...bySize.values()].sort((one, other) => one.mm - other.mm)
}

function nearest(wanted, known, way = "nearest") {
  const [least, most] = [known[0], known.at(-1)]
  if (!(least.mm - SLACK <= wanted && wanted <= most.mm + SLACK))
    throw new Refused(`no drill for ${both(wanted)} in this drawer`, `it goes from ${least.said} to ${most.said}`, "Choose another drawer, or check the size")
  const above = known.findIndex((drill) => drill.mm >= wanted - SLACK)
  const below = known[above].mm <= wanted + SLACK ? above : above - 1
  const nearer = known[above].mm - wanted <= wanted - known[below].mm + SLACK ? above : below
  const at = way === "up" ? above : nearer
  return { drill: known[at], off: known[at].mm - wanted, smaller: known[at - 1], larger: known[at + 1] }
}

function pilots(size, known) {
  const steps = []
  while (size > 6 + SLACK) {
    const before = nearest(size / 2, known, "up").drill
    if (before.mm >= size - SLACK) break
    steps.unshift(before)
    size = before.mm
  }
  return steps
}

function offBy(mm) {
  const size = Math.abs(mm)
  if (size < 0.0005) return "nothing"
  const inches = number(roundedTo(size / INCH, "0.0001"))
  return `${number(roundedTo(size, size >= 0.01 ? "0.01" : "0.001"))} mm (${inches} in) ${mm > 0 ? "larger" : "smaller"}`
}

function both(mm) {
  if (mm > 1e6) return `${figures(mm, 3).toExponential().replace(/\+(\d)$/, "+0$1")} mm`
  return ["mm", "in"].map((unit, index) => figure({ value: mm, unit: "mm" }, unit, "length", ["0.001", "0.0001"][index]).written).join(" (") + ")"
}

/** Which drill of a drawer is nearest to a hole, how fast it turns, and what to drill first. */
export function drill({ diameter, drawer: name, material, speeds, tool = "high-speed steel", machine = "hand drill", fastest }) {
  const known = drawer(name)
  const hole = to(diameter, "mm")
  if (!(hole > 0)) throw new Refused("the diameter is no number above 0", "a hole has a width", "Measure again, in mm or in")
  const found = nearest(hole, known)
  const chosen = found.drill
  const cutting = SPEEDS[speeds][material]
  if (!cutting) {
    const holding = Object.keys(SPEEDS).find((list) => SPEEDS[list][material])
    throw new Refused(`the list “${speeds}” has no cutting speed for ${material}`, "a speed that is guessed burns the drill", `Take the list “${holding}”`)
  }
  const share = (tool === "carbon steel" ? 0.5 : 1) * (machine === "hand drill" ? 0.5 : 1)
  let rpm = cutting.map((rim) => share * ((rim * 1000) / (Math.PI * chosen.mm)))
  const cautions = ["Start slow and watch the chip: blue chips or a squeal mean slower"]
  if (fastest) {
    const most = to(fastest, "rpm")
    if (!(most > 0))
      throw new Refused("the machine's own speed is no number above 0", "no drill is turned faster than its machine goes", "Read it off the machine's plate, or leave it out")
    if (rpm[1] > most) cautions.push(`The machine turns ${whole(most)} rpm at most: the drill could take ${whole(rpm[1])}`)
    rpm = rpm.map((turns) => Math.min(turns, most))
  }
  const first = pilots(chosen.mm, known)
  const speed = (label, value) => line(label, { value, unit: "rpm" }, "rpm", "speed", value < 100 ? "1" : "10", "down")
  const lines = [plain("Drill", chosen.said), plain("Off by", offBy(found.off)), speed("Speed", rpm[0])]
  if (rpm[1] > rpm[0]) lines.push(speed("Speed at most", rpm[1]))
  lines.push(
    plain("Drill first", first.map((step) => step.name).join(", then ") || "a punch mark is enough"),
    plain("Next smaller", found.smaller?.said ?? "none in this drawer"),
    plain("Next larger", found.larger?.said ?? "none in this drawer"),
  )
  const turning = cutting.map((rim, index) => {
    const free = (rim * 1000) / (Math.PI * chosen.mm)
    const slowed = share === 1 ? "" : `, × ${number(share)} = ${whole(free * share)} rpm`
    const held = rpm[index] >= free * share * (1 - 1e-9) ? "" : `, held at ${whole(rpm[index])} rpm`
    return `1000 × ${number(figures(rim, 4))} m/min / (π × ${number(figures(chosen.mm, 4))} mm) = ${whole(free)} rpm${slowed}${held}`
  })
  const working = [
    `Hole ${both(hole)}, nearest of the drawer “${name}”: ${chosen.said}`,
    ...(cutting[0] === cutting[1] ? turning.slice(0, 1) : turning),
    "No step more than 2 times as wide as the hole before, the first at most 6 mm",
  ]
  return { lines, working, source: SOURCE, validity: VALIDITY, cautions }
}
