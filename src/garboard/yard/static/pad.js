/** The hull pad: a touch on the boat's own drawing is a sounding or a reading there; or a grid is walked in order. */

import { core } from "/yard/core.js"
import { copy, made, one } from "/yard/dom.js"
import { checkForm, isCheckDue, putOffCheck, rangeOf } from "/yard/instruments.js"
import { keys, plain } from "/yard/keys.js"
import { meant } from "/yard/meant.js"
import { Choices, ofWords } from "/yard/pad_choices.js"
import { Drawing } from "/yard/pad_drawing.js"
import { beginSets, keepReading, standingSet } from "/yard/pad_sets.js"
import { Sheet, symbol } from "/yard/pad_sheet.js"
import { where } from "/yard/stands.js"
import { survey } from "/yard/survey.js"
import { BLOW_MS, isDouble, singly, takeBack } from "/yard/touch.js"

/** @typedef {import("/yard/pad_sheet.js").Spot} Spot */
/** @typedef {import("/yard/pad_choices.js").State} State */
/** @typedef {Spot & { part: string, side: string, number?: number }} Place */
/**
 * @typedef {{ entry: import("/yard/store.js").Entry, key: string, words: string, mark: any, on: State,
 *   at?: number }} Done `on` the pad as it stood, `at` which place it was of the grid that was walked
 */

const AHEAD = 60
/** So near each other two touches of a glove are of one spot. */
const FINGERTIP_PX = 24
/** @type {[string, string][]} */
const HEARD = [
  ["sound", "Sound"],
  ["dull", "Dull"],
  ["hollow", "Hollow"],
  ["not sounded", "Not sounded"],
]
/** Why not is said above the footer. */
const NOT_SAVED = "Not saved."
const SAVED = "Saved:"
const WHERE = "Touch the place"
const AT = "Reads there"
const MISTAKE = "It was placed by mistake"
const ONCE = "Counted once."

/** @param {HTMLElement} main @param {string[]} address the key of the place */
export async function pad(main, [key = ""]) {
  const view = new HullPad(main)
  await view.open(key)
  return { leave: () => view.leave() }
}

class HullPad {
  #main
  #said
  #sheet
  #drawing
  #choices
  /** @type {State} */
  #state
  /** @type {Done[]} what was placed since the pad was opened, the last at the end */
  #done = []
  /** @type {Spot | null} the place that waits for its value */
  #waits = null
  /** @type {import("/yard/keys.js").Keys | undefined} */
  #keys
  #last = ""
  #count = 0
  /** What is put at the foot last counts: who waited for something longer gives way. */
  #turn = 0
  /** The grid asked for last counts, where the pad still stands as it was. */
  #run = 0
  /** The sets that began here, by what they began with. @type {WeakMap<object, string>} */
  #begun = new WeakMap()
  /** Where the drawing was touched last. */
  #hit = { x: Number.NEGATIVE_INFINITY, y: 0 }
  /** Readings of one set are kept one after the other; what is taken back comes after all that was placed. */
  #queue = Promise.resolve()
  #showMeant = () => {}
  #onChange = () => this.#drawing.changed()
  #onCore = () => this.#drawing.draw()

  /** @param {HTMLElement} main */
  constructor(main) {
    this.#main = main
    document.body.classList.add("hull-pad")
    main.append(
      copy(
        "pad",
        {},
        {
          out: () => this.#sheet.zoom(-1),
          in: () => this.#sheet.zoom(1),
          left: () => this.#sheet.along(-1),
          right: () => this.#sheet.along(1),
          up: () => this.#sheet.along(0, -1),
          down: () => this.#sheet.along(0, 1),
          unstruck: () => this.#showLeft(),
          reference: () => this.#turnReference(),
          original: () => this.#askOriginal(),
          numbers: () => this.#byNumbers(),
          ...singly("take back", { back: () => this.#queue.then(() => this.#takeBack()) }),
        },
      ),
    )
    this.#said = one(main, "[data-status]")
    this.#sheet = new Sheet(one(main, "[data-sheet]"), (spot, event) => this.#pointed(spot, event))
    this.#state = /** @type {State} */ ({})
    this.#drawing = new Drawing(
      main,
      this.#sheet,
      () => this.#state,
      (isBusy) => this.#say(isBusy ? "" : this.#state.walk ? "Drawn." : "Drawn. Touch the place."),
    )
    this.#choices = new Choices(one(main, "[data-choices]"), {
      chosen: (state) => this.#chose(state),
      walk: (run) => this.#walk(run),
      say: (words) => this.#say(words),
    })
  }

  /** @param {string} key of the place that it is opened for */
  async open(key) {
    await beginSets()
    this.#state = await this.#choices.open(key)
    await this.#drawing.lay()
    this.#render()
    survey.addEventListener("changed", this.#onChange)
    core.addEventListener("state", this.#onCore)
    this.#showMeant = meant(one(this.#main, "[data-meant]"), (place) => this.#isOn(place))
    this.#drawing.draw()
  }

  leave() {
    document.body.classList.remove("hull-pad")
    this.#run += 1
    this.#drawing.leave()
    this.#makeWay()
    survey.removeEventListener("changed", this.#onChange)
    core.removeEventListener("state", this.#onCore)
  }

  // What is placed

  /** @param {Spot | null} spot null off the skin @param {MouseEvent} event */
  #pointed(spot, event) {
    if (this.#isSameSpot(event)) return this.#sayOnce()
    if (!this.#drawing.isUpToDate) {
      return this.#say("This side is still being drawn. Nothing was kept.")
    }
    if (spot) this.#touched(spot)
    else this.#say("There is no skin there. Nothing was kept.")
  }

  /** Whether a touch is the second half of a double one on one spot. @param {MouseEvent} event */
  #isSameSpot(event) {
    const { x, y } = this.#hit
    this.#hit = { x: event.clientX, y: event.clientY }
    const isNear = Math.hypot(event.clientX - x, event.clientY - y) < FINGERTIP_PX
    return isDouble(event, "the hull", BLOW_MS) && isNear
  }

  /** @param {Spot} spot */
  #touched(spot) {
    if (this.#state.walk) return this.#say("A grid is being walked. Stop it to point freely.")
    if (!this.#state.part) return this.#say("Choose the part first. Nothing was kept.")
    if (this.#state.of === "soundings") return this.#sound(this.#placeAt(spot), this.#state.heard)
    this.#waits = spot
    this.#sheet.aim(spot)
    this.#keys?.ask(AT)
    this.#say(beside(`${where(spot)}: type what it reads.`, this.#pastEnd(spot)))
  }

  /** @param {Place} place @param {string} heard @param {number} [at] */
  #sound(place, heard, at) {
    const key = `${++this.#count}`
    const mark = { at: place, heard }
    this.#sheet.mark(key, mark)
    const { hammer } = this.#state
    const body = { place, heard, ...(hammer ? { hammer } : {}) }
    const past = this.#pastEnd(place)
    const words = `${heard}, ${where(place)}`
    const done = { key, words, mark, on: this.#state, at }
    const kept = this.#kept(done, survey.keep("sounding", body), past)
    this.#queue = this.#queue.then(async () => {
      await kept
    })
  }

  /** @param {Place} place @param {string} digits @param {number} [at] */
  #read(place, digits, at) {
    const key = `${++this.#count}`
    const { reference, set, head, original } = this.#state
    const done = {
      key,
      words: `${digits}, ${where(place)}`,
      mark: { at: place, words: digits },
      on: this.#state,
      at,
    }
    this.#sheet.mark(key, done.mark)
    this.#last = digits
    const reading = {
      place,
      as_read: digits,
      ...(original && { original }),
      ...(reference ? { reference } : {}),
    }
    const of = survey.id
    // A dry reference may well be taken beside what is read.
    const past = reference ? "" : this.#pastEnd(place)
    this.#queue = this.#queue.then(async () => {
      // The set may have begun with a reading that was still on its way when this one was typed.
      const begun = this.#begun.get(head) ?? set
      const keeping = keepReading(begun, head, reading, where(place), of)
      const entry = await this.#kept(done, keeping, past)
      if (!entry || entry.replaces.length) return
      this.#begun.set(head, entry.id)
      if (this.#state.head === head) this.#choices.began(entry.id)
    })
  }

  /** @param {Omit<Done, "entry">} done @param {Promise<import("/yard/store.js").Entry>} keeping @param {string} past */
  async #kept(done, keeping, past) {
    let entry
    try {
      entry = await keeping
    } catch {
      this.#sheet.unmark([done.key])
      return this.#say(NOT_SAVED, true)
    }
    this.#sheet.saved(done.key)
    this.#done.push({ ...done, entry })
    this.#say(beside(`${SAVED} ${done.words}.`, past))
    navigator.vibrate?.(15)
    return entry
  }

  async #takeBack() {
    const last = this.#done.at(-1)
    if (!last) {
      this.#say("Nothing was placed since the pad was opened. The walk has all that was.")
      return false
    }
    const { entry, key, words, mark } = last
    const stands = survey.standing(entry.kind).some((each) => each.id === entry.id)
    if (!stands) {
      this.#say("It was corrected elsewhere since. Take it back at the desk.")
      return false
    }
    this.#done.pop()
    const putBack = () => {
      this.#done.push(last)
      if (this.#isShown(last)) {
        this.#sheet.mark(key, mark)
        this.#sheet.saved(key)
      }
      this.#stepTo(last, 1)
    }
    const isTakenBack = await takeBack(this.#said, entry, { words, why: MISTAKE, putBack })
    this.#said.toggleAttribute("data-wrong", !isTakenBack)
    if (isTakenBack) {
      this.#sheet.unmark([key])
      this.#stepTo(last)
    } else this.#done.push(last)
    return isTakenBack
  }

  /** Whether what was placed belongs on the drawing as the pad stands now. @param {Done} done */
  #isShown({ on }) {
    const { side, of, head } = this.#state
    return side === on.side && of === on.of && (of === "soundings" || head === on.head)
  }

  /** To the place of the grid where something was placed, or on from there, while that grid is walked. @param {Done} done @param {number} [further] */
  #stepTo({ on, at }, further = 0) {
    if (at !== undefined && on.walk === this.#state.walk) this.#step(at + further)
  }

  /** @param {Spot} spot @returns {Place} */
  #placeAt({ station_m, level_m }) {
    const { part, number, side } = this.#state
    return { part, side, ...(number ? { number } : {}), station_m, level_m }
  }

  /** What is to be said of a place past the boot-top where the part ends there; it is kept all the same. @param {Spot} spot */
  #pastEnd({ level_m }) {
    const { name, levels_m } = survey.plan.parts[this.#state.part] ?? {}
    const [least, most] = levels_m ?? []
    const isPast =
      (typeof least === "number" && level_m < least) || (typeof most === "number" && level_m > most)
    return isPast ? `Past the boot-top, where ${name} ends: see “Change” for the part.` : ""
  }

  /** Whether a place of the walk is what is placed on. @param {import("/yard/stands.js").Planned} planned */
  #isOn({ part, side, number }) {
    const { part: on, side: at, number: one } = this.#state
    return part === on && (!side || side === at) && (!number || !one || number === one)
  }

  // The grid

  /** @param {any} walk how it runs */
  async #walk(walk) {
    const run = ++this.#run
    const { part, number, side, of, set } = this.#state
    const place = { part, side, ...(number ? { number } : {}) }
    const held = of === "soundings" ? of : (standingSet(set)?.id ?? "")
    try {
      const { places, at } = await core.ask("grid", {
        survey: survey.id,
        place,
        walk,
        of: held,
      })
      if (run !== this.#run) return
      this.#chose({ ...this.#state, walk: { places, at } })
      this.#choices.close()
      this.#say(`${places.length} places, in order. The next is in the sights.`)
    } catch (problem) {
      if (run === this.#run) this.#say(/** @type {Error} */ (problem).message, true)
    }
  }

  /** @param {number} at */
  #step(at) {
    const { walk } = this.#state
    if (!walk) return
    walk.at = Math.min(walk.places.length, Math.max(0, at))
    this.#choices.keepState(this.#state)
    this.#showStep()
  }

  #showStep() {
    const { walk } = this.#state
    if (!walk) return this.#sheet.aim(this.#waits)
    const here = walk.places[walk.at]
    const words = here
      ? `Place ${walk.at + 1} of ${walk.places.length}: ${where(here)}`
      : `All ${walk.places.length} places were visited. Stop the grid, or go back.`
    one(this.#main, "[data-step]").textContent = words
    this.#keys?.ask(here ? AT : "At the end")
    this.#sheet.aim(here ?? null, walk.places.slice(walk.at + 1, walk.at + 1 + AHEAD))
  }

  /** @param {string} value what the hammer says there, or the digits */
  #atStep(value) {
    const { walk, of } = this.#state
    const here = walk?.places[walk.at]
    if (!walk || !here) return this.#say("The grid is at its end. Nothing was kept.")
    if (of === "soundings") this.#sound(here, value, walk.at)
    else this.#read(here, value, walk.at)
    this.#step(walk.at + 1)
  }

  // The buttons at the foot

  /** @param {State} state */
  async #chose(state) {
    const before = this.#state
    // Another part, or another set, is not of the same thickness as built.
    const isOfOther = state.part !== before.part || state.head !== before.head
    if (isOfOther && state.original === before.original) state.original = ""
    this.#state = state
    this.#choices.keepState(state)
    const isOther = ["side", "half", "of", "set", "part"].some(
      (each) => /** @type {any} */ (before)[each] !== /** @type {any} */ (state)[each],
    )
    if (isOther) {
      this.#waits = null
      this.#run += 1
    }
    this.#render()
    if (!isOther) return
    await this.#drawing.lay()
    this.#showStep()
    this.#showMeant()
    this.#drawing.draw()
  }

  /** The keys at the foot are gone, and what comes there next has the turn. */
  #makeWay() {
    this.#keys?.leave()
    this.#keys = undefined
    return ++this.#turn
  }

  async #render() {
    const { of, walk, head, reference, original } = this.#state
    const turn = this.#makeWay()
    const isDue = of === "readings" && head.quantity && (await isCheckDue(head.instrument))
    if (turn !== this.#turn) return
    one(this.#main, "[data-summary]").textContent = ofWords(this.#state)
    const parts = walk ? [this.#gridActs()] : []
    if (of === "soundings") parts.push(this.#heard())
    else if (!head.quantity) parts.push(made("p", {}, "Begin a set of readings under “Change”."))
    else if (isDue) parts.push(this.#check(head.instrument))
    else parts.push(this.#readingKeys())
    one(this.#main, "[data-acts]").replaceChildren(...parts)
    const sort = of === "soundings" ? of : head.quantity
    for (const each of this.#main.querySelectorAll("[data-of]")) {
      each.toggleAttribute("hidden", each.getAttribute("data-of") !== sort)
    }
    one(this.#main, "[data-act=reference]").setAttribute("aria-pressed", String(Boolean(reference)))
    one(this.#main, "[data-act=original]").textContent = original
      ? `As built ${original}`
      : "As built?"
    this.#main.scrollTo(0, 0)
    this.#showStep()
  }

  #heard() {
    const { walk, heard } = this.#state
    const field = made("div", {
      class: "heard",
      role: "group",
      "aria-label": "What the hammer says",
    })
    const all = HEARD.map(([value, words]) => {
      const button = made("button", { type: "button", class: "second" }, symbol(value), words)
      if (!walk) button.setAttribute("aria-pressed", String(value === heard))
      button.addEventListener("click", (event) => {
        const isAgain = isDouble(event, value, BLOW_MS)
        if (this.#state.walk) return isAgain ? this.#sayOnce() : this.#atStep(value)
        this.#state.heard = value
        this.#choices.keepState(this.#state)
        for (const each of all) each.setAttribute("aria-pressed", String(each === button))
      })
      return button
    })
    field.append(...all)
    return field
  }

  #readingKeys() {
    const { head } = this.#state
    this.#keys = keys({
      label: this.#waits ? AT : WHERE,
      range: rangeOf(head.quantity, head.unit),
      last: this.#last,
      say: (words) => this.#say(words),
      keep: (digits) => this.#typed(digits),
    })
    return this.#keys.element
  }

  /** @param {string} digits */
  #typed(digits) {
    if (this.#state.walk) return this.#atStep(digits)
    if (!this.#waits) {
      this.#say("Touch the hull where it is read; what you typed stays.")
      return false
    }
    this.#read(this.#placeAt(this.#waits), digits)
    this.#waits = null
    this.#sheet.aim(null)
    this.#keys?.ask(WHERE)
  }

  /** @param {string} instrument */
  #check(instrument) {
    return checkForm(instrument, {
      when: "before",
      done: (words) => {
        this.#say(words)
        this.#render()
      },
      later: async () => {
        await putOffCheck(instrument)
        this.#say("Put off. It stays on the list of what is missing until it is made.")
        this.#render()
      },
    })
  }

  #gridActs() {
    const { walk } = this.#state
    return one(
      copy(
        "pad-grid",
        {},
        {
          pass: () => this.#step((walk?.at ?? 0) + 1),
          previous: () => this.#step((walk?.at ?? 0) - 1),
          stop: () => this.#chose({ ...this.#state, walk: null }),
        },
      ),
      ".grid",
    )
  }

  /** The thickness as built, which each reading from now on bears, so that what is gone can be worked out here. */
  #askOriginal() {
    const { quantity, unit } = this.#state.head
    this.#makeWay()
    const settle = (/** @type {string} */ original) => {
      this.#chose({ ...this.#state, original })
      this.#say(
        original
          ? `From now on each reading bears ${original} ${unit} as built, until you change it, the part or the set.`
          : "Readings bear no thickness as built.",
      )
    }
    const pad = keys({
      label: `As built, ${unit}, as on the plan or where she is sound`,
      range: rangeOf(quantity, unit),
      last: this.#state.original,
      say: (words) => this.#say(words),
      keep: settle,
    })
    this.#keys = pad
    const none = made("button", { type: "button", class: "second" }, "Not known")
    none.addEventListener("click", () => settle(""))
    one(this.#main, "[data-acts]").replaceChildren(pad.element, none)
  }

  /** Station and level by the number pad: where there is no drawing, or the hand is too coarse for it. */
  #byNumbers() {
    if (this.#state.walk) return this.#say("A grid is being walked. Stop it to place by numbers.")
    this.#makeWay()
    /** @type {string[]} */
    const typed = []
    const { station_m: stations, level_m: levels } = survey.plan.coordinates
    const pad = keys({
      label: "Station, metres aft of the stem",
      range: stations,
      say: (words) => this.#say(words),
      keep: (digits) => {
        typed.push(digits)
        if (typed.length < 2) {
          return pad.ask("Level, metres above the boot-top; below it minus", levels)
        }
        const [station_m = 0, level_m = 0] = typed.map((each) => Number(plain(each)))
        const stray = this.#sheet.stray({ station_m, level_m })
        this.#render().then(() => {
          if (stray) this.#say(`${stray} Nothing was kept.`, true)
          else this.#touched({ station_m, level_m })
        })
      },
    })
    this.#keys = pad
    const cancel = made("button", { type: "button", class: "second" }, "Leave the numbers")
    cancel.addEventListener("click", () => this.#render())
    one(this.#main, "[data-acts]").replaceChildren(pad.element, cancel)
  }

  #showLeft() {
    const button = one(this.#main, "[data-act=unstruck]")
    const isShown = button.getAttribute("aria-pressed") !== "true"
    button.setAttribute("aria-pressed", String(isShown))
    one(this.#main, ".pad").toggleAttribute("data-left", isShown)
    if (!isShown) return
    this.#say(
      this.#drawing.isDrawn
        ? "Hatched is what lies farther from every blow than it is heard."
        : "This needs the calculations, which have not started yet.",
    )
  }

  #turnReference() {
    const reference = !this.#state.reference
    this.#chose({ ...this.#state, reference })
    this.#say(
      reference
        ? "Until you touch it again, each reading is one of the dry reference."
        : "Readings are ordinary ones again.",
    )
  }

  /** Beside that the first half of a double touch is saved, once it is. */
  #sayOnce() {
    this.#queue = this.#queue.then(() => {
      const words = this.#said.textContent ?? ""
      if (words.startsWith(SAVED) && !words.endsWith(ONCE)) this.#say(beside(words, ONCE))
    })
  }

  /** @param {string} words @param {boolean} [isWrong] */
  #say(words, isWrong = false) {
    this.#said.textContent = words
    this.#said.toggleAttribute("data-wrong", isWrong)
  }
}

/** @param {string} words @param {string} [more] */
const beside = (words, more) => (more ? `${words} ${more}` : words)
