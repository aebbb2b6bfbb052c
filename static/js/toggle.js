// The unit toggle: US, SI or both, on every page and in every tab at once, remembered. What stands in the page is both;
// `html[data-units]` says which the style sheet shows. A plain script: it runs before the first paint.
(() => {
  const KEY = "droplight-units"
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
    root.dataset.units = ["us", "si", "both"].includes(units) ? units : authors
    for (const input of document.querySelectorAll("[data-toggle=units] input")) {
      input.checked = input.value === root.dataset.units
    }
    for (const input of document.querySelectorAll("input[data-units-now]")) input.value = root.dataset.units
  }
  show(read())
  document.addEventListener("DOMContentLoaded", () => show(read()))
  document.addEventListener("change", ({ target }) => {
    if (!target.closest("[data-toggle=units]")) return
    show(target.value)
    try {
      localStorage.setItem(KEY, target.value)
    } catch {
      // chosen for this page only
    }
  })
  // The author's own figure is one tap away: on the figure itself, or on “both”.
  document.addEventListener("click", ({ target }) => target.closest(".q")?.toggleAttribute("data-both"))
  addEventListener("storage", ({ key, newValue }) => key === KEY && show(newValue))
})()
