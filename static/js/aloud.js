/** Reading a step aloud, where the device has a voice. */

export function setUp(page) {
  const control = document.querySelector("#aloud")
  const speech = globalThis.speechSynthesis
  if (!speech) return
  const show = () => { control.hidden = !speech.getVoices().length }
  const stop = () => {
    speech.cancel()
    control.setAttribute("aria-pressed", "false")
  }
  show()
  speech.addEventListener?.("voiceschanged", show)
  control.addEventListener("click", () => {
    if (control.getAttribute("aria-pressed") === "true") return stop()
    const said = new SpeechSynthesisUtterance(spoken(page.shown()))
    said.lang = "en"
    said.onend = said.onerror = stop
    speech.cancel()
    speech.speak(said)
    control.setAttribute("aria-pressed", "true")
  })
  page.addEventListener("show", stop)
}

const READ = "h2, .figures div, .lines li, .prose p, .prose li, .hazard p"

/** The words of a screen as they are shown: heading, figures, actions, prose. Units not shown are not read. */
const spoken = (node) =>
  [...node.querySelectorAll(READ)].map((part) => part.innerText.trim()).filter(Boolean).join(". ").replaceAll("·", " ")
