/** The clock that times are shown by: that of this device, in the zone it is set to, whatever clock they were written by. */

import { localTime, writer } from "/yard/entry.js"

/** @typedef {import("/yard/store.js").Entry} Entry */

const MINUTE_MS = 60_000

export const today = () => localTime(new Date()).slice(0, 10)

/** A moment by the clock of this device. @param {string} at @returns {string} its day */
export const dayOf = (at) => localTime(new Date(at)).slice(0, 10)

/** @param {string} at @returns {string} hour and minute */
export const hourOf = (at) => localTime(new Date(at)).slice(11, 16)

/** In a list of what was done: the day too, where that is not today. @param {string} at */
export const momentOf = (at) => (dayOf(at) === today() ? hourOf(at) : `${dayOf(at)} ${hourOf(at)}`)

/** With its zone, where it stands alone. @param {string} at */
export const timeOf = (at) => `${hourOf(at)} ${zone()}`

/** The zone as one says it: by the place it is named for. */
export function zone() {
  const { timeZone } = Intl.DateTimeFormat().resolvedOptions()
  const [area, ...places] = timeZone.split("/")
  const place = places.at(-1)?.replaceAll("_", " ")
  if (place && area !== "Etc") return `${place} time`
  return new Date().getTimezoneOffset() ? offset() : "universal time"
}

/** Said once in a view, for all times in it. */
export const clockWords = () =>
  `Times are by the clock of this device: ${zone()}, at present ${offset()}.`

/**
 * That what was written elsewhere goes by another clock than this device, in words; empty where it does not. By an
 * offset alone nobody can tell whose is right.
 *
 * @param {Entry[]} entries of a survey, in their order
 */
export function clocksApart(entries) {
  const elsewhere = entries.filter(({ device }) => device !== writer().device).at(-1)
  if (!elsewhere) return ""
  const there = easts(elsewhere.at)
  const here = -new Date(elsewhere.at).getTimezoneOffset()
  if (there === here) return ""
  const apart = Math.abs(there - here)
  const span = [apart >= 60 && `${Math.floor(apart / 60)} h`, apart % 60 && `${apart % 60} min`]
  const words = span.filter(Boolean).join(" ")
  return `The desk, or another device, wrote by a clock that is ${words} ${there > here ? "ahead of" : "behind"} this one, which is set to ${zone()}. Look whether that is the time of the place; what is written keeps its zone.`
}

const offset = () => `UTC${localTime(new Date()).slice(19)}`

/** How far a written time lies east of UTC, in minutes. @param {string} at */
const easts = (at) =>
  Math.round(
    (Date.parse(`${at.slice(0, 19)}Z`) - Date.parse(at.slice(0, 19) + at.slice(-6))) / MINUTE_MS,
  )
