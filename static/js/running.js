/** Everything that runs on: the strip on every screen, the cards of the clocks, and what rings when one ends. */
import * as alarm from "./alarm.js"
import { card, counting, line } from "./cards.js"
import { ago, earliest, ringing, standing, words } from "./clocks.js"
import { strips } from "./course.js"
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
  const actions = { begin, see, end, halt, measure: (waits) => measure(page, waits) }

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
    const holding = [...strips(page.pack, page.state)].sort(([a], [b]) => gravity(a) - gravity(b)).map(([, text]) => text)
    write($("#holds"), holding.map((text) => `■ ${text}`).join("  "))
    const place = $("#strips")
    if (place.dataset.shown !== String(holding)) {
      place.dataset.shown = String(holding)
      place.replaceChildren(...(holding.length ? holding : ["Nothing is off, open, raised or running."]).map((text) => el("li", {}, text)))
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
    write($(".over-when"), now - due < MINUTE ? `Just now, at ${moment(due, now)}.` : `Ended ${ago(now - due)}, at ${moment(due, now)}.`)
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

/** Ask how warm and damp the bay is, and reckon the clocks of these cures anew. Nothing is lost when it is put off:
 * the label's time runs, and the clock is not over before the bay was measured. */
export function measure(page, waits) {
  const dialog = $("#bay")
  const form = dialog.querySelector("form")
  const verdict = $("#bay-verdict")
  verdict.replaceChildren()
  form.elements.humidity.value = ""
  form.elements.temperature.value = ""
  const known = waits.map(({ id }) => page.state.waits[id]?.inputs).find(Boolean)
  if (known) {
    form.elements.temperature.value = known.temperature
    form.elements.humidity.value = known.humidity
    form.elements.unit.value = known.unit
  }
  return new Promise((resolve) => {
    const end = () => { dialog.close(); resolve() }
    dialog.querySelector("[data-do=measure-later]").onclick = end
    dialog.oncancel = (event) => { event.preventDefault(); end() }
    form.onsubmit = (event) => {
      event.preventDefault()
      const problem = reckon(page, waits, form)
      if (problem) verdict.replaceChildren(...problem)
      else end()
    }
    dialog.showModal()
    $("#bay-title").tabIndex = -1
    $("#bay-title").focus({ preventScroll: true })
  })
}

/** Log the clocks for the bay in the form. @returns {Node[]|null} what is wrong, as nodes to show */
function reckon(page, waits, form) {
  const [temperature, humidity] = [form.elements.temperature, form.elements.humidity].map(({ value }) => readNumber(value).value)
  if (temperature === null) return [el("p", {}, "✗ The temperature is no number. Write it like 18.5.")]
  if (humidity === null) return [el("p", {}, "✗ The humidity is no number. Write it like 45.")]
  const unit = form.elements.unit.value
  const celsius = convert(temperature, unit, "°C")
  const inputs = { temperature, unit, humidity }
  const lines = []
  for (const wait of waits) {
    const clock = page.state.waits[wait.id]
    const data = { wait: wait.id, inputs }
    try {
      const { minutes, working, cautions } = stretched({ ...wait.cure, bayTemperature: celsius, bayHumidity: humidity })
      // What was refused for cold has not cured until now; every other clock runs from when it began.
      const began = clock.length === null ? {} : { began: clock.began }
      lines.push(["wait-begun", wait.step, { ...data, ...began, length: Math.ceil(minutes * MINUTE), working: [...working, ...cautions] }])
    } catch (refused) {
      if (!refused.what) throw refused
      if (celsius < COLDEST) page.add(waits.map(({ id, step }) => ["wait-begun", step, { ...data, wait: id, began: page.state.waits[id].began, length: null, working: [] }]))
      const [what, why] = refusal(refused)
      return [el("p", {}, el("b", {}, `✗ ${what}`), ` ${why}`)]
    }
  }
  page.add(lines)
  page.say(lines.map(([, , { wait, length }]) => `${page.pack.waits.get(wait).name}: ${words(length)}`).join(". "))
  return null
}
