/** What was recorded of a part, each with where it is held, to be looked at, heard, or taken back. */

import { momentOf } from "/yard/clock.js"
import { copy, made, one, redraw } from "/yard/dom.js"
import { capital, inWords } from "/yard/examination.js"
import { caption } from "/yard/photo.js"
import { choose } from "/yard/question.js"
import { covers, placesOf } from "/yard/stands.js"
import * as store from "/yard/store.js"
import { survey } from "/yard/survey.js"

/** @typedef {import("/yard/part.js").Of} Of @typedef {import("/yard/store.js").Entry} Entry */

const WHY = /** @type {[string, string][]} */ ([
  ["touched by mistake", "Touched by mistake"],
  ["the wrong part", "The wrong part"],
  ["looked at again", "Looked at again: it is not so"],
])
/** What comes by the hundred is counted here, and taken back where it was placed. */
const COUNTED = /** @type {Record<string, [string, string]>} */ ({
  sounding: ["soundings", "pad"],
  "reading set": ["readings", "pad"],
  recording: ["recorded strikes", "strikes"],
})

/** @param {Of} of @param {HTMLElement} list @param {HTMLElement} heading @returns {Promise<() => void>} what ends it */
export async function recorded(of, list, heading) {
  /** @type {string[]} */
  const urls = []
  const here = survey
    .standing()
    .filter((each) => placesOf(each).some((place) => covers(place, of.planned)))
  const shown = here.filter(({ kind }) => !(kind in COUNTED)).reverse()
  const held = await store.heldOf(shown.map(({ id }) => id))
  const rows = await Promise.all(shown.map((entry, at) => row(of, entry, held[at], urls)))
  rows.push(...counted(of, here))
  redraw(list, heading, ...(rows.length ? rows : [copy("nothing-recorded")]))
  return () => {
    for (const url of urls) URL.revokeObjectURL(url)
  }
}

/** @param {Of} of @param {Entry} entry @param {store.Held | undefined} held @param {string[]} urls */
async function row(of, entry, held, urls) {
  // What a photograph shows comes first; its number is small, and as the report prints it.
  const [what, ...rest] = entry.kind === "photo" ? photo(entry, of) : [said(entry, of)]
  const whole = copy(
    "recorded",
    {
      what,
      when: [momentOf(entry.at), mark(held), ...rest].join(", "),
      refused: held?.refused && `The desk refused it: ${held.refused.join(" ")}`,
    },
    {
      back: () => takeBack(of, entry),
      ...(entry.kind === "photo" && { words: () => words(of, entry) }),
    },
  )
  const row = /** @type {HTMLElement} */ (one(whole, "li"))
  // A photograph stays the same one with other words.
  row.dataset.row = entry.kind === "photo" ? entry.body.sha256 : entry.id
  one(row, "[data-act=back]").setAttribute("aria-label", `Take back: ${said(entry, of)}`)
  row.querySelector("[data-act=words]")?.setAttribute("aria-label", `Words: ${said(entry, of)}`)
  const file = entry.body.sha256 && (await store.fileAt(entry.body.sha256))
  if (file) {
    const url = URL.createObjectURL(file.blob)
    urls.push(url)
    one(row, "[data-file]").append(
      entry.kind === "memo"
        ? made("audio", {
            controls: "",
            preload: "metadata",
            src: url,
            "aria-label": "The spoken note",
          })
        : made("img", { src: url, alt: said(entry, of), loading: "lazy" }),
    )
  }
  return row
}

/** @param {Of} of @param {Entry[]} here */
function counted(of, here) {
  return Object.entries(COUNTED).flatMap(([kind, [words, view]]) => {
    const some = here.filter((each) => each.kind === kind)
    if (!some.length) return []
    const link = made(
      "a",
      {
        class: "button second",
        href: `#/${view}/${survey.id}/${encodeURIComponent(of.planned.key)}`,
      },
      kind === "recording" ? "Look at them" : "On the hull",
    )
    const number = kind === "reading set" ? readings(some, of.planned) : some.length
    const what = made("p", {}, `${number} ${words}`)
    return [made("li", { class: "row recorded", "data-row": kind }, what, link)]
  })
}

/** @param {Entry[]} sets @param {import("/yard/stands.js").Planned} called */
const readings = (sets, called) =>
  sets.flatMap(placesOf).filter((place) => covers(place, called)).length

/** @param {Of} of @param {Entry} entry */
async function takeBack(of, entry) {
  const why = await choose(
    "Take this back?",
    `${said(entry, of)}. It stays legible, struck through.`,
    WHY,
  )
  if (why) await of.takeBack(entry, why)
}

/** @param {Of} of @param {Entry} photo */
async function words(of, photo) {
  try {
    const worded = await caption(photo)
    if (worded) of.said(`Saved on this device. ${said(worded, of)}.`)
  } catch {
    of.said("Not saved.")
  }
}

/** @param {store.Held | undefined} held */
const mark = (held) =>
  held?.refused ? "saved here, not on the desk" : held?.waits ? "saved here" : "safe on the desk"

/** An entry in words. @param {Entry} entry @param {Pick<Of, "how" | "reasons" | "kinds">} of */
export function said({ kind, body }, of) {
  // A plan that was brought by an older page names no kinds.
  const called = capital(of.kinds?.[kind] ?? kind)
  switch (kind) {
    case "examination":
      return inWords(body, of.how)
    case "limitation":
      return `Not reached: ${body.not_reached}, because ${body.reasons.map((/** @type {string} */ each) => of.reasons[each] ?? each).join("; ")}`
    case "observation":
      return [body.defect ? "Defect" : "Seen", `${body.seen}${sizes(body)}`].join(": ")
    case "photo":
      return photo({ kind, body }, of).join(", ")
    case "memo":
      return `${called}, ${Math.round(body.seconds)} s${body.words ? `: ${body.words}` : ""}`
    case "remark":
      return `Private remark: ${body.text}`
    default:
      return called
  }
}

/** What it shows, and its number. @param {Pick<Entry, "kind" | "body">} entry @param {Pick<Of, "kinds">} of */
const photo = ({ kind, body }, { kinds }) => [
  [capital(kinds?.[kind] ?? kind), body.caption].filter(Boolean).join(": "),
  `number ${body.number}`,
]

/** @param {any} body */
function sizes({ length_mm, width_mm, depth_mm, count }) {
  const of = [
    [count, ""],
    [length_mm, " mm long"],
    [width_mm, " mm wide"],
    [depth_mm, " mm deep"],
  ]
  const words = of
    .filter(([value]) => value !== undefined)
    .map(([value, unit]) => `${value}${unit || " of them"}`)
  return words.length ? `, ${words.join(", ")}` : ""
}
