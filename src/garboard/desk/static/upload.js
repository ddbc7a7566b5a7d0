/**
 * Files on their way to the desk: a few at a time, in pieces, each known by its hash, so that what broke off goes on
 * where it stopped, also on another day. Where the browser gives no hash (a page not served by HTTPS) a file goes whole.
 */

const PIECE_BYTES = 4 * 2 ** 20
const AT_ONCE = 3
const WAITS_MS = [500, 1000, 2000, 4000, 8000]

const SIGNED_OUT =
  "You are signed out here. Sign in, then choose the same files again: they go on where they stopped."
const UNREADABLE = "This file cannot be read. Choose it again."
const NO_CONNECTION = "The desk could not be reached. Try again: it goes on where it stopped."

/** @typedef {"waiting" | "reading" | "sending" | "kept" | "refused" | "stopped"} State */
/** @typedef {{ file: File, state: State, sent: number, words: string }} Item */

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
    return this.items.some((item) => ["waiting", "reading", "sending"].includes(item.state))
  }

  /** @param {Iterable<File>} files those chosen already are not sent twice */
  add(files) {
    for (const file of files) {
      const before = this.items.find((item) => isSame(item.file, file))
      if (!before) this.items.push({ file, state: "waiting", sent: 0, words: "" })
      else if (before.state === "stopped" || before.state === "refused") {
        Object.assign(before, { file, state: "waiting" })
      }
    }
    this.#go()
  }

  /** Go on with what broke off. */
  again() {
    this.add(this.items.filter((item) => item.state === "stopped").map((item) => item.file))
  }

  #go() {
    while (this.#running < AT_ONCE) {
      const next = this.items.find((item) => item.state === "waiting")
      if (!next) return
      this.#running += 1
      this.#send(next).finally(() => {
        this.#running -= 1
        this.#go()
      })
    }
  }

  /** @param {Item} item */
  async #send(item) {
    try {
      const words = await (crypto.subtle ? this.#inPieces(item) : this.#whole(item))
      this.#set(item, "kept", words)
    } catch (error) {
      if (error instanceof Refusal) this.#set(item, "refused", error.message)
      else if (error instanceof DOMException) this.#set(item, "refused", UNREADABLE)
      else this.#set(item, "stopped", NO_CONNECTION)
    }
  }

  /** @param {Item} item @returns {Promise<string>} */
  async #inPieces(item) {
    this.#set(item, "reading")
    const { file } = item
    const address = `${this.address}/${await hashOf(file)}`
    const there = await asked(`${address}?size=${file.size}`)
    if (there.kept) return there.kept
    let at = there.arrived
    while (at < file.size) {
      this.#set(item, "sending", "", at)
      const { arrived } = await asked(`${address}?at=${at}`, file.slice(at, at + PIECE_BYTES))
      if (arrived <= at) throw new Refusal(UNREADABLE)
      at = arrived
    }
    this.#set(item, "sending", "", at)
    return (await asked(`${address}/finish`, new URLSearchParams({ name: file.name }))).kept
  }

  /** @param {Item} item @returns {Promise<string>} */
  async #whole(item) {
    this.#set(item, "sending")
    const form = new FormData()
    form.append("file", item.file)
    return (await asked(this.address, form)).kept
  }

  /** @param {Item} item @param {State} state */
  #set(item, state, words = "", sent = item.sent) {
    Object.assign(item, { state, words, sent })
    this.changed(item)
  }
}

/** @param {File} one @param {File} other */
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
