/** How the places of the walk stand: as the plan last said, and what was recorded on this device since. */

import { survey } from "/yard/survey.js"

/**
 * @typedef {import("/yard/store.js").Entry} Entry
 * @typedef {{ key: string, part: string, side: string | null, number: number | null, name: string, why: string,
 *   is_place?: boolean, state: string, words: string, is_found: boolean, unused: string[], asks?: string[],
 *   stretch: string, zone: string }} Planned
 * @typedef {Planned & { at: number }} Standing with its number on the walk, or among the duties
 */

const SILENT = { state: "silent", words: "nothing recorded", is_found: false, unused: [] }
const NOTED = {
  state: "not written up",
  words: "noted, examination not recorded",
  is_found: false,
  unused: [],
}
const RECORDED = { state: "recorded", words: "recorded here", is_found: false, unused: [] }
/** What was recorded is being read. */
const UNREAD = { state: "unread", words: "", is_found: false, unused: [] }
/** Nobody examined it, and why not was answered in words among what is missing. */
const ANSWERED = {
  state: "answered",
  words: "answered for in words",
  is_found: false,
  unused: [],
}
const NOT_EXAMINED = [SILENT.state, NOTED.state, ANSWERED.state]

/** @param {any} place @returns {string} its key: part, side, number */
export const keyOf = (place) => [place.part, place.side, place.number].filter(Boolean).join(" ")

/** The place as an entry states it. @param {Planned} planned */
export const placeOf = ({ part, side, number }) => ({
  part,
  ...(side && { side }),
  ...(number && { number }),
})

/** The places that an entry speaks of. @param {Entry} entry @returns {any[]} */
export const placesOf = ({ kind, body }) =>
  kind === "reading set"
    ? body.readings.map((/** @type {any} */ each) => each.place)
    : body.place
      ? [body.place]
      : []

/**
 * Whether what is stated of a place speaks of a called place, as the core has it (judgement/states.py): no side speaks
 * of both, no number of the whole row of like parts.
 *
 * @param {any} stated @param {any} called
 */
export const covers = (stated, called) =>
  stated.part === called.part &&
  (!called.side || !stated.side || stated.side === called.side) &&
  (!called.number || !stated.number || stated.number === called.number)

/** Where on its part a place lies, in words; empty where nobody measured it. @param {any} place @returns {string} */
export const where = ({ station_m, level_m }) =>
  [
    station_m !== undefined &&
      `${Math.abs(station_m).toFixed(2)} m ${station_m < 0 ? "before" : "aft of"} the stem`,
    level_m !== undefined &&
      `${Math.abs(level_m).toFixed(2)} m ${level_m < 0 ? "below" : "above"} the boot-top`,
  ]
    .filter(Boolean)
    .join(", ")

/** Whether it is a place of the boat, no duty of the surveyor's own; a plan made before they were told apart has no word of it. @param {Planned} planned */
export const isPlace = ({ is_place = true }) => is_place

/** Every place of the walk, in its order, then the duties. @returns {Standing[]} */
export function standings() {
  const places = /** @type {Planned[]} */ (survey.plan?.places ?? [])
  const duties = places.filter((each) => !isPlace(each))
  const walked = places.length - duties.length
  const numbered = (/** @type {Planned} */ each, /** @type {number} */ at) => ({
    ...each,
    at: 1 + (isPlace(each) ? at : at - walked),
  })
  const all = [...places.filter(isPlace), ...duties].map(numbered)
  if (!survey.isWhole) return all.map((each) => ({ ...each, ...UNREAD }))
  const traces = tracesByPart()
  const answered = new Set(survey.standing("answer").map(({ body }) => body.gap))
  return all.map((each) => {
    const known = since(each, traces.get(each.part) ?? [])
    const isAnswered = known !== RECORDED && answered.has(`silent ${each.key}`)
    const here = isAnswered ? ANSWERED : known
    // Where both tell the same, the plan tells it in better words; else it is of before.
    const isPlanned =
      here.state === (NOT_EXAMINED.includes(each.state) ? each.state : RECORDED.state)
    return { ...each, ...(!isPlanned && here) }
  })
}

/** @param {Standing} standing whether nothing is recorded there */
export const isOwed = (standing) => standing.state === SILENT.state

/**
 * The next that has nothing recorded, on the walk after a place; from its beginning once more at the end. Places come
 * before duties, and where one is at a duty, the other duties before the places.
 *
 * @param {Standing[]} all @param {string} [after] the key of a place
 * @returns {Standing | undefined}
 */
export function nextOwed(all, after) {
  const from = all.findIndex((each) => each.key === after) + 1
  const onward = [...all.slice(from), ...all.slice(0, Math.max(0, from - 1))].filter(isOwed)
  const here = all[from - 1]
  return onward.find((each) => isPlace(each) === (!here || isPlace(here))) ?? onward[0]
}

/** How a place stands by what is held here alone. @param {Planned} called @param {[Entry, any][]} traces */
function since(called, traces) {
  const here = traces.filter(([, place]) => covers(place, called))
  if (here.some(([entry, place]) => isWrittenUp(entry, place, called))) return RECORDED
  return here.some(([entry]) => isNote(entry)) ? NOTED : SILENT
}

/** A numbered part is examined by its number. @param {Entry} entry @param {any} place @param {Planned} called */
function isWrittenUp({ kind, body }, place, called) {
  if (kind === "limitation") return true
  const isLooked = body.extent === "whole" || body.extent === "part"
  return kind === "examination" && !(isLooked && called.number && !place.number)
}

/** @param {Entry} entry */
const isNote = ({ kind, body }) =>
  kind === "observation" ||
  kind === "reading set" ||
  (kind === "sounding" && body.heard !== "not sounded")

/** By part: what stands, each with the place it speaks of. @returns {Map<string, [Entry, any][]>} */
function tracesByPart() {
  /** @type {Map<string, [Entry, any][]>} */
  const found = new Map()
  for (const entry of survey.standing()) {
    for (const place of tracedAt(entry)) {
      const here = found.get(place.part)
      if (here) here.push([entry, place])
      else found.set(place.part, [[entry, place]])
    }
  }
  return found
}

/** A reading on a reference says nothing of the place. @param {Entry} entry @returns {any[]} */
const tracedAt = (entry) =>
  entry.kind === "reading set"
    ? entry.body.readings
        .filter((/** @type {any} */ each) => !each.reference)
        .map((/** @type {any} */ each) => each.place)
    : placesOf(entry)
