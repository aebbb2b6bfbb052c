/** The machine at the vehicle, by what was really ticked: what is open, what stands in the way, where to stop.
 * Pure: the tables that the server compiled (`Model.plain()`), the pack of pack.js and the state of fold.js come in.
 *
 * @typedef {{id: string, kind: string, name: string, words: string, since: string|null, fix: string|null}} Thing
 *   of the board. kind: one of KINDS. words: its state, said after “is”. since: the step that brought it there, null
 *   for how the vehicle came. fix: the step that brings it to rest: an open one, else one that was left out, else null
 * @typedef {{id: string, rule: string, severity: "error"|"warning", danger: boolean, name: string, words: string,
 *   moment: string, what: string, do: string, since: string|null, fix: string|null}} Unmet
 *   danger: it can hurt someone, so nobody passes it. what: a sentence. do: what a person does, or ""
 */
import { holds, selected } from "./course.js"

const END = ""
const ANYWHERE = "*"

/** What a thing on the board can be, in the order that it is told. */
export const KINDS = ["open", "in", "off", "undone", "loose", "wet", "drained", "raised", "locked", "running"]
const KIND = {
  opening: "open", joint: "open", temporary: "in", chips: "in", part: "off", parts: "off", seal: "off", added: "off",
  connection: "undone", earth: "undone", group: "loose", out: "loose", belt: "loose", bead: "wet", level: "drained",
  air: "drained", raised: "raised", support: "raised", chocks: "raised", energy: "locked", run: "running", key: "running",
}
const TAG = { open: "Open", in: "In", off: "Off", undone: "Undone", loose: "Not tight", wet: "Not cured", drained: "Not full or not bled", raised: "Raised or held", locked: "Locked off", running: "Running" }

/** The tables, each step with its needs and moves in order. @param {object} plain as the server sends it, unchanged */
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

/** Every thing of this vehicle. @returns {Map<string, {state: string|number, since: string|null}>} by variable */
export function machine(model, pack, state) {
  if (!known.has(state)) known.set(state, before(model, state, Infinity))
  return known.get(state)
}

/** What is so: done, or found so already. What was left out is not. */
const isSo = (tick) => tick?.is === "done" || Boolean(tick?.already)

/** The machine by the ticks before a stamp, in their order. */
function before(model, state, stamp) {
  const now = new Map()
  for (const { id, start, when } of model.variables) if (holds(when, state.answers)) now.set(id, { state: start, since: null })
  const ticked = Object.entries(state.steps).filter(([, tick]) => isSo(tick) && tick.stamp < stamp)
  for (const [step] of ticked.sort(([, a], [, b]) => a.stamp - b.stamp)) run(model, now, step)
  return now
}

/** Do a step on a machine. `missed` hears of each need that is not met at its place in the step. */
function run(model, now, step, missed = () => {}) {
  for (const part of model.steps.get(step) ?? []) {
    const was = now.get(part.variable.id)
    if (!was) continue
    if (part.allowed) {
      if (!part.allowed.includes(was.state)) missed(part, was)
      continue
    }
    const state = moved(part.variable, was.state, part.to)[0]
    if (state !== was.state || typeof part.to === "number") now.set(part.variable.id, { state, since: step })
  }
}

/** The state after a move, and whether it was possible; after one that was not, the thing is where the move leaves it. */
function moved({ total }, state, to) {
  if (typeof to === "number") return [Math.min(Math.max(state + to, 0), total), state + to >= 0 && state + to <= total]
  return state in to ? [to[state], true] : [Object.values(to)[0], false]
}

const put = (text, words) => text.replace(/\{(\w+)\}/g, (_, key) => words[key])
const said = ({ words, total }, state) =>
  typeof state === "number" ? put(words.count ?? "{n}", { n: state, of: total }) : (words[state] ?? state)

/** The first step of the shortest way from a state to one that is wanted, over open steps, else over left-out ones too. */
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

/** What is not at rest, by KINDS. @returns {Thing[]} */
export function board(model, pack, state) {
  const now = machine(model, pack, state)
  const found = model.variables.filter((one) => now.has(one.id) && away(one, now.get(one.id))).map((one) => {
    const { state: at, since } = now.get(one.id)
    const fix = cure(pack, state, one, at, one.rest)
    return { id: one.id, kind: KIND[one.kind] ?? "off", name: one.name, words: said(one, at), since, fix }
  })
  const groups = new Set(found.map(({ id }) => id).filter((id) => id.startsWith("group:")))
  const told = found.filter(({ id }) => !groups.has(id.replace(/^out:/, "group:")) || !id.startsWith("out:"))
  return KINDS.flatMap((kind) => told.filter((one) => one.kind === kind))
}

/** Whether something has to be done about a thing: not for what nobody knows of, nor for bolts that are not in yet. */
const away = ({ rest, kind }, { state, since }) =>
  !rest.includes(state) && (since !== null || (state !== "unknown" && kind !== "group" && kind !== "out"))

/** What a step misses if it were done now; one that is done, what it missed then, by the ticks that still stand.
 * @param {string} step an id, or "" for the end of the job  @returns {Unmet[]} in the order of the step's actions */
export function unmet(model, pack, state, step) {
  const tick = state.steps[step]
  const now = isSo(tick) ? before(model, state, tick.stamp) : new Map(machine(model, pack, state))
  const title = (id, none) => (id ? `“${pack.step.get(id)?.title ?? id}”` : none)
  const found = new Map()
  run(model, now, step, ({ variable, allowed, text }, { state: at, since }) => {
    const [rule, severity, moment, what, todo, danger] = text
    const key = `${variable.id} ${rule} ${moment}`
    if (found.has(key)) return
    const { id, name, object } = variable
    const words = said(variable, at)
    const here = step === ANYWHERE ? "the work is laid down" : title(step, "the end of the job")
    const fill = { name, object, state: words, moment: here.replace(/[“”]/g, ""), step: here, since: title(since, "the start") }
    const sentence = put(what, fill)
    found.set(key, {
      id, rule, severity, danger, name, words, moment, what: sentence[0].toUpperCase() + sentence.slice(1),
      do: put(todo, fill), since, fix: cure(pack, state, variable, at, allowed, step),
    })
  })
  return [...found.values()]
}

/** What still stands before the next start, fill, lowering, move, and the hand-over; `step` is null for that one.
 * @returns {{gate: "start"|"fill"|"lower"|"move"|"hand-over", step: string|null, open: Unmet[]}[]} */
export function permits(model, pack, state) {
  const left = selected(pack, state).filter(({ id }) => !state.steps[id])
  const found = ["start", "fill", "lower", "move"].flatMap((gate) => {
    const step = left.find(({ id }) => model.gates[gate]?.includes(id))
    return step ? [{ gate, step: step.id, open: unmet(model, pack, state, step.id) }] : []
  })
  return [...found, { gate: "hand-over", step: null, open: unmet(model, pack, state, END) }]
}

/** How to lay the work down now. open: what has to be put right first. steps: the steps up to the nearest planned stop,
 * where that is no longer a way; else none. tag: text for the controls, in lines.
 * @returns {{open: Unmet[], steps: string[], tag: string}} */
export function stopSafely(model, pack, state) {
  const open = unmet(model, pack, state, ANYWHERE)
  const ways = selected(pack, state).filter(({ id }) => model.gates.stop?.includes(id) && !state.steps[id]).map((step) => upTo(pack, state, step))
  const nearest = ways.sort((a, b) => a.length - b.length)[0] ?? []
  const jobs = new Set(open.map(({ fix, id }) => fix ?? id))
  const lines = KINDS.flatMap((kind) => {
    const names = board(model, pack, state).filter((one) => one.kind === kind).map(({ name }) => name)
    return names.length ? [`${TAG[kind]}: ${[...new Set(names)].join(", ")}`] : []
  })
  const tag = ["DO NOT START", ...lines, "Who: ________  When: ________"].join("\n")
  return { open, steps: nearest.length <= jobs.size ? nearest : [], tag }
}

/** A step and the open ones that must come before it, in printed order. */
function upTo(pack, state, step) {
  const found = new Set()
  const add = (id) => {
    const one = pack.step.get(id)
    if (!one || found.has(one)) return
    found.add(one)
    for (const other of [...one.needs, ...one.after.map((wait) => pack.waits.get(wait)?.step)]) add(other)
  }
  add(step.id)
  return selected(pack, state).filter((one) => found.has(one) && !state.steps[one.id]).map(({ id }) => id)
}
