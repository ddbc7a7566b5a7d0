/** The camera of the device: its picture in the page, its light, and a photograph as good as the browser gives. */

const WANTED = {
  facingMode: { ideal: "environment" },
  width: { ideal: 4096 },
  height: { ideal: 3072 },
}
const QUALITY = 0.92

export class Lens extends EventTarget {
  hasLight = false
  #video
  #isLit = false
  #isWanted = false
  /** @type {MediaStreamTrack | undefined} */
  #track

  /** @param {HTMLVideoElement} video */
  constructor(video) {
    super()
    this.#video = video
  }

  get isOpen() {
    return this.#track?.readyState === "live"
  }

  async begin() {
    this.#isWanted = true
    const stream = await navigator.mediaDevices.getUserMedia({ video: WANTED })
    this.#track = stream.getVideoTracks()[0]
    // Left while the device asked whether it may.
    if (!this.#isWanted) return this.end()
    this.#track?.addEventListener("ended", () => this.end())
    this.#video.srcObject = stream
    await this.#video.play()
    // In no library of the compiler yet.
    const can = /** @type {any} */ (this.#track?.getCapabilities?.() ?? {})
    this.hasLight = Boolean(can.torch)
  }

  end() {
    this.#isWanted = false
    if (!this.#track) return
    this.#track.stop()
    this.#track = undefined
    this.#isLit = false
    this.#video.srcObject = null
    this.dispatchEvent(new Event("ended"))
  }

  /** @returns {Promise<boolean>} whether it is lit now */
  async switchLight() {
    const wanted = /** @type {any} */ ({ advanced: [{ torch: !this.#isLit }] })
    await this.#track?.applyConstraints(wanted)
    this.#isLit = !this.#isLit
    return this.#isLit
  }

  /** A photograph by the camera itself; where the browser cannot, the picture as it stands. @returns {Promise<Blob>} */
  async take() {
    const { ImageCapture } = /** @type {any} */ (globalThis)
    try {
      return await new ImageCapture(this.#track).takePhoto()
    } catch {
      return this.#asItStands()
    }
  }

  /** @returns {Promise<Blob>} */
  #asItStands() {
    const { videoWidth: width, videoHeight: height } = this.#video
    const canvas = document.createElement("canvas")
    Object.assign(canvas, { width, height })
    canvas.getContext("2d")?.drawImage(this.#video, 0, 0)
    return new Promise((resolve, reject) =>
      canvas.toBlob(
        (blob) => (blob ? resolve(blob) : reject(new Error("The camera gave no picture."))),
        "image/jpeg",
        QUALITY,
      ),
    )
  }
}
