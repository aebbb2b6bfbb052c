/** What the log of one job says. Pure: any order of the entries, and any repetition, gives the same state.
 *
 * The kinds of entry, and what `data` holds:
 *   job-begun        pack, answers          the pack's hash; {question: answer}
 *   answer-changed   question, answer
 *   step-done        open?                  names of what was still open, when it was done out of order
 *   step-passed-over already | reason       true, or why it was left out
 *   step-undone      reason?
 *   permit-passed    gate, rules, reason    a step was ticked with needs of its gate unmet, and why; its tick comes after
 *   hazard-answered  hazard, fact, value?, unit?
 *   reading-taken    reading, value, unit, verdict, corrects?   value: number, or the words of a look
 *   wait-begun       wait, length, began?, inputs?, working?, since?, whole?   length: ms, or null where no time is
 *                                           enough; began: given when this entry corrects a clock that runs already;
 *                                           inputs: the bay of a cure, since: from when on it is so, whole: ms that a
 *                                           whole cure takes in it, or null
 *   condition-seen   wait, condition, seen  a condition ticked, or unticked
 *   wait-ended       wait, seen
 *   wait-stopped     wait, reason
 *   alarm-heard      wait, due              the deadline that rang
 *   photo-taken      photo, shows, width, height   SHA-256 of the picture's bytes
 *   bolt-turned      group, pass, bolt     pass: a round of the step, such as "2", "check" or "turn 1"
 *   bolt-taken-back  group, pass, bolt
 *   mix-worked-out   fluid, inputs, answer  inputs: {known, jug, capacity, amount, …}; answer: its lines, or a refusal
 *   note             text
 * `at` is the phone's clock in epoch milliseconds. A kind that is not known here changes nothing.
 */
import { inOrder } from "./entry.js"

const nothing = () => ({
  pack: null,
  begun: null,
  answers: {}, // question → answer
  steps: {}, // step → {is: "done" | "passed", at, stamp, …}; an open step is not in here
  touched: {}, // step → stamp of its latest tick or untick
  hazards: {}, // hazard → the latest answer {at, stamp, step, fact, value, unit}
  stopped: 0, // stamp of the latest stop of an attended clock
  readings: {}, // reading → the latest value {entry, at, step, value, unit, verdict, taken: how many}
  waits: {}, // wait → {step, began, length, inputs, bays, working, is, seen, heard, …}
  bolts: {}, // step → group → pass → the bolts that are turned, in the order they were
  mixes: {}, // “step fluid” → the latest mix worked out {entry, at, inputs, answer}
  permits: [], // gates that were passed with needs unmet {entry, step, at, gate, rules, reason}; an undone tick leaves them
  photos: [],
  notes: [],
})

/** @param {Iterable<import("./entry.js").Entry>} entries of one job  @returns {ReturnType<typeof nothing>} */
export function fold(entries) {
  const state = nothing()
  for (const entry of inOrder(entries)) KINDS[entry.kind]?.(state, entry, entry.data)
  return state
}

const KINDS = {
  "job-begun"(state, { at }, { pack, answers }) {
    state.pack ??= pack
    state.begun ??= at
    state.answers = { ...answers, ...state.answers }
  },
  "answer-changed"(state, _, { question, answer }) {
    state.answers[question] = answer
  },
  "step-done"(state, { step, at, stamp }, { open = [] }) {
    state.steps[step] = { is: "done", at, stamp, open }
    state.touched[step] = stamp
  },
  "step-passed-over"(state, { step, at, stamp }, { already = false, reason = "" }) {
    state.steps[step] = { is: "passed", at, stamp, already, reason }
    state.touched[step] = stamp
  },
  "step-undone"(state, { step, stamp }) {
    delete state.steps[step]
    state.touched[step] = stamp
    for (const [id, wait] of Object.entries(state.waits)) {
      // What the tick began has not begun; what the tick ended has not ended.
      if (wait.step === step && wait.is === "running") delete state.waits[id]
      else if (wait.step !== step && wait.endedBy === step) resume(wait)
    }
  },
  "hazard-answered"(state, { step, at, stamp }, { hazard, fact, value = null, unit = null }) {
    state.hazards[hazard] = { at, stamp, step, fact, value, unit }
  },
  "reading-taken"(state, { id, step, at }, { reading, value, unit, verdict }) {
    const taken = (state.readings[reading]?.taken ?? 0) + 1
    state.readings[reading] = { entry: id, at, step, value, unit, verdict, taken }
  },
  "wait-begun"(state, { step, at }, { wait, length, began = at, inputs = null, working = [], since = began, whole = length }) {
    const before = state.waits[wait]
    const same = before?.began === began // a correction: what was seen and heard stays seen and heard
    const bays = same ? before.bays.filter((bay) => bay.since < since) : []
    if (inputs) bays.push({ since, whole })
    state.waits[wait] = {
      step, began, length, inputs, bays, working, is: "running",
      seen: same ? before.seen : [], heard: same ? before.heard : [],
    }
  },
  "condition-seen"(state, _, { wait, condition, seen }) {
    const clock = state.waits[wait]
    if (!clock) return
    clock.seen = clock.seen.filter((one) => one !== condition)
    if (seen) clock.seen.push(condition)
  },
  "wait-ended"(state, { step, at }, { wait, seen = [] }) {
    const clock = state.waits[wait]
    if (!clock) return
    Object.assign(clock, { is: "ended", ended: at, endedBy: step })
    clock.seen = [...new Set([...clock.seen, ...seen])]
  },
  "wait-stopped"(state, { at, stamp }, { wait, reason }) {
    state.stopped = stamp
    const clock = state.waits[wait]
    if (clock) Object.assign(clock, { is: "stopped", ended: at, reason })
  },
  "alarm-heard"(state, _, { wait, due }) {
    const clock = state.waits[wait]
    if (clock && !clock.heard.includes(due)) clock.heard.push(due)
  },
  "photo-taken"(state, { id, step, at }, { photo, shows, width, height }) {
    state.photos.push({ entry: id, step, at, photo, shows, width, height })
  },
  "bolt-turned"(state, { step }, { group, pass, bolt }) {
    const turned = (((state.bolts[step] ??= {})[group] ??= {})[pass] ??= [])
    if (!turned.includes(bolt)) turned.push(bolt)
  },
  "bolt-taken-back"(state, { step }, { group, pass, bolt }) {
    const turned = state.bolts[step]?.[group]?.[pass]
    if (turned?.includes(bolt)) turned.splice(turned.indexOf(bolt), 1)
  },
  "mix-worked-out"(state, { id, step, at }, { fluid, inputs, answer }) {
    state.mixes[`${step} ${fluid}`] = { entry: id, at, inputs, answer }
  },
  "permit-passed"(state, { id, step, at }, { gate, rules, reason }) {
    state.permits.push({ entry: id, step, at, gate, rules, reason })
  },
  note(state, { id, step, at }, { text }) {
    state.notes.push({ entry: id, step, at, text })
  },
}

function resume(clock) {
  clock.is = "running"
  delete clock.ended
  delete clock.endedBy
}
