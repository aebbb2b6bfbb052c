// The unit toggle: US, SI or both, on every page and in every tab at once, remembered. What stands in the page is both;
// `html[data-units]` says which the style sheet shows. A plain script: it runs before the first paint.
(() => {
  const KEY = "droplight-units"
  const WORDS = { us: "US", si: "SI", both: "both" }
  const root = document.documentElement
  const authors = root.dataset.units // what the page came with: the units its author writes in
  const read = () => {
    try {
      return localStorage.getItem(KEY)
    } catch {
      return null // a browser that keeps nothing still works
    }
  }
  const show = (units) => {
    root.dataset.units = units in WORDS ? units : authors
    for (const input of document.querySelectorAll("[data-toggle=units] input")) {
      input.checked = input.value === root.dataset.units
    }
    for (const said of document.querySelectorAll("[data-units-said]")) said.textContent = WORDS[root.dataset.units]
    for (const input of document.querySelectorAll("input[data-units-now]")) input.value = root.dataset.units
  }
  show(read())
  document.addEventListener("DOMContentLoaded", () => show(read()))
  const choose = (units) => {
    show(units)
    try {
      localStorage.setItem(KEY, units)
    } catch {
      // chosen for this page only
    }
  }
  document.addEventListener("change", ({ target }) => target.closest("[data-toggle=units]") && choose(target.value))
  // The one control that stands over every step goes round: what it says is what is shown.
  document.addEventListener("click", ({ target }) => {
    if (!target.closest("[data-do=units]")) return
    const every = Object.keys(WORDS)
    choose(every[(every.indexOf(root.dataset.units) + 1) % every.length])
    document.dispatchEvent(new Event("units"))
  })
  // The author's own figure is one tap away: on the figure itself, or on “both”.
  document.addEventListener("click", ({ target }) => target.closest(".q")?.toggleAttribute("data-both"))
  addEventListener("storage", ({ key, newValue }) => key === KEY && show(newValue))
})()
