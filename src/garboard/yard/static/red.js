/** Before the ladder goes away: everything not looked at, not said or not yet on the desk, each one touch from being dealt with. */

import { begun } from "/yard/begun.js"
import { timeOf } from "/yard/clock.js"
import { core } from "/yard/core.js"
import { copy, made, one, redraw } from "/yard/dom.js"
import { capital } from "/yard/examination.js"
import { HELD as PEOPLE } from "/yard/people.js"
import { isOwed, isPlace, standings } from "/yard/stands.js"
import { survey } from "/yard/survey.js"
import { sync } from "/yard/sync.js"
import { singly, takeBack } from "/yard/touch.js"
import { endVisit, HELD, openVisit, since } from "/yard/visit.js"

/** @typedef {{ sort: string, where: string, what: string, do: string, key: string }} Item */

/** What is held on this device alone comes first, before the sorts of the plan. */
const HELD_HERE = { begun: "Begun and not kept", visit: "Conditions begun and not kept" }
/** Where something is dealt with, if not on its part. @type {Record<string, string>} */
const VIEWS = { visit: "visit", photographs: "camera", instruments: "instruments" }

/** @param {HTMLElement} main */
export async function red(main) {
  main.append(
    copy("red", {}, { desk: () => sync.now(), ...singly("the visit's end", { end, back }) }),
  )
  let asked = 0
  /** @type {import("/yard/store.js").Entry | undefined} the visit as it was ended here */
  let ended
  const draw = async () => {
    const turn = ++asked
    const worked =
      core.state === "ready"
        ? await core.ask("leaving", { survey: survey.id }).catch(() => null)
        : null // fmt: skip
    const items = [...(await unkept()), ...(worked ?? planned())]
    if (turn === asked) show(main, items, Boolean(worked))
  }
  const desk = () => {
    const { entries, files } = sync.state
    const waits = entries + files
    one(main, "[data-waits]").textContent = waits
      ? `${entries} entries and ${files} files are on this device alone.`
      : sync.state.reach === "reached"
        ? "All of it is on the desk."
        : "The desk has not been reached yet since the page was opened."
    one(main, "[data-desk]").toggleAttribute("hidden", !waits)
  }
  const visit = () => {
    const going = openVisit()
    const was = ended
      ? `Saved on this device: it ended at ${timeOf(ended.body.ended)}.`
      : "None is under way."
    one(main, "[data-visit]").textContent = going ? `Under way since ${since(going)}.` : was
    one(main, "[data-act=end]").toggleAttribute("hidden", !going)
    one(main, "[data-act=back]").toggleAttribute("hidden", Boolean(going) || !ended)
  }
  const kept = one(main, "[data-kept]")
  const changed = () => {
    visit()
    draw()
  }
  desk()
  visit()
  await draw()
  survey.addEventListener("planned", draw)
  survey.addEventListener("changed", changed)
  sync.addEventListener("state", desk)
  return {
    leave() {
      // What is still being asked comes too late.
      asked += 1
      survey.removeEventListener("planned", draw)
      survey.removeEventListener("changed", changed)
      sync.removeEventListener("state", desk)
    },
  }

  async function end() {
    const going = openVisit()
    if (!going) return false
    try {
      ended = await endVisit(going)
      kept.textContent = ""
      visit()
      return true
    } catch {
      kept.textContent = "Not saved."
      return false
    }
  }

  async function back() {
    const was = ended
    if (!was) return false
    const words = `that the visit ended at ${timeOf(was.body.ended)}`
    const putBack = () => {
      ended = was
      visit()
    }
    const isTakenBack = await takeBack(kept, was, { words, why: "ended by mistake", putBack })
    if (isTakenBack) ended = undefined
    visit()
    return isTakenBack
  }
}

/** @returns {Promise<Item[]>} */
async function unkept() {
  const parts = await begun()
  const act = "Keep it, or empty it"
  const visit = { sort: "visit", where: "The visit", what: "not kept yet", do: act, key: "" }
  const people = { ...visit, where: "Who is there, and what they said" }
  return [
    ...standings()
      .filter((each) => parts[each.key])
      .map((each) => ({
        sort: "begun",
        where: each.name,
        what: `its ${Object.keys(parts[each.key] ?? {}).join(" and ")} was begun and not kept`,
        do: act,
        key: each.key,
      })),
    ...(parts[HELD] ? [visit] : []),
    ...(parts[PEOPLE] ? [people] : []),
  ]
}

/** As the list last stood, less what was recorded since. @returns {Item[]} */
function planned() {
  const { how } = survey.plan
  return standings().flatMap((each) => {
    const item = (
      /** @type {string} */ sort,
      /** @type {string} */ what,
      /** @type {string} */ act,
    ) => ({
      sort: isPlace(each) ? sort : "duties",
      where: each.name,
      what,
      do: act,
      key: each.key,
    })
    const sort = isOwed(each) ? "parts" : each.state === "not written up" ? "unwritten" : ""
    return [
      ...(sort ? [item(sort, each.words, "Examine it, or say why it was not reached")] : []),
      ...each.unused.map((way) =>
        item("methods", `it was not ${how[way]}`, "Do it, or say why not"),
      ),
    ]
  })
}

/** @param {HTMLElement} main @param {Item[]} items @param {boolean} isWhole */
function show(main, items, isWhole) {
  one(main, "[data-left]").textContent = items.length
    ? `${items.length} to deal with while everything can still be reached.`
    : isWhole
      ? "Nothing is left: every part called for is examined or accounted for, and the instruments are checked."
      : "Nothing is left of what this device can tell without its calculations."
  one(main, "[data-partly]").toggleAttribute("hidden", isWhole)
  redraw(
    one(main, "[data-lists]"),
    one(main, "h1"),
    ...Object.entries(sortsOf(items)).flatMap(([sort, name]) => {
      const some = items.filter((each) => each.sort === sort)
      const view = VIEWS[sort] ?? "part"
      return some.length ? [section(`${name}: ${some.length}`, some, view)] : []
    }),
  )
}

/** What each sort is called, in order; a plan that was brought by an older page calls them nothing. @param {Item[]} items @returns {Record<string, string>} */
const sortsOf = (items) => ({
  ...HELD_HERE,
  ...(survey.plan.sorts ??
    Object.fromEntries(
      items.filter(({ sort }) => !(sort in HELD_HERE)).map(({ sort }) => [sort, capital(sort)]),
    )),
})

/** What is to be done is said once where it is the same for all. @param {string} name @param {Item[]} items @param {string} view */
function section(name, items, view) {
  const [act, ...others] = new Set(items.map((each) => each.do))
  const isOne = others.length === 0
  const rows = items.map((each) => row(isOne ? { ...each, do: "" } : each, view))
  return made(
    "section",
    {},
    made("h2", {}, name),
    ...(isOne && act ? [made("p", { class: "quiet" }, act)] : []),
    made("ul", { role: "list", class: "rows" }, ...rows),
  )
}

/** @param {Item} item @param {string} view */
function row(item, view) {
  const row = /** @type {HTMLElement} */ (
    one(copy("left", { where: item.where, what: item.what, do: item.do }), "li")
  )
  row.dataset.row = `${item.sort}: ${item.where}, ${item.what}`
  const to = item.key ? `/${encodeURIComponent(item.key)}` : ""
  one(row, "a").setAttribute("href", `#/${view}/${survey.id}${to}`)
  return row
}
