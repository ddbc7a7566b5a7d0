/** The boat's drawing to be touched: what the core drew, over it what was placed since; which place lies under a touch. */

import { made } from "/yard/dom.js"

/**
 * @typedef {object} Pad as the core's `pad` gives it
 * @property {string} look @property {string} boat the id of the entry by which she is drawn @property {"port" | "starboard"} side @property {string} svg @property {string} alt
 * @property {[number, number]} zero_mm @property {number} mm_per_m @property {"left" | "right"} bow
 * @property {[number, number, number, number]} holds_mm @property {number} from_m @property {number} to_m
 * @property {[number, number, number][]} reach @property {number} slack_m @property {string[]} said
 * @property {string} left
 *
 * @typedef {{ station_m: number, level_m: number }} Spot
 * @typedef {{ at: Spot, heard?: string, words?: string }} Mark
 */

const NS = "http://www.w3.org/2000/svg"
const STEP = 1.5
const MOST = 12
const ALONG = 0.6
const MARK_MM = 0.95
// A touch so far beside the outline still counts as on its edge, as it does at the desk.
const EDGE_MM = 2
// Places are kept to the centimetre.
const ROUNDED_M = 0.01

export class Sheet {
  /** @type {Pad | undefined} */
  pad
  #frame
  #paper = made("div", { class: "paper" })
  #drawn = layer("drawn")
  #left = layer("left")
  #before = layer("before")
  #over = layer("over")
  #ahead = group(this.#over)
  #since = group(this.#over)
  #sights = group(this.#over)
  /** @type {Map<string, SVGElement>} marks by the key they were given */
  #marks = new Map()
  #zoom = 1
  #isZoomed = false

  /** @param {HTMLElement} frame @param {(spot: Spot | null, event: MouseEvent) => void} touched null off the skin */
  constructor(frame, touched) {
    this.#frame = frame
    this.#paper.hidden = true
    this.#sights.setAttribute("class", "sights")
    this.#paper.append(this.#drawn, this.#before, this.#left, this.#over)
    frame.append(this.#paper)
    new ResizeObserver(() => (this.#isZoomed ? this.#size() : this.#fill())).observe(frame)
    this.#over.addEventListener("click", (event) => {
      const touch = /** @type {MouseEvent} */ (event)
      touched(this.#under(touch), touch)
    })
  }

  /** Lay another drawing under the marks. @param {Pad} pad */
  async show(pad) {
    const images = await Promise.all([pad.svg, pad.left].map((svg) => svg && picture(pad, svg)))
    const isOther = this.pad?.look !== pad.look
    this.pad = pad
    this.#paper.hidden = false
    this.#drawn.replaceChildren(images[0] ?? "")
    this.#left.replaceChildren(images[1] ?? "")
    for (const each of [this.#before, this.#over]) {
      each.setAttribute("viewBox", pad.holds_mm.join(" "))
    }
    this.#frame.setAttribute("aria-label", pad.alt)
    if (isOther && !this.#isZoomed) this.#fill()
  }

  /** Nothing can be pointed at. */
  clear() {
    this.pad = undefined
    this.#paper.hidden = true
    this.unmark([...this.#marks.keys()])
  }

  /** Everything that was placed before, as one shape a kind. @param {Mark[]} marks */
  before(marks) {
    const here = marks.filter(({ at }) => this.#holds(at))
    const words = here
      .filter((each) => each.words)
      .map((each) => label(...this.#at(each.at), each.words ?? ""))
    const places = here.map(
      ({ at, heard = "" }) => /** @type {[string, number, number]} */ ([heard, ...this.#at(at)]),
    )
    this.#before.replaceChildren(...drawn(places), ...words)
  }

  /** @param {string} key @param {Mark} mark */
  mark(key, { at, heard = "", words }) {
    if (!this.#holds(at)) return
    const [x, y] = this.#at(at)
    const made = shape("g", { "data-saving": "" })
    made.append(...drawn([[heard, x, y]]))
    if (words) made.append(label(x, y, words))
    this.#marks.set(key, made)
    this.#since.append(made)
  }

  /** A mark is on the disk. @param {string} key */
  saved(key) {
    this.#marks.get(key)?.removeAttribute("data-saving")
  }

  /** @param {Iterable<string>} keys of marks that the drawing holds by now, or that were taken back */
  unmark(keys) {
    for (const key of keys) {
      this.#marks.get(key)?.remove()
      this.#marks.delete(key)
    }
  }

  /** The keys of the marks that are on the disk and not yet in the drawing. */
  get settled() {
    return [...this.#marks]
      .filter(([, made]) => !made.hasAttribute("data-saving"))
      .map(([key]) => key)
  }

  /** The place that waits, in the sights of a cross, and those that come after it. @param {Spot | null} here @param {Spot[]} [ahead] */
  aim(here, ahead = []) {
    const dots = ahead
      .filter((each) => this.#holds(each))
      .map((each) => dot(...this.#at(each), 0.5))
    this.#ahead.replaceChildren(shape("path", { d: dots.join("") }))
    if (!here || !this.#holds(here)) return this.#sights.replaceChildren()
    const [x, y] = this.#at(here)
    const cross = `M${x - 5} ${y}h3M${x + 2} ${y}h3M${x} ${y - 5}v3M${x} ${y + 2}v3`
    this.#sights.replaceChildren(shape("path", { d: dot(x, y, 2) + cross }))
    this.#bring(this.#sights.getBoundingClientRect())
  }

  /** @param {1 | -1} way */
  zoom(way) {
    const { scrollLeft, scrollTop, clientWidth, clientHeight } = this.#frame
    const before = this.#zoom
    this.#isZoomed = true
    this.#zoom = Math.min(MOST, Math.max(1, way > 0 ? before * STEP : before / STEP))
    this.#size()
    const by = this.#zoom / before
    this.#frame.scrollTo(
      (scrollLeft + clientWidth / 2) * by - clientWidth / 2,
      (scrollTop + clientHeight / 2) * by - clientHeight / 2,
    )
  }

  /** Along the boat or up and down, in shares of what is seen. @param {-1 | 0 | 1} right @param {-1 | 0 | 1} [down] */
  along(right, down = 0) {
    const { clientWidth, clientHeight } = this.#frame
    this.#frame.scrollBy(right * clientWidth * ALONG, down * clientHeight * ALONG)
  }

  /** What puts a place off the hull as it is drawn, in words; nothing where it lies on her. @param {Spot} spot */
  stray({ station_m, level_m }) {
    if (!this.pad) return ""
    const { reach, slack_m } = this.pad
    const length = reach.at(-1)?.[0] ?? 0
    if (station_m < -slack_m || station_m > length + slack_m) {
      return `Station ${station_m} m is not on the boat: her hull is ${length.toFixed(2)} m long.`
    }
    const [foot, sheer] = this.#ends(station_m)
    if (level_m >= foot - slack_m && level_m <= sheer + slack_m) return ""
    return `Level ${level_m} m is off the hull, which goes there from ${foot.toFixed(2)} to ${sheer.toFixed(2)} m.`
  }

  /** Bring what lies outside the frame into its middle. @param {DOMRect} box */
  #bring({ left, right, top, bottom }) {
    const frame = this.#frame.getBoundingClientRect()
    const isSeen =
      left >= frame.left && right <= frame.right && top >= frame.top && bottom <= frame.bottom
    if (isSeen) return
    const middle = (/** @type {number} */ from, /** @type {number} */ to) => (from + to) / 2
    this.#frame.scrollBy(
      middle(left, right) - middle(frame.left, frame.right),
      middle(top, bottom) - middle(frame.top, frame.bottom),
    )
  }

  /** A whole side is seen whole; half of one fills the frame, so that a fingertip is smaller than what it points at. */
  #fill() {
    const { clientWidth, clientHeight } = this.#frame
    const [, , width, height] = this.pad?.holds_mm ?? [0, 0, 1, 1]
    const isHalf = !this.pad?.look.endsWith("shell")
    const whole = Math.min(clientWidth, (clientHeight * width) / height)
    const filled = (clientHeight * width) / height / (whole || 1)
    this.#zoom = isHalf ? Math.max(1, Math.min(3, filled)) : 1
    this.#size()
  }

  #size() {
    const { clientWidth, clientHeight } = this.#frame
    const [, , width, height] = this.pad?.holds_mm ?? [0, 0, 1, 1]
    const whole = Math.min(clientWidth, (clientHeight * width) / height)
    this.#paper.style.inlineSize = `${Math.round(whole * this.#zoom)}px`
    this.#paper.style.aspectRatio = `${width} / ${height}`
    const isHigh = this.#frame.scrollHeight > clientHeight + 1
    this.#frame.closest(".pad")?.toggleAttribute("data-high", isHigh)
  }

  /** @param {MouseEvent} event @returns {Spot | null} */
  #under({ clientX, clientY }) {
    if (!this.pad) return null
    const { zero_mm, mm_per_m, bow, holds_mm, from_m, to_m } = this.pad
    const box = this.#over.getBoundingClientRect()
    const scale = holds_mm[2] / box.width
    const right = (clientX - box.left) * scale + holds_mm[0] - zero_mm[0]
    const up = zero_mm[1] - (clientY - box.top) * scale - holds_mm[1]
    const edge = EDGE_MM / mm_per_m
    const station = (bow === "right" ? -right : right) / mm_per_m
    const level = up / mm_per_m
    if (station < from_m - edge || station > to_m + edge) return null
    const [foot, sheer] = this.#ends(station)
    if (level < foot - edge || level > sheer + edge) return null
    return {
      station_m: cm(between(station, from_m, to_m)),
      level_m: cm(between(level, foot, sheer)),
    }
  }

  /** Foot and sheer at a station. @param {number} station @returns {[number, number]} */
  #ends(station) {
    const reach = this.pad?.reach ?? []
    const after = Math.max(
      1,
      reach.findIndex(([at]) => at >= station),
    )
    const [from, foot, sheer] = reach[after - 1] ?? [0, 0, 0]
    const [to, nextFoot, nextSheer] = reach[after] ?? [1, foot, sheer]
    const share = between((station - from) / (to - from || 1), 0, 1)
    return [foot + share * (nextFoot - foot), sheer + share * (nextSheer - sheer)]
  }

  /** @param {Spot} spot @returns {[number, number]} */
  #at({ station_m, level_m }) {
    const { zero_mm, mm_per_m, bow } = /** @type {Pad} */ (this.pad)
    const aft = (bow === "right" ? -station_m : station_m) * mm_per_m
    return [mm(zero_mm[0] + aft), mm(zero_mm[1] - level_m * mm_per_m)]
  }

  /** Whether a place lies on what is drawn: between its ends, from the foot to the sheer. @param {Spot} spot */
  #holds({ station_m, level_m }) {
    if (!this.pad) return false
    const { from_m, to_m, slack_m } = this.pad
    const [foot, sheer] = this.#ends(station_m)
    const isAlong = station_m >= from_m && station_m <= to_m
    return isAlong && level_m >= foot - slack_m && level_m <= sheer + ROUNDED_M
  }
}

/** The shape that stands for what the hammer says, beside its word. @param {string} heard */
export function symbol(heard) {
  const found = shape("svg", { viewBox: "0 0 2.4 2.4", class: "symbol", "aria-hidden": "true" })
  found.append(...drawn([[heard, 1.2, 1.2]]))
  return found
}

/** The outline of a mark, in the shapes of the map. @param {string} heard @param {number} x @param {number} y */
function outline(heard, x, y) {
  const r = MARK_MM
  if (heard !== "not sounded") return dot(x, y, r)
  return `M${mm(x - r)} ${mm(y - r)}l${2 * r} ${2 * r}m${-2 * r} 0l${2 * r} ${-2 * r}`
}

/** What of a mark is filled. @param {string} heard @param {number} x @param {number} y */
function inked(heard, x, y) {
  if (heard === "hollow") return dot(x, y, MARK_MM)
  return heard === "dull"
    ? `M${mm(x - MARK_MM)} ${y}a${MARK_MM} ${MARK_MM} 0 0 0 ${2 * MARK_MM} 0Z`
    : ""
}

/** Marks of one kind. @param {[string, number, number][]} marks */
const drawn = (marks) => [
  shape("path", { class: "outline", d: marks.map((each) => outline(...each)).join("") }),
  shape("path", { class: "inked", d: marks.map((each) => inked(...each)).join("") }),
]

/** @param {number} x @param {number} y @param {number} r */
const dot = (x, y, r) =>
  `M${mm(x - r)} ${y}a${r} ${r} 0 1 1 ${2 * r} 0a${r} ${r} 0 1 1 ${-2 * r} 0Z`

/** @param {number} x @param {number} y @param {string} words */
function label(x, y, words) {
  const made = shape("text", { x: String(x), y: String(mm(y - 1.5)), "text-anchor": "middle" })
  made.textContent = words
  return made
}

/** @param {string} name @param {Record<string, string>} attributes @returns {SVGElement} */
function shape(name, attributes) {
  const found = document.createElementNS(NS, name)
  for (const [key, value] of Object.entries(attributes)) found.setAttribute(key, value)
  return /** @type {SVGElement} */ (found)
}

/** @param {string} name */
function layer(name) {
  const isOurs = name === "before" || name === "over"
  return isOurs
    ? shape("svg", { class: `layer marks ${name}` })
    : made("div", { class: `layer ${name}` })
}

/** @param {Element} within */
function group(within) {
  const found = shape("g", {})
  within.append(found)
  return found
}

/**
 * What the core drew, the boat alone. It is a picture, for thousands of elements would slow every touch.
 *
 * @param {Pad} pad @param {string} svg
 */
async function picture(pad, svg) {
  const cropped = svg
    .replace(/ width="[\d.]+mm" height="[\d.]+mm"/, "")
    .replace(/viewBox="[^"]*"/, `viewBox="${pad.holds_mm.join(" ")}"`)
  const image = new Image()
  image.alt = ""
  image.src = URL.createObjectURL(new Blob([cropped], { type: "image/svg+xml" }))
  await image.decode()
  URL.revokeObjectURL(image.src)
  return image
}

/** @param {number} value @param {number} low @param {number} high */
const between = (value, low, high) => Math.min(high, Math.max(low, value))
const cm = (/** @type {number} */ value) => Math.round(value * 100) / 100
const mm = (/** @type {number} */ value) => Math.round(value * 1000) / 1000
