/** The visit: begun by the clock of this device with how she lies, added to while it goes on, ended before the ladder goes. */

import { begun, hold } from "/yard/begun.js"
import { chips } from "/yard/chips.js"
import { clocksApart, dayOf, timeOf, today, zone } from "/yard/clock.js"
import { copy, one } from "/yard/dom.js"
import { localTime } from "/yard/entry.js"
import { beyond, plain } from "/yard/keys.js"
import { people } from "/yard/people.js"
import { survey } from "/yard/survey.js"
import { sayOff, singly, takeBack } from "/yard/touch.js"

/** @typedef {import("/yard/store.js").Entry} Entry */

const FIGURES = /** @type {[string, string][]} */ ([
  ["air_c", "The air"],
  ["humidity_pct", "The humidity"],
])
const WORDS = ["light", "covered", "chocked", "aboard"]
const FIELDS = [...FIGURES.map(([name]) => name), ...WORDS]
/** By what is typed here and not kept yet; no part has this key. */
export const HELD = "visit"
const FORM = "conditions"
const WORDLESS =
  "In which ways she can lie is not on this device yet. Reach the desk once, or come back when the calculations have started."

/** The visit that goes on: the latest that was begun, where it has not ended. @returns {Entry | undefined} */
export function openVisit() {
  const began = (/** @type {Entry} */ { body }) => Date.parse(body.began)
  const last = survey
    .standing("conditions")
    .sort((a, b) => began(a) - began(b))
    .at(-1)
  return last?.body.ended ? undefined : last
}

/** End it now. @param {Entry} visit @returns {Promise<Entry>} */
export const endVisit = ({ id, body }) =>
  survey.keep(
    "conditions",
    { ...body, ended: localTime(new Date()) },
    { replaces: [id], why: "the visit ended" },
  )

/** When it began by the clock of this device: the time, or the day where that is not today. @param {Entry} visit */
export const since = ({ body: { began } }) =>
  dayOf(began) === today() ? timeOf(began) : dayOf(began)

/** @param {HTMLElement} main */
export async function visit(main) {
  main.append(copy("visit", {}, singly("the visit", { keep, back })))
  one(main, "[data-red]").setAttribute("href", `#/red/${survey.id}`)
  one(main, "[data-walk]").setAttribute("href", `#/walk/${survey.id}`)
  const typed = (await begun())[HELD]?.[FORM] ?? {}
  const field = (/** @type {string} */ name) =>
    /** @type {HTMLInputElement} */ (one(main, `[name=${name}]`))
  const before = openVisit()?.body ?? {}
  const lies = chips("She lies", Object.entries(survey.plan?.lying ?? {}), {
    chosen: [typed.lying ?? before.lying].flat().filter(Boolean),
    isSingle: true,
    changed,
  })
  one(main, "[data-lies]").append(lies.field)
  for (const each of FIELDS) {
    field(each).value = typed[each] ?? before[each] ?? ""
    field(each).addEventListener("input", () => changed())
  }
  /** @type {Entry | undefined} what was kept here last, while it can be taken back */
  let done
  stand()
  const ended = await people(one(main, "[data-people]"), one(main, "[data-kept]"))
  if (!survey.plan?.lying) say(WORDLESS)
  survey.addEventListener("changed", stand)
  return {
    leave() {
      ended()
      survey.removeEventListener("changed", stand)
    },
  }

  function stand() {
    const going = openVisit()
    one(main, "[data-stands]").textContent = going
      ? `Under way since ${since(going)}, by the clock of this device. What is measured later is added here.`
      : `It begins now, by the clock of this device, which is set to ${zone()}. Say how she lies; the rest can be added later.`
    one(main, "[data-act=keep]").textContent = going ? "Keep what was added" : "Begin the visit"
    one(main, "[data-act=keep]").classList.toggle("second", Boolean(going))
    for (const each of main.querySelectorAll("[data-if-open]"))
      each.toggleAttribute("hidden", !going)
    const apart = clocksApart(survey.entries)
    one(main, "[data-apart]").textContent = apart
    one(main, "[data-apart]").toggleAttribute("hidden", !apart)
    const isLast = survey.standing("conditions").some(({ id }) => id === done?.id)
    one(main, "[data-act=back]").toggleAttribute("hidden", !isLast)
  }

  function stated() {
    return {
      lying: lies.chosen()[0] ?? "",
      ...Object.fromEntries(FIELDS.map((each) => [each, field(each).value.trim()])),
    }
  }

  /** @param {import("/yard/touch.js").Off} [off] */
  function changed(off) {
    hold(HELD, FORM, stated()).catch(() => say("This could not be held. Keep it now."))
    if (off) sayOff(one(main, "[data-kept]"), off)
  }

  async function keep() {
    /** @type {Record<string, string | number>} */
    const said = stated()
    if (!said.lying) return say("Say how she lies first.")
    for (const [name, words] of FIGURES) {
      if (!said[name]) continue
      const value = plain(String(said[name]))
      if (!value) return say(`${words}: “${said[name]}” is no number. Nothing was kept.`)
      const wrong = beyond(value, survey.plan.air[name])
      if (wrong) return say(`${words}: ${wrong} Nothing was kept.`)
      said[name] = Number(value)
    }
    const going = openVisit()
    const whole = { began: localTime(new Date()), ...going?.body, ...said }
    const body = Object.fromEntries(Object.entries(whole).filter(([, value]) => value !== ""))
    const about = going ? { replaces: [going.id], why: "added to during the visit" } : {}
    let isKept = false
    try {
      done = await survey.keep("conditions", body, about)
      say(`Saved on this device: ${going ? "it is added" : `the visit began at ${since(done)}`}.`)
      isKept = true
      await hold(HELD, FORM).catch(() => {})
    } catch {
      say("Not saved.")
    }
    stand()
    return isKept
  }

  async function back() {
    if (!done) return
    const words = done.replaces.length
      ? "what was added to the visit"
      : `that the visit began at ${since(done)}`
    return takeBack(one(main, "[data-kept]"), done, { words, why: "touched by mistake" })
  }

  /** @param {string} words */
  function say(words) {
    one(main, "[data-kept]").textContent = words
  }
}
