/** The page: which view is shown, the two marks of what is saved where, the light, and the hand it is held in. */

import { clockWords } from "/yard/clock.js"
import { core } from "/yard/core.js"
import { copy, one } from "/yard/dom.js"
import { begin as beginEarlier } from "/yard/earlier.js"
import { beginWriting } from "/yard/entry.js"
import { begin as beginLight } from "/yard/light.js"
import { begin as beginNav, lead } from "/yard/nav.js"
import { putBack } from "/yard/store.js"
import { survey } from "/yard/survey.js"
import { sync } from "/yard/sync.js"
import { begin as beginVersion } from "/yard/version.js"
import { readAll, viewOf } from "/yard/views.js"
import { alone } from "/yard/watch.js"

const REACH = { none: ", no signal", "signed out": ", signed out", reached: "", unknown: "" }
const CORE = {
  starting: "Calculations starting",
  ready: "",
  failed: "No calculations on this device; everything is kept",
}

/** The address after the hash: a view, and what it is of. @returns {string[]} */
const address = () => location.hash.slice(2).split("/").map(decodeURIComponent)

/** @type {{ leave?: () => void } | undefined} */
let shown
/** One view after the other, however fast the address changes. @type {Promise<void>} */
let turn = Promise.resolve()
const turned = () => {
  // A view that could not be shown holds up none after it.
  turn = turn.then(show, show)
  return turn
}

async function show() {
  shown?.leave?.()
  const [name = "", id = "", ...rest] = address()
  const main = /** @type {HTMLElement} */ (one(document, "main"))
  main.replaceChildren()
  shown = undefined
  try {
    const view = viewOf(name)
    if (id) await survey.open(id)
    else survey.close()
    // The walk says itself what is not read yet.
    if (name === "walk") survey.whole.catch((problem) => survey.id === id && astray(problem))
    else await survey.whole
    lead(name, id)
    shown = (await (await view)(main, rest)) ?? undefined
  } catch (problem) {
    astray(problem)
  }
  const clock = main.querySelector("[data-clock]")
  if (clock) clock.textContent = clockWords()
  const heading = main.querySelector("h1")
  document.title = `${heading?.textContent ?? "Garboard"} · Garboard`
  heading?.setAttribute("tabindex", "-1")
  heading?.focus({ preventScroll: true })
  scrollTo(0, 0)
}

/** @param {unknown} problem */
function astray(problem) {
  survey.close()
  lead("", "")
  one(document, "main").replaceChildren(
    copy("astray", { words: /** @type {Error} */ (problem).message }),
  )
}

/** The two marks, always to be seen: saved here, and safe on the desk. */
function mark() {
  const { reach, entries, files, refused, said } = sync.state
  const waits = entries + files
  const words = [
    refused && `${refused} refused by the desk: see the page of all surveys`,
    waits && `${waits} not yet on the desk${REACH[reach]}`,
    said,
  ].filter(Boolean)
  if (!words.length)
    words.push(reach === "unknown" ? "The desk not yet asked" : "All safe on the desk")
  say("[data-safe]", words.join(". "))
  one(document, "footer").toggleAttribute("data-waits", waits + refused > 0)
  say("[data-core]", CORE[core.state])
}

/** Only what changed: it is read aloud. @param {string} where @param {string} words */
function say(where, words) {
  const element = one(document, where)
  if (element.textContent !== words) element.textContent = words
}

/** Something could not be kept: said at once, until it is read. @param {Event} event */
function unsaved(event) {
  const problem = /** @type {CustomEvent} */ (event).detail
  const isFull = problem?.name === "QuotaExceededError"
  warn(
    isFull
      ? "Not saved: this device is full. What was saved before is safe. Make room, or bring it to the desk, then do this once more."
      : `Not saved: the device would not keep it (${problem?.message ?? problem}). What was saved before is safe. Do this once more.`,
  )
  say("[data-saved]", "The last was not saved")
}

/** It stays until it is read. @param {string} words */
function warn(words) {
  const read = () => {
    one(document, "[data-alert]").replaceChildren()
    say("[data-saved]", "Saved on this device")
  }
  one(document, "[data-alert]").replaceChildren(copy("unsaved", { words }, { read }))
}

/** The browser had lost its database, and the second copies stood in. */
function tellWhatWasPutBack() {
  const { entries, files } = putBack
  if (!entries && !files) return
  warn(
    `The browser had lost what it kept of this page, after it was ended in the midst of writing. Put back from the second copies: ${counted(entries, "entry", "entries")}, ${counted(files, "file", "files")}. Look whether all is there, and bring it to the desk.`,
  )
}

/** @param {number} count @param {string} one @param {string} several */
const counted = (count, one, several) => `${count} ${count === 1 ? one : several}`

addEventListener("hashchange", turned)
survey.addEventListener("unsaved", unsaved)
sync.addEventListener("state", mark)
core.addEventListener("state", mark)

beginLight()
beginNav()
beginEarlier()
beginVersion()
mark()
await Promise.all([alone.begin(), beginWriting(), turned()])
tellWhatWasPutBack()
document.documentElement.dataset.ready = "yes"
// After the first view, so that the page can be used before it.
await Promise.allSettled([survey.whole])
sync.start()
readAll()
core.start()
