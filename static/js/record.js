/** One job's log in memory, and on its way to the phone's store. Everything shown is a fold of it. */
import { newId, stampAfter } from "./entry.js"
import { fold } from "./fold.js"
import * as log from "./log.js"

const AGAIN = 5_000 // ms until a write that failed is tried again

/** Fires `change` when entries came, `saved` when all are on the phone, `unsaved` when a write failed, `rewritten` when
 * the phone had lost the log and what the page still held was written again. */
export class Record extends EventTarget {
  #tabs = "BroadcastChannel" in globalThis ? new BroadcastChannel("droplight") : null
  #waiting = [] // [entries, photo] that are in memory only
  #again = 0

  /** @param {string} job  @param {string} device  @param {import("./entry.js").Entry[]} entries */
  constructor(job, device, entries) {
    super()
    Object.assign(this, { job, device, entries, problem: null })
    this.state = fold(entries)
    this.#tabs?.addEventListener("message", ({ data }) => data === job && this.reread())
    log.store.addEventListener("closed", () => this.flush())
  }

  /** Add entries that belong together. They count at once; the promise is kept when they are on the phone, or when
   * that failed and `unsaved` has fired. @param {[kind: string, step: string|null, data: object][]} lines */
  async add(lines, photo) {
    const at = Date.now()
    const entries = []
    for (const [kind, step, data] of lines) {
      const stamp = stampAfter(at, entries.length ? entries.slice(-1) : this.entries)
      entries.push({ id: newId(), job: this.job, device: this.device, stamp, kind, step, data, at })
    }
    this.#take(entries)
    this.#waiting.push([entries, photo])
    await this.flush()
    return entries
  }

  /** How many entries are in memory only. */
  get unsaved() {
    return new Set(this.#waiting.flatMap(([entries]) => entries)).size
  }

  /** Write what waits; and all, when the store was emptied under the page. */
  async flush() {
    clearTimeout(this.#again)
    let rewritten = false
    try {
      await this.#write()
      rewritten = await this.#emptied()
      if (rewritten) await this.#write()
    } catch (error) {
      this.problem = error
      this.#again = setTimeout(() => this.flush(), AGAIN)
      this.dispatchEvent(new Event("unsaved"))
      return
    }
    if (this.#waiting.length) return
    this.problem = null
    this.#tabs?.postMessage(this.job)
    this.dispatchEvent(new Event("saved"))
    if (rewritten) this.dispatchEvent(new Event("rewritten"))
  }

  async #write() {
    for (const batch of [...this.#waiting]) {
      await log.write(...batch)
      this.#waiting = this.#waiting.filter((other) => other !== batch)
    }
  }

  /** Whether the store holds less than was written into it; then everything waits once more. */
  async #emptied() {
    const written = this.entries.length - this.unsaved
    if ((await log.count(this.job)) >= written) return false
    this.#waiting.unshift([this.entries])
    return true
  }

  /** Take in what another tab wrote. */
  async reread() {
    this.#take(await log.read(this.job))
  }

  #take(entries) {
    const known = new Set(this.entries.map(({ id }) => id))
    const fresh = entries.filter(({ id }) => !known.has(id))
    if (!fresh.length) return
    this.entries = [...this.entries, ...fresh]
    this.state = fold(this.entries)
    queueMicrotask(() => this.dispatchEvent(new Event("change"))) // whoever adds shows first what comes next
  }
}
