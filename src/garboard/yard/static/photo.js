/**
 * A photograph kept: its untouched bytes, and an entry with a number that no other device gives. The desk gives each
 * device a thousand numbers of its own; one that never met it takes a thousand by chance.
 */

import { localTime, sha256Of } from "/yard/entry.js"
import { cameraTime } from "/yard/exif.js"
import { worded } from "/yard/question.js"
import { keyOf } from "/yard/stands.js"
import { set, setting } from "/yard/store.js"
import { standingOf, survey } from "/yard/survey.js"

/** @typedef {import("/yard/store.js").Entry} Entry */

const DEVICES_FROM = 10_000
const OF_A_DEVICE = 1_000
const DEVICES = 90
const JUST_TAKEN_MS = 10 * 60_000

/** What the first bytes of a file say it is; the desk takes these. @type {[RegExp, string, string][]} */
const KINDS = [
  [/^\xff\xd8\xff/, "image/jpeg", "jpg"],
  [/^\x89PNG\r\n/, "image/png", "png"],
  [/^(II\*\0|MM\0\*)/, "image/tiff", "tif"],
  [/^....ftyp(hei[cxms]|hev[cx]|mif1|msf1)/s, "image/heic", "heic"],
]

/**
 * Keep a photograph; when this resolves it is on the disk of this device. The same photograph again is not kept twice.
 *
 * @param {Blob} blob its bytes as the camera made them
 * @param {any} place what it shows, or null
 * @param {{ taken?: Date | null, name?: string }} [about] when, and the name its file came with
 * @returns {Promise<Entry>}
 */
export async function keepPhoto(blob, place, { taken = null, name = "" } = {}) {
  // Of the boat that is open now, also where it is kept after she was left.
  const of = survey.id
  const [type, suffix] = await kindOf(blob)
  const sha256 = await sha256Of(blob)
  // One at a time, in all tabs, so that no number is given twice.
  return navigator.locks.request(`photographs of ${of}`, async () => {
    const entries = await survey.entriesOf(of)
    const standing = standingOf(entries, "photo")
    const held = standing.find((each) => each.body.sha256 === sha256)
    if (held) return held
    const number = await nextNumber(of, entries)
    const body = {
      number,
      file: freeName(name || `photograph-${number}.${suffix}`, number, entries),
      sha256,
      media_type: type,
      caption: "",
      printed: false,
      ...(place && { place }),
      ...(taken && { taken: localTime(taken) }),
    }
    const kept = await survey.keep("photo", body, { of, files: [{ sha256, blob }] })
    // The photograph is kept: where this is not, its number is read off the entries.
    await set(`photographs of ${of}`, number).catch(() => {})
    return kept
  })
}

/**
 * Ask what a photograph shows, in a few words, and keep it as corrected.
 *
 * @param {Entry} photo
 * @returns {Promise<Entry | undefined>} as it stands now; nothing where nothing was changed
 */
export async function caption(photo) {
  const { number, sha256, caption: before } = photo.body
  const words = await worded(`What the photograph shows, in a few words (number ${number})`, before)
  if (words === undefined || words === before) return
  // It may have been corrected while the words were typed.
  const of = photo.survey
  const standing = standingOf(await survey.entriesOf(of), "photo")
  const now = standing.find((each) => each.body.sha256 === sha256) ?? photo
  const why = before ? "caption changed" : "caption written"
  return survey.keep("photo", { ...now.body, caption: words }, { of, replaces: [now.id], why })
}

/** Whether a photograph stands at a place. @param {Entry} photo @param {any} place or null */
export const isAt = ({ body }, place) => keyOf(body.place ?? {}) === keyOf(place ?? {})

/** What is said of a photograph that was given for a place. @param {Entry} photo @param {any} place or null */
export function told(photo, place) {
  const { body } = photo
  const at = keyOf(body.place ?? {})
  const where = survey.plan?.places.find((/** @type {any} */ each) => each.key === at)
  const of = body.place ? `of ${where?.name ?? at}` : "without a part"
  return isAt(photo, place)
    ? `Saved on this device. Photograph ${of}, number ${body.number}.`
    : `This very photograph stands already, ${of}, number ${body.number}. It is not kept a second time.`
}

/**
 * Keep what the system's camera, or the device's own album, gave.
 *
 * @param {File} file @param {any} place what it shows, or null
 */
export async function keepFile(file, place) {
  // Without its camera's time it has that of the file, unless that is the time it was copied.
  const isNow = Math.abs(Date.now() - file.lastModified) < JUST_TAKEN_MS
  const taken = (await cameraTime(file)) ?? (isNow ? new Date(file.lastModified) : null)
  return keepPhoto(file, place, { taken, name: file.name })
}

/** @param {Blob} blob @returns {Promise<[string, string]>} its media type and the end of its name */
async function kindOf(blob) {
  const bytes = new Uint8Array(await blob.slice(0, 16).arrayBuffer())
  const head = String.fromCharCode(...bytes)
  for (const [start, type, suffix] of KINDS) if (start.test(head)) return [type, suffix]
  throw new Error("This is no photograph the desk can take: JPEG, HEIC, PNG or TIFF.")
}

/** @param {string} of the survey @param {Entry[]} entries all of it */
async function nextNumber(of, entries) {
  const [first, last] = await ownNumbers()
  const given = entries
    .filter((each) => each.kind === "photo")
    .map((each) => each.body.number)
    .filter((each) => each >= first && each <= last)
  const before = (await setting(`photographs of ${of}`)) ?? 0
  if (before >= first && before <= last) given.push(before)
  const number = Math.max(first - 1, ...given) + 1
  if (number > last)
    throw new Error(`This device has given all its ${OF_A_DEVICE} numbers in this survey.`)
  return number
}

/** @returns {Promise<[number, number]>} the first and the last number this device may give */
async function ownNumbers() {
  const known = await setting("photographs")
  if (known) return known
  const first = DEVICES_FROM + Math.floor(Math.random() * DEVICES) * OF_A_DEVICE
  await set("photographs", [first, first + OF_A_DEVICE - 1])
  return ownNumbers()
}

/**
 * The name a file came with, told from the others where two cameras count alike; also from those taken back, for that
 * somebody looked at one is kept by its name.
 *
 * @param {string} name @param {number} number @param {Entry[]} entries all of the survey
 */
function freeName(name, number, entries) {
  const plain = name.split(/[/\\]/).at(-1) ?? name
  const photographs = entries.filter(({ kind }) => kind === "photo")
  const taken = new Set(photographs.map(({ body }) => String(body.file).toLowerCase()))
  if (!taken.has(plain.toLowerCase())) return plain
  const dot = plain.lastIndexOf(".")
  return dot > 0 ? `${plain.slice(0, dot)} ${number}${plain.slice(dot)}` : `${plain} ${number}`
}
