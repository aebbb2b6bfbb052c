/** The jobs that this phone has begun, on the shelf. The log knows them; the server need not. */
import { counting, line } from "./cards.js"
import { el, moment } from "./el.js"
import { byJob } from "./entry.js"
import { fold } from "./fold.js"
import { progress } from "./course.js"
import { readAll, recall } from "./log.js"

const place = document.querySelector("[data-jobs]")

async function show() {
  const now = Date.now()
  const jobs = [...byJob(await readAll())].map(([job, entries]) => ({ job, state: fold(entries) })).filter(({ state }) => state.pack)
  place.hidden = !jobs.length
  const items = await Promise.all(jobs.sort((a, b) => b.state.begun - a.state.begun).map(async ({ job, state }) => {
    const known = (await recall(`pack ${state.pack}`)) ?? null
    return el("li", {}, el("a", { class: "card pack", href: `/jobs/${state.pack}?job=${job}` }, ...words(known, state, now)))
  }))
  place.replaceChildren(el("h2", { id: "jobs-here" }, "Jobs on this phone"), el("ul", { class: "packs" }, ...items))
  place.setAttribute("aria-labelledby", "jobs-here")
}

function words(known, state, now) {
  const begun = el("span", {}, `Begun ${moment(state.begun, now)}`)
  if (!known) return [el("strong", {}, "A job"), begun]
  const pack = revive(known)
  const { done, of } = progress(pack, state)
  const clocks = counting(pack, state, now).map((wait) => el("span", {}, `${wait.name}: ${line(wait, state.waits[wait.id], now)}`))
  return [el("strong", {}, known.title), el("span", {}, `Begun ${moment(state.begun, now)} · ${done} of ${of} steps done`), ...clocks]
}

/** What the job page left of its pack, with its tables again. */
const revive = ({ steps, waits }) => ({
  steps, step: new Map(steps.map((step) => [step.id, step])), waits: new Map(waits.map((wait) => [wait.id, wait])),
})

show().catch(() => {})
setInterval(() => document.visibilityState === "visible" && show().catch(() => {}), 30_000)
addEventListener("pageshow", () => show().catch(() => {}))
if ("BroadcastChannel" in globalThis) new BroadcastChannel("droplight").addEventListener("message", () => show().catch(() => {}))
navigator.serviceWorker?.register("/sw.js").catch(() => {})
