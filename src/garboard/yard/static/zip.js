/** A ZIP file written with its members as they are, and read again; what is in it is never held in memory as a whole. */

const LOCAL = 0x04034b50
const CENTRAL = 0x02014b50
const END = 0x06054b50
const END_BYTES = 22
const LOCAL_BYTES = 30
const CENTRAL_BYTES = 46
const LONGEST_COMMENT = 0xffff
// Members before 1980 cannot be said to be: none has a time here.
const DAY = 0x21
const UTF8 = 0x0800
const STORED = 0
const DEFLATED = 8
/** More than this, or more members, an ordinary ZIP file does not hold. */
export const MOST_BYTES = 0xfff00000
const MOST_MEMBERS = 0xfffe

/** @typedef {{ name: string, crc: number, open: () => Promise<Blob> }} Member */

const TABLE = Uint32Array.from({ length: 256 }, (_, byte) => {
  let made = byte
  for (let bit = 0; bit < 8; bit++) made = made & 1 ? (made >>> 1) ^ 0xedb88320 : made >>> 1
  return made
})

/** The check figure that ZIP files have of their members. @param {Blob} blob */
export async function crcOf(blob) {
  let crc = 0xffffffff
  const reader = blob.stream().getReader()
  for (;;) {
    const { done, value } = await reader.read()
    if (done) return (crc ^ 0xffffffff) >>> 0
    for (const byte of value) crc = (crc >>> 8) ^ (TABLE[(crc ^ byte) & 0xff] ?? 0)
  }
}

/** @param {[string, Blob][]} members their names and what is in them @returns {Promise<Blob>} */
export async function zipOf(members) {
  const named = members.map(([name, blob]) => ({ name: new TextEncoder().encode(name), blob }))
  const size = named.reduce(
    (sum, { name, blob }) => sum + LOCAL_BYTES + CENTRAL_BYTES + 2 * name.length + blob.size,
    END_BYTES,
  )
  if (named.length > MOST_MEMBERS || size > MOST_BYTES)
    throw new Error("It is too much for one file.")
  /** @type {BlobPart[]} */
  const parts = []
  /** @type {BlobPart[]} */
  const listed = []
  let at = 0
  for (const { name, blob } of named) {
    const crc = await crcOf(blob)
    const known = [20, UTF8, STORED, 0, DAY, [crc], [blob.size], [blob.size], name.length, 0]
    listed.push(bytes([[CENTRAL], 20, ...known, 0, 0, 0, [0], [at]]), name)
    parts.push(bytes([[LOCAL], ...known]), name, blob)
    at += LOCAL_BYTES + name.length + blob.size
  }
  const directory = new Blob(listed)
  const count = members.length
  const end = bytes([[END], 0, 0, count, count, [directory.size], [at], 0])
  return new Blob([...parts, directory, end], { type: "application/zip" })
}

/** Whether a file begins as ZIP files do. @param {Blob} blob */
export const isZip = async (blob) =>
  blob.size > END_BYTES && (await view(blob, 0, 4)).getUint32(0, true) === LOCAL

/**
 * What is in a ZIP file, by its directory; whoever wrote it.
 *
 * @param {Blob} blob @returns {Promise<Member[]>}
 */
export async function membersOf(blob) {
  const tail = Math.max(0, blob.size - END_BYTES - LONGEST_COMMENT)
  const last = await view(blob, tail, blob.size)
  let end = last.byteLength - END_BYTES
  while (end >= 0 && last.getUint32(end, true) !== END) end--
  if (end < 0) throw new Error("it breaks off before its end")
  const count = last.getUint16(end + 10, true)
  const size = last.getUint32(end + 12, true)
  const start = last.getUint32(end + 16, true)
  const directory = await view(blob, start, start + size)
  /** @type {Member[]} */
  const found = []
  for (let at = 0; found.length < count; ) {
    if (at + CENTRAL_BYTES > directory.byteLength || directory.getUint32(at, true) !== CENTRAL)
      throw new Error("its list of what is in it is spoilt")
    const [named, extra, said] = [28, 30, 32].map((each) => directory.getUint16(at + each, true))
    const name = new TextDecoder().decode(
      new Uint8Array(directory.buffer, directory.byteOffset + at + CENTRAL_BYTES, named),
    )
    const method = directory.getUint16(at + 10, true)
    const packed = directory.getUint32(at + 20, true)
    const from = directory.getUint32(at + 42, true)
    found.push({
      name,
      crc: directory.getUint32(at + 16, true),
      open: () => member(blob, from, packed, method),
    })
    at += CENTRAL_BYTES + (named ?? 0) + (extra ?? 0) + (said ?? 0)
  }
  return found
}

/** @param {Blob} blob @param {number} from @param {number} packed @param {number} method @returns {Promise<Blob>} */
async function member(blob, from, packed, method) {
  const head = await view(blob, from, from + LOCAL_BYTES)
  const start = from + LOCAL_BYTES + head.getUint16(26, true) + head.getUint16(28, true)
  const held = blob.slice(start, start + packed)
  if (method === STORED) return held
  if (method !== DEFLATED) throw new Error("it is packed in a way that is not read here")
  return new Response(held.stream().pipeThrough(new DecompressionStream("deflate-raw"))).blob()
}

/** @param {Blob} blob @param {number} from @param {number} to */
async function view(blob, from, to) {
  const held = await blob.slice(from, to).arrayBuffer()
  if (held.byteLength < to - from) throw new Error("it breaks off before its end")
  return new DataView(held)
}

/** Numbers of two bytes, and of four where they stand in brackets, the lowest byte first. @param {(number | number[])[]} numbers */
function bytes(numbers) {
  const made = numbers.flatMap((each) => {
    const [value, count] = Array.isArray(each) ? [each[0] ?? 0, 4] : [each, 2]
    return Array.from({ length: count }, (_, at) => (value >>> (8 * at)) & 0xff)
  })
  return new Uint8Array(made)
}
