/** The full-screen stop before a step with a danger or a warning. The way on is a fact; the other way is back. */
import { held, preferUnits, show } from "./values.js"

/** Ask for the fact of each hazard in turn. Kept true when all are answered, false when the person goes back.
 * @param {object} page  @param {string[]} hazards ids  @param {string} step */
export async function stop(page, hazards, step) {
  for (const [index, id] of hazards.entries()) {
    const fact = await ask(id, hazards.length > 1 ? `${index + 1} of ${hazards.length}` : "")
    if (!fact) return false
    page.add([["hazard-answered", step, { hazard: id, ...fact }]])
  }
  return true
}

let leave = () => {}

/** End the stop that is open, if one is, as “not yet”. */
export const end = () => leave()

function ask(id, count) {
  const dialog = document.querySelector("#stop")
  const shelf = document.querySelector("#hazards")
  const card = document.querySelector(`#hazard-${CSS.escape(id)}`)
  const title = card.querySelector("h3")
  title.id = "stop-title"
  title.dataset.count = count
  dialog.querySelector(".stop-body").replaceChildren(card) // moved, not copied: it goes back where it was
  const form = card.querySelector("form")
  form?.reset()
  if (form) {
    preferUnits(card)
    form.querySelector(".verdict").textContent = ""
  }
  return new Promise((resolve) => {
    const listening = new AbortController()
    const answer = (fact) => {
      listening.abort()
      leave = () => {}
      title.removeAttribute("id")
      delete title.dataset.count
      dialog.close()
      shelf.append(card)
      resolve(fact)
    }
    const on = (target, event, act) => target?.addEventListener(event, act, { signal: listening.signal })
    on(card.querySelector("[data-do=state]"), "click", ({ currentTarget }) => answer({ fact: currentTarget.textContent }))
    on(form, "submit", (event) => {
      event.preventDefault()
      const { value, unit, verdict } = held(form)
      show(form)
      if (verdict === "in") answer({ fact: form.querySelector("label").textContent, value, unit })
      else form.elements.value.focus()
    })
    on(dialog.querySelector("[data-do=not-yet]"), "click", () => answer(null))
    on(dialog, "cancel", (event) => { event.preventDefault(); answer(null) })
    leave = () => answer(null)
    dialog.showModal()
    dialog.scrollTop = 0
    title.tabIndex = -1
    title.focus({ preventScroll: true }) // never on the button: a thumb or a key that is still going down must not answer
  })
}
