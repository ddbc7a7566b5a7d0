/** Touches with gloves, in rain: a double one counts once; what a touch took off is said, with the way to put it back. */

import { made } from "/yard/dom.js"
import { survey } from "/yard/survey.js"

/** @typedef {{ words: string, putBack: () => unknown }} Off what a touch took off, and what puts it back; false where it could not */

/** Sooner than this nobody means the second touch. */
const DOUBLE_MS = 700
/** Blows are struck, heard and told one by one: two hands at it, one striking and one touching, do two a second. */
export const BLOW_MS = 400

let last = { what: "", at: Number.NEGATIVE_INFINITY, touches: 0 }
let touches = 0
addEventListener("click", () => ++touches, { capture: true })

/**
 * Whether a touch comes too soon after another on the same thing to be meant, with none on anything else between; one
 * that trembles on waits for its rest.
 *
 * @param {Event} event @param {string} what the thing in words, for it may be drawn anew between the two
 * @param {number} [span_ms] what is too soon
 */
export function isDouble({ timeStamp }, what, span_ms = DOUBLE_MS) {
  const before = last
  last = { what: `${location.hash} ${what}`, at: timeStamp, touches }
  const isNext = last.what === before.what && touches === before.touches + 1
  return isNext && timeStamp - before.at < span_ms
}

/**
 * Acts of which one is done at a time: none begins before the disk has answered for another, nor by the second half of a
 * double touch, whichever of their buttons is under the finger by then, where the first was done.
 *
 * @param {string} what they are about
 * @param {Record<string, () => Promise<unknown>>} acts by the names of their buttons; each gives whether it was done
 * @returns {Record<string, (event: Event) => Promise<void>>}
 */
export function singly(what, acts) {
  let isUnderWay = false
  /** @type {unknown} */
  let isDone = false
  const guarded =
    (/** @type {() => Promise<unknown>} */ act) => async (/** @type {Event} */ event) => {
      const isAgain = isDouble(event, what)
      if (isUnderWay || (isAgain && isDone)) return
      isUnderWay = true
      try {
        isDone = await act()
      } finally {
        isUnderWay = false
      }
    }
  return Object.fromEntries(Object.entries(acts).map(([name, act]) => [name, guarded(act)]))
}

/**
 * Say on a line that is read aloud what was taken off, with one touch to put it back.
 *
 * @param {Element} line @param {string} said @param {() => unknown} putBack gives what is to be said then, if anything
 */
export function sayTakenOff(line, said, putBack) {
  const button = made("button", { type: "button", class: "second" }, "Put it back")
  button.addEventListener("click", async (event) => {
    if (isDouble(event, "put it back")) return
    const words = await putBack()
    if (typeof words === "string") line.textContent = words
  })
  line.replaceChildren(`${said} `, button)
}

/** @param {Element} line @param {Off} off */
export const sayOff = (line, { words, putBack }) =>
  sayTakenOff(line, `Taken back: ${words}.`, async () =>
    (await putBack()) === false ? "Not saved." : `Put back: ${words}.`,
  )

/**
 * Take back what was kept, and say so. To put it back takes back the taking back: another entry, and none is lost.
 *
 * @param {Element} line
 * @param {import("/yard/store.js").Entry} entry
 * @param {{ words: string, why: string, putBack?: () => void }} about `putBack` is done once it stands again
 * @returns {Promise<boolean>} whether it was taken back
 */
export async function takeBack(line, entry, { words, why, putBack }) {
  try {
    const { id, survey: of } = await survey.takeBack(entry, why)
    const again = { of, replaces: [id], why: "put back" }
    sayOff(line, {
      words,
      putBack: () =>
        survey.keep("withdrawal", {}, again).then(
          () => putBack?.(),
          () => false,
        ),
    })
    return true
  } catch {
    line.textContent = "Not taken back."
    return false
  }
}
