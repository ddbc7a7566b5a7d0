/** Two devices with no signal at all: one writes what it holds of a survey into a file, the other takes it in. */

import { sha256Of } from "/yard/entry.js"
import { choose } from "/yard/question.js"
import * as store from "/yard/store.js"
import { survey } from "/yard/survey.js"
import { sync } from "/yard/sync.js"
import { crcOf, isZip, MOST_BYTES, membersOf, zipOf } from "/yard/zip.js"

/** @typedef {import("/yard/store.js").Entry} Entry */

const TYPE = "application/x-ndjson"
const ENTRIES = "entries.jsonl"
const FILES = "files/"
const ID = /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/
const TEXTS = /** @type {const} */ (["at", "author", "device", "kind"])
const MB = 1_000_000

/**
 * Give what is held of a survey to another device.
 *
 * @param {string} id @param {string} boat
 * @param {(words: string) => void} say what is being done
 * @returns {Promise<string>} what became of it, in words; empty where nothing was to be given after all
 */
export async function giveByFile(id, boat, say) {
  try {
    const held = await store.filesOf(id)
    const sizes = held.map((each) => each.size)
    const isWith = held.length ? await areWanted(sizes) : false
    if (isWith === undefined) return ""
    say("Being packed.")
    const { file, lost } = await packed(id, boat, isWith ? held : [])
    if (!(await handOn(file))) return ""
    return lost
      ? `${file.name} is made, without ${lost} of ${held.length} photographs and sounds: this device no longer has ${lost === 1 ? "it" : "them"}.`
      : `${file.name} is made.`
  } catch (problem) {
    return `No file was made. ${/** @type {Error} */ (problem).message}`
  }
}

/**
 * The plan and every entry of a survey, a line each; with the photographs and sounds, where there are any to be given,
 * in one ZIP file, each by its SHA-256.
 *
 * @param {string} id @param {string} boat @param {store.HeldFile[]} files
 * @returns {Promise<{ file: File, lost: number }>} and how many of the files could not be read any more
 */
async function packed(id, boat, files) {
  const held = await store.entriesOf(id)
  const plan = (await store.surveyAt(id))?.plan ?? null
  const lines = [{ survey: id, plan }, ...held.map((each) => each.entry)].map(
    (each) => `${JSON.stringify(each)}\n`,
  )
  const name = boat.toLowerCase().replace(/[^a-z0-9]+/g, "-") || "survey"
  const entries = new Blob(lines, { type: TYPE })
  if (!files.length) return { file: new File([entries], `${name}.jsonl`, { type: TYPE }), lost: 0 }
  /** @type {[string, Blob][]} */
  const members = [[ENTRIES, entries]]
  for (const { sha256 } of files) {
    const original = await store.fileAt(sha256)
    if (original) members.push([`${FILES}${sha256}`, original.blob])
  }
  const zip = await zipOf(members)
  const lost = files.length + 1 - members.length
  return { file: new File([zip], `${name}.zip`, { type: zip.type }), lost }
}

/** @param {number[]} sizes in bytes @returns {Promise<boolean | undefined>} nothing where none is to be given */
async function areWanted(sizes) {
  const bytes = sizes.reduce((sum, each) => sum + each, 0)
  const size = `${Math.max(1, Math.round(bytes / MB)).toLocaleString("en")} MB`
  const count =
    sizes.length === 1 ? "1 photograph or sound" : `${sizes.length} photographs and sounds`
  const isTooLarge = bytes > MOST_BYTES
  const answer = await choose(
    "Give it with its photographs and sounds?",
    isTooLarge
      ? `${count} are ${size}: too much for one file. They come by way of the desk.`
      : `On this device lie ${count}, ${size}. The other device needs room for them.`,
    [
      ...(isTooLarge ? [] : [/** @type {[string, string]} */ (["with", `With them, ${size}`])]),
      ["without", "Entries only"],
    ],
  )
  return answer ? answer === "with" : undefined
}

/** @param {File} file @returns {Promise<boolean>} whether it was handed on, or saved */
async function handOn(file) {
  if (navigator.canShare?.({ files: [file] })) {
    try {
      await navigator.share({ files: [file] })
      return true
    } catch (problem) {
      if (/** @type {Error} */ (problem).name === "AbortError") return false
      // Too long after the touch to be handed on: it is saved instead.
    }
  }
  const link = document.createElement("a")
  link.href = URL.createObjectURL(file)
  link.download = file.name
  link.click()
  // The browser reads it after the click has returned.
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000)
  return true
}

/**
 * Take in what another device gave: all of it or, with what is wrong said, none.
 *
 * @param {File} file
 * @returns {Promise<string>} what became of it, in words
 */
export async function takeFromFile(file) {
  try {
    const { lines, originals } = await opened(file)
    return await taken(file.name, lines, originals)
  } catch (problem) {
    const { name, message } = /** @type {Error} */ (problem)
    const isFull = name === "QuotaExceededError"
    return `Nothing was taken in of ${file.name}: ${isFull ? "this device is full" : message}.`
  }
}

/** @param {File} file @returns {Promise<{ lines: string, originals: Map<string, Blob> }>} the entries, and files by SHA-256 */
async function opened(file) {
  /** @type {Map<string, Blob>} */
  const originals = new Map()
  if (!(await isZip(file))) return { lines: await file.text(), originals }
  const members = await membersOf(file)
  const listed = members.find((each) => each.name === ENTRIES)
  if (!listed) throw new Error("there are no entries of a survey in it")
  const entries = await listed.open()
  if ((await crcOf(entries)) !== listed.crc) throw new Error("its entries were spoilt on the way")
  for (const { name, open } of members) {
    if (!name.startsWith(FILES) || name === FILES) continue
    const sha256 = name.slice(FILES.length)
    const blob = await open()
    if ((await sha256Of(blob)) !== sha256)
      throw new Error(
        `one of its photographs or sounds was spoilt on the way (${sha256.slice(0, 12)}); have it given once more`,
      )
    originals.set(sha256, blob)
  }
  return { lines: await entries.text(), originals }
}

/** @param {string} name @param {string} lines @param {Map<string, Blob>} originals */
async function taken(name, lines, originals) {
  /** @type {Entry[]} */
  const entries = []
  /** @type {Map<string, any>} */
  const plans = new Map()
  for (const [at, line] of lines.split("\n").entries()) {
    if (!line.trim()) continue
    const read = readAs(line)
    if (read?.plan && ID.test(read.survey)) {
      plans.set(read.survey, read.plan)
      continue
    }
    const entry = entryIn(read)
    if (!entry) return `Nothing was taken in: line ${at + 1} of ${name} is no entry of a survey.`
    entries.push(entry)
  }
  if (!entries.length) return `Nothing was taken in: ${name} is empty.`
  // What no entry names belongs to nothing here.
  const files = entries.flatMap(({ survey, body: { sha256 } }) => {
    const blob = originals.get(sha256)
    originals.delete(sha256)
    return blob ? [{ sha256, survey, blob }] : []
  })
  const count = await store.take(entries, files, await newOnes(entries, plans))
  for (const id of new Set(entries.map((each) => each.survey))) survey.cameIn(id)
  sync.soon()
  const told = `${count.entries} ${count.entries === 1 ? "entry was" : "entries were"} new here, of ${entries.length}`
  return files.length
    ? `${told}; ${count.files} of ${files.length} photographs and sounds.`
    : `${told}. No photographs and sounds are in it: they come by way of the desk, or in a file given with them.`
}

/**
 * The surveys of entries that are not on this device yet.
 *
 * @param {Entry[]} entries @param {Map<string, any>} plans
 * @returns {Promise<store.HeldSurvey[]>}
 */
async function newOnes(entries, plans) {
  const held = new Set((await store.surveys()).map((each) => each.id))
  const ids = new Set(entries.map((each) => each.survey).filter((id) => !held.has(id)))
  return [...ids].map((id) => {
    const last = (/** @type {string} */ kind) =>
      entries.filter((each) => each.survey === id && each.kind === kind).at(-1)?.body
    return {
      id,
      boat: last("boat")?.name ?? "",
      client: last("instruction")?.client ?? "",
      purpose: last("instruction")?.purpose ?? "",
      cursor: 0,
      plan: plans.get(id) ?? null,
    }
  })
}

/** @param {string} line @returns {any} */
function readAs(line) {
  try {
    return JSON.parse(line)
  } catch {
    return undefined
  }
}

/** @param {any} read @returns {Entry | undefined} */
function entryIn(read) {
  const isOne =
    ID.test(read?.id) &&
    ID.test(read.survey) &&
    TEXTS.every((each) => typeof read[each] === "string") &&
    read.body !== null &&
    typeof read.body === "object" &&
    Array.isArray(read.replaces)
  return isOne ? read : undefined
}
