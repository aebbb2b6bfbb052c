/** The tables of this job's machine: fetched once, when they are first asked for, so that no screen waits for them.
 * The worker has them before it says “ready offline”. */
import { prepare } from "./machine.js"

let coming = null

/** @returns {Promise<ReturnType<typeof prepare>>} one that fails is asked for again the next time */
export function tables() {
  coming ??= get().catch((error) => {
    coming = null
    throw error
  })
  return coming
}

async function get() {
  const answer = await fetch(document.documentElement.dataset.machine)
  if (!answer.ok) throw new Error(`the machine's tables answered ${answer.status}`)
  return prepare(await answer.json())
}
