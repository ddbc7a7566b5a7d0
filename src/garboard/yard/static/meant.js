/** What the readings of a place mean so far, as the core says it; nothing while the calculations are starting. */

import { core } from "/yard/core.js"
import { copy, made, one } from "/yard/dom.js"
import { capital } from "/yard/examination.js"
import { covers, placesOf } from "/yard/stands.js"
import { survey } from "/yard/survey.js"

/** @typedef {{ what: string, value: string, said: string, caveats: string[], keys: string[] }} Meant */
/** @typedef {import("/yard/stands.js").Planned} Planned */

const SHOWN = 6
/** What the core makes something of. */
const READ = ["sounding", "reading set"]

/** What all of a survey means, by its digest: it takes a phone seconds. @type {{ digest: string, results: Meant[] }} */
let held = { digest: "", results: [] }
/** Asked for once, whoever waits for it. @type {Promise<void> | undefined} */
let working

/**
 * Show what is meant of some places for as long as the section is on the page.
 *
 * @param {HTMLElement} section @param {(place: Planned) => boolean} isOf whether a place of the walk is one of them
 * @returns {() => void} shows it anew, where other places are meant from now on
 */
export function meant(section, isOf) {
  const show = async () => {
    if (!section.isConnected) return left()
    const results = await resultsNow().catch(() => null)
    if (results === undefined) return
    const places = /** @type {Planned[]} */ ((survey.plan?.places ?? []).filter(isOf))
    if (results === null) {
      section.hidden = !isRead(places)
      return section.replaceChildren(copy("not-worked-out"))
    }
    const keys = new Set(places.map((each) => each.key))
    const here = results.filter((each) => each.keys.some((key) => keys.has(key)))
    section.hidden = here.length === 0
    section.replaceChildren(copy("meant"))
    one(section, "[data-first]").append(...here.slice(0, SHOWN).map(row))
    one(section, "[data-others]").append(...here.slice(SHOWN).map(row))
    one(section, "[data-rest]").toggleAttribute("hidden", here.length <= SHOWN)
  }
  // With no calculations no plan comes after what was kept.
  const changed = () => core.state === "failed" && show()
  const left = () => {
    survey.removeEventListener("planned", show)
    survey.removeEventListener("changed", changed)
    core.removeEventListener("state", show)
  }
  survey.addEventListener("planned", show)
  survey.addEventListener("changed", changed)
  core.addEventListener("state", show)
  show()
  return show
}

/** Whether there are readings or soundings of some places of which something could be said. @param {Planned[]} places */
const isRead = (places) =>
  survey
    .standing()
    .filter(({ kind }) => READ.includes(kind))
    .flatMap(placesOf)
    .some((stated) => places.some((each) => covers(stated, each)))

/**
 * @returns {Promise<Meant[] | undefined>} nothing while the calculations are starting
 * @throws where it cannot be worked out on this device now
 */
async function resultsNow() {
  if (core.state === "failed") throw new Error("There are no calculations on this device.")
  while (core.state === "ready" && survey.plan) {
    if (held.digest === survey.plan.digest) return held.results
    working ??= work().finally(() => {
      working = undefined
    })
    await working
  }
}

async function work() {
  const { id, plan } = survey
  const { results } = await core.ask("meaning", { survey: id })
  held = { digest: plan.digest, results }
}

/** @param {Meant} of */
function row({ what, value, said, caveats }) {
  const row = copy("means", { what: `${capital(what)}: ${value}`, said })
  one(row, "ul").append(...caveats.map((each) => made("li", {}, each)))
  if (!caveats.length) one(row, "details").remove()
  return row
}
