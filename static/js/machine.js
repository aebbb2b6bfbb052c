/** The machine at the vehicle, by what was really ticked. Pure: `Model.plain()`, the pack of pack.js and the state of
 * fold.js come in. With a time `now`, clocks that still run have not cured or cooled anything; without, none runs.
 *   Thing: {id, kind, name, words, since, fix}
 *   Unmet: {id, name, words, since, fix, rule, severity, danger, moment, what, do}
 * words: its state. since: the step that brought it, or null. fix: the step that puts it right, or null: see `do`.
 */
import { isOver, standing } from "./clocks.js"
import { holds, selected } from "./course.js"

const ANYWHERE = "*"

/** Kinds of thing, in their order: for a tag, and their machines. */
const TOLD = {
  open: ["Open", "opening joint"], in: ["In", "temporary chips"], off: ["Off"], undone: ["Undone", "connection earth"],
  loose: ["Not tight", "group out belt"], wet: ["Not cured", "bead"], drained: ["Not filled or bled", "level air"],
  raised: ["Held", "raised support chocks"], locked: ["Locked off", "energy"], running: ["Running", "run key"],
}
export const KINDS = Object.keys(TOLD)
const kindOf = (machine) => KINDS.find((kind) => TOLD[kind][1]?.split(" ").includes(machine)) ?? "off"

/** The tables by step, each in order. */
export function prepare({ variables, texts, gates }) {
  const steps = new Map()
  const add = (step, part) => steps.get(step)?.push(part) ?? steps.set(step, [part])
  for (const variable of variables) {
    for (const [step, at, allowed, text] of variable.needs) add(step, { variable, at, allowed, text: texts[text] })
    for (const [step, at, to, wait] of variable.moves) add(step, { variable, at, to, wait })
  }
  for (const parts of steps.values()) parts.sort((a, b) => a.at - b.at || ("to" in a) - ("to" in b))
  return { variables, steps, gates }
}

const known = new WeakMap() // state → [machine, clocks that ran]: a state is never changed

/** Every thing of this vehicle. @returns {Map<string, {state, since}>} by id */
export function machine(model, pack, state, now) {
  const waits = running(pack, state, now)
  if (known.get(state)?.[1] !== String(waits)) known.set(state, [before(model, state, Infinity, waits), String(waits)])
  return known.get(state)[0]
}

/** The waits that are not over. */
export function running(pack, state, now) {
  if (now === undefined) return []
  const over = (wait) => {
    const clock = state.waits[wait.id]
    if (!clock) return state.steps[wait.step]?.already || !holds(pack.step.get(wait.step).when, state.answers)
    return isOver(wait, clock, now) || standing(wait, clock, now) === "late"
  }
  return [...pack.waits.values()].filter((wait) => !over(wait)).map(({ id }) => id)
}

/** Done, or found so already; not what was left out. */
const isSo = (tick) => tick?.is === "done" || Boolean(tick?.already)

/** The machine by the ticks before a stamp. */
function before(model, state, stamp, waits) {
  const now = new Map()
  for (const { id, start, when } of model.variables) if (holds(when, state.answers)) now.set(id, { state: start, since: null })
  const ticked = Object.entries(state.steps).filter(([, tick]) => isSo(tick) && tick.stamp < stamp)
  for (const [step] of ticked.sort(([, a], [, b]) => a.stamp - b.stamp)) run(model, now, step, waits)
  return now
}

/** Do a step; `missed` hears of unmet needs. */
function run(model, now, step, waits, missed = () => {}) {
  for (const part of model.steps.get(step) ?? []) {
    const { variable, allowed, to, wait } = part
    const was = now.get(variable.id)
    if (!was || waits.includes(wait)) continue
    if (!allowed) {
      const state = moved(variable, was.state, to) ?? forced(variable, to)
      if (state !== was.state || typeof to === "number") now.set(variable.id, { state, since: step })
    } else if (!allowed.includes(was.state)) missed(part, was)
  }
}

/** The state after a move; undefined: it cannot be. */
function moved({ total }, state, to) {
  if (typeof to !== "number") return to[state]
  return state + to >= 0 && state + to <= total ? state + to : undefined
}

/** Where such a one leaves it. */
const forced = ({ total }, to) => (typeof to !== "number" ? Object.values(to)[0] : to < 0 ? 0 : total)

const put = (text, words) => text.replace(/\{(\w+)\}/g, (_, key) => words[key])
const said = ({ words, total }, state) =>
  typeof state === "number" ? (total === 1 && state && words.one) || put(words.count ?? "{n}", { n: state, of: total }) : (words[state] ?? state)

/** The next step towards a wanted state: an open one, one left out, or one to be done again. */
function cure(pack, state, variable, from, wanted, not) {
  const own = new Set(selected(pack, state).map(({ id }) => id))
  const moves = new Map()
  for (const [step, , to, wait] of variable.moves) {
    if (own.has(step) && step !== not && !(wait && isSo(state.steps[step]))) moves.set(step, [...(moves.get(step) ?? []), to])
  }
  const stages = ["loose", "wet"].includes(kindOf(variable.kind)) // the first pass is next, not the last
  for (const out of [(tick) => tick, isSo, () => false]) {
    const steps = [...moves].filter(([step]) => !out(state.steps[step]))
    const far = distance(variable, steps, from, wanted)
    if (far === Infinity) continue
    return steps.find(([, own]) => {
      const to = through(variable, from, own)
      return to !== undefined && to !== from && distance(variable, steps, to, wanted) < far + stages
    })[0]
  }
  return null
}

const through = (variable, from, moves) => moves.reduce((at, move) => moved(variable, at, move), from)

/** The steps to a wanted state. */
function distance(variable, steps, from, wanted) {
  const far = new Map([[from, 0]])
  for (const [at, way] of far) {
    if (wanted.includes(at)) return way
    for (const [, moves] of steps) {
      const to = through(variable, at, moves)
      if (to !== undefined && !far.has(to)) far.set(to, way + 1)
    }
  }
  return Infinity
}

/** What is not at rest, save what nobody knows of and bolts not in yet. @returns {Thing[]} by KINDS */
export function board(model, pack, state, now) {
  const things = machine(model, pack, state, now)
  const found = model.variables.flatMap((variable) => {
    const { id, name, rest } = variable
    const { state: at = rest[0], since } = things.get(id) ?? {} // none: not on this vehicle
    const kind = kindOf(variable.kind)
    if (rest.includes(at) || (!since && (at === "unknown" || kind === "loose"))) return []
    return [{ id, kind, name, words: said(variable, at), since, fix: cure(pack, state, variable, at, rest) }]
  })
  const once = found.filter(({ id }) => !id.startsWith("out:") || !found.some((one) => one.id === `group:${id.slice(4)}`))
  return KINDS.flatMap((kind) => once.filter((one) => one.kind === kind))
}

/** What a step misses if it were done now; one that is done: then, by the ticks that still stand. The end is "".
 * @returns {Unmet[]} */
export function unmet(model, pack, state, step, now) {
  const tick = state.steps[step]
  const waits = running(pack, state, now)
  const things = isSo(tick) ? before(model, state, tick.stamp, waits) : new Map(machine(model, pack, state, now))
  const title = (id) => pack.step.get(id)?.title ?? id
  const here = step === ANYWHERE ? "the work is laid down" : step ? title(step) : "the end of the job"
  const found = new Map()
  run(model, things, step, waits, ({ variable, allowed, text }, { state: at, since }) => {
    const [rule, severity, moment, what, todo, danger] = text
    const { id, name, object } = variable
    const key = `${id} ${rule} ${moment}`
    if (found.has(key)) return
    const words = said(variable, at)
    const own = { name, object, state: words, moment: here, step: here, since: since ? title(since) : "the start" }
    const sentence = put(what, own)
    found.set(key, {
      id, rule, severity, danger, name, words, moment, what: sentence[0].toUpperCase() + sentence.slice(1),
      do: put(todo, own), since, fix: cure(pack, state, variable, at, allowed, step),
    })
  })
  return [...found.values()]
}

/** What stands in the way of the next start, fill, lower, move, and of the hand-over, whose step is null.
 * @returns {{gate, step, open: Unmet[]}[]} */
export function permits(model, pack, state, now) {
  const found = ["start", "fill", "lower", "move"].flatMap((gate) => {
    const [step] = ahead(model, pack, state, gate)
    return step ? [{ gate, step: step.id, open: unmet(model, pack, state, step.id, now) }] : []
  })
  return [...found, { gate: "hand-over", step: null, open: unmet(model, pack, state, "", now) }]
}

const ahead = (model, pack, state, gate) =>
  selected(pack, state).filter(({ id }) => !state.steps[id] && model.gates[gate]?.includes(id))

/** How to lay the work down. steps: up to a planned stop, if that is no more to do.
 * @returns {{open: Unmet[], steps: string[], tag: string}} */
export function stopSafely(model, pack, state, now) {
  const open = unmet(model, pack, state, ANYWHERE, now)
  const ways = ahead(model, pack, state, "stop").map(({ id }) => upTo(pack, state, id)).sort((a, b) => a.length - b.length)
  const jobs = new Set(open.map(({ fix, id }) => fix ?? id)).size
  const things = board(model, pack, state, now)
  const lines = KINDS.flatMap((kind) => {
    const of = things.filter((one) => one.kind === kind)
    const names = new Set(of.map(({ name, words }) => (["drained", "raised"].includes(kind) ? `${name} ${words}` : name)))
    return names.size ? [`${TOLD[kind][0]}: ${[...names].join(", ")}`] : []
  })
  const tag = ["DO NOT START", ...lines, "Who: ________", "When: ________"].join("\n")
  return { open, steps: ways.length && ways[0].length <= jobs ? ways[0] : [], tag }
}

/** The open steps up to one, as they are printed. */
function upTo(pack, state, step) {
  const found = new Set()
  const add = (id) => {
    const one = pack.step.get(id)
    if (!one || found.has(id) || state.steps[id]) return
    found.add(id)
    for (const other of [...one.needs, ...one.after.map((wait) => pack.waits.get(wait)?.step)]) add(other)
  }
  add(step)
  return selected(pack, state).map(({ id }) => id).filter((id) => found.has(id))
}
