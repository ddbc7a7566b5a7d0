/** Who is there during the visit, and what somebody said: told, never mixed with what was seen. */

import { begun, hold } from "/yard/begun.js"
import { chips } from "/yard/chips.js"
import { copy, made, one } from "/yard/dom.js"
import { survey } from "/yard/survey.js"
import { sayTakenOff } from "/yard/touch.js"

/** By what is typed here and not kept yet; no part has this key. */
export const HELD = "people"
const FORM = "typed"
const FIELDS = ["name", "role", "who", "said"]

/**
 * @param {HTMLElement} section where it is shown
 * @param {Element} line where what was kept is said
 * @returns {Promise<() => void>} what ends it
 */
export async function people(section, line) {
  const typed = (await begun())[HELD]?.[FORM] ?? {}
  section.append(copy("people", {}, { add, told }))
  const field = (/** @type {string} */ name) =>
    /** @type {HTMLInputElement} */ (one(section, `[name=${name}]`))
  for (const each of FIELDS) {
    field(each).value = typed[each] ?? ""
    field(each).addEventListener("input", held)
  }
  let isKeeping = false
  show()
  survey.addEventListener("changed", show)
  return () => survey.removeEventListener("changed", show)

  function show() {
    const known = byName()
    const focused = /** @type {HTMLElement | null} */ (document.activeElement)?.dataset.value
    const there = chips(
      "There today",
      known.map(({ id, body }) => [id, `${body.name}, ${body.role}`]),
      {
        chosen: known.filter(isThere).map(({ id }) => id),
        changed: () => {
          const turned = known.find((each) => isThere(each) !== there.chosen().includes(each.id))
          if (turned) turn(turned)
        },
      },
    )
    one(section, "[data-there]").replaceChildren(...(known.length ? [there.field] : []))
    one(section, "[data-names]").replaceChildren(...offered())
    // Whoever was touched is another entry now, at the same place of the list.
    const again = known.find(({ id, replaces }) => [id, ...replaces].includes(focused ?? ""))
    if (again) /** @type {HTMLElement} */ (one(section, `[data-value="${again.id}"]`)).focus()
  }

  function stated() {
    return Object.fromEntries(FIELDS.map((each) => [each, field(each).value.trim()]))
  }

  function held() {
    hold(HELD, FORM, stated()).catch(() => say("This could not be held. Keep it now."))
  }

  /** @param {import("/yard/store.js").Entry} person */
  async function turn({ id, body }) {
    const { attended, ...rest } = body
    const isNow = attended === false
    const why = isNow ? "there today after all" : "not there"
    const about = { replaces: [id], why }
    const turned = await kept("person", isNow ? rest : { ...rest, attended: false }, about)
    if (turned && !isNow) sayTakenOff(line, line.textContent ?? "", () => turn(turned))
    // Where it was not kept the choice goes back to what stands.
    show()
  }

  async function add() {
    const { name, role } = stated()
    if (!name || !role) return say("Say who it is, and as what.")
    if (await kept("person", { name, role })) empty("name", "role")
  }

  async function told() {
    const { who, said } = stated()
    if (!who || !said) return say("Say who said it, and what was said.")
    if (await kept("told", { who, said })) empty("who", "said")
  }

  /** @param {...string} names */
  function empty(...names) {
    for (const each of names) field(each).value = ""
    held()
  }

  /** @param {"person" | "told"} kind @param {any} body @param {any} [about] */
  async function kept(kind, body, about) {
    if (isKeeping) return
    isKeeping = true
    try {
      const made = await survey.keep(kind, body, about)
      say(`Saved on this device: ${kind === "told" ? `told by ${body.who}` : inWords(body)}.`)
      return made
    } catch {
      say("Not saved.")
    } finally {
      isKeeping = false
    }
  }

  /** @param {string} words */
  function say(words) {
    line.textContent = words
  }
}

/** By name, so that none moves under the finger that touched them. */
const byName = () =>
  survey.standing("person").sort((one, other) => one.body.name.localeCompare(other.body.name))

/** The names of whoever is known, to be chosen from. @returns {HTMLElement[]} */
export const offered = () => {
  const names = new Set(byName().map(({ body }) => body.name))
  return [...names].map((value) => made("option", { value }))
}

/** @param {import("/yard/store.js").Entry} person */
const isThere = ({ body }) => body.attended !== false

/** @param {any} person */
const inWords = ({ name, role, attended }) =>
  `${name}, ${role}${attended === false ? ", was not there" : ""}`
