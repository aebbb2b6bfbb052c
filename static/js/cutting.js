/** A drill line and the owner's own drills: which one in the drawer is nearest. Worked out with the pack; the kit chooses. */
import { el } from "./el.js"
import { read } from "./kit.js"

/** The nearest of the drills that somebody owns. @param {[series: string, off: number, words: string][]} drills
 * @param {string[]} owned series  @returns {string|null} its words; null where nothing is known of the drawer */
export function nearest(drills, owned) {
  const own = drills.filter(([series]) => owned.includes(series)).sort(([, one], [, other]) => one - other)
  return own.length ? own[0][2] : null
}

/** Say under a drill line which drill of the kit is nearest. */
export async function dress(line) {
  const { drills } = await read()
  const words = nearest(JSON.parse(line.dataset.drills), drills)
  line.querySelector(".own-drill")?.remove()
  if (words) line.append(el("small", { class: "line-notes own-drill" }, `In your drawer: ${words}`))
}
