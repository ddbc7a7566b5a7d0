/** Hears strikes: a sudden blow after a moment of quiet is cut out with 20 ms before it; how loud it is, all the while. */

const BEFORE_S = 0.02
const AFTER_S = 0.1
const APART_S = 0.06
const RISES_IN_S = 0.002
const SETTLES_S = 0.5
const LEVEL_EVERY_S = 0.05
/** Times the noise that a blow must stand out, and no more than that share of it just before. */
const STANDS_OUT = 8
const QUIET_SHARE = 0.6
const FAINTEST = 0.01
/** How quickly the noise is followed, a share of each block, and by how much a loud block may count. */
const FOLLOWS = 0.02
const AT_MOST = 2

// The types of this place are in no library of the compiler.
const place = /** @type {any} */ (globalThis)

class Strikes extends place.AudioWorkletProcessor {
  #rate = /** @type {number} */ (place.sampleRate)
  #held = new Float32Array(this.#rate)
  #count = 0
  #noisePower = 0
  #lastOnset = Number.NEGATIVE_INFINITY
  #lastLoud = Number.NEGATIVE_INFINITY
  #rose = 0
  /** @type {number[]} onsets of which the end is not yet heard */
  #ringing = []
  #peak = 0
  #told = 0

  /** @param {Float32Array[][]} inputs */
  process([input]) {
    const block = input?.[0]
    if (!block) return true
    const limit = Math.max(STANDS_OUT * Math.sqrt(this.#noisePower), FAINTEST)
    for (const each of block) {
      this.#held[this.#count % this.#held.length] = each
      const loud = Math.abs(each)
      if (loud > this.#peak) this.#peak = loud
      if (loud > QUIET_SHARE * limit) this.#isLoud(loud > limit)
      this.#count++
    }
    this.#follow(block)
    this.#cutOut()
    this.#tell()
    return true
  }

  /** @param {boolean} standsOut whether it is loud enough for a blow */
  #isLoud(standsOut) {
    if (this.#count - this.#lastLoud > BEFORE_S * this.#rate) this.#rose = this.#count
    this.#lastLoud = this.#count
    const isSudden = this.#count - this.#rose <= RISES_IN_S * this.#rate
    const isApart = this.#count - this.#lastOnset >= APART_S * this.#rate
    if (!standsOut || !isSudden || !isApart || this.#count < SETTLES_S * this.#rate) return
    this.#lastOnset = this.#count
    this.#ringing.push(this.#count)
  }

  /** @param {Float32Array} block */
  #follow(block) {
    const power = block.reduce((sum, each) => sum + each * each, 0) / block.length
    if (this.#count <= SETTLES_S * this.#rate) {
      this.#noisePower += (power - this.#noisePower) * 5 * FOLLOWS
    } else {
      const counts = Math.min(power, AT_MOST * this.#noisePower + 1e-12)
      this.#noisePower += (counts - this.#noisePower) * FOLLOWS
    }
  }

  #cutOut() {
    const before = Math.round(BEFORE_S * this.#rate)
    const after = Math.round(AFTER_S * this.#rate)
    while (this.#ringing[0] !== undefined && this.#ringing[0] + after <= this.#count) {
      const onset = /** @type {number} */ (this.#ringing.shift())
      const strike = Float32Array.from({ length: before + after }, (_, at) =>
        this.#at(onset - before + at),
      )
      this.port.postMessage({ strike }, [strike.buffer])
    }
  }

  #tell() {
    if (this.#count - this.#told < LEVEL_EVERY_S * this.#rate) return
    this.port.postMessage({ peak: this.#peak, noise: Math.sqrt(this.#noisePower) })
    this.#told = this.#count
    this.#peak = 0
  }

  /** @param {number} at @returns {number} */
  #at(at) {
    return at < 0 ? 0 : /** @type {number} */ (this.#held[at % this.#held.length])
  }
}

place.registerProcessor("strikes", Strikes)
