/**
 * The camera in the page: what it took is kept before anything is said of it, then doubted if it is blurred or dark,
 * while the surveyor still stands there. An earlier photograph of the same place can be laid over it.
 */

import { copy, made, one } from "/yard/dom.js"
import { earlier, pictureOf } from "/yard/earlier.js"
import { Lens } from "/yard/lens.js"
import { memo } from "/yard/memo.js"
import { caption, isAt, keepFile, keepPhoto, told } from "/yard/photo.js"
import { said as sentence } from "/yard/recorded.js"
import { doubtOf } from "/yard/sharpness.js"
import { keyOf, placeOf } from "/yard/stands.js"
import * as store from "/yard/store.js"
import { survey } from "/yard/survey.js"
import { takeBack } from "/yard/touch.js"

/** @typedef {import("/yard/store.js").Entry} Entry */

/** The keys of a phone that reach a page, and those of a remote release. */
const SHUTTER = ["Enter", "AudioVolumeUp", "AudioVolumeDown", "VolumeUp", "VolumeDown"]
const RESTS_AFTER_MS = 120_000

/** @param {HTMLElement} main @param {string[]} address the key of the place */
export async function camera(main, [key = ""]) {
  main.append(copy("camera", {}, { take: shutter, light, back, words, file: fromSystem }))
  const setting = `camera ${survey.id}`
  const places = /** @type {any[]} */ (survey.plan?.places ?? [])
  const last = key || ((await store.setting(setting)) ?? "")
  const select = /** @type {HTMLSelectElement} */ (one(main, "[data-part]"))
  select.append(
    made("option", { value: "" }, "No part, or settled later"),
    ...places.map((each) => made("option", { value: each.key }, each.name)),
  )
  select.value = places.some((each) => each.key === last) ? last : ""
  const over = /** @type {HTMLSelectElement} */ (one(main, "[data-earlier]"))
  const said = one(main, "[data-kept]")
  const button = one(main, "[data-act=take]")
  const lens = new Lens(/** @type {HTMLVideoElement} */ (one(main, "video")))
  /** @type {Entry | undefined} */
  let taken
  let rest = 0
  let laid = ""

  const speaking = memo({
    get place() {
      return place()
    },
    photo: () => taken?.body.file ?? "",
    said: tell,
    async keep(kind, body, about) {
      try {
        tell(`Saved on this device. ${sentence(await survey.keep(kind, body, about), survey.plan)}`)
        return true
      } catch {
        tell("Not saved.")
        return false
      }
    },
  })
  one(main, "[data-memo]").append(speaking.sheet)
  select.addEventListener("change", chosen)
  over.addEventListener("change", layOver)
  lens.addEventListener("ended", closed)
  addEventListener("keydown", pressed)
  document.addEventListener("visibilitychange", hidden)
  survey.addEventListener("changed", count)
  count()
  await offer()
  // Not waited for: the device may ask first whether it may.
  open()
  return {
    leave() {
      speaking.leave()
      lens.end()
      clearTimeout(rest)
      URL.revokeObjectURL(laid)
      removeEventListener("keydown", pressed)
      document.removeEventListener("visibilitychange", hidden)
      survey.removeEventListener("changed", count)
    },
  }

  /** The place as entries state it; null where it is none. */
  function place() {
    const planned = places.find((each) => each.key === select.value)
    return planned ? placeOf(planned) : null
  }

  async function chosen() {
    taken = undefined
    count()
    await offer()
    await store.set(setting, select.value)
  }

  async function open() {
    try {
      await lens.begin()
    } catch {
      closed()
      return tell(
        "The camera cannot be used in the page: allow it in the browser, or use the system's.",
      )
    }
    if (!lens.isOpen) return
    button.textContent = "Take it"
    one(main, "[data-act=light]").toggleAttribute("hidden", !lens.hasLight)
    restLater()
  }

  function closed() {
    button.textContent = "Open the camera"
    one(main, "[data-act=light]").toggleAttribute("hidden", true)
  }

  /** A picture that nobody looks at drains the battery. */
  function restLater() {
    clearTimeout(rest)
    rest = setTimeout(() => {
      lens.end()
      tell("The camera rests, to spare the battery.")
    }, RESTS_AFTER_MS)
  }

  function hidden() {
    if (document.hidden) lens.end()
  }

  async function shutter() {
    if (!lens.isOpen) return open()
    restLater()
    const when = new Date()
    const at = place()
    try {
      const blob = await lens.take()
      await keep(blob, at, () => keepPhoto(blob, at, { taken: when }))
    } catch (problem) {
      tell(`Not saved. ${/** @type {Error} */ (problem).message}`)
    }
  }

  async function fromSystem(/** @type {Event} */ event) {
    const input = /** @type {HTMLInputElement} */ (event.currentTarget)
    const at = place()
    for (const file of input.files ?? []) {
      try {
        await keep(file, at, () => keepFile(file, at))
      } catch (problem) {
        tell(`Not saved. ${/** @type {Error} */ (problem).message}`)
      }
    }
    input.value = ""
  }

  /** @param {Blob} blob @param {any} at the place, or null @param {() => Promise<Entry>} keeping */
  async function keep(blob, at, keeping) {
    const kept = await keeping()
    taken = isAt(kept, at) ? kept : undefined
    count()
    const words = told(kept, at)
    tell(words)
    navigator.vibrate?.(60)
    const doubt = await doubtOf(blob)
    if (!doubt) return
    tell(`${words} ${doubt}: take it again?`)
    said.toggleAttribute("data-doubt", true)
    navigator.vibrate?.([60, 80, 60])
  }

  async function back() {
    const photo = taken
    if (!photo) return
    taken = undefined
    said.toggleAttribute("data-doubt", false)
    const stands = () => {
      taken = photo
      count()
    }
    const words = sentence(photo, survey.plan)
    const why = "taken by mistake, or taken again"
    if (!(await takeBack(said, photo, { words, why, putBack: stands }))) taken = photo
    count()
  }

  async function words() {
    if (!taken) return
    try {
      const worded = await caption(taken)
      if (!worded) return
      taken = worded
      tell(`Saved on this device. ${sentence(worded, survey.plan)}.`)
    } catch {
      tell("Not saved.")
    }
  }

  async function light() {
    const isOn = await lens.switchLight()
    one(main, "[data-act=light]").setAttribute("aria-pressed", String(isOn))
  }

  /** @param {KeyboardEvent} event */
  function pressed(event) {
    const isControl = /** @type {Element} */ (event.target).closest(
      "a, button, input, select, summary, textarea, dialog",
    )
    if (!SHUTTER.includes(event.key) || event.repeat || (event.key === "Enter" && isControl)) return
    event.preventDefault()
    shutter()
  }

  function count() {
    const here = survey
      .standing("photo")
      .filter(({ body }) => (body.place ? keyOf(body.place) : "") === select.value).length
    const name = places.find((each) => each.key === select.value)?.name
    const of = name ? `of ${name}` : "without a part"
    one(main, "[data-count]").textContent =
      `${here} ${here === 1 ? "photograph" : "photographs"} ${of}`
    for (const each of ["back", "words"])
      one(main, `[data-act=${each}]`).toggleAttribute("hidden", !taken)
  }

  /** The earlier photographs of this place that were put by. */
  async function offer() {
    const found = await earlier(survey.id, place()?.part ?? "")
    over.replaceChildren(
      made("option", { value: "" }, found.length ? "Nothing" : "Nothing: none was put by"),
      ...found.map((each, at) =>
        made(
          "option",
          { value: String(at) },
          [each.taken, each.caption, `number ${each.number}`].filter(Boolean).join(", "),
        ),
      ),
    )
    layOver()
  }

  async function layOver() {
    const picture = /** @type {HTMLImageElement} */ (one(main, "[data-over]"))
    const found = over.value
      ? (await earlier(survey.id, place()?.part ?? ""))[Number(over.value)]
      : null
    const blob = found && (await pictureOf(found))
    URL.revokeObjectURL(laid)
    laid = blob ? URL.createObjectURL(blob) : ""
    picture.toggleAttribute("hidden", !blob)
    if (blob) picture.src = laid
  }

  /** @param {string} words */
  function tell(words) {
    said.toggleAttribute("data-doubt", false)
    said.textContent = words
  }
}
