/** The examination of a part: how far, by which methods, what was seen and how it ended; in one touch where all was well. */

import { hold } from "/yard/begun.js"
import { chips } from "/yard/chips.js"
import { copy, made, one } from "/yard/dom.js"
import { choose } from "/yard/question.js"
import { keyOf } from "/yard/stands.js"
import { survey } from "/yard/survey.js"
import { isDouble } from "/yard/touch.js"

/** @typedef {import("/yard/part.js").Of} Of @typedef {import("/yard/store.js").Entry} Entry */

const FAR = /** @type {[string, string][]} */ ([
  ["whole", "The whole"],
  ["part", "A part of it"],
  ["not fitted", "Not fitted"],
  ["not called for", "Not called for"],
])
const ENDS = /** @type {[string, string][]} */ ([
  ["sound", "Sound"],
  ["doubtful", "Doubtful"],
  ["defect", "Defect"],
])
const SHARES = /** @type {[string, string][]} */ ([
  ["25", "25 %"],
  ["50", "50 %"],
  ["75", "75 %"],
])

/**
 * @param {Of} of
 * @param {HTMLElement} quick where what can be done in one touch goes, at the thumb
 * @returns {HTMLElement}
 */
export function examination(of, quick) {
  const { part, how } = of
  const begun = of.begun.examination ?? {}
  const sheet = made("section", { "aria-labelledby": "examined" })
  const show = () => {
    const looks = ["whole", "part"].includes(far.chosen()[0] ?? "")
    for (const each of sheet.querySelectorAll("[data-if-looked]"))
      each.toggleAttribute("hidden", !looks)
    one(sheet, "[data-share]").toggleAttribute("hidden", far.chosen()[0] !== "part")
  }
  const changed = (/** @type {import("/yard/touch.js").Off | undefined} */ off = undefined) => {
    show()
    offer()
    hold(of.planned.key, "examination", stated())
    if (off) of.takenOff(off)
  }
  const field = (/** @type {string} */ name) =>
    /** @type {HTMLInputElement} */ (one(sheet, `[name=${name}]`))
  const far = chips("How far", FAR, { chosen: begun.far, isSingle: true, changed })
  const ways = chips(
    "By which methods",
    part.how.map((/** @type {string} */ each) => [each, how[each]]),
    { chosen: begun.how, changed },
  )
  const others = chips(
    "Other methods",
    Object.entries(how).filter(([each]) => !part.how.includes(each)),
    { chosen: begun.how, changed },
  )
  const looks = chips(
    "Seen, of what to look for",
    part.look_for.map((/** @type {string} */ each) => [each, each]),
    { chosen: begun.seen, changed },
  )
  const ends = chips("How it ended", ENDS, { chosen: begun.end, isSingle: true, changed })
  const shares = chips("About how much of it", SHARES, {
    chosen: begun.share ? [begun.share] : [],
    isSingle: true,
    changed(off) {
      field("share").value = shares.chosen()[0] ?? ""
      changed(off)
    },
  })
  const stated = () => ({
    far: far.chosen(),
    how: [...ways.chosen(), ...others.chosen()],
    seen: looks.chosen(),
    end: ends.chosen(),
    share: field("share").value,
    words: field("found").value,
  })

  sheet.append(
    copy(
      "examination",
      { called: calledFor() },
      {
        keep: (event) => isDouble(event, "keep the examination") || keep(),
        share: () => typed(),
        words: () => changed(),
      },
    ),
  )
  one(sheet, "[data-far]").append(far.field)
  one(sheet, "[data-shares]").append(shares.field)
  one(sheet, "[data-ways]").append(ways.field)
  one(sheet, "[data-other-ways]").append(others.field)
  one(sheet, "[data-looks]").append(looks.field)
  one(sheet, "[data-ends]").append(ends.field)
  field("share").value = begun.share ?? ""
  field("found").value = begun.words ?? ""
  field("found").addEventListener("input", () => changed())
  offer()
  show()
  return sheet

  function typed() {
    shares.choose([field("share").value])
    changed()
  }

  function calledFor() {
    const records = part.how.filter((/** @type {string} */ each) => !isDone(each))
    const told = "What is read or photographed is told by its readings and photographs."
    return `Called for: ${listed(part.how, how)}. ${records.length ? told : ""}`
  }

  /** Whether a word that it was done is all there is of a method. @param {string} way */
  function isDone(way) {
    return part.by_hand.includes(way) || !part.how.includes(way)
  }

  /** What can be done in one touch, saying all that it states; not beside what is filled in already. */
  function offer() {
    if (Object.values(stated()).some((each) => each.length)) return quick.replaceChildren()
    const like = lastLike(of)
    const { by_hand, in_one_touch } = part
    quick.replaceChildren(
      ...(in_one_touch && by_hand.length
        ? [
            act(`Whole and sound: ${listed(by_hand, how)}`, () =>
              kept({ extent: "whole", how: by_hand, outcome: "sound" }),
            ),
          ]
        : []),
      ...(like ? [act("As the last like it", () => asLast(like))] : []),
    )
  }

  /** @param {Entry} like */
  async function asLast(like) {
    const { place: _, ...last } = like.body
    const body = { ...last, how: last.how.filter(isDone) }
    const answer = await choose(
      "Did you look at this one?",
      `${of.planned.name}: ${inWords(body, how)}`,
      [["looked", "Yes, I looked at it: keep"]],
    )
    if (answer) await kept(body)
  }

  async function keep() {
    const {
      far: [extent],
      how: used,
      share,
      seen,
      end,
      words,
    } = stated() // fmt: skip
    if (!extent) return of.said("Say how far it was examined first.")
    const isLooked = extent === "whole" || extent === "part"
    if (isLooked && !used.length) return of.said("Say by which methods first.")
    const share_pct = Number(share.replace(",", "."))
    if (extent === "part" && share && !(share_pct > 0 && share_pct < 100))
      return of.said("The share lies between 0 and 100 per cent.")
    const found = [seen.join("; "), words.trim()].filter(Boolean).join(". ")
    await kept({
      extent,
      ...(isLooked && { how: used }),
      ...(extent === "part" && share && { share_pct }),
      ...(isLooked && end[0] && { outcome: end[0] }),
      ...(found && { found: capital(found) }),
    })
  }

  /** @param {any} body */
  async function kept(body) {
    const before = survey
      .standing("examination")
      .filter((each) => keyOf(each.body.place) === of.planned.key)
      .at(-1)
    const answer = before
      ? await choose("It was examined already", inWords(before.body, how), [
          ["correct", "This stands instead"],
          ["beside", "Both are true: keep both"],
        ])
      : "beside"
    if (!answer) return
    const lifted = await liftedBy(body)
    if (!lifted) return
    const about = answer === "correct" &&
      before && { replaces: [before.id], why: "looked at again" }
    const whole = { place: { ...of.place, ...ownWords(before) }, ...body }
    if (!(await of.keep("examination", whole, about || {}))) return
    for (const each of [far, ways, others, looks, ends, shares]) each.choose([])
    for (const name of ["share", "found"]) field(name).value = ""
    changed()
    for (const each of lifted) await of.takeBack(each, "reached since")
  }

  /**
   * What was called not reached here and, as is asked, was by this examination; nothing where the question was left.
   * A method that was not used stays unused.
   *
   * @param {any} body @returns {Promise<Entry[] | undefined>}
   */
  async function liftedBy({ extent }) {
    const limits = survey
      .standing("limitation")
      .filter(({ body }) => keyOf(body.place) === of.planned.key && !body.how?.length)
    if (extent !== "whole" || !limits.length) return []
    const words = limits.map(({ body }) => body.not_reached).join("; ")
    const answer = await choose(
      "It was called not reached",
      `${words}. While that stands, this counts as examined in part.`,
      [
        ["lifted", "It was reached now: take that back"],
        ["beside", "Both are true: keep both"],
      ],
    )
    if (!answer) return undefined
    return answer === "lifted" ? limits : []
  }
}

/** What it is called on this boat stays with it. @param {Entry | undefined} before */
const ownWords = (before) => (before?.body.place.words ? { words: before.body.place.words } : {})

/** @param {Of} of @returns {Entry | undefined} the last examination of another of the same part */
const lastLike = (of) =>
  survey
    .standing("examination")
    .filter(({ body }) => body.place.part === of.place.part && keyOf(body.place) !== of.planned.key)
    .filter(({ body }) => body.extent === "whole" || body.extent === "part")
    .at(-1)

/** @param {string} name @param {() => void} does */
function act(name, does) {
  const button = made("button", { type: "button" }, name)
  button.addEventListener("click", (event) => isDouble(event, name) || does())
  return button
}

/** An examination in words. @param {any} body @param {Record<string, string>} how */
export function inWords(body, how) {
  const far =
    body.extent === "part"
      ? `examined in part${body.share_pct ? `, about ${Math.round(body.share_pct)} %` : ""}`
      : body.extent === "whole"
        ? "examined whole"
        : body.extent
  return [
    `${capital(far)}${body.how?.length ? `: ${listed(body.how, how)}` : ""}`,
    body.outcome,
    body.found,
  ]
    .filter(Boolean)
    .join("; ")
}

/** @param {string[]} of @param {Record<string, string>} words */
const listed = (of, words) => of.map((each) => words[each] ?? each).join(", ")

/** @param {string} words */
export const capital = (words) => words.charAt(0).toUpperCase() + words.slice(1)
