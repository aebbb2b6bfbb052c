// Light or dark: as the phone says, or as chosen here. A plain script, not a module: it runs before the first paint,
// so a dark bay never sees a white flash.
(() => {
  const KEY = "droplight-theme"
  const root = document.documentElement
  const read = () => {
    try {
      return localStorage.getItem(KEY)
    } catch {
      return null // a browser that keeps nothing still works
    }
  }
  const show = (theme) => {
    if (theme === "light" || theme === "dark") root.dataset.theme = theme
    else delete root.dataset.theme
    for (const input of document.querySelectorAll("[data-toggle=theme] input")) {
      input.checked = input.value === (root.dataset.theme ?? "auto")
    }
  }
  show(read())
  document.addEventListener("DOMContentLoaded", () => show(read()))
  document.addEventListener("change", ({ target }) => {
    if (!target.closest("[data-toggle=theme]")) return
    show(target.value)
    try {
      localStorage.setItem(KEY, target.value)
    } catch {
      // chosen for this page only
    }
  })
  addEventListener("storage", ({ key, newValue }) => key === KEY && show(newValue))
})()
