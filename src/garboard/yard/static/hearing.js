/** The microphone without the device's own processing, and the strikes heard in it. */

/** What a phone does for speech, and what spoils a strike. */
const PROCESSING = /** @type {const} */ ([
  "echoCancellation",
  "noiseSuppression",
  "autoGainControl",
])
const SLOWEST_HZ = 32_000

/** @typedef {{ samples: Float32Array, rateHz: number, isUnprocessed: boolean }} Strike */

export class Hearing extends EventTarget {
  /** Only where the device says so of every kind of processing. */
  isUnprocessed = false
  #isWanted = false
  /** @type {MediaStream | undefined} */
  #stream
  /** @type {AudioContext | undefined} */
  #context

  /** Listen until `end`; events tell "level" and "strike", and "ended" if the device stops it. */
  async begin() {
    const off = Object.fromEntries(PROCESSING.map((each) => [each, false]))
    this.#isWanted = true
    this.#stream = await navigator.mediaDevices.getUserMedia({ audio: { ...off, channelCount: 1 } })
    // Left while the device asked whether it may.
    if (!this.#isWanted) return this.end()
    const [track] = this.#stream.getAudioTracks()
    if (!track) throw new Error("The device gave no microphone.")
    const context = new AudioContext()
    this.#context = context
    const found = track.getSettings()
    this.isUnprocessed =
      PROCESSING.every((each) => found[each] === false) &&
      (found.sampleRate ?? context.sampleRate) >= SLOWEST_HZ
    track.addEventListener("ended", () => this.#stopped())
    context.addEventListener("statechange", () => context.state !== "running" && this.#stopped())
    await context.audioWorklet.addModule("/yard/strikes_worklet.js")
    await context.resume()
    const strikes = new AudioWorkletNode(context, "strikes", { numberOfOutputs: 0 })
    strikes.port.onmessage = ({ data }) => this.#heard(data, context.sampleRate)
    context.createMediaStreamSource(this.#stream).connect(strikes)
  }

  end() {
    this.#isWanted = false
    for (const track of this.#stream?.getTracks() ?? []) track.stop()
    const context = this.#context
    this.#context = undefined
    context?.close()
  }

  /** @param {{ strike?: Float32Array, peak?: number, noise?: number }} data @param {number} rateHz */
  #heard({ strike, ...level }, rateHz) {
    const { isUnprocessed } = this
    if (strike) this.#say("strike", { samples: strike, rateHz, isUnprocessed })
    else this.#say("level", level)
  }

  #stopped() {
    if (!this.#context) return
    this.end()
    this.#say("ended", null)
  }

  /** @param {string} name @param {any} detail */
  #say(name, detail) {
    this.dispatchEvent(new CustomEvent(name, { detail }))
  }
}
