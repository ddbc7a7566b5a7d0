/** The survey that is open: its entries as they are held here, the plan, and the one way by which something is kept. */

import { core } from "/yard/core.js"
import { entry, isBegun, writer } from "/yard/entry.js"
import * as store from "/yard/store.js"
import { sync } from "/yard/sync.js"

/** @typedef {import("/yard/store.js").Entry} Entry */

const PLAN_PAUSE_MS = 700
/** Each entry is the one before with a reading, or a figure of the visit, more: what was before it is no mistake. */
const GROWING = ["reading set", "conditions"]
const PLANLESS =
  "What is called for is not on this device yet. Reach the desk once, or come back when the calculations have started."
const NAMELESS =
  "Nobody has said who writes on this device. Give a name on the page of all surveys, then do this once more."

class OpenSurvey extends EventTarget {
  id = ""
  /** @type {any} what is called for and how it stands: the desk's at first, the core's as soon as it has started */
  plan = null
  /** @type {Entry[]} in the order of their ids; until `whole` those alone that were kept since it was opened */
  entries = []
  isWhole = false
  /** Settled once all that is held here of it was read. */
  whole = Promise.resolve()
  #others = new BroadcastChannel("garboard kept")
  #timer = 0
  #isAsking = false
  #isStale = false

  constructor() {
    super()
    sync.addEventListener("arrived", (event) =>
      this.#arrived(/** @type {CustomEvent} */ (event).detail),
    )
    core.addEventListener("state", () => core.state === "ready" && this.isWhole && this.#told())
    // Another tab of this browser kept something.
    this.#others.onmessage = ({ data }) => this.#arrived(data)
  }

  /** With its plan; its entries, which may be thousands, are there with `whole`. @param {string} id */
  async open(id) {
    if (id === this.id) return
    const held = await store.surveyAt(id)
    if (!held) throw new Error("This survey is not on this device.")
    const plan = held.plan ?? (await planAnew(id))
    this.close()
    this.id = id
    this.plan = plan
    this.whole = this.#read(id)
  }

  close() {
    this.id = ""
    this.plan = null
    this.entries = []
    this.isWhole = false
    this.whole = Promise.resolve()
  }

  /**
   * Keep what was done. When this resolves it is on the disk of this device, and only then may a page say so.
   *
   * @param {string} kind
   * @param {any} body
   * @param {{ replaces?: string[], why?: string | null, files?: { sha256: string, blob: Blob }[], of?: string }} [about]
   *   `of` is the survey it was captured in, where that may not be the one that is open by now
   * @returns {Promise<Entry>}
   */
  async keep(kind, body, { files = [], of = this.id, ...about } = {}) {
    /** @type {Entry} */
    let made
    try {
      // The page may have been opened this very moment.
      await isBegun()
      made = entry(of, kind, body, about)
      if (!writer().author) throw new Error(NAMELESS)
      if (!of) throw new Error("no survey is open")
      await store.keep([made], files)
    } catch (problem) {
      this.dispatchEvent(new CustomEvent("unsaved", { detail: problem }))
      throw problem
    }
    if (of === this.id) this.#added([made])
    this.#others.postMessage(of)
    sync.soon()
    return made
  }

  /**
   * Take back what was kept, with all its versions, so that no earlier one stands again: it stays legible, struck
   * through. Of what grows entry by entry only what was added last goes.
   *
   * @param {Entry} mistaken @param {string} why
   */
  async takeBack(mistaken, why) {
    const { id, kind, survey: of } = mistaken
    const replaces = GROWING.includes(kind) ? [id] : versionsOf(await this.entriesOf(of), mistaken)
    return this.keep("withdrawal", {}, { of, replaces, why })
  }

  /** @param {string} [wanted] the kind @returns {Entry[]} what stands, of a kind or of all */
  standing(wanted) {
    return standingOf(this.entries, wanted)
  }

  /** @param {string} of a survey on this device, the one that is open or another @returns {Promise<Entry[]>} */
  async entriesOf(of) {
    if (of === this.id) await this.whole
    // She may have been left meanwhile.
    if (of === this.id) return this.entries
    return (await store.entriesOf(of)).map((each) => each.entry)
  }

  /** Entries of a survey came by another way than through here: whoever has it open, in whichever tab, reads it anew. @param {string} id */
  cameIn(id) {
    this.#arrived(id)
    this.#others.postMessage(id)
  }

  /** @param {Entry[]} entries */
  #added(entries) {
    this.entries.push(...entries)
    if (core.state === "ready" && this.isWhole) {
      core.ask("add", { survey: this.id, entries }).catch(() => {})
      this.replan()
    }
    this.dispatchEvent(new Event("changed"))
  }

  /** @param {string} id */
  #arrived(id) {
    if (id !== this.id) return
    const again = this.#read(id)
    // Where it cannot be read just now, what was read before stands.
    this.whole = this.isWhole ? again.catch(() => {}) : again
  }

  /** @param {string} id */
  async #read(id) {
    const read = (await store.entriesOf(id)).map((each) => each.entry)
    if (id !== this.id) return
    // What was kept meanwhile may not be among them.
    const known = new Set(read.map((each) => each.id))
    this.entries = [...read, ...this.entries.filter((each) => !known.has(each.id))]
    this.isWhole = true
    if (core.state === "ready") this.#told()
    this.dispatchEvent(new Event("changed"))
  }

  /** Nothing waits for it: what is asked of the core after this is answered after it. */
  #told() {
    core.ask("open", { survey: this.id, entries: this.entries }).catch(() => {})
    this.replan()
  }

  /** Ask for the plan anew, once the hand rests. */
  replan() {
    clearTimeout(this.#timer)
    this.#timer = setTimeout(() => this.#plan(), PLAN_PAUSE_MS)
  }

  async #plan() {
    if (this.#isAsking) {
      this.#isStale = true
      return
    }
    this.#isAsking = true
    this.#isStale = false
    const { id } = this
    try {
      const plan = await core.ask("plan", { survey: id })
      await store.keepPlan(id, plan)
      if (id === this.id) {
        this.plan = plan
        this.dispatchEvent(new Event("planned"))
      }
    } catch {
      // The plan of before still holds.
    }
    this.#isAsking = false
    if (this.#isStale) this.replan()
  }
}

/** A survey that came without its plan, as by an older file. @param {string} id */
async function planAnew(id) {
  if (core.state !== "ready") throw new Error(PLANLESS)
  const entries = (await store.entriesOf(id)).map((each) => each.entry)
  await core.ask("open", { survey: id, entries })
  return core.ask("plan", { survey: id })
}

export const survey = new OpenSurvey()

/**
 * What stands, of a kind or of all, by the rules of the core (notebook/fold.py): what was not taken back, and is
 * replaced by nothing that stands. Entries that replace each other in a circle no honest device writes.
 *
 * @param {Entry[]} entries @param {string} [wanted] the kind
 * @returns {Entry[]}
 */
export function standingOf(entries, wanted) {
  const { headsOf, isTakenBack } = rules(entries)
  return entries.filter(
    (each) =>
      each.kind !== "withdrawal" &&
      (!wanted || each.kind === wanted) &&
      !isTakenBack(each) &&
      !headsOf(each).size,
  )
}

/**
 * The ids of an entry and of all it alone took the place of. What it stands beside, as two corrections of one entry do,
 * is not among them.
 *
 * @param {Entry[]} entries @param {Entry} entry
 */
function versionsOf(entries, { id }) {
  const { headsOf } = rules(entries)
  const before = entries.filter((each) => {
    const heads = headsOf(each)
    return heads.size === 1 && heads.has(id)
  })
  return [id, ...before.map((each) => each.id)]
}

/** Whether an entry was taken back, and the ids of the corrections that stand in its place. @param {Entry[]} entries */
function rules(entries) {
  /** @type {Map<string, Entry[]>} */
  const against = new Map()
  for (const each of entries)
    for (const id of each.replaces) against.set(id, [...(against.get(id) ?? []), each])
  /** @type {(entry: Entry) => boolean} */
  const isTakenBack = once(
    ({ id }) => (against.get(id) ?? []).some((by) => by.kind === "withdrawal" && !isTakenBack(by)),
    false,
  )
  /** @type {(entry: Entry) => Set<string>} */
  const headsOf = once(({ id, kind }) => {
    /** @type {Set<string>} */
    const heads = new Set()
    for (const by of against.get(id) ?? []) {
      if (by.kind !== kind) continue
      const after = headsOf(by)
      if (after.size) for (const each of after) heads.add(each)
      else if (!isTakenBack(by)) heads.add(by.id)
    }
    return heads
  }, new Set())
  return { isTakenBack, headsOf }
}

/**
 * Asked once of each entry.
 *
 * @template T
 * @param {(entry: Entry) => T} ask @param {T} meanwhile what it is while it is still being asked
 */
function once(ask, meanwhile) {
  /** @type {Map<string, T>} */
  const known = new Map()
  return (/** @type {Entry} */ entry) => {
    const found = known.get(entry.id)
    if (found !== undefined) return found
    known.set(entry.id, meanwhile)
    const answer = ask(entry)
    known.set(entry.id, answer)
    return answer
  }
}
