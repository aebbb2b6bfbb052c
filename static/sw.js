/* The service worker: what is kept is answered from the phone, so that a job goes on with no network and no server.
   The server puts two lines before this text: RELEASE, and SHELL, the addresses that every page needs. A classic
   script, because module workers are too young on some phones. */
const KEPT = `shell-${RELEASE}`
const JOBS = "jobs" // job pages with their pictures and scripts; no release ever deletes it
const PATIENCE = 3_000 // ms that a list may take before the kept one is shown

addEventListener("install", (event) => event.waitUntil(install()))
addEventListener("activate", (event) => event.waitUntil(activate()))
addEventListener("message", ({ data }) => data === "take" && skipWaiting())
addEventListener("notificationclick", (event) => event.waitUntil(toThePage(event.notification)))

async function install() {
  const cache = await caches.open(KEPT)
  await cache.addAll(SHELL.map((url) => new Request(url, { cache: "reload" })))
}

async function activate() {
  for (const name of await caches.keys()) if (name !== KEPT && name !== JOBS) await caches.delete(name)
  await clients.claim()
}

addEventListener("fetch", (event) => {
  const { request } = event
  const url = new URL(request.url)
  // A fragment for htmx has the address of a page or none of its own: it is never kept, and never answered from here.
  if (request.method !== "GET" || url.origin !== location.origin || request.headers.has("HX-Request")) return
  const page = request.mode === "navigate"
  if (url.pathname === "/clock.ics") event.respondWith(calendar(url))
  else if (page && url.pathname.startsWith("/jobs/")) event.respondWith(job(request, url))
  else if (page) event.respondWith(list(request, url))
  else if (/^\/(static|pictures)\/|^\/manifest|^\/jobs\/\w+\/machine\.json$/.test(url.pathname)) event.respondWith(file(request))
})

const found = (address) => caches.match(address, { ignoreVary: true })

/** A job: the kept page at once, whatever its query; it is the page's own work to look for a newer one. */
const job = async (request, url) => (await found(url.pathname)) ?? fetch(request).catch(() => gone("This job is not kept on this phone."))

const file = async (request) => (await found(request)) ?? fetch(request)

/** A list: as it is now, or as it was when the network is too slow or gone. */
async function list(request, url) {
  const fresh = fetch(request).then(async (response) => {
    if (response.ok && response.type === "basic" && !response.redirected && !url.search) {
      await (await caches.open(KEPT)).put(url.pathname, response.clone())
    }
    return response
  })
  const late = new Promise((resolve) => setTimeout(resolve, PATIENCE))
  const first = await Promise.race([fresh.catch(() => null), late])
  const kept = (await (await caches.open(KEPT)).match(url.pathname, { ignoreVary: true })) ?? (await found(url.pathname))
  return first ?? kept ?? fresh.catch(() => gone("There is no network, and this page is not kept on this phone."))
}

const gone = (what) =>
  new Response(`<!doctype html><html lang="en"><meta name="viewport" content="width=device-width"><title>Not here</title><h1>${what}</h1><p>Jobs that said “ready offline” are on <a href="/">the shelf</a>. For this page, find a network and load it again.</p></html>`, {
    status: 503, headers: { "Content-Type": "text/html; charset=utf-8", "Content-Security-Policy": "default-src 'none'" },
  })

/** An alarm for the phone's calendar (RFC 5545), the same as the server makes: it rings when due and five minutes on. */
async function calendar(url) {
  const [title, due, job] = ["title", "due", "job"].map((name) => url.searchParams.get(name) ?? "")
  if (!title || title.length > 120 || /[\x00-\x1f\x7f-\x9f\u2028\u2029]/.test(title) || !/^[A-Za-z0-9-]{1,64}$/.test(job) || !/^\d{13}$/.test(due)) return fetch(url)
  const utc = (ms) => new Date(ms).toISOString().replace(/[-:]|\.\d{3}/g, "")
  const start = utc(+due)
  const text = title.replace(/[\\;,]/g, "\\$&")
  const bytes = new TextEncoder().encode(`${job}\n${new Date(Math.floor(due / 1000) * 1000).toISOString().replace(".000Z", "+00:00")}\n${title}`)
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes))
  const uid = Array.from(digest.slice(0, 16), (byte) => byte.toString(16).padStart(2, "0")).join("")
  const ring = (trigger) => ["BEGIN:VALARM", "ACTION:DISPLAY", `DESCRIPTION:${text}`, `TRIGGER:${trigger}`, "END:VALARM"]
  const lines = [
    "BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Droplight//wait//EN", "BEGIN:VEVENT", `SUMMARY:${text}`, `DTSTART:${start}`,
    "DURATION:PT5M", `DTSTAMP:${utc(Date.now())}`, `UID:${uid}@droplight`, ...ring("PT0S"), ...ring("PT5M"), "END:VEVENT", "END:VCALENDAR",
  ]
  return new Response(lines.map(folded).join("\r\n") + "\r\n", {
    headers: { "Content-Type": "text/calendar; charset=utf-8", "Content-Disposition": 'inline; filename="clock.ics"' },
  })
}

/** A content line in pieces of at most 75 octets; every piece after the first begins with a space (RFC 5545, 3.1). */
function folded(line) {
  const pieces = [""]
  let octets = 0
  for (const letter of line) {
    const size = new TextEncoder().encode(letter).length
    if (octets + size > 75) {
      pieces.push(" ")
      octets = 1
    }
    pieces[pieces.length - 1] += letter
    octets += size
  }
  return pieces.join("\r\n")
}

async function toThePage(notification) {
  notification.close()
  const [open] = await clients.matchAll({ type: "window", includeUncontrolled: true })
  return open ? open.focus() : clients.openWindow(notification.data?.url ?? "/")
}
