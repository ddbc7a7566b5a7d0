/** The walk: every part in its order by stretches, how each stands, and the next that has nothing recorded. */

import { leadToAsked } from "/yard/asked.js"
import { copy, one } from "/yard/dom.js"
import { isOwed, isPlace, nextOwed, standings } from "/yard/stands.js"
import { setting } from "/yard/store.js"
import { survey } from "/yard/survey.js"
import { openVisit, since } from "/yard/visit.js"

/** @typedef {import("/yard/stands.js").Standing} Standing */

const ROW_REM = 3.5
const HEAD_REM = 4
const READING = "what was recorded is being read"

/** @param {HTMLElement} main */
export function walk(main) {
  main.append(copy("walk", { boat: survey.plan?.boat || "A boat without a name yet" }))
  const list = one(main, "[data-walk]")
  const find = /** @type {HTMLInputElement} */ (one(main, "[data-find]"))
  const stretches = /** @type {HTMLSelectElement} */ (one(main, "[data-stretches]"))
  const visit = one(main, "[data-visit]")
  const onward = one(main, "[data-next]")
  const back = one(main, "[data-last]")
  visit.setAttribute("href", `#/visit/${survey.id}`)
  /** @type {Map<string, Element>} */
  const rows = new Map()
  /** @type {Standing[]} */
  let all = []
  /** @type {string | undefined} the key of the place where she was last */
  let last

  const stand = () => {
    all = standings()
    if (rows.size !== all.length || all.some((each) => !rows.has(each.key))) build()
    for (const each of all) mark(/** @type {Element} */ (rows.get(each.key)), each)
    count(main, all)
    const { questions = [] } = survey.plan ?? {}
    sayIssued(main)
    leadToAsked(main, questions, `What she has: ${questions.length} not answered`)
    visit.textContent = survey.isWhole ? visiting() : "The visit"
    ways()
  }
  const build = () => {
    rows.clear()
    const sections = inStretches(all).map(([slug, some]) => stretch(slug, some, rows))
    list.replaceChildren(...sections)
    stretches.replaceChildren(
      new Option("To a stretch", ""),
      ...inStretches(all).map(([slug, [first]]) => new Option(first?.zone, slug)),
    )
    sought()
  }
  const ways = () => {
    if (survey.isWhole) {
      const next = nextOwed(all, last)
      onward.textContent = next ? `Next: ${next.name}` : "Nothing is left: before the ladder"
      onward.setAttribute("href", next ? partAt(next) : `#/red/${survey.id}`)
    } else onward.textContent = "The next is being looked for"
    const was = all.find((each) => each.key === last)
    back.toggleAttribute("hidden", !was)
    if (was) {
      back.textContent = `Where was I: ${was.name}`
      back.setAttribute("href", partAt(was))
    }
  }
  const sought = () => {
    const wanted = find.value.trim().toLowerCase()
    const hits = all.filter((each) => isSought(each, wanted))
    const keys = new Set(hits.map((each) => each.key))
    for (const [key, row] of rows) row.toggleAttribute("hidden", !keys.has(key))
    for (const each of list.children)
      each.toggleAttribute("hidden", !each.querySelector("li:not([hidden])"))
    one(main, "[data-hits]").textContent = wanted ? `${hits.length} found` : ""
    return hits
  }
  find.addEventListener("input", sought)
  find.addEventListener("keydown", ({ key }) => {
    const [hit] = key === "Enter" ? sought() : []
    if (hit) location.hash = partAt(hit)
  })
  stretches.addEventListener("change", () => {
    const wanted = list.querySelector(`[data-stretch="${CSS.escape(stretches.value)}"]`)
    if (!wanted) return
    const heading = /** @type {HTMLElement} */ (one(wanted, "h2"))
    find.value = ""
    sought()
    wanted.scrollIntoView()
    heading.focus({ preventScroll: true })
    stretches.value = ""
  })

  stand()
  // Drawn before anything else is asked of the disk.
  setting(`last ${survey.id}`).then((key) => {
    last = key
    ways()
  })
  survey.addEventListener("changed", stand)
  survey.addEventListener("planned", stand)
  return {
    leave() {
      survey.removeEventListener("changed", stand)
      survey.removeEventListener("planned", stand)
    },
  }
}

/** That the report was issued; a plan that was brought by an older page has no word of it. @param {Element} main */
function sayIssued(main) {
  const issued = one(main, "[data-issued]")
  const { issued: words = "" } = survey.plan ?? {}
  if (issued.textContent !== words) issued.textContent = words
  issued.toggleAttribute("hidden", !words)
}

function visiting() {
  const going = openVisit()
  return going ? `Visit since ${since(going)}` : "Begin the visit"
}

/** @param {Standing[]} all @returns {[string, Standing[]][]} */
function inStretches(all) {
  /** @type {Map<string, Standing[]>} */
  const found = new Map()
  for (const each of all) found.set(each.stretch, [...(found.get(each.stretch) ?? []), each])
  return [...found]
}

/** @param {string} slug @param {Standing[]} some @param {Map<string, Element>} rows */
function stretch(slug, some, rows) {
  const section = /** @type {HTMLElement} */ (
    one(copy("stretch", { name: some[0]?.zone }), "section")
  )
  section.dataset.stretch = slug
  // What is not laid out yet takes about the room it will.
  section.style.containIntrinsicBlockSize = `auto ${some.length * ROW_REM + HEAD_REM}rem`
  const shown = some.map((each) => {
    const row = one(copy("stop", { at: each.at, name: each.name, words: each.words }), "li")
    one(row, "a").setAttribute("href", partAt(each))
    rows.set(each.key, row)
    return row
  })
  one(section, "ul").append(...shown)
  return section
}

/** @param {Element} row @param {Standing} standing */
function mark(row, { state, words, is_found }) {
  const said = is_found ? `${words}; something amiss` : words
  const where = one(row, "[data-words]")
  if (where.textContent !== said) where.textContent = said
  const shape = one(row, ".shape")
  shape.setAttribute("data-state", state)
  shape.toggleAttribute("data-amiss", is_found)
}

/** How many places have something recorded, the duties counted apart; and so by stretch. @param {HTMLElement} main @param {Standing[]} all */
function count(main, all) {
  const places = all.filter(isPlace)
  const duties = all.filter((each) => !isPlace(each))
  const whole = [
    `${done(places)} places${survey.isWhole ? " recorded" : ""}`,
    ...(duties.length ? [`duties of your own: ${done(duties)}`] : []),
    ...(survey.isWhole ? [] : [READING]),
  ]
  one(main, "[data-count]").textContent = all.length
    ? whole.join("; ")
    : "Nothing is called for yet: state the boat and the instruction at the desk."
  for (const [slug, some] of inStretches(all))
    one(main, `[data-stretch="${CSS.escape(slug)}"] [data-count-here]`).textContent = survey.isWhole
      ? `${done(some)} recorded`
      : `${done(some)}, ${READING}`
}

/** How many of some have something recorded; all there are, while that is not known. @param {Standing[]} some */
const done = (some) =>
  survey.isWhole
    ? `${some.filter((each) => !isOwed(each)).length} of ${some.length}`
    : `${some.length}`

/** By words of the name, by the number on the walk, or by that of the part. @param {Standing} each @param {string} wanted */
function isSought(each, wanted) {
  const number = Number(wanted)
  if (wanted && Number.isInteger(number)) return each.at === number || each.number === number
  const name = each.name.toLowerCase()
  return wanted.split(/\s+/).every((word) => name.includes(word))
}

/** @param {Standing} standing */
const partAt = ({ key }) => `#/part/${survey.id}/${encodeURIComponent(key)}`
