/** What was folded open in the drawing stays open when it is drawn anew. */

/** @type {Set<string>} */
const open = new Set()

document.addEventListener(
  "toggle",
  ({ target }) => {
    if (!(target instanceof HTMLDetailsElement) || !target.dataset.keepOpen || !target.isConnected)
      return
    if (target.open) open.add(target.dataset.keepOpen)
    else open.delete(target.dataset.keepOpen)
  },
  true,
)

document.addEventListener("htmx:afterSwap", () => {
  for (const name of open) {
    const folded = document.querySelector(`details[data-keep-open="${name}"]`)
    if (folded instanceof HTMLDetailsElement) folded.open = true
  }
})
