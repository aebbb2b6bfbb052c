/** The kit: the owner's torque wrenches, adapter and drills. Kept on this phone for every job, in no job's log.
 *
 * @typedef {{id: string, called: string, least: number, most: number, graduation: number, unit: string,
 *            calibrated: number|null, dropped: boolean}} Own  calibrated: epoch milliseconds
 * @typedef {{wrench: string, length: number, extension: number, unit: "mm"|"in", angle: number, way: string,
 *            on: boolean}} Adapter  wrench: the id of the one it sits on
 * @typedef {{wrenches: Own[], adapter: Adapter|null, drills: string[]}} Chest
 */
import { button, el, write } from "./el.js"
import { newId } from "./entry.js"
import * as log from "./log.js"
import { convert, readNumber } from "./units.js"
import { factor, fault, four, nameOf, Refused } from "./wrench.js"

const $ = (selector) => document.querySelector(selector)
const MONTH = 30.44 * 24 * 3_600_000 // ms
const SERIES = { metric: "metric, by millimetres", fraction: "fractions of an inch", number: "numbers", letter: "letters" }

/** @type {Chest} */
export const EMPTY = { wrenches: [], adapter: null, drills: [] }

let chest = EMPTY

/** @returns {Promise<Chest>} the kit of this phone, as another tab may have left it */
export async function read() {
  try {
    chest = { ...EMPTY, ...(await log.recall("kit")) }
  } catch {
    // the phone's store does not answer: what this page holds counts
  }
  return chest
}

/** Keep a kit. It counts at once; when the phone does not keep it, that is said. @param {Chest} next */
export async function keep(next) {
  chest = next
  try {
    await log.remember("kit", next)
  } catch (error) {
    write($("#kit-unsaved"), `✗ Only in this page: the phone’s store does not answer (${error.name}).`)
  }
  return next
}

/** An owner's wrench as wrench.js wants it: months since it was calibrated, counted now. @param {Own} own */
export const asWrench = (own) => ({ ...own, months: own.calibrated === null ? null : Math.max(0, Math.round((Date.now() - own.calibrated) / MONTH)) })

/** @param {Adapter} adapter  @returns {import("./wrench.js").Adapter} */
export const inMillimetres = ({ length, extension, unit, angle, way }) =>
  ({ length: convert(length, unit, "mm"), extension: convert(extension, unit, "mm"), angle, way })

// --- The dialog

let closed = () => {}
let changing = null // the id of the wrench in the form

/** Show the kit. @returns {Promise<Chest>} the kit as it is when the dialog is left */
export async function open() {
  await read()
  told()
  edit(null)
  show()
  $("#kit").showModal()
  $("#kit").scrollTop = 0
  $("#kit-title").focus({ preventScroll: true })
  return new Promise((resolve) => { closed = resolve })
}

/** Leave the kit, if it is open: another screen comes. */
export const leave = () => $("#kit").close()

function show() {
  $("#kit-wrenches").replaceChildren(...chest.wrenches.map((own) => {
    const { months, dropped } = asWrench(own)
    const more = [`marks ${four(own.graduation)} ${own.unit}`, months === null ? "" : `calibrated ${months} ${months === 1 ? "month" : "months"} ago`, dropped ? "dropped" : ""]
    return el("li", {}, el("b", {}, own.called ? `${own.called}, ${nameOf(own)}` : nameOf(own)), el("span", {}, more.filter(Boolean).join(", ")),
      el("div", { class: "pair" }, button("Change", () => edit(own), { "aria-label": `Change ${nameOf(own)}` }),
        button("Remove", () => remove(own), { "aria-label": `Remove ${nameOf(own)}` })))
  }))
  const { adapter } = chest
  const place = $("#kit-adapter")
  $("#kit-adapter-part").hidden = !chest.wrenches.length
  place.elements.wrench.replaceChildren(...chest.wrenches.map((own) => el("option", { value: own.id, selected: own.id === adapter?.wrench }, own.called || nameOf(own))))
  const fields = { lever: adapter?.length, extension: adapter?.extension, angle: adapter?.angle }
  for (const [name, value] of Object.entries(fields)) place.elements[name].value = value ?? ""
  place.elements.unit.value = adapter?.unit ?? (document.documentElement.dataset.units === "us" ? "in" : "mm")
  place.elements.way.value = adapter?.way ?? place.elements.way[0].value
  $("[data-do=remove-adapter]").hidden = !adapter
  for (const box of document.querySelectorAll("#kit [name=drills]")) box.checked = chest.drills.includes(box.value)
}

/** Say what was done, with the way back. @param {Chest} [before] */
function told(text = "", before = null) {
  const undo = () => keep(before).then(() => { show(); told("Undone"); $("#kit-title").focus() })
  $("#kit-said").replaceChildren(...(text ? [el("span", {}, text)] : []))
  $("#kit-undo").replaceChildren(...(before ? [button("Undo", undo, { "data-do": "kit-undo" })] : []))
}

async function change(next, text) {
  const before = chest
  await keep({ ...chest, ...next })
  show()
  told(text, before)
}

const remove = (own) =>
  change({
    wrenches: chest.wrenches.filter(({ id }) => id !== own.id),
    adapter: chest.adapter?.wrench === own.id ? null : chest.adapter,
  }, `Removed: ${nameOf(own)}${chest.adapter?.wrench === own.id ? ", and the adapter on it" : ""}`).then(() => $("#kit-add").focus())

/** Open the form for a wrench, a new one, or close it. @param {Own|"new"|null} own */
function edit(own) {
  const form = $("#kit-wrench")
  form.hidden = !own
  $("#kit-add").hidden = Boolean(own)
  form.reset()
  clear(form)
  if (!own) return
  changing = own.id ?? null
  const unit = document.documentElement.dataset.units === "us" ? "lbf·ft" : "N·m"
  form.elements.unit.value = own.unit ?? unit
  if (own.id) {
    for (const name of ["called", "least", "most", "graduation"]) form.elements[name].value = own[name]
    form.elements.months.value = asWrench(own).months ?? ""
    form.elements.dropped.checked = own.dropped
  }
  form.elements.called.focus()
}

const said = (input) => document.getElementById(input.getAttribute("aria-describedby"))

function clear(form) {
  for (const input of form.querySelectorAll("[aria-describedby]")) {
    input.removeAttribute("aria-invalid")
    write(said(input), "")
  }
}

const sentences = ({ what, write: instead }) => `${what[0].toUpperCase()}${what.slice(1)}. ${instead}.`

/** Say beside a field what is wrong with it; the first such field gets the focus. */
function wrong(input, text) {
  if (!input.form.querySelector("[aria-invalid]")) input.focus()
  input.setAttribute("aria-invalid", "true")
  write(said(input), `✗ ${text}`)
  return null
}

/** The number in a field. A field that may stay empty gives null. */
function number(input, optional = null) {
  if (!input.value.trim() && optional !== null) return optional
  const { value, ask } = readNumber(input.value)
  if (ask.length) return wrong(input, `Is that ${ask.join(" or ")}? Write it without the comma.`)
  return value ?? wrong(input, "That is no number. Write it like 25.5.")
}

function keepWrench(event) {
  event.preventDefault()
  const form = event.target
  const { called, least, most, graduation, unit, months, dropped } = form.elements
  clear(form)
  const none = months.value.trim() === ""
  const own = {
    id: changing ?? newId(), called: called.value.trim(), unit: unit.value, dropped: dropped.checked,
    least: number(least), most: number(most), graduation: number(graduation), months: none ? null : number(months),
  }
  if (form.querySelector("[aria-invalid]")) return
  const problem = fault(own)
  if (problem) return void wrong(own.months !== null && !fault({ ...own, months: null }) ? months : fault({ ...own, graduation: own.most / 2, months: null }) ? most : graduation, sentences(problem))
  const { months: ago, ...rest } = own
  rest.calibrated = ago === null ? null : Date.now() - ago * MONTH
  const others = chest.wrenches
  const wrenches = changing ? others.map((one) => (one.id === changing ? rest : one)) : [...others, rest]
  change({ wrenches }, `${changing ? "Changed" : "Added"}: ${nameOf(rest)}`).then(() => { edit(null); $("#kit-add").focus() })
}

function keepAdapter(event) {
  event.preventDefault()
  const form = event.target
  const { wrench, lever, extension, angle, unit, way } = form.elements
  clear(form)
  const adapter = {
    wrench: wrench.value, unit: unit.value, way: way.value, on: true,
    length: number(lever), extension: number(extension), angle: number(angle, 0),
  }
  if (form.querySelector("[aria-invalid]")) return
  try {
    factor(inMillimetres(adapter))
  } catch (refused) {
    if (!(refused instanceof Refused)) throw refused
    const field = refused.what.includes("wrench's length") ? lever : refused.what.includes("°") ? angle : extension
    return void wrong(field, sentences(refused))
  }
  change({ adapter }, "Kept: the adapter")
}

export function setUp() {
  $("#kit-wrench").addEventListener("submit", keepWrench)
  $("#kit-adapter").addEventListener("submit", keepAdapter)
  $("#kit-add").addEventListener("click", () => edit("new"))
  $("#kit [data-do=kit-no]").addEventListener("click", () => { edit(null); $("#kit-add").focus() })
  $("[data-do=remove-adapter]").addEventListener("click", () => change({ adapter: null }, "Removed: the adapter"))
  $("#kit [data-do=kit-leave]").addEventListener("click", leave)
  $("#kit").addEventListener("close", () => closed(chest)) // by its control, by Escape or by the phone's own way back
  $("#kit-drills").addEventListener("change", () => {
    const drills = [...document.querySelectorAll("#kit [name=drills]:checked")].map(({ value }) => value)
    const names = drills.map((one) => SERIES[one])
    change({ drills }, names.length ? `Drills: ${names.join("; ")}` : "No drills")
  })
  $("#to-kit").addEventListener("click", () => open())
}
