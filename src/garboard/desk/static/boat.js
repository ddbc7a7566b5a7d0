/** As she is drawn anew: what was folded open stays open, and only what she can have is asked about. */

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
  askWhatIsPossible()
})

/** What is ticked or stated already stays in sight, so that it can be taken back. */
function askWhatIsPossible() {
  const said = document.querySelector("#impossible")
  const impossible = said instanceof HTMLElement ? (said.dataset.fittings ?? "").split(" ") : []
  for (const asked of document.querySelectorAll("[data-fitting]")) {
    if (!(asked instanceof HTMLElement)) continue
    const isTicked = asked.querySelector("input:checked") !== null
    asked.hidden = impossible.includes(asked.dataset.fitting ?? "") && !isTicked
  }
  const needless = said instanceof HTMLElement ? (said.dataset.particulars ?? "").split(" ") : []
  for (const asked of document.querySelectorAll(".particulars .grid > .field")) {
    const control = asked.querySelector("input, select")
    if (!(asked instanceof HTMLElement)) continue
    if (!(control instanceof HTMLInputElement || control instanceof HTMLSelectElement)) continue
    asked.hidden = needless.includes(control.id) && control.value === ""
  }
}
