/** What is placed on the pad, and on which part and side: chosen once, kept, and always shown. */

import { chips } from "/yard/chips.js"
import { core } from "/yard/core.js"
import { copy, made, one } from "/yard/dom.js"
import { described, fill, unitsOf } from "/yard/instruments.js"
import { plain } from "/yard/keys.js"
import { alike, allSets, freeName } from "/yard/pad_sets.js"
import { set, setting } from "/yard/store.js"
import { survey } from "/yard/survey.js"

/** @typedef {import("/yard/pad_sets.js").Head} Head */
/** @typedef {import("/yard/stands.js").Planned} Planned */
/**
 * @typedef {object} State where the pad stands
 * @property {"port" | "starboard"} side
 * @property {"" | "-forward" | "-after"} half
 * @property {"soundings" | "readings"} of
 * @property {string} part @property {number} [number] @property {string} heard @property {string} hammer
 * @property {string} set the id that the set of readings began with; empty for one to be begun
 * @property {Head} head
 * @property {boolean} reference
 * @property {string} original the thickness as built, that readings of thickness bear; empty where it is not known
 * @property {{ places: any[], at: number } | null} walk
 */

/** @type {[State["half"], string][]} */
const HALVES = [
  ["", "Whole side"],
  ["-forward", "Forward half"],
  ["-after", "After half"],
]
/** @type {[State["side"], string][]} */
const SIDES = [
  ["port", "Port"],
  ["starboard", "Starboard"],
]
/** The method that a quantity is read by, as parts call for it. @type {Record<string, string>} */
const METHODS = {
  moisture: "moisture",
  thickness: "thickness",
  "pit depth": "pit",
  potential: "half-cell",
}
const NO_HEAD = /** @type {Head} */ ({ name: "", quantity: "", unit: "", instrument: "" })
/** @type {State} */
const FRESH = {
  side: "port",
  half: "",
  of: "soundings",
  part: "",
  heard: "sound",
  hammer: "",
  set: "",
  head: NO_HEAD,
  reference: false,
  original: "",
  walk: null,
}
/** What else is asked of a new set, by its quantity. @type {Record<string, string>} */
const EXTRA = { potential: "electrode", thickness: "through_coating" }
/** What a set has besides its name. */
const SETTINGS = ["scale", "mode", "electrode", "calibration"]

/** @param {State} state */
export const lookOf = ({ side, half }) => `${side}-shell${half}`

/** What is placed and where, in words. @param {State} state */
export function ofWords({ side, half, of, part, number, head, walk }) {
  const what = of === "soundings" ? of : head.quantity || "readings"
  const known = survey.plan.parts[part]?.name ?? "no part chosen"
  const name = number ? `${known} ${number}` : known
  const share = half ? HALVES.find(([each]) => each === half)?.[1].toLowerCase() : ""
  const words = [`${what}: ${name}`, side, share, walk ? "along a grid" : ""]
    .filter(Boolean)
    .join(", ")
  return words.charAt(0).toUpperCase() + words.slice(1)
}

/** Whether readings mean something only by a calibration of one's own. @param {string} quantity @param {string} unit @returns {boolean} */
const isCalibrated = (quantity, unit) => Boolean(survey.plan.units[quantity]?.[unit]?.calibrated)

export class Choices {
  #details
  #about
  #state = FRESH
  /** The survey it was opened for: what is on its way may come after she was left. */
  #of = survey.id

  /**
   * @param {HTMLElement} details
   * @param {{ chosen: (state: State) => void, walk: (run: any) => void, say: (words: string) => void }} about
   */
  constructor(details, about) {
    this.#details = details
    this.#about = about
  }

  /** @param {string} key of the place that it is opened for; empty for where it stood @returns {Promise<State>} */
  async open(key) {
    const held = await setting(`pad ${this.#of}`)
    this.#state = { ...FRESH, ...held }
    this.#turnTo(key)
    // A set is gone on with on its own day alone, and so is what was as built in it.
    const isOpen = allSets().some((each) => each.isOwn && each.id === this.#state.set)
    if (this.#state.set && !isOpen)
      Object.assign(this.#state, { set: "", head: alike(this.#state.head), original: "" })
    if (!survey.plan.parts[this.#state.part]) this.#state.part = this.#usual(this.#state)
    this.keepState(this.#state)
    this.#show()
    return this.#state
  }

  close() {
    this.#details.removeAttribute("open")
  }

  /** @param {State} state */
  keepState(state) {
    this.#state = state
    // Where it cannot be kept, only the next visit begins elsewhere.
    set(`pad ${this.#of}`, state).catch(() => {})
  }

  /** The set that readings go into now has its first one. @param {string} id */
  began(id) {
    this.#state.set = id
    this.keepState(this.#state)
    // What is being filled in meanwhile stays.
    if (this.#details.isConnected && !this.#details.hasAttribute("open")) this.#show()
  }

  /** @param {string} key */
  #turnTo(key) {
    const place = survey.plan.places.find((/** @type {Planned} */ each) => each.key === key)
    if (!place) return
    const { part, number, side } = place
    const before = this.#state
    const isSided = SIDES.some(([each]) => each === side)
    const state = { ...before, part, number: number ?? undefined, ...(isSided && { side }) }
    const isOther = ["part", "number", "side"].some(
      (each) => /** @type {any} */ (before)[each] !== /** @type {any} */ (state)[each],
    )
    this.#state = isOther ? { ...state, walk: null, original: "" } : before
  }

  /** @param {Partial<State>} change */
  #choose(change) {
    const state = { ...this.#state, ...change }
    if (["side", "part", "of", "set", "head"].some((each) => each in change)) state.walk = null
    this.#state = state
    this.#about.chosen(state)
  }

  #show() {
    const { side, half, hammer, of, set } = this.#state
    const form = copy(
      "pad-choices",
      {},
      { begin: () => this.#begin(), walk: () => this.#walk(), close: () => this.close() },
    )
    one(form, "[data-instruments]").setAttribute("href", `#/instruments/${survey.id}`)
    one(form, "[data-side]").append(
      this.#single("Side", SIDES, side, (value) => this.#choose({ side: value })),
    )
    one(form, "[data-half]").append(
      this.#single("How much of it is drawn", HALVES, half, (value) =>
        this.#choose({ half: value }),
      ),
    )
    const strokes = /** @type {HTMLInputElement} */ (one(form, "[name=hammer]"))
    strokes.value = hammer
    strokes.addEventListener("change", () => this.#choose({ hammer: strokes.value.trim() }))
    this.#targets(/** @type {HTMLSelectElement} */ (one(form, "[name=of]")), of, set)
    const parts = /** @type {HTMLSelectElement} */ (one(form, "[name=part]"))
    this.#parts(parts)
    parts.addEventListener("change", () => this.#choose({ part: parts.value, number: undefined }))
    one(this.#details, "[data-within]").replaceChildren(form)
    this.#grid()
  }

  /** @template {string} T @param {string} legend @param {[T, string][]} options @param {T} chosen @param {(value: T) => void} choose */
  #single(legend, options, chosen, choose) {
    const of = chips(legend, options, {
      chosen: [chosen],
      isOwed: true,
      changed: () => choose(/** @type {T} */ (of.chosen()[0])),
    })
    return of.field
  }

  /** Soundings, the sets that are gone on with here, and sets like those there are. @param {HTMLSelectElement} select @param {string} of @param {string} chosen */
  #targets(select, of, chosen) {
    const sets = allSets()
    const own = sets.filter((each) => each.isOwn)
    const others = new Map(
      sets.filter((each) => !each.isOwn).map((each) => [each.entry.body.name, each]),
    )
    select.replaceChildren(
      made("option", { value: "soundings" }, "Soundings"),
      ...own.map(({ id, entry }) => made("option", { value: id }, entry.body.name)),
      made("option", { value: "new" }, "A new set of readings"),
      ...[...others.values()].map(({ id, entry }) =>
        made("option", { value: `like ${id}` }, `A new set like “${entry.body.name}”`),
      ),
    )
    select.value = of === "soundings" ? of : chosen || "new"
    const form = one(this.#details, "[data-within]")
    select.addEventListener("change", () => {
      const [sort = "", like] = select.value.split(" ")
      const found = sets.find(({ id }) => id === (like ?? sort))
      one(form, "[data-new]").toggleAttribute("hidden", sort !== "new" && sort !== "like")
      if (sort === "soundings") this.#choose({ of: "soundings", ...this.#partFor("sound") })
      else if (sort === "new") this.#settings(NO_HEAD)
      else if (sort === "like" && found) this.#settings(alike(found.entry.body))
      else if (found) this.#into(found.id, alike(found.entry.body), found.entry.body.name)
    })
  }

  /** @param {string} set @param {Head} head @param {string} name */
  #into(set, head, name) {
    this.#choose({
      of: "readings",
      set,
      head: { ...head, name },
      ...this.#partFor(METHODS[head.quantity] ?? head.quantity),
    })
  }

  /** The part that is usual for a method, where the one chosen does not call for it. @param {string} how */
  #partFor(how) {
    const part = survey.plan.parts[this.#state.part]
    if (part?.how.includes(how)) return {}
    const usual = this.#usual({ ...this.#state, how })
    const select = /** @type {HTMLSelectElement | null} */ (
      this.#details.querySelector("[name=part]")
    )
    if (select) select.value = usual
    return { part: usual, number: undefined }
  }

  /** What is asked of a set before its first reading. @param {Head} head */
  #settings(head) {
    const form = one(this.#details, "[data-new]")
    const of = (/** @type {string} */ name) =>
      /** @type {HTMLInputElement} */ (one(form, `[name=${name}]`))
    const select = (/** @type {string} */ name) =>
      /** @type {HTMLSelectElement} */ (one(form, `[name=${name}]`))
    const known = described()
    one(form, "[data-none]").toggleAttribute("hidden", known.length > 0)
    fill(
      select("instrument"),
      known.map((each) => each.name),
    )
    fill(select("quantity"), Object.keys(survey.plan.units))
    const calibrated = () =>
      of("calibration")
        .closest("label")
        ?.toggleAttribute("hidden", !isCalibrated(select("quantity").value, select("unit").value))
    const settle = (/** @type {any} */ by) => {
      if (by.quantity) select("quantity").value = by.quantity
      fill(select("unit"), unitsOf(select("quantity").value))
      if (by.unit) select("unit").value = by.unit
      for (const name of SETTINGS) of(name).value = by[name] ?? ""
      of("through_coating").checked = Boolean(by.through_coating)
      of("name").value = by.name && by === head ? by.name : freeName(select("quantity").value)
      for (const [quantity, name] of Object.entries(EXTRA)) {
        of(name)
          .closest("label")
          ?.toggleAttribute("hidden", select("quantity").value !== quantity)
      }
      calibrated()
    }
    select("instrument").onchange = () =>
      settle(known.find((each) => each.name === select("instrument").value) ?? {})
    select("quantity").onchange = () => settle({})
    select("unit").onchange = calibrated
    if (head.instrument) select("instrument").value = head.instrument
    settle(head.quantity ? head : (known[0] ?? {}))
    form.removeAttribute("hidden")
  }

  #begin() {
    const form = one(this.#details, "[data-new]")
    const fields = "label:not([hidden]) :is(input, select)"
    const given = Array.from(form.querySelectorAll(fields), (each) => {
      const { name, type, checked, value } = /** @type {HTMLInputElement} */ (each)
      return [name, type === "checkbox" ? checked : value.trim()]
    }).filter(([, value]) => value)
    const head = /** @type {Head} */ (Object.fromEntries(given))
    if (!head.instrument)
      return this.#about.say("Describe the instrument first, under Instruments.")
    if (!head.name) return this.#about.say("Give the set a name that tells it from the others.")
    if (isCalibrated(head.quantity, head.unit) && !head.calibration) {
      const asked = /** @type {HTMLInputElement} */ (one(form, "[name=calibration]"))
      asked.focus()
      return this.#about.say(
        `Name your own calibration, or choose another unit: the desk takes no ${head.quantity} in ${head.unit} without one.`,
      )
    }
    this.#into("", head, head.name)
    this.close()
    const first = head.quantity === "thickness" ? " Say first how thick it was as built." : ""
    this.#about.say(`“${head.name}” begins with its first reading.${first}`)
  }

  /** Her parts on the shell, those that call for the method first. @param {HTMLSelectElement} select */
  #parts(select) {
    const parts = Object.entries(survey.plan.parts)
    const onShell = parts.filter(([, each]) => each.on_shell)
    const group = (/** @type {string} */ label, /** @type {[string, any][]} */ found) =>
      made(
        "optgroup",
        { label },
        ...found.map(([id, each]) => made("option", { value: id }, each.name)),
      )
    select.replaceChildren(
      group("On the shell", onShell),
      group(
        "Elsewhere on the boat",
        parts.filter(([, each]) => !each.on_shell && each.has_place),
      ),
    )
    select.value = this.#state.part
  }

  /** The part that is meant most often: the bottom, where it calls for the method. @param {{ of: string, head: Head, how?: string }} state */
  #usual({ of, head, how }) {
    const method = how ?? (of === "soundings" ? "sound" : (METHODS[head.quantity] ?? head.quantity))
    const parts = Object.entries(survey.plan.parts).filter(([, each]) => each.on_shell)
    const called = parts.filter(([, each]) => each.how.includes(method))
    const bottom = called.find(([id]) => id.startsWith("bottom"))
    return (bottom ?? called[0] ?? parts[0])?.[0] ?? ""
  }

  /** The grid's form says when it can be walked. */
  #grid() {
    one(this.#details, "[data-grid-waits]").toggleAttribute("hidden", core.state === "ready")
  }

  #walk() {
    const form = one(this.#details, "[data-grid]")
    const of = (/** @type {string} */ name) =>
      /** @type {HTMLInputElement} */ (one(form, `[name=${name}]`))
    const figures = ["from", "to", "step", "level_from", "level_to", "level_step"]
    const typed = Object.fromEntries(figures.map((name) => [name, plain(of(name).value)]))
    const wrong = figures.find((name) => !typed[name])
    if (wrong) {
      of(wrong).focus()
      return this.#about.say("Give stations and levels of the grid in metres.")
    }
    if (core.state !== "ready") {
      return this.#about.say("The grid needs the calculations, which have not started yet.")
    }
    const run = (/** @type {string[]} */ [first = "", last = "", step = ""]) => ({
      first_m: Number(typed[first]),
      last_m: Number(typed[last]),
      step_m: Number(typed[step]),
    })
    this.#about.walk({
      stations: run(figures.slice(0, 3)),
      levels: run(figures.slice(3)),
      by: of("by").checked ? "level" : "station",
      there_and_back: of("there_and_back").checked,
    })
  }
}
