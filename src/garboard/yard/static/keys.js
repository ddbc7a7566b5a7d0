/** The number pad with big keys: digits are kept as typed, the last value is one touch away. What cannot be is refused. */

import { copy, made, one } from "/yard/dom.js"
import { isDouble } from "/yard/touch.js"

const NUMBER = /^-?\d{1,9}(\.\d{1,9})?$/
/** Two of a digit may well be meant at once; that a number is kept twice is not. */
const ENDING = ["keep", "again"]
/** What a key of a keyboard does. @type {Record<string, string>} */
const TYPED = { ",": ".", Enter: "keep", Backspace: "delete" }

/**
 * @typedef {object} Keys
 * @property {HTMLElement} element
 * @property {(label: string, range?: number[]) => void} ask what is asked for from now on, and the least and the most
 *   that it can be
 * @property {() => void} leave
 */

/**
 * @param {{ label: string, range?: number[], last?: string, keep: (digits: string) => boolean | void,
 *   say: (words: string) => void }} of `keep` takes the number; what was typed stays where it answers false
 * @returns {Keys}
 */
export function keys({ label, range, last = "", keep, say }) {
  const held = copy("keys")
  const element = /** @type {HTMLElement} */ (one(held, ".keys"))
  const shown = one(element, "output")
  const again = one(element, "[data-key=again]")
  let digits = ""
  let possible = range

  const ask = (
    /** @type {string} */ words,
    /** @type {number[] | undefined} */ within = possible,
  ) => {
    one(element, "[data-label]").textContent = words
    possible = within
  }
  const remember = (/** @type {string} */ value) => {
    last = value
    again.replaceChildren(made("span", {}, "Again"), made("b", {}, last || "none"))
    again.toggleAttribute("disabled", !last)
  }
  const show = (/** @type {string} */ typed) => {
    digits = typed
    shown.textContent = digits || "–"
  }

  function finish(/** @type {string} */ typed) {
    const value = plain(typed)
    const wrong = value && beyond(value, possible)
    if (!value) say(typed ? `“${typed}” is no number yet.` : "Type the number first.")
    else if (wrong) say(`${wrong} Nothing was kept; what you typed stays.`)
    else if (keep(value) !== false) {
      remember(value)
      show("")
    }
  }

  function press(/** @type {string} */ key) {
    if (key === "keep") finish(digits)
    else if (key === "again") finish(last)
    else if (key === "delete") show(digits.slice(0, -1))
    else if (key === "-") show(digits.startsWith("-") ? digits.slice(1) : `-${digits}`)
    else if (key !== "." || !digits.includes(".")) show(digits + key)
  }

  const onKey = (/** @type {KeyboardEvent} */ event) => {
    const key = TYPED[event.key] ?? event.key
    const isElsewhere = event.target instanceof Element && event.target.closest("input, select, a")
    // Enter on a button presses it, unless a number waits to be kept.
    const isPressed = key === "keep" && event.target instanceof HTMLButtonElement && !digits
    if (isElsewhere || isPressed || !/^([\d.-]|keep|delete)$/.test(key)) return
    event.preventDefault()
    press(key)
  }

  for (const each of element.querySelectorAll("button")) {
    const { key = "" } = each.dataset
    each.addEventListener("click", (event) => {
      if (!ENDING.includes(key) || !isDouble(event, `key ${key}`)) press(key)
    })
  }
  addEventListener("keydown", onKey)
  ask(label)
  remember(last)
  show("")
  return { element, ask, leave: () => removeEventListener("keydown", onKey) }
}

/**
 * What is wrong with a number that the desk would refuse, in words; empty where nothing is, or nothing is known of it.
 *
 * @param {string} digits @param {number[]} [range] the least and the most that it can be
 */
export function beyond(digits, [least = -Infinity, most = Infinity] = []) {
  const value = Number(digits)
  return value < least || value > most
    ? `${digits} cannot be: the least is ${least}, the most ${most}.`
    : ""
}

/** Digits as the notebook holds them; empty where they make no number. @param {string} typed */
export function plain(typed) {
  const bare = typed
    .trim()
    .replace(",", ".")
    .replace("−", "-")
    .replace(/^(-?)\./, "$10.")
    .replace(/\.$/, "")
  return NUMBER.test(bare) ? bare : ""
}
