/** What of a part was not reached: why, what it could hide, and what would lift it. */

import { hold } from "/yard/begun.js"
import { chips } from "/yard/chips.js"
import { copy, made, one } from "/yard/dom.js"
import { isDouble } from "/yard/touch.js"

/** @typedef {import("/yard/part.js").Of} Of */

const FIELDS = ["not_reached", "could_hide", "would_lift"]

/** @param {Of} of @returns {HTMLElement} */
export function limitation(of) {
  const { part, how, reasons } = of
  const sheet = made("div", { class: "sheet" })
  const begun = of.begun.limitation ?? {}
  const usual = { not_reached: "", could_hide: part.could_hide, would_lift: part.would_lift }
  const field = (/** @type {string} */ name) =>
    /** @type {HTMLTextAreaElement} */ (one(sheet, `[name=${name}]`))
  const stated = () => ({
    reasons: [...why.chosen(), ...otherWhy.chosen()],
    how: unused.chosen(),
    ...Object.fromEntries(FIELDS.map((each) => [each, field(each).value.trim()])),
  })
  const changed = (/** @type {import("/yard/touch.js").Off | undefined} */ off = undefined) => {
    hold(of.planned.key, "limitation", stated())
    if (off) of.takenOff(off)
  }
  const why = chips(
    "Why",
    part.limits.map((/** @type {string} */ each) => [each, reasons[each]]),
    { chosen: begun.reasons, changed },
  )
  const otherWhy = chips(
    "Other reasons",
    Object.entries(reasons).filter(([each]) => !part.limits.includes(each)),
    { chosen: begun.reasons, changed },
  )
  const unused = chips(
    "Methods that could not be used",
    part.how.map((/** @type {string} */ each) => [each, how[each]]),
    { chosen: begun.how, changed },
  )
  sheet.append(
    copy("limitation", {}, { keep: (event) => isDouble(event, "keep the limitation") || keep() }),
  )
  one(sheet, "[data-why]").append(why.field)
  one(sheet, "[data-other-why]").append(otherWhy.field)
  one(sheet, "[data-unused]").append(unused.field)
  fill(begun)
  for (const each of FIELDS) field(each).addEventListener("input", () => changed())
  return sheet

  /** @param {any} from */
  function fill(from) {
    for (const each of FIELDS)
      field(each).value = from[each] ?? usual[/** @type {keyof typeof usual} */ (each)]
  }

  async function keep() {
    const said = /** @type {any} */ (stated())
    if (!said.reasons.length) return of.said("Say why first.")
    const methods = said.how.map((/** @type {string} */ each) => `not ${how[each]}`).join(", ")
    const body = {
      place: of.place,
      not_reached: said.not_reached || (methods ? `The part was ${methods}` : "The whole of it"),
      reasons: said.reasons,
      ...(said.could_hide && { could_hide: said.could_hide }),
      ...(said.would_lift && { would_lift: said.would_lift }),
      ...(said.how.length && { how: said.how }),
    }
    if (!(await of.keep("limitation", body))) return
    for (const each of [why, otherWhy, unused]) each.choose([])
    fill({})
    await hold(of.planned.key, "limitation")
  }
}
