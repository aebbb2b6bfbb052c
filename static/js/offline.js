/** Keeping this job on the phone, and saying plainly how far that is.
 *
 * “Ready offline” is said when a worker is there to answer and every file of the job was found in the cache again:
 * the page last, so that a kept page never names a file that is not kept. */

const CACHE = "jobs"
const CANNOT = "This browser, or an address without https, cannot keep the job for offline use. Stay in reach of the network, or print the sheet."
const $ = (selector) => document.querySelector(selector)

/** Every address that a job page needs. @param {Document} page @returns {string[]} */
function needed(page) {
  const named = [...page.querySelectorAll("script[src], link[rel=modulepreload], link[rel=icon], link[rel=manifest]")].map((node) => node.getAttribute("src") ?? node.getAttribute("href"))
  const pictures = [...page.querySelectorAll("main img[src]")].map((node) => node.getAttribute("src"))
  const { machine = "", later = "" } = page.documentElement.dataset // nobody waits for these, but they must be there
  return [...new Set([...named, ...pictures, machine, ...later.split(" ")])].filter((url) => url.startsWith("/"))
}

/** Put what is missing into the cache. @param {(done: number, of: number) => void} tell */
async function keep(page, answer, tell) {
  const cache = await caches.open(CACHE)
  const urls = needed(page)
  let done = 0
  tell(done, urls.length + 1)
  for (const url of urls) {
    if (!(await cache.match(url, { ignoreVary: true }))) await put(cache, url, await get(url))
    tell(++done, urls.length + 1)
  }
  await keepFront(cache, `/packs/${page.documentElement.dataset.slug}`)
  await put(cache, location.pathname, answer)
  for (const url of [...urls, location.pathname]) {
    if (!(await cache.match(url, { ignoreVary: true }))) throw new Error(`${url} is not in the cache`)
  }
  tell(++done, urls.length + 1)
}

/** The pack's front page is the way from the shelf to a job that is not begun. It is kept as it is now; and when it is
 * not there any more, or the network is not, what was kept stays. */
async function keepFront(cache, url) {
  const known = await cache.match(url, { ignoreVary: true })
  const answer = await get(url).catch((error) => { if (!known) throw error })
  if (answer?.ok) await put(cache, url, answer)
}

const get = (url) => fetch(url).catch(() => { throw new Error("the network does not answer") })

async function put(cache, url, response) {
  if (!response.ok || response.redirected || response.type !== "basic") throw new Error(`${url} answered ${response.status}`)
  await cache.put(url, response)
}

/** Keep the job, and watch for a newer version of the program. Calls `newer` when one is there to be taken. */
export async function setUp(page) {
  const say = (text, done = 1, of = 1) => {
    $("#ready").textContent = text
    Object.assign($("#ready-progress"), { value: done, max: of, hidden: done === of })
    document.documentElement.dataset.offline = done === of && text.startsWith("Ready") ? "ready" : "not-yet"
  }
  if (!navigator.serviceWorker || !globalThis.caches) {
    return say(CANNOT)
  }
  const tell = (done, of) => say(`Keeping the job on this phone: ${done} of ${of}`, done, of)
  try {
    const registration = await register()
    if (!registration) return say(CANNOT)
    watch(registration, page)
    await ready(registration)
    const cached = await caches.match(location.pathname, { ignoreVary: true })
    const answer = await fetch(location.pathname, { cache: "no-cache" }).catch(() => null)
    if (answer?.ok) await refresh(answer, cached, page, tell)
    else if (cached) await keep(document, cached.clone(), tell)
    else throw new Error("the network is gone before it was kept")
    say("Ready offline")
  } catch (error) {
    const why = error.name === "QuotaExceededError" ? "the phone has no room left" : error.message
    say(`Not ready offline: ${why}. It is tried again when the network is back.`)
    addEventListener("online", () => setUp(page), { once: true })
  }
}

/** The worker's registration; nothing where workers are switched off, as in some private windows. */
async function register() {
  try {
    return await navigator.serviceWorker.register("/sw.js")
  } catch (error) {
    if (error.name === "TypeError") throw new Error("the program does not come from the server")
    return null
  }
}

/** Kept when a worker can answer; broken when the new one could not be installed and there is no other. */
function ready(registration) {
  const installing = registration.active ? null : registration.installing
  const failed = new Promise((_, reject) => installing?.addEventListener("statechange", () => {
    if (installing.state === "redundant") reject(new Error("a file of the program did not come"))
  }))
  return Promise.race([navigator.serviceWorker.ready, failed])
}

/** Keep what the server has now; if it is of another release than what is shown, say so and change nothing. */
async function refresh(answer, cached, page, tell) {
  const text = await answer.clone().text()
  const fetched = new DOMParser().parseFromString(text, "text/html")
  if (!cached || fetched.documentElement.dataset.release === document.documentElement.dataset.release) {
    return keep(fetched, answer, tell)
  }
  await keep(document, cached.clone(), tell)
  page.newer(async () => {
    await keep(fetched, answer, () => {})
  })
}

/** A worker of a newer release waits until a person says so: never under a running job by itself. */
function watch(registration, page) {
  const waiting = () => registration.waiting && navigator.serviceWorker.controller && page.newer(async () => {})
  waiting()
  registration.addEventListener("updatefound", () => registration.installing?.addEventListener("statechange", waiting))
}

/** Take the newer version: its worker first, then the page again. */
export async function take(prepared) {
  for (const prepare of prepared) await prepare()
  const registration = await navigator.serviceWorker.getRegistration()
  registration?.waiting?.postMessage("take")
  location.reload()
}

/** Ask that what is kept stays kept. Once, after the first tick: browsers decide by what a person does. */
export async function persist() {
  const storage = navigator.storage
  const asked = storage?.persist ? Promise.race([storage.persist(), new Promise((resolve) => setTimeout(resolve, 3_000, false))]) : false
  return Boolean(await asked)
}

export const persisted = async () => Boolean(await navigator.storage?.persisted?.())
