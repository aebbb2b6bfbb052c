/** The figures that are worked out on the phone, by name, from what is typed: as webapp/figures.py answers them. */
import { converted } from "./convert.js"
import { freeze, protect } from "./coolant.js"
import { inThisBay } from "./cure.js"
import { drill } from "./drill.js"
import { fill } from "./fill.js"
import { coolDown } from "./heat.js"
import { value } from "./read.js"
import { adapter, wrench } from "./wrench.js"

const ANSWERS = { convert: converted, wrench, adapter, drill, cure: inThisBay, "cool-down": coolDown, freeze, protect, fill }

/** Answer a figure: lines, working, source, validity, cautions; or {refused}, or {problems} by field.
 * @param {string} name
 * @param {{name: string, kind: string, required: boolean, many: boolean, example: string, choices: string[]}[]} asks
 * @param {Record<string, string>} texts what is typed, by ask */
export function answer(name, asks, texts) {
  const given = {}
  const problems = []
  for (const ask of asks) {
    try {
      given[ask.name] = value(ask, texts[ask.name] ?? "")
    } catch (unclear) {
      problems.push({ field: ask.name, ...said(unclear) })
    }
  }
  if (problems.length) return { problems }
  try {
    return ANSWERS[name](given)
  } catch (refused) {
    return { refused: said(refused) }
  }
}

/** The words of a refusal. A fault of the program is none: it goes on. */
function said(refused) {
  const { what, why, write } = refused
  if (!what) throw refused
  return { what, why, write }
}
