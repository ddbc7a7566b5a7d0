/** Two devices with no signal at all: one writes what it holds of a survey into a file, the other takes it in. */

import * as store from "/yard/store.js"
import { sync } from "/yard/sync.js"

/** @typedef {import("/yard/store.js").Entry} Entry */

const TYPE = "application/x-ndjson"
const ID = /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/
const TEXTS = /** @type {const} */ (["at", "author", "device", "kind"])

/** The plan and every entry of a survey, a line each. @param {string} id @param {string} boat */
export async function giveByFile(id, boat) {
  const held = await store.entriesOf(id)
  const plan = (await store.surveyAt(id))?.plan ?? null
  const lines = [{ survey: id, plan }, ...held.map((each) => each.entry)].map(
    (each) => `${JSON.stringify(each)}\n`,
  )
  const name = `${boat.toLowerCase().replace(/[^a-z0-9]+/g, "-") || "survey"}.jsonl`
  const file = new File(lines, name, { type: TYPE })
  if (navigator.canShare?.({ files: [file] })) {
    await navigator.share({ files: [file] }).catch(() => {})
    return
  }
  const link = document.createElement("a")
  link.href = URL.createObjectURL(file)
  link.download = name
  link.click()
  // The browser reads it after the click has returned.
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000)
}

/**
 * Take in what another device gave: all of it or, with a line named that makes no sense, none.
 *
 * @param {File} file
 * @returns {Promise<string>} what became of it, in words
 */
export async function takeFromFile(file) {
  /** @type {Entry[]} */
  const entries = []
  /** @type {Map<string, any>} */
  const plans = new Map()
  for (const [at, line] of (await file.text()).split("\n").entries()) {
    if (!line.trim()) continue
    const read = readAs(line)
    if (read?.plan && ID.test(read.survey)) {
      plans.set(read.survey, read.plan)
      continue
    }
    const entry = entryIn(read)
    if (!entry)
      return `Nothing was taken in: line ${at + 1} of ${file.name} is no entry of a survey.`
    entries.push(entry)
  }
  if (!entries.length) return `Nothing was taken in: ${file.name} is empty.`
  for (const id of new Set(entries.map((each) => each.survey)))
    await welcome(id, entries, plans.get(id) ?? null)
  const count = await store.take(entries)
  sync.soon()
  return `${count} ${count === 1 ? "entry was" : "entries were"} new here, of ${entries.length}. Photographs and sounds come by way of the desk.`
}

/** The survey is on this device from now on. @param {string} id @param {Entry[]} entries @param {any} plan */
async function welcome(id, entries, plan) {
  if (await store.surveyAt(id)) return
  const last = (/** @type {string} */ kind) =>
    entries.filter((each) => each.survey === id && each.kind === kind).at(-1)?.body
  await store.keepSurvey({
    id,
    boat: last("boat")?.name ?? "",
    client: last("instruction")?.client ?? "",
    purpose: last("instruction")?.purpose ?? "",
    cursor: 0,
    plan,
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
