/**
 * A long walk on a small screen begins with its stretches folded. What was opened stays open when one comes back,
 * what the address names is opened, and on paper everything is.
 */

const WIDE = "(min-width: 48rem)"
const HELD = `open ${location.pathname}`

/** @type {HTMLDetailsElement[]} */
const stretches = [...document.querySelectorAll(".stretch > details")].filter(
  (each) => each instanceof HTMLDetailsElement,
)

/** @param {HTMLDetailsElement} stretch */
const nameOf = (stretch) => stretch.querySelector("h2")?.id ?? ""

/** @returns {string[]} */
const held = () => JSON.parse(sessionStorage.getItem(HELD) ?? "[]")

function keepOpen() {
  const open = stretches.filter((each) => each.open).map(nameOf)
  sessionStorage.setItem(HELD, JSON.stringify(open))
}

function showNamed() {
  const named = document.getElementById(decodeURIComponent(location.hash.slice(1)))
  const stretch = named?.closest(".stretch > details")
  if (!(stretch instanceof HTMLDetailsElement)) return
  stretch.open = true
  named?.scrollIntoView()
}

function openAll() {
  for (const each of stretches) each.open = true
}

if (document.querySelector("[data-folds]") && !matchMedia(WIDE).matches) {
  const open = held()
  for (const each of stretches) {
    each.open = open.includes(nameOf(each))
    each.addEventListener("toggle", keepOpen)
  }
  document.body.classList.add("folds")
  showNamed()
  addEventListener("hashchange", showNamed)
}
addEventListener("beforeprint", openAll)
