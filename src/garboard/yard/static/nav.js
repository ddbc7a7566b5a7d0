/** The way to every view of a survey: one button at the thumb that opens a list. */

import { made, one } from "/yard/dom.js"

const VIEWS = [
  ["walk", "Walk"],
  ["pad", "Hull pad"],
  ["strikes", "Strikes"],
  ["camera", "Camera"],
  ["instruments", "Instruments"],
  ["asked", "What she has"],
  ["red", "Before the ladder"],
  ["tonight", "Tonight"],
  ["alone", "Lone work"],
]

const menu = () => /** @type {HTMLElement} */ (one(document, "#views"))

/** Once, before the first view. */
export function begin() {
  new ResizeObserver(measured).observe(one(document, "footer"))
  menu().addEventListener("click", ({ target }) => {
    if (target instanceof HTMLAnchorElement) menu().hidePopover()
  })
}

/** Acts that stick above the footer must know how high it stands. */
function measured() {
  const { height } = one(document, "footer").getBoundingClientRect()
  document.documentElement.style.setProperty("--foot", `${height}px`)
}

/** The list as it is for a survey; without one there is none. @param {string} view @param {string} survey */
export function lead(view, survey) {
  if (menu().matches(":popover-open")) menu().hidePopover()
  one(document, "[data-lead]").toggleAttribute("hidden", !survey)
  one(menu(), "ul").replaceChildren(
    ...VIEWS.map(([name = "", words = ""]) => item(`#/${name}/${survey}`, words, name === view)),
    item("#/", "All surveys", false),
  )
}

/** @param {string} href @param {string} words @param {boolean} isHere */
const item = (href, words, isHere) =>
  made(
    "li",
    {},
    made("a", { href, class: "button second", ...(isHere && { "aria-current": "page" }) }, words),
  )
