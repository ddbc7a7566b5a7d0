/** Entries made on this device, with ids after RFC 9562, section 5.7 (UUIDv7): sorting by id is sorting by time. */

import { latestId, set, setting } from "/yard/store.js"

/** @typedef {import("/yard/store.js").Entry} Entry */

const DAY_MS = 24 * 3600 * 1000

let author = ""
let device = ""
let lastMs = 0
let counter = 0
let begun = Promise.resolve()

/** Who writes on this device, as the desk said when it was last reached. */
export function beginWriting() {
  begun = begin()
  return begun
}

/** Settled once that was read. */
export const isBegun = () => begun

async function begin() {
  const [name, called, latest] = await Promise.all([
    setting("author"),
    setting("device"),
    latestId(),
  ])
  author = name ?? ""
  device = called ?? ""
  const latestMs = Number.parseInt((latest ?? "0").slice(0, 13).replace("-", ""), 16)
  // Ids go on after those held, also where the clock was set back; one from a clock far ahead is not followed.
  if (latestMs < Date.now() + DAY_MS) lastMs = latestMs
}

/** @param {string} name @param {string} called */
export async function writeAs(name, called) {
  await set("author", name)
  await set("device", called)
  author = name
  device = called
}

export const writer = () => ({ author, device })

/**
 * @param {string} survey
 * @param {string} kind
 * @param {any} body
 * @param {{ replaces?: string[], why?: string | null }} [about]
 * @returns {Entry}
 */
export function entry(survey, kind, body, { replaces = [], why = null } = {}) {
  return {
    id: newId(),
    survey,
    at: localTime(new Date()),
    author,
    device,
    kind,
    body,
    replaces,
    why,
  }
}

/** Ids made within one millisecond, or after the clock went back, still sort in the order they were made. */
function newId() {
  const now = Date.now()
  if (now > lastMs) {
    lastMs = now
    counter = Math.floor(Math.random() * 0x800)
  } else if (++counter > 0xfff) {
    lastMs += 1
    counter = 0
  }
  const random = crypto
    .getRandomValues(new Uint8Array(8))
    .map((byte, at) => (at ? byte : (byte & 0x3f) | 0x80))
  const time = lastMs.toString(16).padStart(12, "0")
  const tail = Array.from(random, (byte) => byte.toString(16).padStart(2, "0")).join("")
  const count = counter.toString(16).padStart(3, "0")
  return `${time.slice(0, 8)}-${time.slice(8)}-7${count}-${tail.slice(0, 4)}-${tail.slice(4)}`
}

/** The time here to the second, with its distance from UTC. @param {Date} when */
export function localTime(when) {
  const east = -when.getTimezoneOffset()
  const here = new Date(when.getTime() + east * 60_000).toISOString().slice(0, 19)
  const two = (/** @type {number} */ value) => String(Math.floor(value)).padStart(2, "0")
  return `${here}${east < 0 ? "-" : "+"}${two(Math.abs(east) / 60)}:${two(Math.abs(east) % 60)}`
}

/** @param {Blob} blob @returns {Promise<string>} SHA-256 in hexadecimal */
export async function sha256Of(blob) {
  const digest = await crypto.subtle.digest("SHA-256", await blob.arrayBuffer())
  return Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, "0")).join("")
}
