/**
 * Whether a photograph is worth walking away with: a plain measure on a small copy, that which the desk makes, with the
 * same limits (judgement/looks.py, report/looks.py).
 */

const BLURRED = 20
const TOO_DARK = 0.6
const BURNT_OUT = 0.3

const LOOK_PX = 1000
const FIELDS = 4
const DARK = 8
const BURNT = 250

/**
 * @param {Blob} blob
 * @returns {Promise<string>} what is doubtful about it, in words; empty where nothing is, or it cannot be shown here
 */
export async function doubtOf(blob) {
  const look = await lookAt(blob)
  if (!look) return ""
  if (look.dark > TOO_DARK) return "It is too dark to show anything"
  if (look.sharpness < BLURRED) return "It looks blurred"
  return look.burnt > BURNT_OUT ? "Much of it is burnt out to white" : ""
}

/**
 * What is measured on a small copy: how sharp it is, grey levels squared, and the shares of it without light and with
 * nothing but light.
 *
 * @param {Blob} blob
 * @returns {Promise<{ sharpness: number, dark: number, burnt: number } | null>} null where it cannot be shown here
 */
export async function lookAt(blob) {
  const picture = await createImageBitmap(blob).catch(() => null)
  if (!picture) return null
  const shrunk = Math.min(1, LOOK_PX / Math.max(picture.width, picture.height))
  const [width, height] = [picture.width, picture.height].map((each) => Math.round(each * shrunk))
  if (!width || !height) return null
  const paper = new OffscreenCanvas(width, height).getContext("2d", { willReadFrequently: true })
  if (!paper) return null
  paper.imageSmoothingQuality = "high"
  paper.drawImage(picture, 0, 0, width, height)
  picture.close()
  const grey = greyOf(paper.getImageData(0, 0, width, height).data)
  return {
    sharpness: sharpness(grey, width, height),
    dark: share(grey, (each) => each <= DARK),
    burnt: share(grey, (each) => each >= BURNT),
  }
}

/** @param {Uint8ClampedArray} pixels */
function greyOf(pixels) {
  const grey = new Uint8Array(pixels.length / 4)
  for (let at = 0; at < grey.length; at++) {
    const [red = 0, green = 0, blue = 0] = [pixels[4 * at], pixels[4 * at + 1], pixels[4 * at + 2]]
    grey[at] = Math.round(0.299 * red + 0.587 * green + 0.114 * blue)
  }
  return grey
}

/** @param {Uint8Array} grey @param {(level: number) => boolean} counts */
function share(grey, counts) {
  let found = 0
  for (const each of grey) if (counts(each)) found++
  return found / grey.length
}

/**
 * The variance of the Laplacian in the sharpest of 16 fields.
 *
 * @param {Uint8Array} grey @param {number} width @param {number} height
 */
function sharpness(grey, width, height) {
  let sharpest = 0
  for (let down = 0; down < FIELDS; down++) {
    for (let along = 0; along < FIELDS; along++) {
      const left = Math.max(1, Math.round((along * width) / FIELDS))
      const right = Math.min(width - 1, Math.round(((along + 1) * width) / FIELDS))
      let [sum, squares, count] = [0, 0, 0]
      const bottom = Math.min(height - 1, Math.round(((down + 1) * height) / FIELDS))
      for (let y = Math.max(1, Math.round((down * height) / FIELDS)); y < bottom; y++) {
        for (let at = y * width + left; at < y * width + right; at++) {
          const edge =
            level(grey, at - 1) +
            level(grey, at + 1) +
            level(grey, at - width) +
            level(grey, at + width) -
            4 * level(grey, at)
          sum += edge
          squares += edge * edge
          count++
        }
      }
      if (count) sharpest = Math.max(sharpest, squares / count - (sum / count) ** 2)
    }
  }
  return sharpest
}

/** @param {Uint8Array} grey @param {number} at */
const level = (grey, at) => /** @type {number} */ (grey[at])
