/** The boat on the pad: as she was put by when it was open last, then as the core draws her, with all that stands on her. */

import { core } from "/yard/core.js"
import { one } from "/yard/dom.js"
import { lookOf } from "/yard/pad_choices.js"
import { standingSet } from "/yard/pad_sets.js"
import { set, setting } from "/yard/store.js"
import { survey } from "/yard/survey.js"

/** @typedef {import("/yard/pad_sheet.js").Pad} Pad */

const REST_MS = 2500
/** What was said of how closely she was struck or read is of before. */
const UNRECKONED = "How closely this was covered is worked out once the hand rests."

/** The boats, each as one entry states her, whose bare drawings were put by since the page was opened. */
const putBy = new Set()

export class Drawing {
  /** Whether the core drew what is shown. */
  isDrawn = false
  #undrawn
  #covered
  #turned
  #sheet
  #state
  #timer = 0
  #isDrawing = false
  #isStale = false
  /** Whether something was placed since the drawing was asked for last. */
  #isBehind = false
  #isOpen = true

  /**
   * @param {HTMLElement} main @param {import("/yard/pad_sheet.js").Sheet} sheet
   * @param {() => import("/yard/pad_choices.js").State} state where the pad stands now
   * @param {(isBusy: boolean) => void} turned told when a drawing begins to be waited for, and when it is there
   */
  constructor(main, sheet, state, turned) {
    this.#turned = turned
    this.#undrawn = one(main, "[data-undrawn]")
    this.#covered = one(main, "[data-covered]")
    this.#sheet = sheet
    this.#state = state
  }

  /** Whether what is shown is of this side, and of the boat as she stands. */
  get isUpToDate() {
    return this.#isOfUse(this.#sheet.pad)
  }

  leave() {
    this.#isOpen = false
    clearTimeout(this.#timer)
  }

  /** What was placed is drawn once the hand rests; on a boat corrected since, nothing can be pointed at. */
  changed() {
    if (this.#sheet.pad && this.#sheet.pad.boat !== boatId()) {
      this.#sheet.clear()
      this.#tell()
    }
    if (this.#covered.textContent) this.#covered.textContent = UNRECKONED
    this.#rest()
  }

  /** The bare drawing that was put by, and on it all that stands: it needs no calculations. */
  async lay() {
    this.isDrawn = false
    // What is still seen is of the side before.
    this.#tell()
    const look = lookOf(this.#state())
    const held = await setting(`pad ${survey.id} ${look}`)
    const isOfUse = this.#isOfUse(held)
    if (!isOfUse && !this.#isOfUse(this.#sheet.pad)) this.#sheet.clear()
    if (isOfUse) {
      await this.#sheet.show(held)
      this.#sheet.before(this.#placed())
      this.#sheet.unmark(this.#sheet.settled)
    }
    this.#tell()
  }

  /** As the core draws her now, where it has started. */
  async draw() {
    this.#tell()
    if (core.state !== "ready") return
    if (this.#isDrawing) {
      this.#isStale = true
      return
    }
    this.#isDrawing = true
    this.#isStale = false
    this.#isBehind = false
    const { of, set, part } = this.#state()
    const look = lookOf(this.#state())
    const settled = this.#sheet.settled
    const placed = of === "soundings" ? of : (standingSet(set)?.id ?? "")
    try {
      const drawn = await core.ask("pad", { survey: survey.id, look, of: placed, part })
      const now = this.#state()
      const isWanted = this.#isOfUse(drawn) && of === now.of && part === now.part
      if (this.#isOpen && isWanted) {
        this.isDrawn = true
        await this.#sheet.show(drawn)
        // The marks of soundings are drawn here, those of readings by the core with their scale.
        this.#sheet.before(of === "soundings" ? this.#placed() : [])
        this.#sheet.unmark(settled)
        const said = drawn.said.join(" ")
        this.#covered.textContent = said && this.#isBehind ? UNRECKONED : said
        this.#tell()
        await this.#putBy(look)
      }
    } catch (problem) {
      if (!this.isDrawn) this.#tell(/** @type {Error} */ (problem).message)
    }
    this.#isDrawing = false
    if (this.#isStale && this.#isOpen) this.draw()
  }

  /** Whether a drawing is of this side, and of the boat as she stands. @param {Pad | undefined} pad */
  #isOfUse(pad) {
    return pad?.look === lookOf(this.#state()) && pad.boat === boatId()
  }

  #placed() {
    const { of, set, side } = this.#state()
    const isHere = (/** @type {any} */ place) => place.side === side && place.level_m !== undefined
    if (of === "soundings") {
      return survey
        .standing("sounding")
        .filter(({ body }) => isHere(body.place))
        .map(({ body }) => ({ at: body.place, heard: body.heard }))
    }
    const readings = standingSet(set)?.body.readings ?? []
    return readings
      .filter((/** @type {any} */ each) => isHere(each.place))
      .map((/** @type {any} */ each) => ({ at: each.place, words: each.as_read }))
  }

  /** Draw anew once the hand rests. */
  #rest() {
    this.#isBehind = true
    clearTimeout(this.#timer)
    this.#timer = setTimeout(() => this.draw(), REST_MS)
  }

  /** Put the bare drawings by, so that they are there before the calculations have started. @param {string} first */
  async #putBy(first) {
    const { id } = survey
    const boat = boatId()
    if (putBy.has(boat)) return
    putBy.add(boat)
    const looks = ["port", "starboard"].flatMap((side) =>
      ["", "-forward", "-after"].map((half) => `${side}-shell${half}`),
    )
    for (const look of [first, ...looks.filter((each) => each !== first)]) {
      await set(`pad ${id} ${look}`, await core.ask("pad", { survey: id, look }))
    }
  }

  /** On the drawing itself, that it is not there yet, and why. @param {string} [problem] */
  #tell(problem) {
    const isBusy = !this.isUpToDate
    const view = /** @type {HTMLElement} */ (this.#undrawn.parentElement)
    const was = view.getAttribute("aria-busy") === "true"
    view.setAttribute("aria-busy", String(isBusy))
    this.#undrawn.textContent = isBusy ? (problem ?? this.#missing()) : ""
    if (was !== isBusy) this.#turned(isBusy)
  }

  #missing() {
    return {
      starting:
        "The calculations are starting; the drawing comes then. Place by numbers until they have.",
      ready: `The ${this.#state().side} side is being drawn. Touches are kept once it is here.`,
      failed: "There are no calculations on this device, so no drawing. Place by numbers.",
    }[core.state]
  }
}

/** The id of the entry that states the boat as she stands. */
const boatId = () => survey.standing("boat").at(-1)?.id
