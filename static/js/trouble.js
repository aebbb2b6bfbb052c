// Says so when the server does not answer a part of the page: what stands there is then as it was before.
const SILENT = "The server does not answer. What stands here is as it was before. Is the server still running? Try again."
const FAULT = "The server made a mistake. What stands here is as it was before. Try again."

const said = document.createElement("p")
said.className = "trouble"
said.setAttribute("role", "alert")
said.hidden = true
document.querySelector("main").prepend(said)

const say = (words) => {
  said.textContent = words
  said.hidden = !words
}

for (const silent of ["htmx:sendError", "htmx:timeout"]) document.addEventListener(silent, () => say(SILENT))
document.addEventListener("htmx:responseError", () => say(FAULT))
document.addEventListener("htmx:afterSwap", () => say(""))
