/** Tightening bolt by bolt: which pass, which bolt, what is set on the wrench. Each bolt is an entry of the log, so a
 * reload, a killed browser or a second tab lose nothing.
 *
 * @typedef {{group: string, name: string, order: number[], numbering: string, rounds: Round[]}} Plan
 * @typedef {{id: string, name: string, figures: object[], flats?: string}} Round  a pass, a turn or the check
 */
import { button, el, write } from "./el.js"
import * as kit from "./kit.js"
import { cautions, choose, corrected, four, nameOf, Refused } from "./wrench.js"
import { convert } from "./units.js"

const $ = (selector) => document.querySelector(selector)
const LARGER = 1.4 // the next bolt, against the others
const LEAST = 16 // drawing units: its smallest radius

/** Where a group stands. Pure.
 * @param {Plan} plan  @param {Object<string, number[]>} turned  round → bolts
 * @returns {{round: Round|null, bolt: number|null, done: number[], begun: boolean, last: {round: Round, bolt: number}|null}}
 *   round: the first with an open bolt; null when all is done. last: what a take-back takes */
export function standing({ order, rounds }, turned = {}) {
  const of = ({ id }) => (turned[id] ?? []).filter((bolt) => order.includes(bolt))
  const round = rounds.find((one) => of(one).length < order.length) ?? null
  const done = round ? of(round) : []
  const latest = rounds.findLast((one) => of(one).length) ?? null
  return {
    round, done,
    bolt: round ? order.find((bolt) => !done.includes(bolt)) : null,
    begun: Boolean(latest),
    last: latest && { round: latest, bolt: of(latest).at(-1) },
  }
}

/** What is open of a group that was begun, in words; empty when nothing is. @param {Plan} plan */
export function openWords(plan, turned) {
  const { round, bolt, done, begun } = standing(plan, turned)
  if (!begun || !round) return ""
  const more = plan.order.length - done.length - 1
  const later = plan.rounds.slice(plan.rounds.indexOf(round) + 1)
  const first = `${short(round)}, bolt ${bolt}${more ? ` and ${more} more` : ""}`
  return [first, ...later.map(short)].join("; ")
}

/** “Pass 2 of 3” is pass 2, where one pass is spoken of among others. */
const short = ({ name }) => name.replace(/ of \d+$/, "").toLowerCase()

/** The figures that a bolt has in a round: its own, or those that are not for other bolts. */
export function figuresOf({ figures }, bolt) {
  const own = figures.filter(({ at }) => at?.includes(bolt))
  return own.length ? own : figures.filter(({ at }) => !at)
}

const plans = (node) =>
  [...node.querySelectorAll("[data-bolts]")].map((figure) => ({ figure, plan: JSON.parse(figure.dataset.bolts) }))

const turnedIn = (page, step, { group }) => page.state.bolts[step]?.[group]

/** What is open of the groups of a step that were begun bolt by bolt. @returns {string[]} */
export function open(page, step, node) {
  const begun = page.state.bolts[step]
  if (!begun) return []
  const words = plans(node).map(({ plan }) => [plan, openWords(plan, begun[plan.group])]).filter(([, text]) => text)
  return words.map(([{ name }, text]) => `Bolts not done${words.length > 1 ? ` (${name})` : ""}: ${text}`)
}

/** Bring the controls of a step, and the panel when it is open, up to date with the log. */
export function dress(page, step, node) {
  for (const { figure, plan } of plans(node)) {
    const { round, done, begun } = standing(plan, turnedIn(page, step, plan))
    let text = "Tighten bolt by bolt"
    if (begun) text = round ? `Go on bolt by bolt: ${short(round)}, ${done.length} of ${plan.order.length} done` : "✓ Tightened bolt by bolt"
    write(figure.querySelector("[data-do=bolts] span"), text)
  }
  if (shown?.step === step) show()
}

// --- The panel

let shown = null // {page, step, plan, chest}

const showAgain = () => shown && show()

/** Leave the panel, if it is open: another screen comes. */
export function leave() {
  if (!shown) return
  shown = null
  $("#bolts").close()
}

/** Follow the group of a control bolt by bolt. */
export async function begin(page, control) {
  if (!page.record) return page.add([])
  for (const event of ["saved", "unsaved"]) page.record.addEventListener(event, showAgain)
  const figure = control.closest("[data-bolts]")
  shown = { page, step: page.step, plan: JSON.parse(figure.dataset.bolts), chest: kit.EMPTY }
  const drawing = figure.querySelector("svg").cloneNode(true)
  for (const one of drawing.querySelectorAll(".bolt")) number(one)
  $("#bolts-drawing").replaceChildren(drawing)
  write($("#bolts-title"), `Tighten: ${shown.plan.name}`)
  write($("#bolts-numbers"), `Bolts are numbered ${shown.plan.numbering}.`)
  show()
  $("#bolts").showModal()
  $("#bolts").scrollTop = 0
  $("#bolts-title").focus({ preventScroll: true })
  shown.chest = await kit.read()
  if (shown) show()
}

/** Every bolt carries its own number; on the step it carries its turn in the order. */
function number(bolt) {
  const [circle, text] = [bolt.querySelector("circle"), bolt.querySelector("text")]
  text.textContent = bolt.dataset.bolt
  const [x, y, r] = ["cx", "cy", "r"].map((name) => Number(circle.getAttribute(name)))
  const tick = text.cloneNode()
  tick.setAttribute("class", "tick")
  tick.setAttribute("x", x - 0.95 * r)
  tick.setAttribute("y", y - 0.75 * r)
  tick.setAttribute("font-size", 0.95 * r)
  Object.assign(bolt, { circle, text, tick, r, size: Number(text.getAttribute("font-size")), y })
}

function show() {
  const { page, step, plan } = shown
  const now = standing(plan, turnedIn(page, step, plan))
  const { round, bolt, done, last } = now
  const all = plan.order.length
  const over = !round
  shown.sure = false
  write($("#bolts-say"), over ? `All ${all} bolts are done` : `${round.name}, bolt ${bolt}, ${done.length} of ${all} done`)
  const figures = over ? [] : figuresOf(round, bolt)
  const key = JSON.stringify([round?.id, figures, shown.chest])
  if (key !== shown.key) { // else it stands there already, and what is unfolded stays so
    shown.key = key
    $("#bolts-figure").replaceChildren(...figures.map(figure))
    $("#bolts-set").replaceChildren(...(over ? [] : setting(round, figures)))
  }
  draw(plan, now)
  write($("#bolts-done"), over ? "Back to the step" : round.id === "check" ? `Bolt ${bolt} holds` : `Bolt ${bolt} done`)
  $("#bolts-undo").disabled = !last
  $("#bolts-again").hidden = !(over || (round.id === "check" && done.length))
  $("#bolts-numbers").hidden = !$("#bolts-again").hidden // by then they are known, and the height is needed
  write($("#bolts-again"), over ? "Begin again from the first pass" : "One turned: check again from the first")
  const unsaved = $("#unsaved")
  write($("#bolts-unsaved"), unsaved.hidden ? "" : unsaved.querySelector("p")?.textContent ?? unsaved.textContent)
}

/** A figure in the units of the reader, as the style sheet shows them. */
function figure({ us, si, system, words = "" }) {
  const both = us === si ? [us] : [el("span", { class: "q-us" }, us), " ", el("span", { class: "q-si" }, si)]
  return el("p", {}, ...(words ? [el("span", { class: "for" }, `${words} `)] : []), el("b", { class: `q${us === si ? "" : ` q-a-${system}`}` }, ...both))
}

/** What is set on the wrench for this bolt. @returns {Node[]} */
function setting(round, figures) {
  const { chest } = shown
  if (round.flats) return [el("p", {}, `${round.flats}. No wrench setting: after the turn a click says nothing.`)]
  if (!figures.length) return [el("p", {}, "No figure exists: this far and no further.")]
  const nodes = round.id === "check" ? [el("p", {}, "None may turn.")] : []
  if (!chest.wrenches.length) nodes.push(el("p", {}, "Put your torque wrench into the kit: then its setting stands here."))
  const notes = chest.wrenches.length ? figures.flatMap((one) => onWrench(one, chest, nodes)) : []
  const controls = [button("Kit", toKit, { class: "button", "data-do": "kit-open" })]
  if (chest.adapter) controls.unshift(button("Adapter", toggleAdapter, { class: "button", "aria-pressed": String(Boolean(chest.adapter.on)) }))
  const whole = [el("div", { class: "setting" }, el("div", {}, ...nodes), el("div", { class: "own" }, ...controls))]
  const once = [...new Set(notes)]
  if (once.length) {
    const summary = el("summary", {}, once.length > 1 ? `${once.length} things to know of this setting` : "Know this of the setting")
    whole.push(el("details", {}, summary, ...once.map((text) => el("p", {}, text))))
  }
  return whole
}

/** Put one figure on the smallest wrench that holds it into `nodes`. @returns {string[]} what to know of it */
function onWrench(one, chest, nodes) {
  try {
    const adapter = chest.adapter?.on ? kit.inMillimetres(chest.adapter) : null
    const figure = adapter ? corrected(one, adapter) : one
    const wrenches = adapter ? chest.wrenches.filter(({ id }) => id === chest.adapter.wrench) : chest.wrenches
    const found = choose(figure, wrenches.map(kit.asWrench))
    const { wrench } = found
    const own = wrench.called ? `${wrench.called}, ${nameOf(wrench)}` : nameOf(wrench)
    const shift = adapter ? ` with the adapter. Without it: ${four(convert(one.wanted, one.unit, wrench.unit))} ${wrench.unit}` : ""
    nodes.push(el("p", { class: "dial" }, el("b", {}, `Set ${four(found.setting)} ${wrench.unit}`)), el("p", {}, `Wrench ${own}${shift}`))
    return cautions(found, figure)
  } catch (refused) {
    if (!(refused instanceof Refused)) throw refused
    nodes.push(el("p", {}, el("b", {}, `✗ No setting: ${refused.what}.`)), el("p", {}, `${refused.write}. (${refused.why}.)`))
    return []
  }
}

function draw({ order }, { bolt, done, round }) {
  const drawing = $("#bolts-drawing svg")
  for (const one of drawing.querySelectorAll(".bolt")) {
    const own = Number(one.dataset.bolt)
    const is = !round || done.includes(own) ? "done" : own === bolt ? "next" : "open"
    if (one.dataset.is === is) continue
    one.dataset.is = is
    const scale = is === "next" ? Math.max(LARGER, LEAST / one.r) : 1
    one.circle.setAttribute("r", one.r * scale)
    one.circle.setAttribute("stroke-width", 2)
    one.text.setAttribute("font-size", one.size * scale)
    one.text.setAttribute("y", one.y + 0.36 * one.size * scale)
    if (is === "done") {
      one.tick.textContent = "✓"
      one.append(one.tick)
    } else one.tick.remove()
    if (is === "next") one.parentNode.append(one) // over its neighbours
  }
  const list = (bolts) => (bolts.length ? bolts.join(", ") : "none")
  const left = order.filter((one) => !done.includes(one) && one !== bolt)
  write(drawing.querySelector("title"), round ? `Bolts done: ${list(done)}. Next: ${bolt}. Then: ${list(left)}.` : "Every bolt is done.")
}

/** Turn an answer of a control into entries. */
const add = (kind, round, bolts) =>
  shown.page.add(bolts.map((bolt) => [kind, shown.step, { group: shown.plan.group, pass: round.id, bolt }]))

function done() {
  const { page, step, plan } = shown
  const { round, bolt } = standing(plan, turnedIn(page, step, plan))
  if (!round) return leave()
  add("bolt-turned", round, [bolt])
}

function takeBack() {
  const { page, step, plan } = shown
  const { last } = standing(plan, turnedIn(page, step, plan))
  if (last) add("bolt-taken-back", last.round, [last.bolt])
}

function again() {
  const { page, step, plan } = shown
  const turned = turnedIn(page, step, plan) ?? {}
  const { round } = standing(plan, turned)
  if (!round && !shown.sure) { // one press must not take a whole joint back
    shown.sure = true
    return write($("#bolts-again"), "Every bolt counts as open then. Press once more")
  }
  const rounds = round ? [round] : plan.rounds
  page.add(rounds.flatMap(({ id }) => (turned[id] ?? []).map((bolt) => ["bolt-taken-back", step, { group: plan.group, pass: id, bolt }])))
}

async function toggleAdapter() {
  const { adapter } = shown.chest
  shown.chest = await kit.keep({ ...shown.chest, adapter: { ...adapter, on: !adapter.on } })
  if (!shown) return
  show()
  $("#bolts-set [aria-pressed]")?.focus({ preventScroll: true })
}

async function toKit() {
  const chest = await kit.open()
  if (!shown) return
  shown.chest = chest
  show()
  $("#bolts-set [data-do=kit-open]")?.focus({ preventScroll: true })
}

export function setUp() {
  $("#bolts-done").addEventListener("click", done)
  $("#bolts-undo").addEventListener("click", takeBack)
  $("#bolts-again").addEventListener("click", again)
  $("#bolts-leave").addEventListener("click", leave)
  $("#bolts").addEventListener("close", () => { if (!$("#bolts").open) shown = null })
}

