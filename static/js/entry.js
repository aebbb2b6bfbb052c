/** Entries: the lines of a job's log. Pure: clock and randomness come in as arguments.
 *
 * An entry is made once, on the phone, and never changes; only its mark `unsent` goes when a server has it.
 * @typedef {{id: string, job: string, device: string, stamp: number, kind: string, step: string|null,
 *            data: object, at: number, unsent?: 1}} Entry
 */

/** A UUID of version 7 (RFC 9562): it sorts by its time, and two phones never make the same one.
 * @param {number} now epoch milliseconds  @param {Uint8Array} random 16 random bytes  @returns {string} */
export function uuid7(now, random) {
  const bytes = Uint8Array.from(random)
  for (let i = 0; i < 6; i++) bytes[i] = Math.floor(now / 256 ** (5 - i)) % 256
  bytes[6] = 0x70 | (bytes[6] & 0x0f)
  bytes[8] = 0x80 | (bytes[8] & 0x3f)
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("")
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-")
}

export const newId = () => uuid7(Date.now(), crypto.getRandomValues(new Uint8Array(16)))

/** The stamp of a new entry: this phone's clock, but always after everything it has seen. So effects sort after
 * causes, even when the clock of this phone, or of another, is wrong.
 * @param {number} now  @param {Iterable<Entry>} known  @returns {number} */
export function stampAfter(now, known) {
  let highest = 0
  for (const { stamp } of known) highest = Math.max(highest, stamp)
  return Math.max(now, highest + 1)
}

/** @param {Iterable<Entry>} entries of many jobs  @returns {Map<string, Entry[]>} the entries of each job */
export function byJob(entries) {
  const jobs = new Map()
  for (const entry of entries) jobs.set(entry.job, [...(jobs.get(entry.job) ?? []), entry])
  return jobs
}

/** Each entry once, in the one order that every phone agrees on: by stamp, then by id.
 * @param {Iterable<Entry>} entries  @returns {Entry[]} */
export function inOrder(entries) {
  const once = new Map()
  for (const entry of entries) once.set(entry.id, entry)
  return [...once.values()].sort((a, b) => a.stamp - b.stamp || (a.id < b.id ? -1 : 1))
}
