/** What to pour on the coolant that stayed behind: the same as fill of webapp/trade/fill.py, which names the sources. */
import { ALWAYS, STRONG } from "./coolant.js"
import { Refused, line, number, plain, said, to } from "./say.js"

const BIT = 1e-9
const LARGEST = 1000 // L
const SOURCE = "Volume balance: glycol in = glycol out. Pour rate: US Army TM 5-3805-263-14&P-3"
const VALIDITY =
  "Strengths by volume, 0–1000 L. Volumes are added; one litre of ethylene glycol and one of water mix to " +
  "1.98 L (density fit of CoolProp 8.0.0)"

const litres = (value) => said(value, "0.01")
const percent = (share) => `${said(100 * share)} %`
const up = (value) => litres(Math.ceil(value * 100 - BIT) / 100)

function shareOf(strength, name) {
  const value = strength.value / 100
  if (!(value >= -BIT && value <= 1 + BIT))
    throw new Refused(`the strength of ${name} is not between 0 and 100 %`, "a mix holds between none and nothing but coolant", "Give its share by volume")
  return Math.min(Math.max(value, 0), 1)
}

function system(capacity, part) {
  const [v, inside] = [to(capacity, "L"), to(part, "L")]
  if (!(v > 0 && v <= LARGEST)) throw new Refused(`a capacity of ${litres(v)} L is not between 0 and ${LARGEST} L`, "everything is worked out from it", "Take it from the maker's data")
  if (!(inside >= -BIT && inside <= v * (1 + BIT)))
    throw new Refused(`${litres(inside)} L is not between nothing and the ${litres(v)} L of the system`, "no more can stay in it or come out of it than it holds", "Measure again: capacity less what came out is what stayed")
  return [v, Math.min(Math.max(inside, 0), v)]
}

/** How much coolant and how much water: C = (f·V − r·R) / p, water = V − R − C. */
export function fill({ capacity, stayed, stayed_strength, target, poured, jug }) {
  const [v, left] = system(capacity, stayed)
  const [r, f] = [shareOf(stayed_strength, "what stayed"), shareOf(target, "the target")]
  const p = poured ? shareOf(poured, "what is poured") : 1
  const room = v - left
  if (room < BIT) throw new Refused("the system is full", "nothing can be poured into it", "Drain first, or correct the filled system by swapping some of it")
  if (p === 0) throw new Refused("water is poured for coolant", "it brings no glycol", "Give the strength in the jug")
  let coolant = (f * v - r * left) / p
  if (coolant < -BIT * v)
    throw new Refused("what stayed is too strong", `even filled up with water the mix would be ${percent((r * left) / v)}, above ${percent(f)}`, `Drain at least ${up(left - (f * v) / r)} L more, then fill up with water`)
  if (coolant > room + BIT * v) throw tooWeak(v, left, r, f, p)
  coolant = Math.min(Math.max(coolant, 0), room)
  const water = room - coolant
  const premix = p < 1 ? p : f
  const alone = (r * left + premix * room) / v
  const name = p === 1 ? "Concentrate" : `Coolant of ${percent(p)}`
  const volume = (label, value, way) => line(label, { value, unit: "L" }, "L", "volume", "0.01", way)
  const lines = [
    volume(name, coolant), volume("Water", water),
    line(`A premix of ${percent(premix)} alone would give`, { value: 100 * alone, unit: "%" }, "%", "share", "1"),
    line("Pour no faster than", { value: 19, unit: "L/min" }, "L/min", "flow", "1", "down"),
  ]
  const working = [
    `Room: ${litres(v)} − ${litres(left)} = ${litres(room)} L`,
    `Glycol wanted: ${percent(f)} of ${litres(v)} L = ${litres(f * v)} L`,
    `Glycol that stayed: ${percent(r)} of ${litres(left)} L = ${litres(r * left)} L`,
    `${name}: (${litres(f * v)} − ${litres(r * left)}) / ${said(p, "0.001")} = ${litres(coolant)} L`,
    `Water: ${litres(room)} − ${litres(coolant)} = ${litres(water)} L`,
    `${percent(premix)} alone: (${litres(r * left)} + ${percent(premix)} of ${litres(room)}) / ${litres(v)} = ${percent(alone)}`,
  ]
  if (jug) {
    const size = to(jug, "L")
    if (!(size >= 0.01 && size <= LARGEST)) throw new Refused("the jug has no size", "jugs are counted by it", "Give what one jug holds")
    const count = Math.max(0, Math.ceil(coolant / size - BIT))
    const spare = Math.max(0, count * size - coolant)
    lines.push(plain("Jugs", number(count)), volume("To spare", spare, "down"))
    working.push(`${litres(coolant)} / ${litres(size)} rounded up: ${count}; ${count} × ${litres(size)} − ${litres(coolant)} = ${litres(spare)} L`)
  }
  return { lines, working, source: SOURCE, validity: VALIDITY, cautions: 100 * f > 60 ? [STRONG, ...ALWAYS] : ALWAYS }
}

function tooWeak(v, left, r, f, p) {
  const best = percent((r * left + p * (v - left)) / v)
  if (p < f) return new Refused(`${percent(p)} is too weak to come to ${percent(f)}`, `filled up with it, the mix would be ${best}, and draining more does not help`, "Pour something stronger")
  const drain = left - (v * (p - f)) / (p - r)
  return new Refused("too much stayed behind", `filled up with ${percent(p)} and no water, the mix would be ${best}, below ${percent(f)}`, `Drain at least ${up(drain)} L more, then fill up with ${percent(p)} alone`)
}
