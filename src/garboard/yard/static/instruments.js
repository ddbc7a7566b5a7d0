/** The instruments of the survey and their checks: before the first reading of each day, and once more at the end. */

import { dayOf, hourOf, today } from "/yard/clock.js"
import { copy, made, one } from "/yard/dom.js"
import { beyond, plain } from "/yard/keys.js"
import { set, setting } from "/yard/store.js"
import { survey } from "/yard/survey.js"
import { singly } from "/yard/touch.js"

/** @typedef {"before" | "during" | "after"} When */

/** @type {Record<When, string>} */
const WHEN = { before: "Check before use", during: "Check in between", after: "End check" }
/** @type {[string, string, string][]} */
const FIELDS = [
  ["name", "What you call it", "as “moisture meter”"],
  ["described", "What it is, as its plate says", "make, model and number"],
  ["scale", "Scale or range, if it has several", ""],
]

/** @param {HTMLElement} main */
export function instruments(main) {
  main.append(copy("instruments", {}, singly("a new instrument", { add: () => add(main) })))
  // What arrives from elsewhere must not take away a form that is being filled in.
  const show = () => main.querySelector(".check") || list(main)
  survey.addEventListener("changed", show)
  show()
  choices(main)
  return { leave: () => survey.removeEventListener("changed", show) }
}

/** The instruments by name, each as it was described last. @returns {any[]} */
export const described = () => [
  ...new Map(survey.standing("instrument").map(({ body }) => [body.name, body])).values(),
]

/** Whether an instrument is still to be checked before its first reading of today. @param {string} name */
export async function isCheckDue(name) {
  const isDone = checksToday(name).some(({ body }) => body.when !== "after")
  return !isDone && (await setting(putOff(name))) !== today()
}

/** The check is made later; until then it stands on the list of what is missing. @param {string} name */
export const putOffCheck = (name) => set(putOff(name), today())

const putOff = (/** @type {string} */ name) => `check put off ${survey.id} ${name}`

/** @param {string} name @returns {import("/yard/store.js").Entry[]} */
const checksToday = (name) =>
  survey
    .standing("instrument check")
    .filter(({ at, body }) => body.instrument === name && dayOf(at) === today())

/**
 * The form of one check. Passed and failed are the two ways to keep it.
 *
 * @param {string} name
 * @param {{ when: When, done: (words: string) => void, later: () => void }} about
 */
export function checkForm(name, { when, done, later }) {
  const form = copy(
    "check",
    { heading: `${WHEN[when]}: ${name}` },
    {
      ...singly(`the check of ${name}`, { passed: () => keep(true), failed: () => keep(false) }),
      later,
    },
  )
  const within = one(form, ".check")
  const said = one(within, "[role=alert]")
  const field = (/** @type {string} */ of) =>
    /** @type {HTMLInputElement} */ (one(within, `[name=${of}]`))
  const before = survey
    .standing("instrument check")
    .filter(({ body }) => body.instrument === name)
    .at(-1)?.body
  field("on").value = before?.on ?? ""
  field("expected").value = before?.expected ?? ""
  const { quantity, unit } = described().find((each) => each.name === name) ?? {}
  for (const each of within.querySelectorAll("[data-unit]")) {
    each.textContent = unit && unit !== "scale" ? `, ${unit}` : ""
  }
  const amiss = (/** @type {string} */ typed) =>
    plain(typed) ? beyond(plain(typed), rangeOf(quantity, unit)) : `“${typed}” is no number.`

  async function keep(/** @type {boolean} */ passed) {
    const on = field("on").value.trim()
    const figures = ["expected", "read"].map((of) => [of, field(of).value.trim()])
    const wrong = figures.map(([, typed = ""]) => typed && amiss(typed)).find(Boolean)
    if (!on || wrong) {
      said.textContent = wrong || "Say on what it was checked."
      return false
    }
    const numbers = figures
      .filter(([, typed]) => typed)
      .map(([of, typed]) => [of, Number(plain(typed ?? ""))])
    const notes = field("notes").value.trim()
    const body = {
      instrument: name,
      on,
      when,
      ...Object.fromEntries(numbers),
      ...(passed ? {} : { passed }),
      ...(notes ? { notes } : {}),
    }
    try {
      await survey.keep("instrument check", body)
    } catch {
      // What was wrong is said above the footer; what was filled in stays.
      said.textContent = "Not saved."
      return false
    }
    done(
      passed
        ? `Saved: ${name} passed its check.`
        : `Saved: ${name} failed its check. What it reads today may be worth little.`,
    )
    return true
  }
  return within
}

/** @param {HTMLElement} main */
function list(main) {
  const found = described()
  one(main, "[data-none]").toggleAttribute("hidden", found.length > 0)
  one(main, "[data-instruments]").replaceChildren(...found.map((each) => row(main, each)))
}

/** @param {HTMLElement} main @param {any} of */
function row(main, of) {
  const checks = checksToday(of.name)
  const isEnded = checks.some(({ body }) => body.when === "after")
  const held = copy(
    "instrument",
    {
      name: of.name,
      about: [
        of.described,
        of.quantity,
        of.unit === "scale" ? "comparative scale" : of.unit,
        of.scale,
      ]
        .filter(Boolean)
        .join(", "),
      due:
        of.due &&
        (of.due < today() ? `Calibration was due ${of.due}` : `Calibration due ${of.due}`),
      today: checks.length ? `Today: ${checks.map(words).join("; ")}` : "Not yet checked today",
    },
    { check: () => ask(checks.length ? "during" : "before"), end: () => ask("after") },
  )
  const element = one(held, "li")
  if (isEnded) one(element, "[data-act=end]").textContent = "End check again"

  function ask(/** @type {When} */ when) {
    const form = checkForm(of.name, {
      when,
      done: (said) => {
        list(main)
        one(main, "[data-said]").textContent = said
      },
      later: () => list(main),
    })
    one(element, "[data-form]").replaceChildren(form)
    form.querySelector("h3")?.focus()
  }
  return held
}

/** @param {import("/yard/store.js").Entry} check */
function words({ at, body: { when, on, expected, read, passed = true } }) {
  const figures = [
    expected === undefined ? "" : `${expected} expected`,
    read === undefined ? "" : `${read} read`,
  ]
  return [
    `${WHEN[/** @type {When} */ (when)].toLowerCase()} on ${on}`,
    ...figures,
    passed ? "passed" : "failed",
    `at ${hourOf(at)}`,
  ]
    .filter(Boolean)
    .join(", ")
}

/** @param {HTMLElement} main */
function choices(main) {
  const form = one(main, "[data-new]")
  form.prepend(
    ...FIELDS.map(([name, label, hint]) =>
      made("label", {}, label, made("input", { name, placeholder: hint, autocomplete: "off" })),
    ),
  )
  const quantity = /** @type {HTMLSelectElement} */ (one(form, "[name=quantity]"))
  const unit = /** @type {HTMLSelectElement} */ (one(form, "[name=unit]"))
  fill(quantity, Object.keys(survey.plan.units))
  const follow = () => fill(unit, unitsOf(quantity.value))
  quantity.addEventListener("change", follow)
  follow()
}

/** @param {HTMLElement} main @returns {Promise<boolean>} whether it was kept */
async function add(main) {
  const form = one(main, "[data-new]")
  const said = one(main, "[data-said]")
  const given = Array.from(form.querySelectorAll("input, select"), (each) => {
    const { name, value } = /** @type {HTMLInputElement} */ (each)
    return [name, value.trim()]
  }).filter(([, value]) => value)
  const body = Object.fromEntries(given)
  if (!body.name || !body.described) {
    said.textContent = "Say what you call it, and what it is."
    return false
  }
  if (described().some((each) => each.name === body.name)) {
    said.textContent = `There is a “${body.name}” already. Give this one another name.`
    return false
  }
  try {
    await survey.keep("instrument", body)
  } catch {
    said.textContent = "Not saved."
    return false
  }
  for (const each of form.querySelectorAll("input")) each.value = ""
  said.textContent = `Saved: ${body.name}.`
  return true
}

/** @param {HTMLSelectElement} select @param {string[]} options */
export const fill = (select, options) =>
  select.replaceChildren(...options.map((each) => made("option", { value: each }, each)))

/** The units that a quantity is given in. @param {string} quantity */
export const unitsOf = (quantity) => Object.keys(survey.plan.units[quantity] ?? {})

/** The least and the most that can be read of a quantity. @param {string} quantity @param {string} unit @returns {number[] | undefined} */
export const rangeOf = (quantity, unit) => survey.plan.units[quantity]?.[unit]?.range
