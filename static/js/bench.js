// A figure's answer is swapped in by htmx with the words for each field. Here its fields are marked as those words
// say, and the page goes on where somebody has to look next: the first field in question, or the answer.
document.addEventListener("htmx:afterSettle", ({ detail }) => {
  if (detail.target?.id !== "answer") return
  let first = null
  for (const problem of document.querySelectorAll(".problem")) {
    const field = document.getElementById(problem.id.replace("problem-", "field-"))
    if (!field) continue
    const wrong = problem.textContent.trim() !== ""
    if (wrong) field.setAttribute("aria-invalid", "true")
    else field.removeAttribute("aria-invalid")
    if (wrong) first ??= field
  }
  const next = first ?? document.getElementById("answer-is")
  next?.focus({ preventScroll: true })
  ;(first?.closest(".field") ?? next)?.scrollIntoView({ block: "start" })
})
