/** Where a job stands: which steps it has, what is open, what comes next, what must be answered first.
 * Pure: the pack, the state that fold.js gives, and the time come in.
 *
 * @typedef {{id: string, title: string, phase: string, needs: string[], after: string[], closes: string[],
 *            when: Object<string, string[]>, hazards: string[],
 *            strips: {id: string, text: string, begins: boolean}[]}} Step
 * @typedef {{steps: Step[], step: Map<string, Step>, waits: Map<string, import("./clocks.js").Wait>,
 *            hazards: Map<string, {id: string, word: string}>}} Pack
 */
import { isOver, skinned } from "./clocks.js"

const HALF_AN_HOUR = 30 * 60_000

/** Whether a condition holds; a question without an answer excludes nothing. */
export const holds = (when, answers) =>
  Object.entries(when).every(([question, allowed]) => !(question in answers) || allowed.includes(answers[question]))

const known = new WeakMap() // state → its steps: a state is never changed, and is asked many times

/** The steps of this vehicle, in order: those that the answers select; and when an answer was changed after something
 * was locked off or opened for the old one, the step that ends that. @returns {Step[]} */
export function selected(pack, state) {
  if (!known.has(state)) known.set(state, select(pack, state))
  return known.get(state)
}

function select(pack, state) {
  const own = new Set(pack.steps.filter((step) => holds(step.when, state.answers)))
  for (const strip of strips(pack, state).keys()) {
    const ends = (step) => step.strips.some(({ id, begins }) => id === strip && !begins)
    const partner = [...own].some(ends) ? null : pack.steps.find((step) => ends(step) && !state.steps[step.id])
    if (partner) own.add(partner)
  }
  return pack.steps.filter((step) => own.has(step))
}

/** How far the job is. @returns {{done: number, of: number}} */
export function progress(pack, state) {
  const steps = selected(pack, state)
  return { done: steps.filter(({ id }) => state.steps[id]).length, of: steps.length }
}

/** The steps that must come first; for one that this vehicle does not have, what would have come before it. */
function before(pack, state, step, found = new Set()) {
  for (const id of step.needs) {
    const need = pack.step.get(id)
    if (!need || found.has(need)) continue
    if (holds(need.when, state.answers)) found.add(need)
    else before(pack, state, need, found)
  }
  return found
}

/** What is still open before this step; of a joint that it closes, the bead that has skinned. @returns {{steps: Step[], waits: import("./clocks.js").Wait[]}} */
export function open(pack, state, step, now) {
  const steps = [...before(pack, state, step)].filter(({ id }) => !state.steps[id])
  const waits = step.after
    .map((id) => pack.waits.get(id))
    .filter((wait) => holds(pack.step.get(wait.step).when, state.answers) && !isOver(wait, state.waits[wait.id], now))
  const beads = step.closes.map((id) => pack.waits.get(id)).filter((wait) => skinned(wait, state.waits[wait.id], now) !== null)
  return { steps, waits: [...waits, ...beads] }
}

/** The next open step after this one; from the end it goes round to what was left out. Null: nothing is open. */
export function next(pack, state, from) {
  const steps = selected(pack, state)
  const here = pack.steps.findIndex(({ id }) => id === from)
  const position = (step) => pack.steps.indexOf(step)
  const left = steps.filter(({ id }) => !state.steps[id] && id !== from)
  return left.find((step) => position(step) > here) ?? left[0] ?? null
}

/** What holds at the vehicle now, by what was ticked: battery off, raised, fuel open. @returns {Map<string, string>} */
export function strips(pack, state) {
  const holding = new Map()
  const ticked = Object.entries(state.steps)
    .filter(([id, { is, already }]) => pack.step.has(id) && (is === "done" || already))
    .sort(([, a], [, b]) => a.stamp - b.stamp)
  for (const [id] of ticked) {
    for (const { id: strip, text, begins } of pack.step.get(id).strips) {
      if (begins) holding.set(strip, text)
      else holding.delete(strip)
    }
  }
  return holding
}

/** The open step that ends what holds at the vehicle. @param {string} strip  @returns {Step|undefined} */
export const ending = (pack, state, strip) =>
  selected(pack, state).find((step) => !state.steps[step.id] && step.strips.some(({ id, begins }) => id === strip && !begins))

/** Hazards of a step that have to be answered now. One answer holds for the steps that follow each other with that
 * hazard, for half an hour, until a clock is stopped, or until a tick changes what holds at the vehicle.
 * @returns {string[]} ids, danger first */
export function unanswered(pack, state, step, now) {
  const changed = Math.max(
    state.stopped,
    ...pack.steps.filter(({ strips: own }) => own.length).map(({ id }) => state.touched[id] ?? 0),
  )
  const order = ["danger", "warning", "caution"]
  return step.hazards
    .filter((id) => {
      const { word } = pack.hazards.get(id)
      if (word === "notice") return false
      const answer = state.hazards[id]
      if (!answer || answer.stamp < changed || Math.abs(now - answer.at) >= HALF_AN_HOUR) return true
      return !spell(pack, state, id, answer.step, step.id)
    })
    .sort((a, b) => order.indexOf(pack.hazards.get(a).word) - order.indexOf(pack.hazards.get(b).word))
}

/** Whether every step of this vehicle from one to the other carries the hazard. */
function spell(pack, state, hazard, one, other) {
  const steps = selected(pack, state)
  const [from, to] = [one, other].map((id) => steps.findIndex((step) => step.id === id)).sort((a, b) => a - b)
  return from >= 0 && steps.slice(from, to + 1).every(({ hazards }) => hazards.includes(hazard))
}
