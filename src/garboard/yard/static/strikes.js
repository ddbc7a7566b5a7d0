/**
 * Strikes of the hammer as the microphone hears them: each is kept as sound before anything is said of it, then put
 * beside the reference strikes of its part. What is suggested is one thing, what the surveyor hears is another.
 */

import { chips } from "/yard/chips.js"
import { momentOf } from "/yard/clock.js"
import { core } from "/yard/core.js"
import { copy, made, one } from "/yard/dom.js"
import { sha256Of } from "/yard/entry.js"
import { capital } from "/yard/examination.js"
import { Hearing } from "/yard/hearing.js"
import { beyond, plain } from "/yard/keys.js"
import { keyOf, placeOf, where } from "/yard/stands.js"
import * as store from "/yard/store.js"
import { survey } from "/yard/survey.js"
import { singly, takeBack } from "/yard/touch.js"
import { waveOf } from "/yard/wave.js"

/** @typedef {import("/yard/store.js").Entry} Entry */

const MOST_ROWS = 30
const QUIETEST_DB = -60
const NOISY_DB = -45
const WORDS = /** @type {[string, string][]} */ ([
  ["sound", "Sound"],
  ["dull", "Dull"],
  ["hollow", "Hollow"],
])
const SUGGESTED_NOTHING = "not judged"
/** What a suggestion is called in a list. @type {Record<string, string>} */
const SUGGESTED = {
  "as reference": "not told from the references",
  tonal: "differs from the references: tonal",
  dull: "differs from the references: dull",
  "different, unexplained": "differs from the references, unexplained",
  [SUGGESTED_NOTHING]: "not judged",
}

/**
 * What was suggested of a strike, by the id of its recording; `beside` are the ids of the references it was compared
 * with, for with others it is made anew.
 *
 * @type {Map<string, { beside: string, found: any }>}
 */
const suggestions = new Map()
/** The sounds of references in base 64, by SHA-256. @type {Map<string, string>} */
const sounds = new Map()

/** @param {HTMLElement} main @param {string[]} address the key of the place */
export async function strikes(main, [key = ""]) {
  main.append(copy("strikes", {}, { listen, ...singly("take back", { back }) }))
  // What is heard here is of this boat, also where it is kept after she was left.
  const of = survey.id
  const setting = `strikes ${of}`
  const last = (await store.setting(setting)) ?? {}
  const places = /** @type {any[]} */ (survey.plan?.places ?? [])
  const select = /** @type {HTMLSelectElement} */ (one(main, "[data-part]"))
  select.append(...places.map((each) => made("option", { value: each.key }, each.name)))
  const soundable = places.find((each) => survey.plan.parts[each.part]?.how.includes("sound"))
  select.value = places.some((each) => each.key === key) ? key : (last.key ?? soundable?.key ?? "")
  for (const name of ["station", "level", "hammer"]) input(name).value = last[name] ?? ""
  const said = one(main, "[data-kept]")
  const button = one(main, "[data-act=listen]")
  const sort = chips(
    "What is struck now",
    [
      ["reference", "Good structure, as reference"],
      ["place", "The place in question"],
    ],
    { chosen: ["reference"], isOwed: true, changed: show },
  )
  one(main, "[data-sort]").append(sort.field)
  const word = chips("What you hear there", WORDS, { isSingle: true, changed: heard })
  one(main, "[data-word-for-it]").append(word.field)
  const hearing = new Hearing()
  let isListening = false
  let isAsking = false
  let isComparing = false
  /** @type {Entry | undefined} the strike spoken of */
  let current
  /** Strikes, and the words for them, are kept one after the other, in the order in which they were heard. */
  let turn = Promise.resolve()

  for (const each of main.querySelectorAll("[data-place] select, [data-place] input")) {
    each.addEventListener("change", placed)
  }
  hearing.addEventListener("level", (event) => level(/** @type {CustomEvent} */ (event).detail))
  hearing.addEventListener("strike", (event) => {
    const { detail } = /** @type {CustomEvent} */ (event)
    // What is struck is settled as it is heard.
    const at = { place: place(), isReference: sort.chosen()[0] === "reference" }
    turn = turn.then(() => struck(detail, at))
  })
  hearing.addEventListener("ended", () =>
    silent("The device stopped listening. Touch Listen again."),
  )
  core.addEventListener("state", compareAll)
  survey.addEventListener("changed", changed)
  current = here().at(-1)
  changed()
  return {
    leave() {
      hearing.end()
      core.removeEventListener("state", compareAll)
      survey.removeEventListener("changed", changed)
    },
  }

  /** @param {string} name @returns {HTMLInputElement} */
  function input(name) {
    return one(main, `[name=${name}]`)
  }

  /** The place as entries state it. */
  function place() {
    const planned = places.find((each) => each.key === select.value)
    return {
      ...(planned && placeOf(planned)),
      ...metres("station"),
      ...metres("level"),
    }
  }

  /** @param {string} name */
  function metres(name) {
    const isAmiss = amiss(name) !== ""
    input(name).setAttribute("aria-invalid", String(isAmiss))
    const typed = plain(input(name).value)
    return typed && !isAmiss ? { [`${name}_m`]: Number(typed) } : {}
  }

  /** What is wrong with a figure of the place, in words. @param {string} name */
  function amiss(name) {
    const { value } = input(name)
    const typed = plain(value)
    if (!typed) return value.trim() && `“${value}” is no number of metres.`
    return beyond(typed, survey.plan?.coordinates[`${name}_m`])
  }

  async function placed() {
    const { value: at } = select
    current = here().at(-1)
    changed()
    const wrong = ["station", "level"].map(amiss).find(Boolean)
    if (wrong) tell(`${wrong} It is left out.`)
    await store.set(setting, {
      key: at,
      ...Object.fromEntries(
        ["station", "level", "hammer"].map((each) => [each, input(each).value]),
      ),
    })
  }

  /** The strikes that stand, of this part or another. */
  function here({ part } = place()) {
    return survey.standing("recording").filter((each) => each.body.place.part === part)
  }

  async function listen() {
    // A second touch while the device asks whether it may would begin a second microphone.
    if (isAsking) return
    if (isListening) return silent("The microphone is off.")
    if (!place().part) return tell("This survey has no part to strike yet.")
    isAsking = true
    try {
      await hearing.begin()
    } catch {
      hearing.end()
      return tell("The microphone cannot be used: allow it for this page in the browser.")
    } finally {
      isAsking = false
    }
    isListening = true
    button.textContent = "Stop listening"
    button.setAttribute("aria-pressed", "true")
    one(main, "[data-device]").textContent = hearing.isUnprocessed
      ? "The device says that its own processing is off."
      : "The device does not say that its own processing is off: strikes are kept, and not judged."
    tell(
      "Listening. Strike from the same distance, 10 to 30 cm from the microphone, with the same hammer.",
    )
  }

  /** @param {string} words */
  function silent(words) {
    hearing.end()
    isListening = false
    button.textContent = "Listen"
    button.removeAttribute("aria-pressed")
    one(main, "[data-level]").textContent = "The microphone is off."
    bar(QUIETEST_DB)
    tell(words)
  }

  /** @param {{ peak: number, noise: number }} heard */
  function level({ peak, noise }) {
    const noiseDb = decibels(noise)
    bar(decibels(peak))
    one(main, "[data-level]").textContent =
      noiseDb > NOISY_DB ? "Noisy here: go nearer, or wait." : "Listening."
  }

  /** @param {number} db */
  function bar(db) {
    const share = Math.max(0, Math.min(1, 1 - db / QUIETEST_DB))
    one(main, "[data-bar]").setAttribute("value", share.toFixed(2))
  }

  /**
   * @param {import("/yard/hearing.js").Strike} strike
   * @param {{ place: any, isReference: boolean }} at
   */
  async function struck({ samples, rateHz, isUnprocessed }, { place, isReference }) {
    const blob = waveOf(samples, rateHz)
    const hammer = input("hammer").value.trim()
    try {
      const sha256 = await sha256Of(blob)
      current = await survey.keep(
        "recording",
        {
          file: `strike-${sha256.slice(0, 12)}.wav`,
          sha256,
          place,
          ...(isReference && { reference: true }),
          ...(isUnprocessed && { unprocessed: true }),
          ...(hammer && { hammer }),
        },
        { of, files: [{ sha256, blob }] },
      )
    } catch {
      return unsaved()
    }
    changed()
    tell("Saved on this device.")
  }

  function unsaved() {
    tell("Not saved.")
  }

  function changed() {
    show()
    compareAll()
  }

  /** Those not yet compared, the latest first; before the calculations have started, none. */
  async function compareAll() {
    if (core.state !== "ready" || isComparing) return
    isComparing = true
    for (let next = uncompared(); next; next = uncompared()) await compare(next)
    isComparing = false
  }

  function uncompared() {
    const latest = here().slice(-MOST_ROWS).reverse()
    return latest.find((each) => !suggestedOf(each))
  }

  /** @param {Entry} entry */
  async function compare(entry) {
    const isFirst = !suggestions.has(entry.id)
    const known = besides(entry)
    const unprocessed = Boolean(entry.body.unprocessed)
    let found
    try {
      const sound = await soundOf(entry)
      const references = (await Promise.all(known.map(soundOf))).filter(Boolean)
      if (!sound) throw new Error("Its sound is not on this device; it is compared at the desk.")
      found = await core.ask("strike", { sound, references, unprocessed })
    } catch (problem) {
      const why = /** @type {Error} */ (problem).message
      found = { heard: SUGGESTED_NOTHING, said: "The strike was not judged.", why }
    }
    suggestions.set(entry.id, { beside: idsOf(known), found })
    show()
    if (!isFirst || entry.id !== current?.id) return
    tell(`Saved on this device. ${short(entry.body.reference ? reference(found) : found)}`)
  }

  /** The surveyor's own word, by one touch; another touch corrects it. */
  function heard() {
    const [chosen] = word.chosen()
    const strike = current
    // The word it corrects may still be on its way to the disk.
    if (strike) turn = turn.then(() => worded(strike, chosen))
  }

  /** @param {Entry} strike @param {string | undefined} chosen */
  async function worded({ id, body: { place, hammer } }, chosen) {
    const before = soundingsOf(here(place)).get(id)
    const words = `${capital(chosen ?? before?.body.heard)}, ${located(place)}`
    try {
      if (!chosen && before) await takeBack(said, before, { words, why: "touched by mistake" })
      else if (chosen) {
        await survey.keep(
          "sounding",
          { place, heard: chosen, ...(hammer && { hammer }) },
          before ? { of, replaces: [before.id], why: "heard again" } : { of },
        )
        tell(`Saved on this device. ${words}.`)
      }
    } catch {
      unsaved()
    }
    show()
  }

  async function back() {
    if (!current) return
    const words = `the strike, ${located(current.body.place)}`
    const why = "not a strike, or struck by mistake"
    const isTakenBack = await takeBack(said, current, { words, why })
    current = here().at(-1)
    changed()
    return isTakenBack
  }

  function show() {
    const strikes = here()
    const rows = strikes.slice(-MOST_ROWS).reverse()
    const soundings = soundingsOf(strikes.slice(-MOST_ROWS))
    const count = referencesOf(place().part).length
    const { fewest, wanted } = survey.plan.references
    one(main, "[data-where]").textContent = located(place())
    one(main, "[data-count]").textContent =
      count < fewest
        ? `${count} of ${fewest} reference strikes, better ${wanted}.`
        : count < wanted
          ? `${count} reference strikes: enough to compare, ${wanted} are better.`
          : `${count} reference strikes. Now strike the place in question.`
    one(main, "[data-last]").replaceChildren(current ? told(current) : "")
    const isPlace = Boolean(current && !current.body.reference)
    one(main, "[data-word-for-it]").toggleAttribute("hidden", !isPlace)
    one(main, "[data-act=back]").toggleAttribute("hidden", !current)
    const own = soundings.get(current?.id ?? "")
    word.choose(own ? [own.body.heard] : [])
    one(main, "[data-strikes]").replaceChildren(
      ...(rows.length
        ? rows.map((each) => row(each, soundings.get(each.id)))
        : [copy("nothing-recorded")]),
    )
  }

  /** @param {Entry} entry @param {Entry | undefined} own */
  function row(entry, own) {
    const found = suggestedOf(entry)
    const words = entry.body.reference ? "reference" : found ? SUGGESTED[found.heard] : "kept"
    return copy(
      "strike",
      {
        what: own ? `${capital(own.body.heard)} by your ear; ${words}` : capital(words ?? ""),
        when: `${momentOf(entry.at)}${entry.at.slice(16, 19)}, ${located(entry.body.place)}`,
      },
      {
        choose() {
          current = entry
          show()
        },
      },
    )
  }

  /** @param {string} words */
  function tell(words) {
    said.textContent = words
  }
}

/** The reference strikes of a part that stand and may be judged by. @param {string} part */
const referencesOf = (part) =>
  survey
    .standing("recording")
    .filter(({ body }) => body.place.part === part && body.reference && body.unprocessed)

/** What a strike is compared with; a reference is read alone. @param {Entry} entry @returns {Entry[]} */
const besides = ({ body }) => (body.reference ? [] : referencesOf(body.place.part))

const idsOf = (/** @type {Entry[]} */ entries) => entries.map(({ id }) => id).join(" ")

/** What is suggested of a strike beside the references that stand now; nothing before it was compared with them. @param {Entry} entry */
function suggestedOf(entry) {
  const held = suggestions.get(entry.id)
  return held?.beside === idsOf(besides(entry)) ? held.found : undefined
}

/** What is to be said of a strike. @param {Entry} entry */
function told(entry) {
  const found = suggestedOf(entry)
  if (!found) {
    const why = {
      starting: "It is compared as soon as the calculations have started.",
      ready: "It is being compared.",
      failed: "There are no calculations on this device; it is compared at the desk.",
    }[core.state]
    return copy("suggestion", { said: "The strike is kept.", why })
  }
  if (entry.body.reference) return copy("suggestion", reference(found))
  const { said, why, facts, confidence, caution } = found
  return copy("suggestion", { said, why, facts, confidence, caution: why ? "" : caution })
}

/** @param {any} found */
const short = ({ said, why }) => [said, why].filter(Boolean).join(" ")

/** A reference is never judged beside the others: it only has to be readable. @param {any} found */
const reference = ({ facts, why }) =>
  facts
    ? { said: "Reference strike, readable.", facts }
    : { said: "Reference strike that cannot be used: take it back and strike again.", why }

/**
 * The surveyor's words: for each strike the sounding kept since at its place, before the next strike there.
 *
 * @param {Entry[]} strikes @returns {Map<string, Entry>} by the id of the strike's recording
 */
function soundingsOf(strikes) {
  /** @type {Map<string, Entry>} */
  const found = new Map()
  const soundings = survey.standing("sounding")
  for (const each of strikes.filter(({ body }) => !body.reference)) {
    const next = strikes.find((other) => other.id > each.id && isAt(other, each))
    const own = soundings.find(
      ({ id, body }) => id > each.id && (!next || id < next.id) && isAt({ body }, each),
    )
    if (own) found.set(each.id, own)
  }
  return found
}

/** @param {{ body: any }} one @param {{ body: any }} other */
const isAt = ({ body: { place: one } }, { body: { place: other } }) =>
  keyOf(one) === keyOf(other) && one.station_m === other.station_m && one.level_m === other.level_m

/** @param {Entry} entry @returns {Promise<string>} in base 64, empty where it is not on this device */
async function soundOf({ body: { sha256 } }) {
  const known = sounds.get(sha256)
  if (known) return known
  const file = await store.fileAt(sha256)
  if (!file) return ""
  const bytes = new Uint8Array(await file.blob.arrayBuffer())
  const sound = btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(""))
  sounds.set(sha256, sound)
  return sound
}

/** @param {any} place */
function located(place) {
  const planned = (survey.plan?.places ?? []).find(
    (/** @type {any} */ each) => each.key === keyOf(place),
  )
  return [planned?.name ?? place.part ?? "no part", where(place)].filter(Boolean).join(", ")
}

/** @param {number} amplitude of full scale, 1 */
const decibels = (amplitude) => 20 * Math.log10(Math.max(amplitude, 1e-6))
