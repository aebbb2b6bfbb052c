/** What is open at the vehicle, what stands in the way, and how to stop: the tables of the machine and the log, in words
 * and links. The module comes when nobody waits; what it draws on a step is drawn when the step is painted. */
import { again, ask, distinct, together } from "./ahead.js"
import { counting } from "./cards.js"
import { ending, selected, strips } from "./course.js"
import { el, write } from "./el.js"
import { board, KINDS, permits, stopSafely, unmet } from "./machine.js"
import { tables } from "./tables.js"

const HEADS = {
  open: "Open", in: "Still in", off: "Off", undone: "Undone", loose: "Not tight", wet: "Not cured", drained: "Not full, or not bled",
  raised: "Raised or held", locked: "Locked off", running: "Running or switched on",
}
const GATES = {
  start: "To start the engine", fill: "To fill", lower: "To lower the vehicle", move: "To move the vehicle", "hand-over": "To hand over",
}
const MOMENTS = { starts: "start", fills: "fill", lowers: "lower", moves: "move", end: "hand-over" }
const WEIGHT = { danger: 0, error: 1, warning: 2 }
const PATIENCE = 3_000 // ms that a tick waits for tables that have not come
const UNKNOWN = "What is open at the vehicle is not known: the tables of this job did not come. Look at it yourself."
const SHORT = 3 // what a step says of itself at most; the rest stands on the board
const $ = (selector) => document.querySelector(selector)
const big = (text) => text[0].toUpperCase() + text.slice(1)
const many = (count, one) => `${count} ${one}${count === 1 ? "" : "s"}`

/** @param {string} here the screen that is shown  @returns what the page asks of the board */
export function setUp(page, here) {
  let model = null
  const load = () => tables().then((plain) => { model = plain; bring(here) }, () => null)
  const title = (id) => page.pack.step.get(id)?.title ?? id
  const to = (id, words = "") => el("a", { class: "button wide", href: `#step-${id}`, "data-to": id }, `${words}${title(id)}`)

  /** A link to the step that puts something right; one that was left out says so, and one that was done too early. */
  const cure = (id, words) => to(id, again(page.state, id) || words)

  /** What a step misses, the gravest first. text: a sentence; to: where it is put right, or else where it came from. */
  function missed(step) {
    if (known.state !== page.state) known = { state: page.state, by: {} }
    return (known.by[step] ??= judged(step, page.state)) // a tick asks what was worked out when its step was shown
  }
  let known = {}

  const judged = (step, state) =>
    unmet(model, page.pack, state, step)
      .map((one) => ({ ...one, word: one.danger ? "danger" : one.severity, text: one.fix || !one.do ? one.what : `${one.what}. ${one.do}`, to: one.fix ?? one.since, gate: named(one, step) }))
      .sort((a, b) => WEIGHT[a.word] - WEIGHT[b.word])

  /** The gate that a need belongs to; the moment itself, where it is none. */
  const named = ({ moment }, step) =>
    MOMENTS[moment] ?? (moment.startsWith("cranks-") ? "start" : Object.keys(GATES).find((one) => model.gates[one]?.includes(step))) ?? moment

  /** What is missed, with the way to put it right: what one step puts right stands together. */
  const lines = (found, linked = new Set()) => together(found).map((own) => {
    const [{ to: there, fix, word }] = own
    return el("li", { "data-word": word },
      ...own.map(({ text }) => el("p", {}, text)),
      ...(word === "danger" ? [el("p", {}, el("b", {}, "This has to be put right first."))] : word === "warning" ? [el("p", {}, "Look at it. It stops nothing.")] : []),
      ...(there && !linked.has(there) ? [fix ? cure(fix, "Put right: ") : to(there, "It came with: ")] : []))
  })

  let count = null
  let drawn = {}
  const shown = new Map() // place → what it shows

  /** Draw the screen that is coming, before it is painted. */
  function dress(screen) {
    here = screen
    $("#missing").hidden = true
    write($("#laid-down"), "")
    draw(screen)
  }

  function draw(screen) {
    if (!page.record || !model || !(screen in SCREENS) || (drawn.screen === screen && drawn.state === page.state)) return
    drawn = { screen, state: page.state }
    SCREENS[screen]()
  }

  /** Bring the count and what is shown up to date with the log: after the paint, when nobody waits for it. */
  function bring(screen) {
    if (!page.record || !model) return
    draw(screen)
    tally()
    miss(screen)
  }

  /** What was done for an answer that was changed since, and still holds: by the answers it is not on this vehicle.
   * @returns {[string, string|null][]} its words, and the step that ends it */
  function others(things) {
    const { pack, state } = page
    const ended = new Set(things.map(({ fix }) => fix))
    const held = [...strips(pack, state)].map(([id, text]) => [text, ending(pack, state, id)?.id])
      .filter(([, ends]) => ends && !ended.has(ends))
    if (!pack.questions.length) return held
    const own = new Set(things.map(({ id }) => id))
    for (const [, ends] of held) ended.add(ends)
    const left = board(model, pack, { ...state, answers: {} }).filter(({ id, since, fix }) => since && !own.has(id) && !ended.has(fix))
    return [...held, ...left.map(({ name, words, fix }) => [`${big(name)}: ${words}`, fix])]
  }

  function tally() {
    const own = board(model, page.pack, page.state)
    const things = own.length + others(own).length
    const clocks = counting(page.pack, page.state, page.now()).length
    write($("#board-told"), `${things ? many(things, "thing") : "Nothing is"} open, off or loose. ${clocks ? `${many(clocks, "clock")} running` : "No clock runs"}.`)
    write($("#open-now b"), String(things + clocks))
    if (count !== null && count !== things + clocks) write($("#open-said"), `Open now: ${things + clocks}`)
    count = things + clocks
  }

  /** Say on a step what it misses: what was left out or taken back before it, or is still to come. */
  function miss(screen) {
    const place = $("#missing")
    if (screen === "overview") return whole(place)
    const step = screen?.startsWith("step-") ? screen.slice(5) : null
    const done = Boolean(page.state.steps[step])
    const found = step ? missed(step) : []
    const passed = done ? page.state.permits.filter((one) => one.step === step) : []
    place.hidden = !found.length && !passed.length
    if (place.hidden) return
    const notice = $("#notice")
    const linked = new Set(notice.hidden ? [] : [...notice.querySelectorAll("[data-to]")].map((link) => link.dataset.to))
    const more = found.length - SHORT
    replace(place, JSON.stringify([step, done, found, passed, [...linked]]), () => [
      ...(found.length ? [el("p", {}, el("b", {}, done ? "By the ticks that stand now, this was missed:" : "Not ready for this step:"))] : []),
      el("ul", { class: "misses" }, ...lines(found.slice(0, SHORT), linked)),
      ...(more > 0 ? [el("a", { class: "button wide", href: "#now" }, `${more} more: open now`)] : []),
      ...passed.map(({ reason }) => el("p", {}, `Passed all the same: ${reason}`)),
    ])
    notice.after(place)
  }

  /** Say on the overview, when no step is left to do, what is still not whole: steps can be left out to the last one. */
  function whole(place) {
    const left = selected(page.pack, page.state).some(({ id }) => !page.state.steps[id])
    const found = left ? [] : missed("")
    const count = distinct(found.filter(({ word }) => word !== "warning")).length
    place.hidden = !count
    if (!count) return
    write($("#on"), "To the shelf")
    replace(place, JSON.stringify(["overview", found, page.state.steps]), () => [
      el("p", {}, el("b", {}, `No step is left, and ${many(count, "thing")} ${count === 1 ? "is" : "are"} not put right:`)),
      el("ul", { class: "misses" }, ...lines(found)),
    ])
    $("#standing").after(place)
  }

  /** Draw a place anew only when something differs: what has the focus keeps it. */
  function replace(place, key, nodes) {
    if (shown.get(place) === key) return
    shown.set(place, key)
    place.replaceChildren(...nodes())
  }

  const SCREENS = {
    now() {
      tally()
      $("#strips").hidden = true // the board says the same, and more
      $("#to-permits").hidden = false
      const things = board(model, page.pack, page.state)
      const left = others(things)
      replace($("#board"), JSON.stringify([things, left, page.state.steps]), () => [
        ...KINDS.flatMap((kind) => section(HEADS[kind], alike(things.filter((one) => one.kind === kind)).map(thing))),
        ...section("Done for another answer", left.map(([text, ends]) => el("li", {}, el("p", {}, el("b", {}, text)), ...(ends ? [to(ends, "Ends with: ")] : [])))),
      ])
      const gates = permits(model, page.pack, page.state)
      const opened = new Set([...document.querySelectorAll("#permits details[open]")].map(({ dataset }) => dataset.gate))
      replace($("#permits"), JSON.stringify([gates, page.state.steps]), () =>
        [el("h3", { tabindex: "-1" }, "What stands in the way"), ...gates.map((one) => permit(one, opened))])
    },
    safe() {
      const { open, steps, tag } = stopSafely(model, page.pack, page.state)
      const way = []
      if (open.length) {
        way.push(el("h3", {}, "Do this first"), el("ol", { class: "misses" }, ...open.map((one) =>
          el("li", {}, el("p", {}, one.do || one.what), ...(one.fix ? [cure(one.fix, "By the step: ")] : [])))))
      }
      if (steps.length) {
        way.push(el("h3", {}, open.length ? "Or go on to where the job can be left" : "Or go on to the next planned stop"),
          el("ol", { class: "misses" }, ...steps.map((id) => el("li", {}, to(id)))))
      }
      if (!open.length) way.unshift(el("p", {}, el("b", {}, "The work can be laid down now.")))
      $("#safe-way").replaceChildren(...way)
      write($("#tag"), tag)
    },
  }

  const section = (head, items) => (items.length ? [el("h3", {}, head), el("ul", { class: "misses" }, ...items)] : [])

  /** Things that one step brought and one step ends. */
  const alike = (things) => {
    const groups = new Map()
    for (const one of things) {
      const key = `${one.since} ${one.fix}`
      groups.set(key, [...(groups.get(key) ?? []), one])
    }
    return [...groups.values()]
  }

  const thing = (own) => {
    const [{ since, fix }] = own
    return el("li", {}, ...own.map(({ name, words }) => el("p", {}, el("b", {}, big(name)), `: ${words}`)),
      el("div", { class: "pair" }, since ? to(since, "Since: ") : el("span", {}, "So from the start"),
        fix ? cure(fix, "Ends with: ") : el("span", {}, "No step of this job ends it")))
  }

  function permit({ gate: name, step, open }, opened) {
    const [found, asked] = [distinct(missed(step ?? "")), GATES[name]]
    if (!open.length) return el("p", { class: "free" }, `✓ ${asked}: nothing in the way`)
    const heavy = found.filter(({ word }) => word !== "warning").length
    return el("details", { "data-gate": name, open: opened.has(name) },
      el("summary", {}, heavy ? `${asked}: ${heavy} in the way` : `✓ ${asked}: nothing in the way, ${found.length} to look at`),
      ...(step ? [to(step, "The step: ")] : []),
      el("ul", { class: "misses" }, ...lines(found)))
  }

  /** What has to be asked about before a step counts as done: what it misses, then what is open in the order of steps;
   * when it is the last one, also what stands in the way of handing over. Warnings alone ask nothing. */
  function before(step, open) {
    const { state } = page
    const last = !selected(page.pack, state).some(({ id }) => id !== step && !state.steps[id])
    const after = { ...state, steps: { ...state.steps, [step]: { is: "done", at: page.now(), stamp: Number.MAX_VALUE } } } // the latest of all
    const found = [...missed(step), ...(last ? judged("", after) : [])]
    const [heavy, light] = [found.filter(({ word }) => word !== "warning"), found.filter(({ word }) => word === "warning")]
    const told = new Set(heavy.map(({ fix }) => fix))
    const asked = [...heavy, ...open.filter((one) => !told.has(one.to))]
    return asked.length ? [...asked, ...light] : []
  }

  /** Ask about what is open before a step counts as done. What is not known is asked about too.
   * @returns {Promise<{open: string[], passed: object[]}|null>} what was open, and the entries of the gates that were
   * passed; null: not now */
  async function gate(step, open) {
    if (!model) await Promise.race([load(), new Promise((late) => setTimeout(late, PATIENCE))])
    const look = () => (model ? before(step, open) : [...open, { text: UNKNOWN, to: null }])
    let [found, reason, asked] = [look(), "", null]
    while (found.length && asked !== said(found)) { // another tab may change what is so while it is asked
      asked = said(found)
      reason = await ask(page, found)
      if (reason === null) return null
      found = look()
    }
    const waived = found.filter(({ word }) => word === "error")
    const passed = [...new Set(waived.map((one) => one.gate))].map((name) => {
      const rules = waived.filter((one) => one.gate === name).map(({ rule }) => rule)
      return ["permit-passed", step, { gate: name, rules: [...new Set(rules)], reason }]
    })
    return { open: found.map(({ text }) => text), passed }
  }

  /** What is asked about; a clock in it may go on. */
  const said = (found) => JSON.stringify(found.map(({ word, id, rule, to }) => [word, id, rule, to]))

  document.addEventListener("click", ({ target }) => {
    if (target.closest("#to-permits")) {
      $("#permits h3").scrollIntoView()
      $("#permits h3").focus({ preventScroll: true })
    }
    if (!target.closest("[data-do=lay-down]")) return
    const tag = $("#tag").textContent.split("\n").filter((line) => !line.includes("____"))
    page.add([["note", page.step, { text: `Work laid down. ${tag.join(". ")}.` }]])
    write($("#laid-down"), "✓ Noted.")
  })
  setInterval(() => page.record && model && tally(), 10_000) // clocks end by themselves
  load()
  return { bring, dress, gate }
}
