/** Home: the surveys on this device, those the desk offers, what the device has room for, light and hand. */

import { chips } from "/yard/chips.js"
import { momentOf } from "/yard/clock.js"
import { copy, made, one } from "/yard/dom.js"
import { forget as forgetEarlier } from "/yard/earlier.js"
import { isBegun, writeAs, writer } from "/yard/entry.js"
import { giveByFile, takeFromFile } from "/yard/exchange.js"
import { choose, chosen } from "/yard/light.js"
import { choose as ask } from "/yard/question.js"
import * as store from "/yard/store.js"
import { asked, SignedOut, sync, takeOff } from "/yard/sync.js"
import { isNewer, isPutBy, takeOver } from "/yard/version.js"

/** @type {[string, string][]} */
const LIGHTS = [
  ["", "As the device has it"],
  ["sun", "Sun"],
  ["bilge", "Dark bilge"],
]
/** @type {[string, string][]} */
const HANDS = [
  ["", "Right thumb"],
  ["left", "Left thumb"],
]
const GIB = 2 ** 30
const OFFERED = 200

/** A second touch while a survey is packed begins nothing. */
let isGiving = false

/** @param {HTMLElement} main */
export async function home(main) {
  main.append(copy("home"))
  one(main, "[data-lights]").append(
    choice("light", "Light", LIGHTS),
    choice("hand", "The buttons are for the", HANDS),
  )
  const file = /** @type {HTMLInputElement} */ (one(main, "[data-file]"))
  file.addEventListener("change", () => take(main, file))
  const named = /** @type {HTMLFormElement} */ (one(main, "[data-name]"))
  named.addEventListener("submit", (event) => naming(main, event))
  await Promise.all([here(main), refused(main), isBegun()])
  await device(main)
  // The desk may be out of reach: nothing waits for it.
  offered(main)
}

/** @param {HTMLElement} main */
async function here(main) {
  const held = await store.surveys()
  one(main, "[data-none]").toggleAttribute("hidden", held.length > 0)
  one(main, "[data-surveys]").replaceChildren(
    ...held.map((each) =>
      copy(
        "held",
        {
          name: each.boat || "A boat without a name yet",
          about: each.isWhole === false ? `${each.client}; not all of it is here yet` : each.client,
        },
        {
          open: () => go(each.id),
          give: () => give(main, each),
          off: () => off(main, each),
        },
      ),
    ),
  )
}

/** @param {HTMLElement} main @param {store.HeldSurvey} survey */
async function give(main, { id, boat }) {
  if (isGiving) return
  isGiving = true
  const said = one(main, "[data-here]")
  said.textContent = await giveByFile(id, boat, (words) => {
    said.textContent = words
  })
  isGiving = false
}

/** @param {HTMLElement} main @param {store.HeldSurvey} survey */
async function off(main, { id, boat }) {
  const answer = await ask(
    `Take ${boat} off this device?`,
    "The desk is asked first whether it holds all of it. It can be brought here again.",
    [["yes", "Take it off"]],
  )
  if (answer !== "yes") return
  await sync.now()
  try {
    const alone = await takeOff(id)
    if (!alone) {
      await forgetEarlier(id)
      await home(clear(main))
      one(main, "[data-here]").textContent = `${boat} is off this device.`
      return
    }
    one(main, "[data-here]").textContent =
      `${alone} of ${boat} ${alone === 1 ? "is" : "are"} on this device alone. It stays until all is safe on the desk.`
  } catch {
    one(main, "[data-here]").textContent =
      "The desk cannot be reached, so nobody can say that all is safe there. It stays."
  }
}

/** @param {HTMLElement} main @param {HTMLInputElement} input */
async function take(main, input) {
  const [file] = input.files ?? []
  if (!file) return
  const said = one(main, "[data-here]")
  said.textContent = "Being taken in."
  input.disabled = true
  const became = await takeFromFile(file)
  input.disabled = false
  input.value = ""
  if (said.isConnected) await here(main)
  said.textContent = became
}

/** What the desk would not take, each with its words. @param {HTMLElement} main */
async function refused(main) {
  const found = await store.refusedEntries()
  const plans = new Map((await store.surveys()).map(({ id, plan }) => [id, plan]))
  const section = /** @type {HTMLElement} */ (one(main, "[data-refused]"))
  section.hidden = !found.length
  one(section, "ul").replaceChildren(
    ...found.map(({ entry, refused = [] }) =>
      made(
        "li",
        { class: "row" },
        made("b", {}, `${called(entry, plans.get(entry.survey))}, ${momentOf(entry.at)}`),
        made("p", {}, refused.join(" ")),
      ),
    ),
  )
}

/** @param {store.Entry} entry @param {any} plan of its survey, where there is one @returns {string} */
const called = ({ kind }, plan) => plan?.kinds?.[kind] ?? kind

/** The desk says who is signed in; with no desk in reach the surveyor does. @param {HTMLElement} main @param {SubmitEvent} event */
async function naming(main, event) {
  event.preventDefault()
  const form = /** @type {HTMLFormElement} */ (event.target)
  const name = String(new FormData(form).get("name")).trim()
  if (!name) return
  await writeAs(name, writer().device || `device of ${name}`)
  form.hidden = true
  await device(main)
}

/** @param {HTMLElement} main */
async function offered(main) {
  const said = one(main, "[data-desk]")
  try {
    const me = await asked("/api/me")
    await writeAs(me.name, writer().device || `${me.device.toLowerCase()} of ${me.name}`)
    await store.set("photographs", me.photographs)
    if (!said.isConnected) return
    await device(main)
    const held = new Set((await store.surveys()).map((each) => each.id))
    const { surveys } = await asked(`/api/surveys?limit=${OFFERED}`)
    if (!said.isConnected) return
    const others = surveys.filter((/** @type {any} */ each) => !held.has(each.id))
    said.textContent = others.length
      ? "Bring on this device what you are going to survey; it is then here with no signal."
      : "All its surveys are on this device."
    if (surveys.length === OFFERED) said.textContent += ` Listed are the ${OFFERED} changed last.`
    one(main, "[data-offered]").replaceChildren(
      ...others.map((/** @type {any} */ each) =>
        copy(
          "row",
          { name: each.boat || "A boat without a name yet", about: each.client },
          { open: () => bring(main, each) },
        ),
      ),
    )
  } catch (problem) {
    if (!said.isConnected) return
    // Only now is it certain that the desk does not say it.
    one(main, "[data-name]").toggleAttribute("hidden", Boolean(writer().author))
    said.replaceChildren(
      problem instanceof SignedOut
        ? made("a", { href: "/sign-in?after=/yard/" }, "Sign in on this device")
        : "The desk cannot be reached now. What is on this device works without it.",
    )
  }
}

/** @param {HTMLElement} main @param {any} offer */
async function bring(main, offer) {
  const said = one(main, "[data-desk]")
  said.textContent = `Bringing ${offer.boat || "the survey"} on this device.`
  try {
    const plan = await asked(`/api/plan/${offer.id}`)
    await store.keepSurvey({
      id: offer.id,
      boat: plan.boat,
      client: offer.client,
      purpose: offer.purpose,
      cursor: 0,
      plan,
      isWhole: false,
    })
    await navigator.storage?.persist?.()
    await sync.now()
    if (!(await store.surveyAt(offer.id))?.isWhole) throw new Error("it broke off")
    // Shown anew in its turn, so that it is whole before another view is gone to; not where she went on already.
    if (said.isConnected) dispatchEvent(new HashChangeEvent("hashchange"))
  } catch {
    if (!said.isConnected) return
    await here(main)
    said.textContent =
      "The desk could not be reached to the end; what came is kept, and the rest comes with the next signal."
  }
}

/** @param {HTMLElement} main */
async function device(main) {
  const { usage = 0, quota = 0 } = (await navigator.storage?.estimate?.()) ?? {}
  const isKept = await navigator.storage?.persisted?.()
  /** @type {[string, string][]} */
  const facts = [
    [
      "With no signal",
      (await isPutBy())
        ? "opens and works: every file of the page is put by"
        : "not yet; leave the page open for a minute with signal",
    ],
    [
      "Room left",
      quota
        ? `${((quota - usage) / GIB).toFixed(1)} GB, about ${Math.floor((quota - usage) / 5e6).toLocaleString("en")} photographs`
        : "the browser does not say",
    ],
    [
      "Kept for certain",
      isKept
        ? "yes: the browser promised not to clear it away"
        : "the browser made no promise; bring it to the desk each day",
    ],
    [
      "Written as",
      [writer().author, writer().device].filter(Boolean).join(", ") ||
        "nobody yet: the desk says it as soon as it is reached",
    ],
  ]
  one(main, "[data-device]").replaceChildren(
    ...facts.flatMap(([name, words]) => [
      made("dt", { class: "quiet" }, name),
      made("dd", {}, words),
    ]),
  )
  if (await isNewer()) {
    const button = made("button", { type: "button" }, "Take over the newer version")
    button.addEventListener("click", takeOver)
    one(main, "[data-device-acts]").replaceChildren(button)
  }
}

/** @param {"light" | "hand"} kind @param {string} legend @param {[string, string][]} options */
function choice(kind, legend, options) {
  const of = chips(legend, options, {
    chosen: [chosen(kind)],
    isOwed: true,
    changed: () => choose(kind, of.chosen()[0] ?? ""),
  })
  return of.field
}

/** @param {string} id */
function go(id) {
  location.hash = `#/walk/${id}`
}

/** @param {HTMLElement} main */
function clear(main) {
  main.replaceChildren()
  return main
}
