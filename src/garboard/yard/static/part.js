/** One part of the boat: its caution first, then everything that can be recorded of it, and what was. */

import { leadToAsked } from "/yard/asked.js"
import { begun } from "/yard/begun.js"
import { copy, made, one } from "/yard/dom.js"
import { examination } from "/yard/examination.js"
import { limitation } from "/yard/limitation.js"
import { meant } from "/yard/meant.js"
import { memo } from "/yard/memo.js"
import { observation } from "/yard/observation.js"
import { keepFile, told } from "/yard/photo.js"
import { recorded, said as sentence } from "/yard/recorded.js"
import { isOwed, isPlace, nextOwed, placeOf, standings } from "/yard/stands.js"
import { set } from "/yard/store.js"
import { survey } from "/yard/survey.js"
import { sync } from "/yard/sync.js"
import { sayOff, takeBack } from "/yard/touch.js"

/**
 * What the pieces of the page share: the place as planned and as entries state it, its part of the catalogue, the
 * words of the vocabulary, what was begun and not kept, and how something is kept, taken back or said.
 *
 * @typedef {{ planned: import("/yard/stands.js").Standing, place: any, part: any,
 *   how: Record<string, string>, reasons: Record<string, string>, kinds?: Record<string, string>,
 *   begun: Record<string, any>,
 *   keep: (kind: string, body: any, about?: any) => Promise<boolean>,
 *   takeBack: (entry: import("/yard/store.js").Entry, why: string) => Promise<boolean>,
 *   takenOff: (off: import("/yard/touch.js").Off) => void,
 *   said: (words: string) => void }} Of
 */

/** @param {HTMLElement} main @param {string[]} address the key of the place */
export async function part(main, [key = ""]) {
  const all = standings()
  const at = all.findIndex((each) => each.key === key)
  const planned = all[at]
  if (!planned) {
    main.append(
      made("h1", {}, "A part"),
      copy("wrong", {
        words: "The walk of this boat has no such part. Go to the walk, and choose it there.",
      }),
    )
    return
  }
  const alike = all.filter((each) => isPlace(each) === isPlace(planned))
  const known = survey.plan.parts[planned.part]
  main.append(
    copy("part", {
      zone: `${planned.at} of ${alike.length}, ${planned.zone}`,
      name: planned.name,
      caution: known.caution,
      steps: known.steps,
      why: planned.why,
    }),
  )
  const { asks = [] } = planned
  leadToAsked(main, asks, `Not answered yet: ${asks.join(" ")}`)
  const status = one(main, "[data-kept]")
  /** @type {Of} */
  const of = {
    planned,
    place: placeOf(planned),
    part: known,
    how: survey.plan.how,
    reasons: survey.plan.reasons,
    kinds: survey.plan.kinds,
    begun: (await begun())[key] ?? {},
    async keep(kind, body, about) {
      try {
        const kept = await survey.keep(kind, body, about)
        of.said(`Saved on this device. ${sentence(kept, of)}`)
        return true
      } catch {
        // What was wrong is said above the footer; what was filled in stays.
        of.said("Not saved.")
        return false
      }
    },
    takeBack: (entry, why) => takeBack(status, entry, { words: sentence(entry, of), why }),
    takenOff: (off) => sayOff(status, off),
    said(words) {
      status.textContent = words
    },
  }
  const speaking = memo(of)
  one(main, "[data-examination]").append(examination(of, one(main, "[data-quick]")))
  one(main, "[data-limitation]").append(limitation(of))
  one(main, "[data-observation]").append(observation(of))
  one(main, "[data-memo]").append(speaking.sheet)
  for (const each of ["limitation", "observation"])
    one(main, `[data-${each}]`).toggleAttribute("open", Boolean(of.begun[each]))
  bringWhatIsOpened(main)
  photographs(of, main)
  meant(one(main, "[data-meant]"), (place) => place.key === key)
  const ended = shown(of, main)
  await set(`last ${survey.id}`, key)
  return {
    leave() {
      ended()
      speaking.leave()
    },
  }
}

/** What is opened below the edge is brought into view by its heading, which says what it is. @param {HTMLElement} main */
function bringWhatIsOpened(main) {
  for (const each of main.querySelectorAll("details.piece > summary"))
    each.addEventListener("click", () => {
      const piece = /** @type {HTMLDetailsElement} */ (each.parentElement)
      // It opens after the touch.
      if (!piece.open) requestAnimationFrame(() => piece.scrollIntoView({ block: "start" }))
    })
}

/** @param {Of} of @param {HTMLElement} main */
function photographs(of, main) {
  const here = `${survey.id}/${encodeURIComponent(of.planned.key)}`
  one(main, "[data-camera]").setAttribute("href", `#/camera/${here}`)
  const pad = one(main, "[data-pad]")
  pad.setAttribute("href", `#/pad/${here}`)
  pad.toggleAttribute("hidden", !of.part.has_place)
  const input = /** @type {HTMLInputElement} */ (one(main, "[data-photo]"))
  input.addEventListener("change", async () => {
    for (const file of input.files ?? []) {
      try {
        of.said(told(await keepFile(file, of.place), of.place))
      } catch (problem) {
        of.said(`Not saved. ${/** @type {Error} */ (problem).message}`)
      }
    }
    input.value = ""
  })
}

/** How it stands, what was recorded, and the way on, for as long as the page is shown. @param {Of} of @param {HTMLElement} main */
function shown(of, main) {
  const { key } = of.planned
  /** @type {Promise<() => void>} */
  let drawn = Promise.resolve(() => {})
  const draw = () => {
    drawn = drawn.then(async (ended) => {
      const next = await recorded(of, one(main, "[data-recorded]"), one(main, "#recorded-here"))
      ended()
      return next
    })
  }
  const stand = () => {
    const all = standings()
    const at = all.findIndex((each) => each.key === key)
    one(main, "[data-stands]").textContent = all[at]?.words ?? ""
    const next = nextOwed(all, key)
    way(
      main,
      "[data-next]",
      next,
      next ? `Next: ${next.name}` : "Nothing is left: before the ladder",
    )
    way(main, "[data-after]", all[at + 1], "The part after")
    way(main, "[data-before]", all[at - 1], "The part before")
    const isOpen = Boolean(all[at] && isOwed(all[at]))
    one(main, "[data-quick]").toggleAttribute("hidden", !isOpen)
    one(main, "[data-next]").classList.toggle("second", isOpen)
  }
  let timer = 0
  // After what was kept is said to be: nothing heavy stands before that.
  const changed = () => {
    clearTimeout(timer)
    timer = setTimeout(() => {
      stand()
      draw()
    })
  }
  stand()
  draw()
  // Where each is held is told as the foot of the page tells it.
  let { entries: waiting } = sync.state
  const sent = () => {
    if (sync.state.entries === waiting) return
    waiting = sync.state.entries
    draw()
  }
  survey.addEventListener("changed", changed)
  survey.addEventListener("planned", stand)
  sync.addEventListener("state", sent)
  return () => {
    clearTimeout(timer)
    sync.removeEventListener("state", sent)
    survey.removeEventListener("changed", changed)
    survey.removeEventListener("planned", stand)
    drawn.then((ended) => ended())
  }
}

/** @param {HTMLElement} main @param {string} which @param {import("/yard/stands.js").Standing | undefined} to @param {string} words */
function way(main, which, to, words) {
  const link = one(main, which)
  const other = which === "[data-next]" ? `#/red/${survey.id}` : `#/walk/${survey.id}`
  link.setAttribute("href", to ? `#/part/${survey.id}/${encodeURIComponent(to.key)}` : other)
  link.textContent = to || which === "[data-next]" ? words : "The walk"
  // The next is named by its words.
  if (to && which !== "[data-next]") link.setAttribute("aria-description", to.name)
  else link.removeAttribute("aria-description")
}
