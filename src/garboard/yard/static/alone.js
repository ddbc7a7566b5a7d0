/** Lone work: the watch set and stopped, and what to do and whom to tell when something goes wrong. */

import { chips } from "/yard/chips.js"
import { timeOf } from "/yard/clock.js"
import { copy, one } from "/yard/dom.js"
import { choose } from "/yard/question.js"
import { telephone, alone as watch } from "/yard/watch.js"

const EVERY = /** @type {[string, string][]} */ ([
  ["10", "10 minutes"],
  ["15", "15 minutes"],
  ["20", "20 minutes"],
  ["30", "30 minutes"],
])
const FIELDS = /** @type {const} */ (["whom", "phone", "emergency"])

const UNKEPT = " This device could not write it down: the watch ends if the page is closed."
const MINUTE_MS = 60_000

/** @param {HTMLElement} main */
export function alone(main) {
  main.append(copy("alone", {}, { start: () => watch.start(), well: () => watch.isWell(), rest }))
  const every = chips("Ask me every", EVERY, {
    chosen: [String(watch.state.everyMin)],
    isOwed: true,
    changed: () => watch.change({ everyMin: Number(every.chosen()[0]) }),
  })
  one(main, "[data-every]").append(every.field)
  for (const name of FIELDS) {
    const field = /** @type {HTMLInputElement} */ (one(main, `[name=${name}]`))
    field.value = watch.state[name]
    field.addEventListener("input", () => watch.change({ [name]: field.value.trim() }))
  }
  const shown = () => {
    // Nobody is told of a watch before it is sure whether it outlives this page.
    if (watch.isKept === undefined) return
    const { due, emergency } = watch.state
    const call = one(main, "[data-emergency]")
    call.toggleAttribute("hidden", !emergency)
    call.textContent = `Emergency: call ${emergency}`
    call.setAttribute("href", telephone(emergency))
    const words = due
      ? `${asked(due - Date.now())}${watch.isKept ? "" : UNKEPT}`
      : "The watch rests."
    const next = one(main, "[data-next-asked]")
    // It is read out whenever it changes: by the minute, not by the second.
    if (next.textContent !== words) next.textContent = words
    one(main, "[data-due]").textContent = due
      ? `That is at ${timeOf(new Date(due).toISOString())}, by the clock of this device.`
      : ""
    for (const each of main.querySelectorAll("[data-if-on]")) each.toggleAttribute("hidden", !due)
    for (const each of main.querySelectorAll("[data-if-off]"))
      each.toggleAttribute("hidden", Boolean(due)) // fmt: skip
  }
  shown()
  watch.addEventListener("tick", shown)
  return { leave: () => watch.removeEventListener("tick", shown) }
}

/** @param {number} in_ms */
const asked = (in_ms) =>
  in_ms < MINUTE_MS
    ? "You are asked within a minute."
    : `You are asked in ${Math.ceil(in_ms / MINUTE_MS)} min.`

async function rest() {
  const answer = await choose("Stop the watch?", "Nobody is asked after you any more.", [
    ["rest", "Stop it: the work alone is done"],
  ])
  if (answer) await watch.rest()
}
