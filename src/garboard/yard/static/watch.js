/**
 * The watch over somebody who works alone: it asks every so many minutes, and is loud when nobody answers. It runs in
 * every view, and is taken up again where the page was closed; a page that is closed cannot ring.
 */

import { copy, one } from "/yard/dom.js"
import { set, setting } from "/yard/store.js"

/** @typedef {{ everyMin: number, whom: string, phone: string, emergency: string, due: number }} Watch `due` 0: it rests */

const GRACE_MS = 60_000
const SECOND_MS = 1_000
const MINUTE_MS = 60_000

class Alone extends EventTarget {
  /** @type {Watch} */
  state = { everyMin: 15, whom: "", phone: "", emergency: "", due: 0 }
  /**
   * Whether it is taken up again where the page is closed: what is set here is on the disk; undefined while it is
   * being written there. @type {boolean | undefined}
   */
  isKept = true
  #timer = 0
  #others = new BroadcastChannel("alone")
  /** @type {AudioContext | undefined} */
  #sound
  /** @type {HTMLDialogElement | undefined} */
  #dialog

  async begin() {
    const names = Object.keys(this.state)
    const kept = await Promise.all(names.map((name) => setting(named(name))))
    names.forEach((name, at) => {
      if (kept[at] !== undefined) this.state = { ...this.state, [name]: kept[at] }
    })
    this.#others.onmessage = ({ data }) => this.#become(data)
    document.addEventListener("visibilitychange", () => this.#stayAwake())
    // After the page was opened anew a browser lets it sound only once it was touched.
    document.addEventListener("pointerdown", () => this.state.due && this.#voice())
    this.#run()
  }

  /** It runs by the change at once here, and where else the page is open once it is kept. @param {Partial<Watch>} change */
  async change(change) {
    this.isKept = undefined
    this.#become(change)
    try {
      for (const [name, value] of Object.entries(change)) await set(named(name), value)
      this.isKept = true
    } catch {
      this.isKept = false
    }
    this.#others.postMessage(change)
    this.dispatchEvent(new Event("tick"))
  }

  /** Asked anew, that many minutes from now. */
  isWell() {
    return this.change({ due: this.#latest() })
  }

  start() {
    this.#voice()
    const kept = this.isWell()
    this.#stayAwake()
    return kept
  }

  rest() {
    return this.change({ due: 0 })
  }

  #latest() {
    return Date.now() + this.state.everyMin * MINUTE_MS
  }

  /** @param {Partial<Watch>} change */
  #become(change) {
    if (change.due !== undefined) this.#hush()
    this.state = { ...this.state, ...change }
    this.#run()
  }

  #run() {
    clearInterval(this.#timer)
    if (this.state.due) this.#timer = setInterval(() => this.#tick(), SECOND_MS)
    this.#tick()
  }

  #tick() {
    // The clock was set back, or the span was made shorter: nobody waits longer than was agreed.
    if (this.state.due > this.#latest()) this.state = { ...this.state, due: this.#latest() }
    this.dispatchEvent(new Event("tick"))
    const late = Date.now() - this.state.due
    if (!this.state.due || late < 0) return
    this.#ask(late)
    if (late >= GRACE_MS || Math.floor(late / SECOND_MS) % 5 === 0) this.#ring(late >= GRACE_MS)
  }

  /** @param {number} late */
  #ask(late) {
    this.#dialog ??= this.#asking()
    const isLoud = late >= GRACE_MS
    one(this.#dialog, "[data-late]").textContent = isLoud
      ? `Not answered for ${span(late)}.`
      : `It gets loud in ${span(GRACE_MS - late)}.`
    one(this.#dialog, "[data-call]").toggleAttribute("hidden", !isLoud)
  }

  #asking() {
    const { whom, phone, emergency } = this.state
    const dialog = /** @type {HTMLDialogElement} */ (
      one(
        copy(
          "are-you-well",
          {
            whom: `Whoever hears this: see to the person. Then call ${[whom, phone].filter(Boolean).join(", ") || "the yard"}.`,
            emergency: `Local emergency number: ${emergency || "not written down here"}.`,
          },
          { well: () => this.isWell() },
        ),
        "dialog",
      )
    )
    const call = one(dialog, "[data-phone]")
    if (phone) call.setAttribute("href", telephone(phone))
    else call.remove()
    // Escape is no answer; a browser closes at the second one whatever the page says.
    dialog.addEventListener("cancel", (event) => event.preventDefault())
    dialog.addEventListener("close", () => this.#dialog === dialog && dialog.showModal())
    document.body.append(dialog)
    dialog.showModal()
    return dialog
  }

  /** @param {boolean} isLoud */
  #ring(isLoud) {
    navigator.vibrate?.(isLoud ? [400, 100, 400] : [200])
    const sound = this.#sound
    if (sound?.state !== "running") return
    const tone = sound.createOscillator()
    const loudness = sound.createGain()
    tone.type = "square"
    tone.frequency.setValueAtTime(880, sound.currentTime)
    if (isLoud) tone.frequency.setValueAtTime(1320, sound.currentTime + 0.4)
    loudness.gain.value = isLoud ? 1 : 0.3
    tone.connect(loudness).connect(sound.destination)
    tone.start()
    tone.stop(sound.currentTime + (isLoud ? 0.8 : 0.3))
  }

  #hush() {
    const dialog = this.#dialog
    this.#dialog = undefined
    dialog?.close()
    dialog?.remove()
    navigator.vibrate?.(0)
  }

  #voice() {
    this.#sound ??= new AudioContext()
    this.#sound.resume()
  }

  #stayAwake() {
    if (this.state.due && !document.hidden) navigator.wakeLock?.request("screen").catch(() => {})
  }
}

export const alone = new Alone()

/** The setting of one field, so that two open pages do not write over each other's. @param {string} name */
const named = (name) => `alone ${name}`

/** @param {string} number as somebody typed it @returns {string} the address that calls it */
export const telephone = (number) => `tel:${number.replace(/[^+\d]/g, "")}`

/** A span of time in words. @param {number} span_ms */
function span(span_ms) {
  const seconds = Math.max(0, Math.ceil(span_ms / SECOND_MS))
  const minutes = Math.floor(seconds / 60)
  return minutes ? `${minutes} min ${seconds % 60} s` : `${seconds} s`
}
