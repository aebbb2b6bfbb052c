/** The clocks of a job. Each is a start and a length, so sleep, reload and a flat battery change nothing; `now` is
 * always an argument. Times are epoch milliseconds, lengths are milliseconds.
 *
 * @typedef {{id: string, step: string, kind: string, name: string, least: number|null, most: number|null,
 *            until: string[], stopIf: string[], attended: boolean, stretches: boolean}} Wait  as the pack says
 * @typedef {{since: number, whole: number|null}} Bay  from when on, and how long a whole cure takes in it; null: never
 * @typedef {{step: string, began: number, length: number|null, inputs: object|null, bays: Bay[], is: string,
 *            seen: string[], heard: number[], ended?: number, reason?: string}} Clock  as the log says
 */

/** The moment from which it may be over, or null where no time is enough or none is asked.
 * @param {Wait} wait @param {Clock} clock */
export const earliest = (wait, clock) =>
  wait.least === null || clock.length === null ? null : clock.began + clock.length

/** The moment by which it has to be over, or null. @param {Wait} wait @param {Clock} clock */
export const latest = (wait, clock) => (wait.most === null ? null : clock.began + wait.most)

/** The state of a clock:
 *   none        it has not begun
 *   running     before its least time, or with conditions still to be seen
 *   refused     a cure in a bay where it does not cure
 *   unmeasured  the label's time is over, but nobody has said how cold and dry the bay was
 *   open        the least time is over and a condition, a person or the latest moment is waited for
 *   late        the latest moment has gone by
 *   over        it is over
 *   stopped     a person stopped it
 * @param {Wait} wait @param {Clock|undefined} clock @param {number} now @returns {string} */
export function standing(wait, clock, now) {
  if (!clock) return "none"
  if (clock.is === "ended") return "over"
  if (clock.is === "stopped") return "stopped"
  const from = earliest(wait, clock)
  const to = latest(wait, clock)
  if (wait.least !== null && clock.length === null) return "refused"
  if (to !== null && now >= to) return "late"
  if (from !== null && now < from) return "running"
  if (wait.stretches && from !== null && !clock.inputs) return "unmeasured"
  if (wait.attended || to !== null || wait.until.length) return from === null ? "running" : "open"
  return "over"
}

/** Whether the work that waits for this clock may go on. @param {Wait} wait @param {Clock|undefined} clock */
export function isOver(wait, clock, now) {
  const is = standing(wait, clock, now)
  return is === "over" || (!wait.attended && !wait.until.length && wait.least !== null && is === "open")
}

/** How long past its open time a bead lay when its joint was closed, or lies now: it has skinned. Else null.
 * @param {Wait} wait @param {Clock|undefined} clock @param {number} now @returns {number|null} milliseconds */
export function skinned(wait, clock, now) {
  if (wait.kind !== "open-time" || !clock || latest(wait, clock) === null) return null
  const late = (clock.ended ?? now) - latest(wait, clock)
  return late >= 0 ? late : null
}

/** How long a cure takes in all when the bay changes under it: each bay did its share, the last one does what is left.
 * No bay does its share faster than the label says, so the whole is never shorter than the label's time.
 * @param {Bay[]} bays  in order, the first from the beginning of the clock; only the last may be one without a cure
 * @returns {{left: number, length: number|null}} the share, 0 to 1, that is left to the last bay; from the beginning */
export function cureIn(bays) {
  const last = bays.at(-1)
  const done = bays.slice(0, -1).reduce((sum, { since, whole }, index) => sum + (bays[index + 1].since - since) / whole, 0)
  const left = Math.max(0, 1 - done)
  return { left, length: last.whole === null ? null : Math.ceil(last.since - bays[0].since + left * last.whole) }
}

/** The bays of a cure when it is measured anew. A reading that was wrong never held; a bay that has changed holds from
 * now on; and what no bay could cure begins anew in one that can, because it had not cured.
 * @param {Clock} clock @param {number|null} whole  @param {number} now  @param {boolean} changed  @returns {Bay[]} */
export function measured(clock, whole, now, changed) {
  const before = clock.bays.slice(0, -1)
  const last = clock.bays.at(-1) ?? { since: clock.began }
  if (!changed) return [...before, { since: last.since, whole }]
  if (last.whole === null) return [{ since: now, whole }]
  return [...before, last, { since: now, whole }]
}

/** The next deadline of a clock that still counts, or null. */
export function deadline(wait, clock, now) {
  if (!clock || clock.is !== "running") return null
  const from = earliest(wait, clock)
  if (from !== null && now < from) return from
  return latest(wait, clock) ?? from
}

/** Deadlines that have passed and that nobody has acknowledged, oldest first.
 * @param {Iterable<Wait>} waits @param {Object<string, Clock>} clocks @param {number} now
 * @returns {{wait: Wait, due: number, latest: boolean}[]} */
export function ringing(waits, clocks, now) {
  const due = []
  for (const wait of waits) {
    const clock = clocks[wait.id]
    if (!clock || clock.is !== "running") continue
    for (const [when, last] of [[earliest(wait, clock), false], [latest(wait, clock), true]]) {
      if (when !== null && when <= now && !clock.heard.includes(when)) due.push({ wait, due: when, latest: last })
    }
  }
  return due.sort((a, b) => a.due - b.due)
}

/** A length of time for people: “2 d 3 h”, “23 h 14 min”, “42 min”, “9 min 05 s”, “40 s”. Seconds only when near.
 * @param {number} ms  none or more */
export function words(ms) {
  const seconds = Math.ceil(Math.max(0, ms) / 1000)
  if (seconds < 60) return `${seconds} s`
  if (seconds < 600) return `${Math.floor(seconds / 60)} min ${String(seconds % 60).padStart(2, "0")} s`
  const minutes = Math.ceil(seconds / 60)
  if (minutes < 60) return `${minutes} min`
  const hours = Math.floor(minutes / 60)
  if (hours < 48) return minutes % 60 ? `${hours} h ${minutes % 60} min` : `${hours} h`
  return hours % 24 ? `${Math.floor(hours / 24)} d ${hours % 24} h` : `${hours / 24} d`
}

/** How long ago, in whole words: “just now”, “12 min ago”. @param {number} ms */
export const ago = (ms) => (ms < 60_000 ? "just now" : `${words(Math.floor(ms / 60_000) * 60_000)} ago`)
