/** What the readings of a place mean so far, as the core says it; nothing before the calculations have started. */

import { core } from "/yard/core.js"
import { copy, made, one } from "/yard/dom.js"
import { capital } from "/yard/examination.js"
import { survey } from "/yard/survey.js"

/** @typedef {{ what: string, value: string, said: string, caveats: string[], keys: string[] }} Meant */
/** @typedef {import("/yard/stands.js").Planned} Planned */

const SHOWN = 6

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
    if (!section.isConnected) return survey.removeEventListener("planned", show)
    const results = await resultsNow()
    if (!results) return
    const keys = new Set(
      survey.plan?.places.filter(isOf).map((/** @type {Planned} */ each) => each.key),
    )
    const here = results.filter((each) => each.keys.some((key) => keys.has(key)))
    section.hidden = here.length === 0
    section.replaceChildren(copy("meant"))
    one(section, "[data-first]").append(...here.slice(0, SHOWN).map(row))
    one(section, "[data-others]").append(...here.slice(SHOWN).map(row))
    one(section, "[data-rest]").toggleAttribute("hidden", here.length <= SHOWN)
  }
  survey.addEventListener("planned", show)
  show()
  return show
}

/** @returns {Promise<Meant[] | undefined>} nothing where it cannot be worked out now */
async function resultsNow() {
  while (core.state === "ready" && survey.plan) {
    if (held.digest === survey.plan.digest) return held.results
    working ??= work().finally(() => {
      working = undefined
    })
    try {
      await working
    } catch {
      // What it means is said at the desk.
      return
    }
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
