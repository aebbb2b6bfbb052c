/** Elements, built without markup in strings, so that no text of a pack or a person is ever read as markup.
 * @param {string} name  @param {Object<string, any>} attributes  true: present; false, null: left out
 * @param {...(Node|string)} children  @returns {HTMLElement} */
export function el(name, attributes = {}, ...children) {
  const element = document.createElement(name)
  for (const [key, value] of Object.entries(attributes)) {
    if (value === true) element.setAttribute(key, "")
    else if (value !== false && value !== null) element.setAttribute(key, value)
  }
  element.append(...children)
  return element
}

/** A control big enough for a glove. */
export const button = (text, act, attributes = {}) => {
  const control = el("button", { type: "button", class: "button wide", ...attributes }, text)
  control.addEventListener("click", act)
  return control
}

/** Set a text only when it differs: a screen reader and the layout are left in peace. */
export function write(node, text) {
  if (node.textContent !== text) node.textContent = text
}

const DAYS = ["Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"]

/** A moment for people: “14:02”, and with its weekday when it is not today. @param {number} at @param {number} now */
export function moment(at, now) {
  const when = new Date(at)
  const clock = [when.getHours(), when.getMinutes()].map((part) => String(part).padStart(2, "0")).join(":")
  return when.toDateString() === new Date(now).toDateString() ? clock : `${DAYS[when.getDay()]} ${clock}`
}
