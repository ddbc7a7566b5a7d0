/** Something seen at a part: fact, not opinion, with its measures and where on it. */

import { hold } from "/yard/begun.js"
import { chips } from "/yard/chips.js"
import { copy, made, one } from "/yard/dom.js"
import { isDouble } from "/yard/touch.js"

/** @typedef {import("/yard/part.js").Of} Of */

/** Fields, what they are called, and the most that can be. @type {[string, string, number][]} */
const MEASURES = [
  ["length_mm", "The length", 200_000],
  ["width_mm", "The width", 50_000],
  ["depth_mm", "The depth", 5_000],
  ["count", "The number", 10_000],
]
const FIELDS = ["seen", "where", ...MEASURES.map(([name]) => name)]

/** @param {Of} of @returns {HTMLElement} */
export function observation(of) {
  const sheet = made("div", { class: "sheet" })
  const begun = of.begun.observation ?? {}
  const field = (/** @type {string} */ name) =>
    /** @type {HTMLInputElement} */ (one(sheet, `[name=${name}]`))
  const stated = () => ({
    defect: defect.chosen(),
    ...Object.fromEntries(FIELDS.map((each) => [each, field(each).value.trim()])),
  })
  const changed = (/** @type {import("/yard/touch.js").Off | undefined} */ off = undefined) => {
    hold(of.planned.key, "observation", stated())
    if (off) of.takenOff(off)
  }
  const defect = chips("Is it a defect?", [["defect", "It is a defect"]], {
    chosen: begun.defect,
    changed,
  })
  sheet.append(
    copy("observation", {}, { keep: (event) => isDouble(event, "keep the observation") || keep() }),
  )
  one(sheet, "[data-defect]").append(defect.field)
  for (const each of FIELDS) {
    field(each).value = begun[each] ?? ""
    field(each).addEventListener("input", () => changed())
  }
  return sheet

  async function keep() {
    const { seen, where, ...rest } = /** @type {any} */ (stated())
    if (!seen) return of.said("Say what is seen first.")
    /** @type {Record<string, number>} */
    const measures = {}
    for (const [name, words, most] of MEASURES) {
      if (!rest[name]) continue
      const value = Number(rest[name].replace(",", "."))
      const isOne = value >= 0 && value <= most && (name !== "count" || Number.isInteger(value))
      if (!isOne) return of.said(`${words} is not a number from 0 to ${most}.`)
      measures[name] = value
    }
    const body = {
      place: { ...of.place, ...(where && { words: where }) },
      seen,
      ...(rest.defect.length && { defect: true }),
      ...measures,
    }
    if (!(await of.keep("observation", body))) return
    defect.choose([])
    for (const each of FIELDS) field(each).value = ""
    await hold(of.planned.key, "observation")
  }
}
