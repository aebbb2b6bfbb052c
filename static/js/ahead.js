/** The question before a step is ticked while something is open. */
import { el, write } from "./el.js"

const REASON = 12 // letters of a reason, at the least
const $ = (selector) => document.querySelector(selector)

/** Ask plainly whether to go on with something open. What could hurt someone is never passed; what a gate needs is
 * passed only with a reason.
 * @param {{text: string, to: string|null, word?: "danger"|"error"|"warning"}[]} open  to: the step to go to
 * @returns {Promise<string|null>} the reason, or nothing where none is asked for; null: not now */
export function ask(page, open) {
  const dialog = $("#ahead")
  const [anyway, goThere] = ["do-anyway", "go-there"].map((name) => dialog.querySelector(`[data-do=${name}]`))
  const danger = open.some(({ word }) => word === "danger")
  const asks = open.some(({ word }) => word === "error")
  const why = $("#pass-why")
  const told = together(open)
  const first = danger ? told.filter(([{ word }]) => word === "danger") : told
  const more = told.length - first.length
  dialog.querySelector("ul").replaceChildren(...first.map((own) => line(page, own)))
  write($("#ahead-title"), danger ? "Not yet" : "Something is still open")
  write($("#ahead-what"), danger ? `Someone could be hurt, or the engine lost. Put this right first; before that the step cannot be ticked.${more ? ` Open too, and listed on the step: ${more} more.` : ""}`
    : asks ? "Put it right; or write why it is right as it is." : "If it is ticked anyway, the record says what was open.")
  $("#ahead-why").hidden = danger || !asks
  anyway.hidden = danger
  why.value = ""
  write($("#pass-said"), "")
  const there = open.find(({ to, word }) => to && (!danger || word === "danger"))
  goThere.hidden = !there
  return new Promise((resolve) => {
    const end = (answer) => {
      removeEventListener("popstate", away)
      dialog.close()
      resolve(answer)
    }
    const away = () => end(null) // what is asked belongs to the step that was left
    addEventListener("popstate", away)
    dialog.onclick = ({ target }) => target.closest("[data-to]") && end(null)
    goThere.onclick = () => { end(null); page.go(`step-${there.to}`) }
    anyway.onclick = () => {
      const reason = why.value.trim().replace(/\s+/g, " ")
      if (!asks || reason.length >= REASON) return end(reason)
      write($("#pass-said"), `✗ Write why, in ${REASON} letters or more: the record needs it.`)
      why.focus()
    }
    dialog.querySelector("[data-do=leave]").onclick = () => end(null)
    dialog.oncancel = (event) => { event.preventDefault(); end(null) }
    dialog.showModal()
    $("#ahead-title").tabIndex = -1
    $("#ahead-title").focus({ preventScroll: true })
  })
}

/** Needs side by side that the same step puts right, and what is only open each by itself. A thing is told once, by the
 * gravest, which comes first. */
export function together(open) {
  const groups = new Map()
  for (const one of distinct(open)) {
    const key = one.word && one.to ? `${one.word} ${one.to} ${Boolean(one.fix)}` : one
    groups.set(key, [...(groups.get(key) ?? []), one])
  }
  return [...groups.values()]
}

/** Of each thing the first; bolts that are out are the same as their group. */
export function distinct(open) {
  const told = new Set()
  return open.filter(({ id }) => {
    const thing = id?.replace(/^out:/, "group:")
    return !thing || (!told.has(thing) && told.add(thing))
  })
}

/** What a step that puts something right was until now, if it is not open. */
export const again = ({ steps }, id) => (steps[id] ? (steps[id].is === "done" || steps[id].already ? "Do again: " : "Left out: ") : "")

function line(page, own) {
  const [{ to, fix, word }] = own
  if (!word) return el("li", {}, own[0].text)
  const title = to && `${fix ? again(page.state, to) : ""}${page.pack.step.get(to).title}`
  return el("li", { "data-word": word }, ...own.map(({ text }) => el("p", {}, text)),
    ...(to ? [el("a", { class: "button wide", href: `#step-${to}`, "data-to": to }, title)] : []))
}
