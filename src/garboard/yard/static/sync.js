/**
 * To the desk and back, whenever it can be reached: what waits here is sent and is safe once the desk says it holds
 * it; what others wrote is fetched. Sending twice does no harm, and the order of arrival makes no difference.
 */

import * as store from "/yard/store.js"

const BATCH = 200
const BATCH_BYTES = 2 ** 20
const PIECE_BYTES = 2 ** 18
const EVERY_MS = 15_000
const SOON_MS = 400
const PATIENCE_MS = 90_000
const MOST_IDS = 2000

/**
 * @typedef {{ reach: "unknown" | "reached" | "none" | "signed out", entries: number, files: number, refused: number,
 *   said: string }} State `said` is what the desk answered where it would not take something
 */

/** Nobody is signed in on this device. */
export class SignedOut extends Error {}

/** The desk was reached, and would not; or there is nothing to give it. */
class Unwilling extends Error {}

class Sync extends EventTarget {
  /** @type {State} */
  state = { reach: "unknown", entries: 0, files: 0, refused: 0, said: "" }
  #timer = 0
  /** @type {Promise<void>} the round under way, or the one before */
  #last = Promise.resolve()
  /** @type {Promise<void> | undefined} the round that begins after it */
  #next

  start() {
    addEventListener("online", () => this.soon())
    document.addEventListener("visibilitychange", () => document.hidden || this.soon())
    setInterval(() => this.soon(), EVERY_MS)
    this.soon()
  }

  /** Something was kept, or the desk may be in reach: try in a moment. */
  soon() {
    clearTimeout(this.#timer)
    this.#timer = setTimeout(() => this.now(), SOON_MS)
  }

  /** One whole round, after one that is under way; one tab of the browser does it for all. @returns {Promise<void>} */
  now() {
    if (!this.#next) {
      this.#next = this.#last.then(() => {
        this.#next = undefined
        return navigator.locks.request("garboard to the desk", () => this.#round())
      })
      this.#last = this.#next.catch(() => {})
    }
    return this.#next
  }

  async #round() {
    await this.#count()
    this.state.said = ""
    try {
      await this.#pushEntries()
      await this.#pull()
      await this.#pushFiles()
      this.state.reach = "reached"
    } catch (problem) {
      this.state.reach = reachAfter(problem)
      if (problem instanceof Unwilling) this.state.said = problem.message
    }
    await this.#count()
  }

  async #count() {
    Object.assign(this.state, await store.waiting())
    this.dispatchEvent(new Event("state"))
  }

  async #pushEntries() {
    for (;;) {
      const entries = batch((await store.waitingEntries(BATCH)).map((each) => each.entry))
      if (!entries.length) return
      const said = await asked("/api/entries", { entries })
      await store.answered(said.held, said.refused)
      await this.#count()
      // Nothing was answered for: asking again would go on for ever.
      if (!said.held.length && !said.refused.length) return
    }
  }

  async #pull() {
    for (const { id } of await store.surveys()) {
      let isNew = false
      for (let more = true; more; ) {
        const held = await store.surveyAt(id)
        // Taken off in the meantime.
        if (!held) break
        const found = await asked(`/api/entries?survey=${id}&since=${held.cursor}&limit=1000`)
        more = found.more
        if (!found.entries.length && held.isWhole) continue
        // What was sent from here comes back as well: that is no news.
        isNew = (await store.received(id, found.entries, found.cursor, !more)) > 0 || isNew
      }
      if (isNew) this.dispatchEvent(new CustomEvent("arrived", { detail: id }))
    }
  }

  /** One that does not go holds up none after it. */
  async #pushFiles() {
    const waiting = await store.waitingFiles()
    if (!waiting.length) return
    const { missing } = await asked("/api/files/missing", { sha256: waiting })
    for (const sha256 of waiting) {
      try {
        if (missing.includes(sha256)) await sendFile(sha256)
      } catch (problem) {
        if (problem instanceof SignedOut || isOutOfReach(problem)) throw problem
        this.state.said = `A file was not taken: ${/** @type {Error} */ (problem).message}`
        continue
      }
      await store.fileIsSafe(sha256)
      await this.#count()
    }
  }
}

export const sync = new Sync()

/**
 * Take a survey off this device, under the lock of the rounds and by the desk's own word that it holds all of it.
 *
 * @param {string} id
 * @returns {Promise<number>} how many entries and files are nowhere else, so that it stayed
 */
export const takeOff = (id) =>
  navigator.locks.request("garboard to the desk", async () => {
    const { entries, files } = await store.contents(id)
    const without = async (
      /** @type {string} */ address,
      /** @type {string} */ name,
      /** @type {string[]} */ all,
    ) => {
      const missing = new Set()
      for (let at = 0; at < all.length; at += MOST_IDS) {
        const said = await asked(address, { [name]: all.slice(at, at + MOST_IDS) })
        for (const each of said.missing) missing.add(each)
      }
      return all.filter((each) => !missing.has(each))
    }
    return store.forget(id, {
      entries: await without("/api/entries/missing", "ids", entries),
      files: await without("/api/files/missing", "sha256", files),
    })
  })

/** As many as one message may well carry, and at least one. @param {store.Entry[]} entries */
function batch(entries) {
  let bytes = 0
  const end = entries.findIndex((each) => {
    bytes += JSON.stringify(each).length
    return bytes > BATCH_BYTES
  })
  return end < 0 ? entries : entries.slice(0, Math.max(1, end))
}

/** @param {unknown} problem @returns {State["reach"]} */
function reachAfter(problem) {
  if (problem instanceof SignedOut) return "signed out"
  return isOutOfReach(problem) ? "none" : "reached"
}

/** The line failed, or took too long. @param {unknown} problem */
const isOutOfReach = (problem) =>
  problem instanceof TypeError ||
  (problem instanceof DOMException &&
    ["TimeoutError", "AbortError", "NetworkError"].includes(problem.name))

/** In pieces, from where it broke off. @param {string} sha256 */
async function sendFile(sha256) {
  const held = await store.fileAt(sha256)
  if (!held) throw new Unwilling("this device no longer has it. Send it from where else it is.")
  const address = `/api/files/${sha256}`
  let { offset, whole } = await asked(`${address}/offset`)
  while (!whole && offset < held.blob.size) {
    const piece = held.blob.slice(offset, offset + PIECE_BYTES)
    offset = (await asked(`${address}?offset=${offset}`, piece, "PUT")).offset
  }
  if (!whole) await asked(`${address}/finish`, {})
}

/**
 * The desk's answer as JSON.
 *
 * @param {string} address @param {any} [sent] @param {string} [method] @returns {Promise<any>}
 */
export async function asked(address, sent, method = sent === undefined ? "GET" : "POST") {
  const body = sent === undefined || sent instanceof Blob ? sent : JSON.stringify(sent)
  const response = await fetch(address, {
    method,
    body,
    headers: {
      "content-type": sent instanceof Blob ? "application/octet-stream" : "application/json",
    },
    signal: AbortSignal.timeout(PATIENCE_MS),
  })
  if (response.status === 401) throw new SignedOut()
  if (!response.ok) throw new Unwilling(await words(response))
  return response.json()
}

/** Why the desk would not. @param {Response} response */
async function words(response) {
  const text = await response.text()
  try {
    return JSON.parse(text).problems.join(" ")
  } catch {
    return text.slice(0, 200)
  }
}
