/** The log on this phone: entries and photos in IndexedDB. What is written here has outlived killed browsers.
 *
 * Every function may reject: no room, private mode, a database that the system took away. Whoever calls shows it.
 * Inside a transaction nothing is awaited but its own requests, because a transaction commits itself.
 */
const STORES = {
  entries: { keyPath: "id" }, // with the indexes below
  photos: { keyPath: "photo" }, // {photo: SHA-256, bytes: ArrayBuffer}; never a Blob, which WebKit may refuse
  meta: { keyPath: "name" },
}
const LOST = ["InvalidStateError", "UnknownError", "AbortError"] // the system took the database away: open it again

let opening = null

/** Fires `closed` when the system took the database away: it may be empty when it is opened again. */
export const store = new EventTarget()

function database() {
  opening ??= new Promise((resolve, reject) => {
    const request = indexedDB.open("droplight", 1)
    request.onupgradeneeded = () => {
      for (const [name, options] of Object.entries(STORES)) request.result.createObjectStore(name, options)
      const entries = request.transaction.objectStore("entries")
      entries.createIndex("unsent", "unsent")
      entries.createIndex("job", "job")
    }
    request.onsuccess = () => {
      const forget = () => { opening = null; store.dispatchEvent(new Event("closed")) }
      request.result.onclose = forget
      request.result.onversionchange = () => { request.result.close(); forget() }
      resolve(request.result)
    }
    request.onerror = () => reject(request.error)
    request.onblocked = () => reject(new DOMException("Close Droplight in the other tab", "BlockedError"))
  })
  opening.catch(() => { opening = null })
  return opening
}

/** Run one transaction. `work` gets the stores and may return a request, whose result is the answer.
 * Resolved only when the transaction is complete. */
async function transaction(stores, mode, work, again = true) {
  let opened = null
  try {
    opened = await database()
    return await new Promise((resolve, reject) => {
      const running = opened.transaction(stores, mode, { durability: "strict" })
      running.onabort = () => reject(running.error ?? new DOMException("The write was broken off", "AbortError"))
      const request = work(...stores.map((name) => running.objectStore(name)))
      running.oncomplete = () => resolve(request?.result)
    })
  } catch (error) {
    if (!again || !LOST.includes(error.name)) throw error
    opening = null
    opened?.close()
    return transaction(stores, mode, work, false)
  }
}

/** Write entries, and the photo that one of them names, all or none. Writing one twice changes nothing.
 * @param {import("./entry.js").Entry[]} entries  @param {{photo: string, bytes: ArrayBuffer}} [photo] */
export const write = (entries, photo) =>
  transaction(photo ? ["entries", "photos"] : ["entries"], "readwrite", (log, photos) => {
    for (const entry of entries) log.put({ ...entry, unsent: 1 })
    if (photo) photos.put(photo)
  })

/** @param {string} job  @returns {Promise<import("./entry.js").Entry[]>} the log of one job, in no order */
export const read = (job) => transaction(["entries"], "readonly", (log) => log.index("job").getAll(job))

/** @param {string} job  @returns {Promise<number>} how many entries of one job are on this phone */
export const count = (job) => transaction(["entries"], "readonly", (log) => log.index("job").count(job))

/** @returns {Promise<import("./entry.js").Entry[]>} the log of every job on this phone */
export const readAll = () => transaction(["entries"], "readonly", (log) => log.getAll())

/** @param {string} name SHA-256  @returns {Promise<ArrayBuffer|undefined>} */
export const photo = async (name) => (await transaction(["photos"], "readonly", (photos) => photos.get(name)))?.bytes

/** @returns {Promise<any>} what was remembered under this name on this phone, or undefined */
export const recall = async (name) => (await transaction(["meta"], "readonly", (meta) => meta.get(name)))?.value

export const remember = (name, value) => transaction(["meta"], "readwrite", (meta) => meta.put({ name, value }))
