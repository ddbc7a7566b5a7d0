/**
 * What nobody has said of the boat yet, answered on board, one touch each. A particular is kept at once. What she is
 * fitted with is one list in the notebook: its answers are held here touch by touch, and kept together, because with the
 * first that is kept what is on neither list, of what she has and of what nobody knows, counts as not there.
 */

import { chips } from "/yard/chips.js"
import { copy, made, one } from "/yard/dom.js"
import { set, setting } from "/yard/store.js"
import { survey } from "/yard/survey.js"
import { isDouble, sayOff } from "/yard/touch.js"

/**
 * @typedef {{ fact: string, question: string, parts: number, fitting?: string, several?: boolean,
 *   answers?: [string | number, string][] }} Question
 * @typedef {{ asked: Question[], answers: Record<string, string>, kept?: string }} Held the questions about fittings,
 *   what was said, and the entry of the boat that this device kept with it
 */

const WHY = "asked on board"
const NO_BOAT = "No boat is stated yet: do that at the desk first."
const SAVED = "Saved on this device."
/** @type {[string, string][]} */
const FITTED = [
  ["has", "Has"],
  ["not", "Has not"],
  ["unknown", "Not known"],
]

/** @param {HTMLElement} main */
export async function asked(main) {
  const name = `asked ${survey.id}`
  main.append(
    copy("asked", {}, { keep: (event) => isDouble(event, "keep what she has") || keep() }),
  )
  const open = /** @type {Question[]} */ (survey.plan?.questions ?? [])
  /** @type {Held} */
  const held = (await setting(name)) ?? { asked: [], answers: {} }
  // What the desk has stated since is its answer, unless that is the list this device kept.
  if (held.kept !== boat()?.id)
    held.asked = held.asked.filter(({ fitting }) => open.some((each) => each.fitting === fitting))
  const isNew = (/** @type {Question} */ { fitting }) =>
    fitting && !held.asked.some((each) => each.fitting === fitting)
  held.asked.push(...open.filter(isNew))
  const particulars = open.filter((each) => !each.fitting)
  /** One after the other, so that none takes the place of another. */
  let turn = Promise.resolve()

  one(main, "[data-particulars]").append(...particulars.map(particular))
  one(main, "[data-fittings]").append(...held.asked.map(fitting))
  const isOpen = particulars.length + held.asked.length > 0
  shows("[data-if-fittings]", held.asked.length > 0)
  shows("[data-if-open]", isOpen)
  shows("[data-none]", !isOpen)
  count()

  /** @param {string} which @param {boolean} isShown */
  function shows(which, isShown) {
    for (const each of main.querySelectorAll(which)) each.toggleAttribute("hidden", !isShown)
  }

  /** @param {Question} of */
  function particular({ fact, question, answers = [], several, parts }) {
    const before = [boat()?.body[fact] ?? []].flat().map(String)
    const of = chips(
      `${question} ${hangs(parts)}`,
      answers.map(([value, words]) => [String(value), words]),
      {
        chosen: before,
        isSingle: !several,
        changed(off) {
          const chosen = answers
            .map(([value]) => value)
            .filter((value) => of.chosen().includes(String(value)))
          const kept = turn.then(() =>
            state({ [fact]: several ? chosen : chosen[0] }, `${SAVED} ${question}.`),
          )
          turn = kept.then((isKept) => {
            if (isKept && off) takenOff(`${question}:`, off)
          })
          return kept
        },
      },
    )
    return of.field
  }

  /** @param {Question} question */
  function fitting({ fitting = "", question, parts }) {
    const of = chips(`${question} ${hangs(parts)}`, FITTED, {
      chosen: held.answers[fitting] ? [held.answers[fitting]] : [],
      isSingle: true,
      changed(off) {
        held.answers[fitting] = of.chosen()[0] ?? ""
        count()
        set(name, held).catch(() => say("This answer could not be held. Keep what she has now."))
        if (off) takenOff(question, off)
      },
    })
    return of.field
  }

  /** @param {string} question @param {import("/yard/touch.js").Off} off */
  function takenOff(question, { words, putBack }) {
    sayOff(one(main, "[data-kept]"), { words: `${question} ${words}`, putBack })
  }

  function count() {
    const said = held.asked.filter(({ fitting = "" }) => held.answers[fitting]).length
    one(main, "[data-answered]").textContent = `${said} of ${held.asked.length} answered`
  }

  function keep() {
    const stands = boat()
    if (!stands) return say(NO_BOAT)
    const before = stands.body
    const isStated = before.fitted?.length || before.fitted_unknown?.length || before.fitted_none
    // What was not answered here stays as another has stated it since; else nobody knows it.
    const unsaid = isStated && held.kept !== stands.id ? "" : "unknown"
    const said = (/** @type {string} */ of) =>
      held.asked
        .filter(({ fitting = "" }) => (held.answers[fitting] || unsaid) === of)
        .map(({ fitting = "" }) => fitting)
    const has = said("has")
    const not = new Set(said("not"))
    const unknown = said("unknown")
    const fitted = [...new Set([...(before.fitted ?? []), ...has])].filter(
      (each) => !not.has(each) && !unknown.includes(each),
    )
    const open = [...new Set([...(before.fitted_unknown ?? []), ...unknown])].filter(
      (each) => !not.has(each) && !fitted.includes(each),
    )
    const isBare = !fitted.length && !open.length
    const words = open.length ? ` ${open.length} not answered or not known: looked for.` : ""
    const change = { fitted, fitted_unknown: open, fitted_none: isBare || undefined }
    turn = turn.then(async () => {
      await state(change, `${SAVED} She has ${fitted.length}.${words}`, true)
    })
  }

  /**
   * The boat as she stood, with what is known now.
   *
   * @param {any} change what is undefined or empty is left out
   * @param {string} words
   * @param {boolean} [isOfFittings] whether what she has is stated with it
   * @returns {Promise<boolean>} whether it was kept
   */
  async function state(change, words, isOfFittings = held.kept === boat()?.id) {
    const stands = boat()
    if (!stands) {
      say(NO_BOAT)
      return false
    }
    const whole = Object.entries({ ...stands.body, ...change })
    const body = Object.fromEntries(
      whole.filter(([, value]) => value !== undefined && value?.length !== 0),
    )
    try {
      const { id } = await survey.keep("boat", body, { replaces: [stands.id], why: WHY })
      say(words)
      if (isOfFittings) await set(name, Object.assign(held, { kept: id }))
      return true
    } catch {
      say("Not saved.")
      return false
    }
  }

  /** @param {string} words */
  function say(words) {
    one(main, "[data-kept]").textContent = words
  }
}

const boat = () => survey.standing("boat").at(-1)

const hangs = (/** @type {number} */ parts) =>
  `(${parts} ${parts === 1 ? "part hangs" : "parts hang"} on it)`

/** Where questions are open, the way to them. @param {HTMLElement} main @param {string[]} open @param {string} words */
export function leadToAsked(main, open, words) {
  const line = one(main, "[data-asked]")
  line.toggleAttribute("hidden", !open.length)
  line.replaceChildren(made("a", { href: `#/asked/${survey.id}`, class: "button second" }, words))
}
