/**
 * The sets of readings on the pad. A set is one quantity, one instrument and one scale in one pass: each device and
 * each day begins sets of its own, so that two hands never correct the same one.
 */

import { dayOf, today } from "/yard/clock.js"
import { writer } from "/yard/entry.js"
import { set, setting } from "/yard/store.js"
import { survey } from "/yard/survey.js"

/** @typedef {import("/yard/store.js").Entry} Entry */
/** @typedef {{ name: string, quantity: string, unit: string, instrument: string, scale?: string, mode?: string, electrode?: string, calibration?: string, through_coating?: boolean }} Head */

/** The ids of sets that were begun in this browser. @type {Set<string>} */
let own = new Set()

export async function beginSets() {
  own = new Set((await setting(`sets ${survey.id}`)) ?? [])
}

/** Every set as it stands, those of today and of this browser first: only they are gone on with. */
export function allSets() {
  const byId = new Map(survey.entries.map((each) => [each.id, each]))
  return survey
    .standing("reading set")
    .map((entry) => {
      const root = first(entry, byId)
      const isOwn = own.has(root.id) && dayOf(root.at) === today()
      return { id: root.id, entry, isOwn }
    })
    .sort((one, other) => Number(other.isOwn) - Number(one.isOwn))
}

/** The entry that a set began with. @param {Entry} entry @param {Map<string, Entry>} byId */
function first(entry, byId) {
  let found = entry
  for (;;) {
    const before = found.replaces
      .map((id) => byId.get(id))
      .find((each) => each?.kind === found.kind)
    if (!before) return found
    found = before
  }
}

/** A set as it stands. @param {string} id that it began with @returns {Entry | undefined} */
export const standingSet = (id) =>
  allSets()
    .filter((each) => each.id === id)
    .at(-1)?.entry

/** A name that no set bears yet. @param {string} quantity */
export function freeName(quantity) {
  const taken = new Set(survey.standing("reading set").map((each) => each.body.name))
  for (let n = 1; ; n++) {
    const name = `${quantity} ${n}, ${writer().device}`
    if (!taken.has(name)) return name
  }
}

/** What one more set of the kind is begun with. @param {Head} body @returns {Head} */
export function alike({
  name: _,
  quantity,
  unit,
  instrument,
  scale,
  mode,
  electrode,
  calibration,
  through_coating,
}) {
  const given = {
    name: freeName(quantity),
    quantity,
    unit,
    instrument,
    scale,
    mode,
    electrode,
    calibration,
    through_coating,
  }
  return /** @type {Head} */ (
    Object.fromEntries(Object.entries(given).filter(([, value]) => value))
  )
}

/**
 * Keep one more reading: a new set, or the set as it stands with the reading at its end.
 *
 * @param {string} id that the set began with; empty for one to be begun
 * @param {Head} head
 * @param {any} reading
 * @param {string} where in words
 * @param {string} of the survey it was read in
 * @returns {Promise<Entry>} it replaces nothing where it began a set
 */
export async function keepReading(id, head, reading, where, of) {
  const before = id && of === survey.id ? standingSet(id) : undefined
  if (before) {
    const body = { ...before.body, readings: [...before.body.readings, reading] }
    const why = `${reading.as_read} read at ${where}`
    return survey.keep("reading set", body, { of, replaces: [before.id], why })
  }
  const entry = await survey.keep("reading set", { ...head, readings: [reading] }, { of })
  own.add(entry.id)
  // The reading is kept: where this is not, the next visit only begins a set of its own.
  await set(`sets ${of}`, [...own]).catch(() => {})
  return entry
}
