/** The machine at the vehicle, by what was really ticked: what is open, what stands in the way, where to stop.
 * Pure: the server's tables (`Model.plain()`), the pack of pack.js and the state of fold.js come in.
 *
 * @typedef {{id: string, kind: string, name: string, words: string, since: string|null, fix: string|null}} Thing
 * @typedef {{id: string, rule: string, severity: "error"|"warning", danger: boolean, name: string, words: string,
 *   moment: string, what: string, do: string, since: string|null, fix: string|null}} Unmet
 * words: its state, after “is”. since: the step that brought it, null: it came so. fix: the step that puts it right, an
 * open one, else one left out, else null: then see `do`. what: a sentence. danger: nobody passes it.
 */
import { holds, selected } from "./course.js"

const END = ""
const ANYWHERE = "*"

/** Kinds of thing on the board, in the order they are told; how a tag says them; the machines that are of that kind. */
const TOLD = {
  open: ["Open", "opening joint"], in: ["In", "temporary chips"], off: ["Off"], undone: ["Undone", "connection earth"],
  loose: ["Not tight", "group out belt"], wet: ["Not cured", "bead"], drained: ["Not filled or bled", "level air"],
  raised: ["Raised or held", "raised support chocks"], locked: ["Locked off", "energy"], running: ["Running", "run key"],
}
export const KINDS = Object.keys(TOLD)
const kindOf = (machine) => KINDS.find((kind) => TOLD[kind][1]?.split(" ").includes(machine)) ?? "off"

/** The tables by step, the needs and moves of each in order. */
export function prepare({ variables, texts, gates }) {
  const steps = new Map()
  const add = (step, part) => steps.set(step, [...(steps.get(step) ?? []), part])
  for (const variable of variables) {
    for (const [step, at, allowed, text] of variable.needs) add(step, { variable, at, allowed, text: texts[text] })
    for (const [step, at, to] of variable.moves) add(step, { variable, at, to })
  }
  for (const parts of steps.values()) parts.sort((a, b) => a.at - b.at || ("to" in a) - ("to" in b))
  return { variables, steps, gates }
}

const known = new WeakMap() // state → the machine: a state is never changed, and is asked many times

/** Every thing of this vehicle. @returns {Map<string, {state: string|number, since: string|null}>} by its id */
export function machine(model, pack, state) {
  if (!known.has(state)) known.set(state, before(model, state, Infinity))
  return known.get(state)
}

/** Done, or found so already; not what was left out. */
const isSo = (tick) => tick?.is === "done" || Boolean(tick?.already)

/** The machine by the ticks before a stamp, in their order. */
function before(model, state, stamp) {
  const now = new Map()
  for (const { id, start, when } of model.variables) if (holds(when, state.answers)) now.set(id, { state: start, since: null })
  const ticked = Object.entries(state.steps).filter(([, tick]) => isSo(tick) && tick.stamp < stamp)
  for (const [step] of ticked.sort(([, a], [, b]) => a.stamp - b.stamp)) run(model, now, step)
  return now
}

/** Do a step on a machine; `missed` hears of each need that is not met. */
function run(model, now, step, missed = () => {}) {
  for (const part of model.steps.get(step) ?? []) {
    const { variable, allowed, to } = part
    const was = now.get(variable.id)
    if (!was) continue
    if (!allowed) {
      const [state] = moved(variable, was.state, to)
      if (state !== was.state || typeof to === "number") now.set(variable.id, { state, since: step })
    } else if (!allowed.includes(was.state)) missed(part, was)
  }
}

/** The state after a move, and whether it was possible: after one that was not, it is where the move leaves it. */
function moved({ total }, state, to) {
  if (typeof to !== "number") return state in to ? [to[state], true] : [Object.values(to)[0], false]
  const count = Math.min(Math.max(state + to, 0), total)
  return [count, count === state + to]
}

const put = (text, words) => text.replace(/\{(\w+)\}/g, (_, key) => words[key])
const said = ({ words, total }, state) =>
  typeof state === "number" ? put(words.count ?? "{n}", { n: state, of: total }) : (words[state] ?? state)

/** The first step on the shortest way to a state that is wanted, over the open steps, else over those left out too. */
function cure(pack, state, variable, from, wanted, not) {
  const own = new Set(selected(pack, state).map(({ id }) => id))
  const moves = new Map()
  for (const [step, , to] of variable.moves) {
    if (own.has(step) && step !== not && !isSo(state.steps[step])) moves.set(step, [...(moves.get(step) ?? []), to])
  }
  const open = [...moves].filter(([step]) => !state.steps[step])
  return way(variable, open, from, wanted) ?? way(variable, [...moves], from, wanted)
}

function way(variable, steps, from, wanted) {
  const seen = new Set([from])
  const queue = [[from, null]]
  for (const [at, first] of queue) {
    for (const [step, moves] of steps) {
      let [to, can] = [at, true]
      for (const move of moves) if (can) [to, can] = moved(variable, to, move)
      if (!can || seen.has(to)) continue
      if (wanted.includes(to)) return first ?? step
      seen.add(to)
      queue.push([to, first ?? step])
    }
  }
  return null
}

/** What is not at rest, by KINDS. Not told: what nobody knows of, bolts that are not in yet, and a group twice.
 * @returns {Thing[]} */
export function board(model, pack, state) {
  const now = machine(model, pack, state)
  const found = model.variables.flatMap((variable) => {
    const { id, name, rest } = variable
    const { state: at = rest[0], since } = now.get(id) ?? {}
    const kind = kindOf(variable.kind)
    if (rest.includes(at) || (!since && (at === "unknown" || kind === "loose"))) return []
    return [{ id, kind, name, words: said(variable, at), since, fix: cure(pack, state, variable, at, rest) }]
  })
  const once = found.filter(({ id }) => !id.startsWith("out:") || !found.some((one) => one.id === `group:${id.slice(4)}`))
  return KINDS.flatMap((kind) => once.filter((one) => one.kind === kind))
}

/** What a step misses if it were done now; one that is done: what it missed then, by the ticks that still stand.
 * @param {string} step an id, or "" for the end of the job  @returns {Unmet[]} in the order of its actions */
export function unmet(model, pack, state, step) {
  const tick = state.steps[step]
  const now = isSo(tick) ? before(model, state, tick.stamp) : new Map(machine(model, pack, state))
  const title = (id) => pack.step.get(id)?.title ?? id
  const here = step === ANYWHERE ? "the work is laid down" : step ? title(step) : "the end of the job"
  const found = new Map()
  run(model, now, step, ({ variable, allowed, text }, { state: at, since }) => {
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

/** What stands before the next start, fill, lowering, move, where there is one, and the hand-over: that has no step.
 * @returns {{gate: "start"|"fill"|"lower"|"move"|"hand-over", step: string|null, open: Unmet[]}[]} */
export function permits(model, pack, state) {
  const found = ["start", "fill", "lower", "move"].flatMap((gate) => {
    const [step] = ahead(model, pack, state, gate)
    return step ? [{ gate, step: step.id, open: unmet(model, pack, state, step.id) }] : []
  })
  return [...found, { gate: "hand-over", step: null, open: unmet(model, pack, state, END) }]
}

const ahead = (model, pack, state, gate) =>
  selected(pack, state).filter(({ id }) => !state.steps[id] && model.gates[gate]?.includes(id))

/** How to lay the work down now. open: what has to be put right for that. steps: those up to the nearest planned stop,
 * where that is less to do; else none. tag: lines for a tag on the controls.
 * @returns {{open: Unmet[], steps: string[], tag: string}} */
export function stopSafely(model, pack, state) {
  const open = unmet(model, pack, state, ANYWHERE)
  const ways = ahead(model, pack, state, "stop").map(({ id }) => upTo(pack, state, id)).sort((a, b) => a.length - b.length)
  const jobs = new Set(open.map(({ fix, id }) => fix ?? id)).size
  const things = board(model, pack, state)
  const lines = KINDS.flatMap((kind) => {
    const names = new Set(things.filter((one) => one.kind === kind).map(({ name }) => name))
    return names.size ? [`${TOLD[kind][0]}: ${[...names].join(", ")}`] : []
  })
  const tag = ["DO NOT START", ...lines, "Who: ________  When: ________"].join("\n")
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
