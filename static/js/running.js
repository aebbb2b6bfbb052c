/** Everything that runs on: the strip on every screen, the cards of the clocks, and what rings when one ends. */
import * as alarm from "./alarm.js"
import { card, counting, line } from "./cards.js"
import { ago, cureIn, earliest, isOver, measured, ringing, standing, words } from "./clocks.js"
import { ending, strips } from "./course.js"
import { stretched } from "./cure.js"
import { button, el, moment, write } from "./el.js"
import { convert, readNumber } from "./units.js"
import { refusal } from "./values.js"

const $ = (selector) => document.querySelector(selector)
const MINUTE = 60_000
const COLDEST = 5 // °C, as cure.js has it
const GRAVEST = ["running", "raised", "fuel-open"] // what is said first, by the strip's id

const gravity = (strip) => (GRAVEST.indexOf(strip.split(":")[0]) + GRAVEST.length + 1) % (GRAVEST.length + 1)

export function setUp(page) {
  const cards = [] // functions that bring a card up to date
  const actions = { begin, see, end, halt, measure: (wait) => measure(page, sameBay(page, wait)) }

  for (const wait of page.pack.waits.values()) {
    cards.push(card(page, wait, $(`.wait[data-wait="${CSS.escape(wait.id)}"] .clock`), actions))
  }
  const listed = new Map() // wait → its place on the page of clocks
  function list(now) {
    const running = counting(page.pack, page.state, now)
    $("#no-clock").hidden = running.length > 0
    for (const [id, { place }] of listed) {
      if (!running.some((wait) => wait.id === id)) {
        place.remove()
        listed.delete(id)
      }
    }
    for (const wait of running) {
      if (!listed.has(wait.id)) {
        const own = el("div", { class: "clock" })
        const place = el("li", { class: "card" }, el("h3", {}, wait.name), own, el("a", { class: "button wide", href: `#step-${wait.step}`, "data-to": wait.step }, "To its step"))
        listed.set(wait.id, { place, bring: card(page, wait, own, actions) })
        $("#now .clocks").append(place)
      }
      listed.get(wait.id).bring(now)
    }
    return running
  }

  function begin(wait) {
    return page.add([["wait-begun", wait.step, { wait: wait.id, length: wait.least ?? 0 }]])
  }
  function see(wait, condition, seen) {
    return page.add([["condition-seen", wait.step, { wait: wait.id, condition, seen }]])
  }
  function end(wait) {
    const clock = page.state.waits[wait.id]
    const from = earliest(wait, clock)
    const missing = wait.until.filter((one) => !clock.seen.includes(one))
    if (missing.length) return page.say(`Not seen yet: ${missing.join("; ")}.`)
    if (from !== null && page.now() < from) return page.say(`Its time is not up: ${line(wait, clock, page.now())}.`)
    return page.add([["wait-ended", wait.step, { wait: wait.id, seen: clock.seen }]])
  }
  function halt(wait) {
    const dialog = $("#halt")
    const stop = (reason) => {
      dialog.close()
      page.add([["wait-stopped", wait.step, { wait: wait.id, reason }]])
    }
    dialog.querySelector(".reasons").replaceChildren(
      ...[...wait.stopIf, "Something else"].map((reason) => button(reason, () => stop(reason), { class: "button button-main" })),
    )
    dialog.querySelector("[data-do=no-stop]").onclick = () => dialog.close()
    dialog.showModal()
  }

  function strip(running, now) {
    const holding = [...strips(page.pack, page.state)].sort(([a], [b]) => gravity(a) - gravity(b))
      .map(([id, text]) => ({ text, ends: ending(page.pack, page.state, id) }))
    write($("#holds"), holding.map(({ text }) => `■ ${text}`).join("  "))
    const place = $("#strips")
    const shown = JSON.stringify(holding.map(({ text, ends }) => [text, ends?.id]))
    if (place.dataset.shown !== shown) {
      place.dataset.shown = shown
      place.replaceChildren(...holding.map(({ text, ends }) => el("li", {}, text,
        ...(ends ? [el("a", { class: "button wide", href: `#step-${ends.id}`, "data-to": ends.id }, `Ends with: ${ends.title}`)] : []))))
      if (!holding.length) place.append(el("li", {}, "Nothing is off, open, raised or running."))
    }
    const [first, ...more] = running
    write($("#clock-name"), first ? `◷ ${first.name}` : "")
    write($("#clock-time"), first ? `${line(first, page.state.waits[first.id], now)}${more.length ? ` · +${more.length}` : ""}` : "")
    $("#running").hidden = !first && !holding.length
  }

  let asking = null
  function call(now) {
    const [first] = ringing(page.pack.waits.values(), page.state.waits, now)
    const dialog = $("#over")
    if (!first) {
      alarm.quiet()
      asking = null
      if (dialog.open) dialog.close()
      return
    }
    const { wait, due, latest } = first
    const key = `${wait.id} ${due}`
    const title = latest ? `${wait.name}: no time left` : `${wait.name}: time is up`
    write($("#over-title"), title)
    const skin = latest && wait.kind === "open-time" ? " If the joint is not closed, the bead has skinned: scrape it off and lay it anew." : ""
    write($(".over-when"), (now - due < MINUTE ? `Just now, at ${moment(due, now)}.` : `Ended ${ago(now - due)}, at ${moment(due, now)}.`) + skin)
    alarm.ring()
    if (asking === key) return
    asking = key
    alarm.notify(title, key, location.href)
    dialog.querySelector("[data-do=heard]").onclick = async () => {
      page.add([["alarm-heard", wait.step, { wait: wait.id, due }]])
      if (ringing(page.pack.waits.values(), page.state.waits, page.now()).length) return
      dialog.close()
      const cures = [...page.pack.waits.values()].filter(({ id }) => standing(page.pack.waits.get(id), page.state.waits[id], page.now()) === "unmeasured")
      if (cures.length) await measure(page, cures)
    }
    dialog.oncancel = (event) => event.preventDefault()
    if (!dialog.open) dialog.showModal()
  }

  return function bring() {
    if (!page.record) return
    const now = page.now()
    for (const one of cards) one(now)
    strip(list(now), now)
    call(now)
  }
}

/** This cure, and every other that runs: they lie in one bay. */
const sameBay = (page, wait) =>
  [wait, ...[...page.pack.waits.values()].filter((other) => other !== wait && other.cure && page.state.waits[other.id]?.is === "running")]

/** Ask how warm and damp the bay is, and reckon the clocks of these cures anew. Nothing is lost when it is put off:
 * the label's time runs, and the clock is not over before the bay was measured. */
export function measure(page, waits) {
  const dialog = $("#bay")
  const form = dialog.querySelector("form")
  const verdict = $("#bay-verdict")
  verdict.replaceChildren()
  form.elements.humidity.value = ""
  form.elements.temperature.value = ""
  const taken = () => waits.map(({ id }) => page.state.waits[id]?.inputs).find(Boolean)
  let known = taken()
  if (known) {
    form.elements.temperature.value = known.temperature
    form.elements.humidity.value = known.humidity
    form.elements.unit.value = known.unit
  }
  return new Promise((resolve) => {
    const end = () => { dialog.close(); resolve() }
    dialog.querySelector("[data-do=measure-later]").onclick = end
    dialog.oncancel = (event) => { event.preventDefault(); end() }
    const settle = (changed) => {
      const { inputs, problem } = figures(form)
      const asks = inputs && known && changed === null && String(Object.values(inputs)) !== String(Object.values(known))
      const wrong = problem ?? (asks ? question(known, settle) : reckon(page, waits, inputs, known, changed))
      if (!wrong) return end()
      verdict.replaceChildren(...wrong)
      verdict.scrollIntoView({ block: "nearest" })
    }
    form.onsubmit = (event) => {
      event.preventDefault()
      known = taken() // a refused bay was logged, and is asked about when it is given otherwise
      settle(null)
    }
    dialog.showModal()
    $("#bay-title").tabIndex = -1
    $("#bay-title").focus({ preventScroll: true })
  })
}

/** The bay in the form. @returns {{inputs?: object, problem?: Node[]}} */
function figures(form) {
  const [temperature, humidity] = [form.elements.temperature, form.elements.humidity].map(({ value }) => readNumber(value).value)
  if (temperature === null) return { problem: [el("p", {}, "✗ The temperature is no number. Write it like 18.5.")] }
  if (humidity === null) return { problem: [el("p", {}, "✗ The humidity is no number. Write it like 45.")] }
  return { inputs: { temperature, unit: form.elements.unit.value, humidity } }
}

/** Other figures mean one of two things, and the clock has to know which: a warm morning cures no cold night. */
const question = (known, settle) => [
  el("p", {}, `Until now the clock took the bay for ${known.temperature} ${known.unit} and ${known.humidity} %. Was that reading wrong, or has the bay changed since?`),
  button("The bay has changed", () => settle(true), { "data-do": "changed" }),
  button("That reading was wrong", () => settle(false), { "data-do": "wrong" }),
]

/** Log the clocks for this bay. A clock that was never measured has stood in it from its beginning; of the others, a
 * change concerns those that are not over, and a wrong reading those that were reckoned with it.
 * @returns {Node[]|null} what is wrong, as nodes to show */
function reckon(page, waits, inputs, known, changed) {
  const now = page.now()
  const celsius = convert(inputs.temperature, inputs.unit, "°C")
  const lines = []
  let problem = null
  for (const wait of waits) {
    const clock = page.state.waits[wait.id]
    const concerned = changed ? !isOver(wait, clock, now) : String(Object.values(clock.inputs ?? {})) === String(Object.values(known ?? {}))
    if (clock.inputs && !concerned) continue
    let cure = null
    try {
      cure = stretched({ ...wait.cure, bayTemperature: celsius, bayHumidity: inputs.humidity })
    } catch (refused) {
      if (!refused.what) throw refused
      const [what, why] = refusal(refused)
      problem = [el("p", {}, el("b", {}, `✗ ${what}`), ` ${why}`)]
      if (celsius >= COLDEST) return problem // nothing is known of such a bay; a cold one is known not to cure
    }
    const whole = cure && Math.ceil(cure.minutes * MINUTE)
    const bays = measured(clock, whole, now, Boolean(changed && clock.inputs))
    const { length } = cureIn(bays)
    const working = cure ? [...shares(bays, now, cure.working), ...cure.cautions] : []
    lines.push(["wait-begun", wait.step, { wait: wait.id, inputs, began: bays[0].since, since: bays.at(-1).since, whole, length, working }])
  }
  page.add(lines)
  if (!problem) page.say(lines.map(([, , { wait, length }]) => `${page.pack.waits.get(wait).name}: ${words(length)}`).join(". "))
  return problem
}

/** The working of a cure, with the share of every bay that it has lain in. */
function shares(bays, now, working) {
  if (bays.length === 1) return working
  const percent = (share) => `${(100 * share).toFixed(1)} %`
  const { left } = cureIn(bays)
  const { since, whole } = bays.at(-1)
  const done = bays.slice(0, -1).map((bay, index) => {
    const until = bays[index + 1].since
    return `${moment(bay.since, now)} to ${moment(until, now)}: ${words(until - bay.since)} of a cure of ${words(bay.whole)} = ${percent((until - bay.since) / bay.whole)}`
  })
  return [...done, ...working, `Left from ${moment(since, now)}: ${percent(left)} of ${words(whole)} = ${words(left * whole)}`]
}
