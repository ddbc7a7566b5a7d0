/** When the camera of a photograph says it was taken (Exif 2.31, tags 36867 and 36881). */

const HEAD_BYTES = 262_144
const START = /Exif\0\0(?=II\*\0|MM\0\*)/
const OWN = 0x8769
const TAKEN = 0x9003
const OFFSET = 0x9011

/**
 * By the clock of this device where the camera names no offset of its own; null where it says nothing that can be read.
 *
 * @param {Blob} blob the photograph as it came
 * @returns {Promise<Date | null>}
 */
export async function cameraTime(blob) {
  const bytes = new Uint8Array(await blob.slice(0, HEAD_BYTES).arrayBuffer())
  const head = new TextDecoder("latin1").decode(bytes)
  const start = START.exec(head)
  if (!start) return null
  try {
    return told(bytes.subarray(start.index + start[0].length))
  } catch {
    // It ends too early, or points outside itself.
    return null
  }
}

/** @param {Uint8Array} exif from its byte order on @returns {Date | null} */
function told(exif) {
  const view = new DataView(exif.buffer, exif.byteOffset, exif.byteLength)
  const isLittle = exif[0] === 0x49
  const own = entryAt(view, view.getUint32(4, isLittle), OWN, isLittle)
  if (own === null) return null
  const ifd = view.getUint32(own + 8, isLittle)
  const taken = /^(\d{4}):(\d\d):(\d\d) (\d\d:\d\d:\d\d)/.exec(text(view, ifd, TAKEN, isLittle))
  if (!taken) return null
  const [offset] = /^[+-]\d\d:\d\d/.exec(text(view, ifd, OFFSET, isLittle)) ?? [""]
  const at = new Date(`${taken[1]}-${taken[2]}-${taken[3]}T${taken[4]}${offset}`)
  return Number.isNaN(at.getTime()) ? null : at
}

/** @param {DataView} view @param {number} ifd where it begins @param {number} tag @param {boolean} isLittle */
function text(view, ifd, tag, isLittle) {
  const at = entryAt(view, ifd, tag, isLittle)
  if (at === null) return ""
  const from = view.getUint32(at + 8, isLittle)
  const letters = Array.from({ length: view.getUint32(at + 4, isLittle) % 32 }, (_, index) =>
    view.getUint8(from + index),
  )
  return String.fromCharCode(...letters)
}

/** Where the entry of a tag begins; null where there is none. @param {DataView} view @param {number} ifd @param {number} tag @param {boolean} isLittle */
function entryAt(view, ifd, tag, isLittle) {
  const entries = view.getUint16(ifd, isLittle)
  for (let at = ifd + 2; at < ifd + 2 + 12 * entries; at += 12)
    if (view.getUint16(at, isLittle) === tag) return at
  return null
}
