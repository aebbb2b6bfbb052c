/** Clocks as they are seen: a card in the step, a card on the page of clocks, one line on every screen. */
import { ago, deadline, earliest, latest, skinned, standing, words } from "./clocks.js"
import { button, el, moment, write } from "./el.js"

export const LAY_ANEW = "The bead has skinned: scrape it off and lay it anew."

/** What a clock says now, in one short line. */
export function line(wait, clock, now) {
  const [from, to] = [earliest(wait, clock), latest(wait, clock)]
  switch (standing(wait, clock, now)) {
    case "refused": return "no cure below 5 °C (41 °F)"
    case "unmeasured": return "measure the bay"
    case "late": return `too late by ${words(now - to)}`
    case "stopped": return "stopped"
    case "over": return clock.ended ? `over ${ago(now - clock.ended)}` : `over ${ago(now - from)}`
    case "open":
      if (to !== null) return `ready, ${words(to - now)} left`
      return wait.until.length ? "time is up, look" : `ready ${ago(now - from)}`
    default: {
      const due = from ?? to
      return due === null ? `${words(now - clock.began)} so far` : `${words(due - now)} left`
    }
  }
}

/** What is to be known of a clock before the step that waits for it or closes its joint. */
export function before(wait, clock, now) {
  if (!clock) return "has not begun"
  const late = skinned(wait, clock, now)
  return late === null ? line(wait, clock, now) : `too late by ${words(late)}. ${LAY_ANEW}`
}

/** The clocks that still count, the most pressing first: a bead that lies open; then the earliest deadline, gone by or
 * to come; last what has none, but for a cure that somebody has to warm. */
export function counting(pack, state, now) {
  const due = (wait) => {
    if (wait.kind === "open-time") return -Infinity
    return standing(wait, state.waits[wait.id], now) === "refused" ? now : deadline(wait, state.waits[wait.id], now) ?? Infinity
  }
  return [...pack.waits.values()]
    .filter(({ id }) => state.waits[id]?.is === "running")
    .filter((wait) => standing(wait, state.waits[wait.id], now) !== "over")
    .sort((a, b) => (due(a) === due(b) ? 0 : due(a) - due(b)))
}

/** Build the card of a clock into `place`. @returns {(now: number) => void} brings its time up to date */
export function card(page, wait, place, actions) {
  let built = ""
  let time = null
  return (now) => {
    const clock = page.state.waits[wait.id]
    const is = standing(wait, clock, now)
    const key = JSON.stringify([is, clock?.is, clock?.began, clock?.length, clock?.seen, clock?.working])
    if (key !== built) {
      const keep = place.contains(document.activeElement) ? document.activeElement.dataset.do : null
      time = clock ? el("p", { class: "time", role: "timer" }) : null
      place.replaceChildren(...[time, ...parts(page, wait, clock, is, now, actions)].filter(Boolean))
      built = key
      if (keep) place.querySelector(`[data-do="${CSS.escape(keep)}"]`)?.focus()
    }
    if (time) write(time, line(wait, clock, now))
  }
}

function parts(page, wait, clock, is, now, actions) {
  const start = (text) => button(text, () => actions.begin(wait), { "data-do": "begin", class: "button button-main" })
  if (!clock) return wait.attended ? [start("Start the clock")] : []
  const [from, to] = [earliest(wait, clock), latest(wait, clock)]
  const begun = [`Begun ${moment(clock.began, now)}.`]
  if (from !== null && (wait.least ?? 0) > 0) begun.push(`${to === null ? "Over" : "Ready"} at ${moment(from, now)}.`)
  if (to !== null) begun.push(`No later than ${moment(to, now)}.`)
  if (clock.is === "stopped") {
    return [
      el("p", {}, `Stopped ${moment(clock.ended, now)}: ${clock.reason}`),
      ...(wait.attended ? [start("Start the clock again")] : []),
    ]
  }
  if (clock.is === "ended") return [el("p", {}, `${begun[0]} Ended ${moment(clock.ended, now)}.`), bay(wait, clock, actions)]
  const all = wait.until.every((one) => clock.seen.includes(one))
  const soon = is === "running" && from !== null
  const ends = wait.attended || wait.until.length || to !== null
  return [
    el("p", { class: "terms" }, begun.join(" ")),
    ...(is === "refused" ? [el("p", { class: "refused" }, "This sealant does not cure below 5 °C (41 °F). Warm the bay and the part, then give the figures again: the clock starts from there.")] : []),
    ...(skinned(wait, clock, now) === null ? [] : [el("p", { class: "refused" }, LAY_ANEW)]),
    bay(wait, clock, actions),
    ...wait.until.map((one, index) => {
      const seen = clock.seen.includes(one)
      return button(`${seen ? "✓" : "☐"} ${one}`, () => actions.see(wait, one, !seen), { "aria-pressed": String(seen), "data-do": `see-${index}`, class: "button wide seen" })
    }),
    ...(ends
      ? [button(wait.kind === "open-time" ? "The joint is closed" : "It is over", () => actions.end(wait), {
          "data-do": "end", "aria-disabled": String(!all || soon),
        })]
      : []),
    ...(ends && (!all || soon) ? [el("p", { class: "hint" }, all ? "Its time is not up yet." : "Tick what you see; then it can end.")] : []),
    ...(wait.attended ? [button("STOP", () => actions.halt(wait), { "data-do": "halt", class: "button halt" })] : []),
    ...calendar(page, wait, deadline(wait, clock, now), now),
  ].filter(Boolean)
}

/** The bay that a cure was reckoned for, and how. */
function bay(wait, clock, actions) {
  if (!wait.cure) return null
  const { inputs, working } = clock
  const said = inputs ? `Bay: ${inputs.temperature} ${inputs.unit}, ${inputs.humidity} %.` : "The bay has not been measured yet."
  return el(
    "div", { class: "bay" },
    el("p", {}, said),
    ...(working.length
      ? [el("details", {}, el("summary", {}, "How long, and why"), el("ol", {}, ...working.map((one) => el("li", {}, one))))]
      : []),
    button(inputs ? "Change the bay’s figures" : "Give the bay’s figures", () => actions.measure(wait), { "data-do": "measure" }),
  )
}

function calendar(page, wait, due, now) {
  if (due === null || due <= now) return []
  const query = new URLSearchParams({ title: `${wait.name} – ${page.pack.title}`.slice(0, 120), due, job: page.record.job })
  return [el("p", {}, el("a", { class: "button wide", href: `/clock.ics?${query}`, "data-do": "calendar" }, "Hand it to the phone’s calendar"))]
}
