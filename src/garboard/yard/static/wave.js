/** Sound as the notebook keeps it: WAV, 16-bit PCM, one channel. */

const HEAD_BYTES = 44
const HIGHEST = 32_767

/** @param {Float32Array} samples from -1 to 1 @param {number} rateHz @returns {Blob} */
export function waveOf(samples, rateHz) {
  const view = new DataView(new ArrayBuffer(HEAD_BYTES + 2 * samples.length))
  words(view, 0, "RIFF")
  view.setUint32(4, HEAD_BYTES - 8 + 2 * samples.length, true)
  words(view, 8, "WAVEfmt ")
  view.setUint32(16, 16, true)
  view.setUint16(20, 1, true)
  view.setUint16(22, 1, true)
  view.setUint32(24, rateHz, true)
  view.setUint32(28, 2 * rateHz, true)
  view.setUint16(32, 2, true)
  view.setUint16(34, 16, true)
  words(view, 36, "data")
  view.setUint32(40, 2 * samples.length, true)
  samples.forEach((each, at) => {
    const held = Math.max(-1, Math.min(1, each))
    view.setInt16(HEAD_BYTES + 2 * at, Math.round(held * HIGHEST), true)
  })
  return new Blob([view], { type: "audio/wav" })
}

/** @param {DataView} view @param {number} at @param {string} text */
function words(view, at, text) {
  for (let each = 0; each < text.length; each++) view.setUint8(at + each, text.charCodeAt(each))
}
