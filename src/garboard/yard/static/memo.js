/**
 * A spoken note: recorded here with no signal, kept as the recorder made it. What is running is kept on leaving too, and
 * its pieces are on the disk as they come: what was cut short is made into a note when a part is opened again.
 */

import { made } from "/yard/dom.js"
import { sha256Of } from "/yard/entry.js"
import { keyOf } from "/yard/stands.js"
import { dropFrom, set, settingsFrom } from "/yard/store.js"
import { survey } from "/yard/survey.js"

/** @typedef {import("/yard/part.js").Of} Of */
/** @typedef {{ place: any, photo?: string }} Whose the place or null, and the file of the photograph it is about */
/** @typedef {Whose & { bytes: ArrayBuffer, type: string, seconds: number }} Piece `seconds` from the beginning to its end */

const TYPES = ["audio/webm;codecs=opus", "audio/ogg;codecs=opus", "audio/mp4"]
const SUFFIXES = /** @type {[string, string][]} */ ([
  ["webm", "webm"],
  ["ogg", "ogg"],
  ["mp4", "m4a"],
])
const PIECE_MS = 1_000

/**
 * @param {Pick<Of, "keep" | "said"> & { place: any, photo?: () => string }} of `place` is null where it is of no part,
 *   `photo` the file of the photograph it is about
 * @returns {{ sheet: HTMLElement, leave: () => void }}
 */
export function memo(of) {
  const { id } = survey
  const pieces = `memo ${id} `
  const button = made("button", { type: "button" }, "Speak")
  const clock = made(
    "p",
    { class: "quiet" },
    "However long, it is one note: on the disk second by second, to be written down at the desk.",
  )
  let isWanted = false
  /** @type {MediaRecorder | undefined} */
  let recorder
  button.addEventListener("click", () => {
    if (recorder) return recorder.stop()
    if (isWanted) return
    isWanted = true
    alone(speak).finally(() => {
      isWanted = false
    })
  })
  addEventListener("pagehide", leave)
  alone(async (lock) => lock && recovered())
  return { sheet: made("div", { class: "sheet" }, button, clock), leave }

  /** One note at a time in all tabs; without the lock another is at it. @param {(lock: Lock | null) => Promise<any>} act */
  function alone(act) {
    return navigator.locks.request(`memo of ${id}`, { ifAvailable: true }, act)
  }

  /** @param {Lock | null} lock */
  async function speak(lock) {
    if (!lock) return of.said("A note is being spoken or kept already: try in a moment.")
    if (!(await recovered())) return
    /** @type {MediaStream} */
    let heard
    try {
      heard = await navigator.mediaDevices.getUserMedia({ audio: true })
    } catch {
      return of.said("The microphone cannot be used: allow it for this page in the browser.")
    }
    try {
      // Left while the device asked whether it may.
      if (isWanted) await record(heard)
    } finally {
      for (const track of heard.getTracks()) track.stop()
    }
  }

  /** @param {MediaStream} heard */
  async function record(heard) {
    const mimeType = TYPES.find((each) => MediaRecorder.isTypeSupported(each))
    const running = new MediaRecorder(heard, mimeType ? { mimeType } : {})
    const ended = new Promise((resolve) => running.addEventListener("stop", resolve))
    const began = performance.now()
    const seconds = () => Math.round((performance.now() - began) / 100) / 10
    /** @type {Blob[]} */
    const spoken = []
    let written = Promise.resolve()
    let isWhole = true
    // As it is when it begins, whatever is chosen meanwhile.
    const whose = { place: of.place, photo: of.photo?.() ?? "" }
    running.addEventListener("dataavailable", ({ data }) => {
      if (!data.size) return
      const name = `${pieces}${String(spoken.length).padStart(6, "0")}`
      const piece = { type: running.mimeType, seconds: seconds(), ...whose }
      spoken.push(data)
      // What the disk does not take now is kept from here at the end; past a hole no sound can be heard.
      written = written
        .then(async () => {
          if (isWhole) await set(name, { ...piece, bytes: await data.arrayBuffer() })
        })
        .catch(() => {
          isWhole = false
        })
      if (recorder) clock.textContent = `${Math.round(seconds())} s spoken.`
    })
    running.start(PIECE_MS)
    recorder = running
    button.textContent = "Stop and keep"
    button.setAttribute("aria-pressed", "true")
    clock.textContent = "Listening."
    await ended
    recorder = undefined
    for (const track of heard.getTracks()) track.stop()
    button.textContent = "Speak"
    button.removeAttribute("aria-pressed")
    const length = seconds()
    await written
    if (await kept(new Blob(spoken, { type: running.mimeType }), length, whose))
      clock.textContent = `${length} s kept.`
  }

  /** What was cut short, made into a note. @returns {Promise<boolean>} whether nothing of it is left to do */
  async function recovered() {
    /** @type {Piece[]} */
    const found = await settingsFrom(pieces)
    const last = found.at(-1)
    if (!last) return true
    const blob = new Blob(
      found.map((each) => each.bytes),
      { type: last.type },
    )
    if (!(await kept(blob, last.seconds, last))) return false
    const key = keyOf(last.place ?? {})
    const where = survey.plan.places.find((/** @type {any} */ each) => each.key === key)
    const name = where?.name ?? "of no part"
    of.said(`Saved on this device: a spoken note that was cut short, ${last.seconds} s, ${name}.`)
    return true
  }

  /** @param {Blob} blob @param {number} seconds @param {Whose} whose @returns {Promise<boolean>} */
  async function kept(blob, seconds, { place, photo }) {
    if (!blob.size) {
      of.said("Nothing was heard, so nothing is kept.")
      return false
    }
    const sha256 = await sha256Of(blob)
    const [, suffix] = SUFFIXES.find(([each]) => blob.type.includes(each)) ?? ["", "webm"]
    const body = {
      file: `memo-${sha256.slice(0, 12)}.${suffix}`,
      sha256,
      seconds,
      ...(place && { place }),
      ...(photo && { photo }),
    }
    // Cut short after it was kept, and before its pieces were dropped.
    const isHeld = survey.entries.some((each) => each.body.sha256 === sha256)
    if (!isHeld && !(await of.keep("memo", body, { of: id, files: [{ sha256, blob }] })))
      return false
    await dropFrom(pieces).catch(() => {})
    return true
  }

  function leave() {
    removeEventListener("pagehide", leave)
    isWanted = false
    recorder?.stop()
  }
}
