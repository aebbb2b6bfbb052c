/** The followed job: which screen is shown, and what its controls do. Everything shown is a fold of the log. */
import * as alarm from "./alarm.js"
import * as aloud from "./aloud.js"
import { next, progress, selected, unanswered } from "./course.js"
import { button, el, moment, write } from "./el.js"
import { byJob, newId } from "./entry.js"
import * as filling from "./filling.js"
import { fold } from "./fold.js"
import * as kit from "./kit.js"
import * as log from "./log.js"
import * as offline from "./offline.js"
import * as overview from "./overview.js"
import { readPack } from "./pack.js"
import * as photos from "./photos.js"
import { Record } from "./record.js"
import * as running from "./running.js"
import { dress, head, nodeOf, openAtTick } from "./stepview.js"
import * as stops from "./stop.js"
import * as tighten from "./tighten.js"
import { held, setUp as setUpValues, show as showValue } from "./values.js"

const SAME_FINGER = 400 // ms in which a second click in the same place is the same finger
const NEAR = 48 // px
const $ = (selector) => document.querySelector(selector)
const root = document.documentElement

class Page extends EventTarget {
  pack = readPack(document)
  record = null
  step = null // the step that is shown, or was shown last
  #here = null // the screen that is shown: "cover", "overview", "now" or "step-…"
  #node = null // its element
  #phase = null // the heading of a phase that stands above it
  #soon = null // the step that lies ready to be shown
  #ticked = null
  #turn = 0 // how often another screen was asked for
  #left = null // [job, entries]: what is left of a job whose beginning is gone
  board = null // what is open at the vehicle: it comes when nobody waits
  #coming = null
  #rewritten = false // whether the phone had lost the log, and nobody has read that yet
  #seen = null // the state that is on the screen
  #prepared = []
  #bring = () => {}

  get state() {
    return this.record?.state ?? NOTHING
  }

  now() {
    return Date.now()
  }

  shown() {
    return this.#node
  }

  say(text) {
    $("#said").textContent = text
  }

  async add(lines, photo) {
    if (this.record) return this.record.add(lines, photo)
    $("#unsaved").replaceChildren("Not kept. Begin the job first: then it is.")
    $("#unsaved").hidden = false
  }

  // --- which screen

  /** Show a screen. A step with a danger or a warning comes only after its facts are stated.
   * @param {string} screen  @param {{push?: boolean, ticked?: string|null}} how */
  async go(screen, { push = true, ticked = null } = {}) {
    const id = stepOf(screen)
    const turn = ++this.#turn
    stops.end()
    kit.leave()
    tighten.leave()
    if (id) {
      const step = this.pack.step.get(id)
      if (!step) return this.go("overview", { push: false })
      const due = this.record ? unanswered(this.pack, this.state, step, this.now()) : []
      const stopping = due.filter((one) => this.pack.hazards.get(one).word !== "caution")
      if (stopping.length) {
        if (!this.#here) this.#show("overview", false)
        const stated = await stops.stop(this, stopping, id)
        if (turn !== this.#turn) return // another screen was asked for meanwhile
        if (!stated) {
          if (ticked) this.#show(`step-${ticked}`, push)
          else history.replaceState(null, "", `#${this.#here}`) // not the address of the step that stays shut
          return
        }
      }
    }
    this.#ticked = ticked
    this.#show(document.getElementById(screen)?.classList.contains("screen") ? screen : "overview", push)
  }

  #show(screen, push) {
    const step = stepOf(screen)
    const node = document.getElementById(screen)
    if (step) {
      this.step = step
      head(this, step, this.#ticked)
      dress(this, step)
    }
    if (screen === "overview") overview.dress(this)
    this.board?.dress(screen)
    this.#phaseHead(step && node.parentElement)
    this.#node?.removeAttribute("aria-current")
    node.setAttribute("aria-current", "step")
    this.#node = node
    this.#here = screen
    this.#seen = this.state
    this.#ready(null)
    this.#bar()
    scrollTo(0, 0)
    painted(() => this.#shown(screen, push))
  }

  /** What can wait until the screen is painted: on a slow phone it costs more than the screen itself. */
  #shown(screen, push) {
    if (this.#here !== screen) return
    const step = stepOf(screen)
    if (push && location.hash !== `#${screen}`) history.pushState(null, "", `#${screen}`)
    if (!$("dialog[open]")) this.#node.querySelector("h2").focus({ preventScroll: true })
    if (screen === "overview") $(`#overview .steps [data-to="${CSS.escape(this.step ?? "")}"]`)?.scrollIntoView({ block: "center" })
    this.#bring()
    this.board?.bring(screen)
    this.dispatchEvent(new Event("show"))
    if (step) idle(() => this.#here === screen && this.#ready(next(this.pack, this.state, step)?.id))
  }

  /** Lay a step out while nobody waits: then it has only to be painted when it comes. */
  #ready(step) {
    this.#soon?.removeAttribute("data-soon")
    this.#soon = step ? nodeOf(step) : null
    if (!step) return
    dress(this, step)
    this.#soon.dataset.soon = ""
    this.#soon.lastElementChild.getBoundingClientRect()
  }

  /** The words under a phase's heading stand above its first step. */
  #phaseHead(phase) {
    this.#phase?.removeAttribute("aria-current")
    const first = phase && selected(this.pack, this.state).find((step) => step.phase === phase.dataset.phase)
    this.#phase = first?.id === this.step ? phase.firstElementChild : null
    this.#phase?.setAttribute("aria-current", "true")
  }

  /** The log has changed: show what it says now. */
  refresh() {
    if (this.#seen === this.state) return
    this.#seen = this.state
    if (this.#here === "overview") overview.dress(this)
    painted(() => this.board?.bring(this.#here))
    if (stepOf(this.#here)) {
      head(this, this.step, this.#ticked)
      dress(this, this.step)
    }
    this.#bar()
    this.#bring()
  }

  #bar() {
    const { done, of } = progress(this.pack, this.state)
    write($("#done-of"), `${done}/${of}`)
    $("#to-overview").setAttribute("aria-label", `Overview: ${done} of ${of} steps done`)
    const open = next(this.pack, this.state, stepOf(this.#here) ? this.step : null)
    let on = "Done – next"
    if (!this.record) on = "Begin the job"
    else if (!stepOf(this.#here)) on = open ? "Go on" : this.#here === "overview" ? "All done – to the shelf" : "To the overview"
    else if (this.state.steps[this.step]) on = open ? "Next" : "To the overview"
    else if (!open) on = "Done – the last"
    write($("#on"), on)
    $("#bar").hidden = false
    $("#open-now").hidden = !this.record
    $("#leave-out").hidden = !stepOf(this.#here) || Boolean(this.state.steps[this.step])
  }

  // --- what its controls do

  on() {
    if (!this.record) return this.begin()
    if (!stepOf(this.#here)) return this.#onward(this.#here === "cover" || this.state.steps[this.step] ? null : this.step)
    if (this.state.steps[this.step]) return this.#onward(null)
    return this.tick()
  }

  #onward(step) {
    const to = step ?? next(this.pack, this.state, this.step)?.id
    if (!to && this.#here === "overview") return location.assign("/")
    return this.go(to ? `step-${to}` : "overview", { ticked: this.#ticked })
  }

  back() {
    if (!stepOf(this.#here)) return this.record ? this.#onward(this.step) : history.back()
    const steps = selected(this.pack, this.state)
    const at = this.pack.steps.findIndex(({ id }) => id === this.step)
    const before = steps.filter((step) => this.pack.steps.indexOf(step) < at).at(-1)
    return this.go(before ? `step-${before.id}` : "cover")
  }

  /** Tick the shown step, unless something has to be looked at first. */
  async tick() {
    const step = this.pack.step.get(this.step)
    const [caution] = unanswered(this.pack, this.state, step, this.now())
    if (caution) {
      const control = nodeOf(step.id).querySelector(`[data-hazard="${CSS.escape(caution)}"] [data-do=caution]`)
      if (!control) return this.go(`step-${step.id}`) // half an hour has gone by: asked again in full
      this.say("Read the caution first.")
      control.closest(".hazard").dataset.look = ""
      control.scrollIntoView({ block: "center" })
      return control.focus()
    }
    const gate = await this.#gate(step.id, openAtTick(this, step))
    if (!gate || step.id !== this.step || this.state.steps[step.id]) return // not now; or ticked meanwhile
    const begins = step.waits.filter(({ attended }) => !attended)
    const closes = step.closes.filter((wait) => this.state.waits[wait]?.is === "running")
    const kept = this.add([
      ...gate.passed,
      ["step-done", step.id, gate.open.length ? { open: gate.open } : {}],
      ...begins.map((wait) => ["wait-begun", step.id, { wait: wait.id, length: wait.least ?? 0 }]),
      ...closes.map((wait) => ["wait-ended", step.id, { wait, seen: [] }]),
    ])
    const cures = begins.filter(({ cure }) => cure)
    if (cures.length) await running.measure(this, cures)
    this.#leave(step.id)
    await kept
    if (!persistAsked) {
      persistAsked = true
      await offline.persist()
      showKept()
    }
  }

  #leave(ticked) {
    const to = next(this.pack, this.state, ticked)
    return this.go(to ? `step-${to.id}` : "overview", { ticked })
  }

  async passOver(data) {
    const step = this.step
    const gate = data.already ? await this.#gate(step, []) : { passed: [] }
    if (!gate || step !== this.step) return
    this.add([...gate.passed, ["step-passed-over", step, data]])
    this.#leave(step)
  }

  undo(step) {
    this.add([["step-undone", step, {}]])
    this.go(`step-${step}`)
    this.say(`Not done any more: ${this.pack.step.get(step).title}`)
  }

  /** Bring the board, once. @returns {Promise<object|null>} null: it does not come */
  bringBoard() {
    this.#coming ??= import("./board.js").then(({ setUp }) => (this.board = setUp(this, this.#here)), () => (this.#coming = null))
    return this.#coming
  }

  /** Ask about what is open before a step counts as done. @returns {Promise<{open: string[], passed: object[]}|null>} null: not now */
  async #gate(step, open) {
    const board = this.board ?? (await this.bringBoard())
    if (board) return board.gate(step, open)
    $("#unsaved").replaceChildren("Not ticked: a part of the program did not come. Find a network and tick it again.")
    $("#unsaved").hidden = false
    return null
  }

  async begin() {
    const answers = overview.chosen()
    const missing = overview.showQuestions(this, answers).find(({ id }) => !(id in answers))
    if (missing) {
      const node = $(`.question[data-question="${CSS.escape(missing.id)}"]`)
      this.say(`Answer first: ${node.querySelector("legend").textContent}`)
      node.dataset.look = ""
      node.scrollIntoView({ block: "center" })
      return node.querySelector("input").focus()
    }
    await this.follow(...(this.#left ?? [newId(), []]))
    this.add([["job-begun", null, { pack: this.pack.hash, answers }]])
    this.#remember()
    this.moveQuestions()
    history.replaceState(null, "", `${location.pathname}?job=${this.record.job}#cover`)
    const first = next(this.pack, this.state, null)
    return this.go(first ? `step-${first.id}` : "overview")
  }

  /** Leave on the phone what the shelf needs to show this job. */
  #remember() {
    const { title, steps, waits, hash } = this.pack
    log.remember(`pack ${hash}`, { title, steps, waits: [...waits.values()] }).catch(() => {})
  }

  /** Say that the log of a job cannot be followed, and what to do. `entries`: what is left of it, if anything. */
  gone(job, entries, trouble) {
    if (entries.length) this.#left = [job, entries]
    let why = "Its data was cleared, or it was begun on another phone. Saved records are not lost by that. To go on, answer and begin again: pass over the steps that are done already."
    if (entries.length) why = `Its beginning is gone: ${entries.length} ${entries.length === 1 ? "entry is" : "entries are"} left. Answer and begin again: what is left of the log goes on with it. Look at each step that shows as open: it may be done.`
    if (trouble) why = `It may still hold this job (${trouble.name}). Close other tabs of Droplight and load this page again. Begin anew only if that does not help.`
    write($("#cover-title"), trouble ? "The phone’s store does not answer" : "This phone no longer holds this job")
    $("#cover-title").after(el("p", { id: "gone", role: "alert" }, why))
  }

  /** Follow a job from now on. */
  async follow(job, entries) {
    this.record = new Record(job, await deviceName(), entries)
    this.record.addEventListener("change", () => this.refresh())
    for (const event of ["saved", "unsaved"]) this.record.addEventListener(event, () => this.#saving())
    this.record.addEventListener("rewritten", () => {
      this.#rewritten = true
      this.#remember()
      this.#saving()
    })
    this.#bring = running.setUp(this)
    setInterval(() => this.#bring(), 1_000)
    for (const event of ["focus", "pageshow", "online"]) addEventListener(event, () => this.#bring())
    for (const event of ["visibilitychange", "resume"]) document.addEventListener(event, () => this.#bring())
  }

  #saving() {
    const place = $("#unsaved")
    const { unsaved, problem } = this.record
    place.hidden = !unsaved && !this.#rewritten
    if (!unsaved) return place.replaceChildren(...(this.#rewritten ? this.#found() : []))
    const why = problem?.name === "QuotaExceededError" ? "The phone has no room left." : `The phone’s store does not answer (${problem?.name ?? "no reason given"}).`
    place.replaceChildren(
      el("p", {}, el("b", {}, `Not saved yet: ${unsaved} ${unsaved === 1 ? "entry is" : "entries are"} only in this page.`), ` ${why} Do not close the page. It is tried again by itself.`),
      button("Try again now", () => this.record.flush()),
      button("Save the record as a file", () => $("[data-do=save-record]").click()),
    )
  }

  /** What is to be known when the phone had lost the log under the page. */
  #found() {
    const { entries, state } = this.record
    const photos = state.photos.length ? ` Photos could not be written again: ${state.photos.length} of this job may be gone. Take them again.` : ""
    return [
      el("p", {}, el("b", {}, "This phone had lost the log of this job."), ` All ${entries.length} entries that this page held are written again.${photos} Save the record as a file: what was cleared once can be cleared again.`),
      button("Save the record as a file", () => $("[data-do=save-record]").click()),
      button("Understood", () => { this.#rewritten = false; this.#saving() }, { "data-do": "understood" }),
    ]
  }

  /** A newer version is there. It is taken when a person says so. */
  newer(prepare) {
    this.#prepared.push(prepare)
    for (const place of document.querySelectorAll(".new-version")) place.hidden = false
  }

  takeNewer() {
    return offline.take(this.#prepared)
  }
}

const NOTHING = fold([])

/** Do it after the next paint; at once where nothing is painted, as in a page that lies behind. */
const painted = (act) => (document.visibilityState === "hidden" ? act() : requestAnimationFrame(() => requestAnimationFrame(act)))

/** Do it when the phone has nothing else to do. */
const idle = (act) => (globalThis.requestIdleCallback ? requestIdleCallback(act, { timeout: 2_000 }) : setTimeout(act, 300))

/** @returns {string|null} the step that a screen shows */
const stepOf = (screen) => (screen?.startsWith("step-") ? screen.slice(5) : null)

let persistAsked = false

async function deviceName() {
  try {
    const known = await log.recall("device")
    if (known) return known
    const made = newId()
    await log.remember("device", made)
    return made
  } catch {
    return newId() // a phone that keeps nothing is a new one each time
  }
}

async function showKept() {
  write($("#kept"), `Kept on this phone: ${(await offline.persisted()) ? "yes" : "not promised. Save the record now and then"}.`)
}

/** The same finger twice is one press. */
function guard() {
  let last = null
  document.addEventListener("click", (event) => {
    const control = event.target.closest?.("button, a, summary")
    if (!control || !event.isTrusted) return
    const { timeStamp, clientX: x, clientY: y, detail } = event
    const twice = last && timeStamp - last.timeStamp < SAME_FINGER &&
      (detail ? Math.hypot(x - last.x, y - last.y) < NEAR : control === last.control)
    if (twice) {
      event.preventDefault()
      event.stopImmediatePropagation()
      return
    }
    last = { timeStamp, x, y, control }
  }, { capture: true })
}

function controls(page) {
  $("#on").addEventListener("click", () => page.on())
  $("#back").addEventListener("click", () => page.back())
  $("#to-overview").addEventListener("click", () => page.go("overview"))
  for (const name of ["#running", "#open-now"]) $(name).addEventListener("click", () => page.go("now"))
  history.scrollRestoration = "manual" // each screen is shown from its top
  addEventListener("popstate", () => page.go(location.hash.slice(1) || "cover", { push: false }))
  document.addEventListener("click", (event) => {
    const link = event.target.closest("[data-to]")
    if (link && page.record) {
      event.preventDefault()
      page.go(`step-${link.dataset.to}`)
    }
    const control = event.target.closest("[data-do]")
    if (control) act(page, control)
  })
  document.addEventListener("submit", (event) => {
    const place = event.target.closest(".reading")
    if (event.target.id === "why-out") {
      event.preventDefault()
      const { reason } = event.target.elements
      write($("#reason-said"), reason.value.trim() ? "" : "✗ Write why it is left out: the record needs it.")
      if (!reason.value.trim()) return reason.focus()
      page.passOver({ reason: reason.value.trim() })
      reason.value = ""
      $("#leave-out").open = false
    }
    if (!place) return
    event.preventDefault()
    const { value, unit, verdict } = held(event.target)
    showValue(event.target)
    if (value === null) event.target.elements.value.focus()
    else take(page, place, { value, unit, verdict })
  })
}

function act(page, control) {
  const hazard = control.closest("[data-hazard]")?.dataset.hazard
  switch (control.dataset.do) {
    case "already": return page.passOver({ already: true })
    case "caution": return page.add([["hazard-answered", page.step, { hazard, fact: control.textContent }]])
    case "look": {
      const place = control.closest(".reading")
      return take(page, place, { value: control.textContent.replace(/^. /, ""), unit: "", verdict: control.value })
    }
    case "bolts": return tighten.begin(page, control)
    case "take-new": return page.takeNewer()
    case "awake": return awake(control)
    case "notify": return alarm.askToNotify().then((text) => write($("#ring-said"), text))
  }
}

function take(page, place, taken) {
  const reading = place.dataset.reading
  const before = page.state.readings[reading]
  page.add([["reading-taken", page.step, { reading, ...taken, ...(before ? { corrects: before.entry } : {}) }]])
}

async function awake(control) {
  const on = await alarm.stayAwake(!alarm.isAwake())
  control.setAttribute("aria-pressed", String(on === true))
  write($("#ring-said"), on === null ? "This browser cannot keep the screen awake." : on ? "The screen stays awake while this page is open." : "The screen sleeps as usual.")
}

/** Jobs of this very pack that this phone has begun. */
async function others(page) {
  const own = [...byJob(await log.readAll())].map(([job, entries]) => [job, fold(entries)]).filter(([, { pack }]) => pack === page.pack.hash)
  $("#others").hidden = !own.length
  $("#others").replaceChildren(...own.sort(([, a], [, b]) => b.begun - a.begun).map(([job, state]) => {
    const { done, of } = progress(page.pack, state)
    return el("li", {}, el("a", { class: "button wide", href: `?job=${job}` }, `Go on with the job begun ${moment(state.begun, page.now())}: ${done} of ${of} steps done`))
  }))
}

/** Scripts are asynchronous, or else the browser would not look at the address's fragment before they have come. */
const parsed = () =>
  document.readyState === "loading" ? new Promise((resolve) => document.addEventListener("DOMContentLoaded", resolve)) : null

async function start() {
  await parsed()
  const page = new Page()
  guard()
  alarm.setUp()
  setUpValues()
  const asked = new URLSearchParams(location.search)
  const job = asked.get("job")
  let trouble = null
  if (job) {
    const entries = await log.read(job).catch((error) => { trouble = error; return [] })
    if (fold(entries).pack) await page.follow(job, entries)
    else page.gone(job, entries, trouble)
  }
  overview.setUp(page)
  photos.setUp(page)
  filling.setUp(page)
  kit.setUp()
  tighten.setUp()
  controls(page)
  if (page.record) page.moveQuestions()
  overview.showQuestions(page, page.record ? page.state.answers : Object.fromEntries([...asked].filter(([name]) => page.pack.questions.some(({ id }) => id === name))))
  const first = page.record ? next(page.pack, page.state, null) : null
  const hash = location.hash.slice(1)
  await Promise.race([
    page.go(page.record ? hash || (first ? `step-${first.id}` : "overview") : "cover", { push: false }),
    new Promise(requestAnimationFrame), // a stop may wait for its answer; the rest goes on
  ])
  root.dataset.live = ""
  aloud.setUp(page)
  showKept()
  if (!page.record) others(page).catch(() => {})
  offline.setUp(page)
  idle(() => page.bringBoard())
}

start()
