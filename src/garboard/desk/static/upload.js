/**
 * Files on their way to the desk: a few at a time, in pieces, each known by its hash, so that what broke off goes on
 * where it stopped, also on another day. Once all are there they are kept one after the other, in the order that the
 * desk gives them; what is there when the page is closed can be kept so when it is opened again. Where the browser gives
 * no hash (a page not served by HTTPS) the files go whole, one after the other, the earliest first by their dates.
 */

const PIECE_BYTES = 4 * 2 ** 20
const AT_ONCE = 3
const WAITS_MS = [500, 1000, 2000, 4000, 8000]

const SIGNED_OUT =
  "You are signed out here. Sign in, then choose the same files again: they go on where they stopped."
const UNREADABLE = "This file cannot be read. Choose it again."
const NO_CONNECTION = "The desk could not be reached. Try again: it goes on where it stopped."

/** @typedef {"waiting" | "reading" | "sending" | "sent" | "keeping" | "kept" | "refused" | "stopped"} State */
/** @typedef {{ name: string, size: number, lastModified: number }} Named a file, or what is known of one sent before */
/** @typedef {{ file: Named, address: string, order: string }} There a file that is at the desk and not kept yet */
/** @typedef {{ file: Named, state: State, sent: number, words: string, address: string, order: string }} Item */

const UNDER_WAY = ["waiting", "reading", "sending", "sent", "keeping"]

/** What the desk answered, and would answer again. */
class Refusal extends Error {}

export class Upload {
  /** @type {Item[]} */
  items = []
  #running = 0

  /**
   * @param {string} address where the files go
   * @param {(item: Item) => void} changed told of each step of an item
   */
  constructor(address, changed) {
    this.address = address
    this.changed = changed
  }

  get isBusy() {
    return this.items.some((item) => UNDER_WAY.includes(item.state))
  }

  /** @param {Iterable<File>} files those chosen already are not sent twice */
  add(files) {
    for (const file of files) {
      const before = this.items.find((item) => isSame(item.file, file))
      if (!before)
        this.items.push({ file, state: "waiting", sent: 0, words: "", address: "", order: "" })
      else if (before.state === "stopped" || before.state === "refused") {
        Object.assign(before, { file, state: "waiting" })
      }
    }
    this.#go()
  }

  /** Go on with what broke off, and keep what is here. */
  again() {
    const stopped = this.items.filter((item) => item.state === "stopped")
    for (const item of stopped) item.state = item.file instanceof File ? "waiting" : "sent"
    this.#go()
  }

  /** @returns {There[]} the files that are at the desk and not kept yet */
  get there() {
    return this.items
      .filter((item) => item.address && ["sent", "keeping", "stopped"].includes(item.state))
      .map(({ file: { name, size, lastModified }, address, order }) => ({
        file: { name, size, lastModified },
        address,
        order,
      }))
  }

  /** @param {There[]} before what an earlier page sent and did not keep: it is kept with what is sent now, in order */
  takeUp(before) {
    for (const each of before)
      this.items.push({ ...each, state: "sent", sent: each.file.size, words: "" })
  }

  #go() {
    while (this.#running < (crypto.subtle ? AT_ONCE : 1)) {
      const next = this.#nextToSend() ?? this.#nextToKeep()
      if (!next) return
      this.#running += 1
      this.#advance(next).finally(() => {
        this.#running -= 1
        this.#go()
      })
    }
  }

  /** @returns {Item | undefined} those that go whole are kept as they come, so the earliest goes first */
  #nextToSend() {
    const waiting = this.items.filter((item) => item.state === "waiting")
    return crypto.subtle ? waiting[0] : waiting.sort(byDate)[0]
  }

  /** @returns {Item | undefined} the first in order of those that are there, once nothing is on its way */
  #nextToKeep() {
    if (this.#running) return undefined
    return this.items.filter((item) => item.state === "sent").sort(inOrder)[0]
  }

  /** @param {Item} item */
  async #advance(item) {
    try {
      if (item.state === "sent") await this.#keep(item)
      else await (crypto.subtle ? this.#inPieces(item) : this.#whole(item))
    } catch (error) {
      if (error instanceof Refusal) this.#set(item, "refused", error.message)
      else if (error instanceof DOMException) this.#set(item, "refused", UNREADABLE)
      else this.#set(item, "stopped", NO_CONNECTION)
    }
  }

  /** @param {Item} item */
  async #inPieces(item) {
    this.#set(item, "reading")
    const file = sendable(item)
    const address = `${this.address}/${await hashOf(file)}`
    const there = await asked(`${address}?size=${file.size}`)
    if (there.kept) return this.#set(item, "kept", there.kept)
    let at = there.arrived
    while (at < file.size) {
      this.#set(item, "sending", "", at)
      const { arrived } = await asked(`${address}?at=${at}`, file.slice(at, at + PIECE_BYTES))
      if (arrived <= at) throw new Refusal(UNREADABLE)
      at = arrived
    }
    this.#set(item, "sending", "", at)
    const { order } = await asked(`${address}/finish`, new URLSearchParams())
    Object.assign(item, { address, order })
    this.#set(item, "sent")
  }

  /** @param {Item} item */
  async #keep(item) {
    this.#set(item, "keeping")
    const name = new URLSearchParams({ name: item.file.name })
    this.#set(item, "kept", (await asked(`${item.address}/keep`, name)).kept)
  }

  /** @param {Item} item */
  async #whole(item) {
    this.#set(item, "sending")
    const form = new FormData()
    form.append("file", sendable(item))
    this.#set(item, "kept", (await asked(this.address, form)).kept)
  }

  /** @param {Item} item @param {State} state */
  #set(item, state, words = "", sent = item.sent) {
    Object.assign(item, { state, words, sent })
    this.changed(item)
  }
}

/** @param {Item} one @param {Item} other */
const inOrder = (one, other) =>
  compared(one.order, other.order) || compared(one.file.name, other.file.name)

/** @param {Item} one @param {Item} other */
const byDate = (one, other) =>
  one.file.lastModified - other.file.lastModified || compared(one.file.name, other.file.name)

/** @param {Item} item @returns {File} */
function sendable({ file }) {
  if (file instanceof File) return file
  throw new Refusal(UNREADABLE)
}

/** @param {string} one @param {string} other */
const compared = (one, other) => (one < other ? -1 : Number(one > other))

/** @param {Named} one @param {Named} other */
const isSame = (one, other) =>
  one.name === other.name && one.size === other.size && one.lastModified === other.lastModified

/** @param {File} file @returns {Promise<string>} SHA-256 in hexadecimal */
async function hashOf(file) {
  const digest = await crypto.subtle.digest("SHA-256", await file.arrayBuffer())
  return Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, "0")).join("")
}

/**
 * The desk's answer; where it cannot be reached it is asked again, a few times.
 *
 * @param {string} address @param {BodyInit} [body] @returns {Promise<any>}
 */
async function asked(address, body) {
  for (const wait of [...WAITS_MS, 0]) {
    try {
      return await answer(address, body)
    } catch (error) {
      if (error instanceof Refusal || !wait) throw error
      await new Promise((resolve) => setTimeout(resolve, wait))
    }
  }
}

/** @param {string} address @param {BodyInit} [body] @returns {Promise<any>} */
async function answer(address, body) {
  const method = body === undefined ? "GET" : "POST"
  const response = await fetch(address, { method, body, headers: { accept: "application/json" } })
  if (response.redirected) throw new Refusal(SIGNED_OUT)
  if (response.status >= 500) throw new Error(response.statusText)
  if (!response.headers.get("content-type")?.includes("json"))
    throw new Refusal(await response.text())
  const said = await response.json()
  if (said.problems) throw new Refusal(said.problems.join(" "))
  return said
}
