/** A form of words: it says whether it is kept, is kept by Ctrl+S, and is not left by accident. */

/** The form as it stands now; the server puts another in its place when it is kept. */
const form = () => {
  const found = document.querySelector("form[data-writing]")
  return found instanceof HTMLFormElement ? found : null
}
let isUnkept = form()?.dataset.writing === "unkept"

/** @param {Event} event */
function changed(event) {
  const of = event.target instanceof Element ? event.target.closest("form[data-writing]") : null
  if (!of) return
  isUnkept = true
  const state = of.querySelector("[data-state]")
  if (state) state.textContent = "Not kept yet"
}

document.addEventListener("input", changed)
document.addEventListener("change", changed)
document.addEventListener("submit", () => {
  isUnkept = false
})
document.addEventListener("htmx:afterSettle", () => {
  isUnkept = form()?.dataset.writing === "unkept"
})
addEventListener("beforeunload", (event) => {
  if (isUnkept) event.preventDefault()
})
addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "s") return
  const keep = form()?.querySelector("button[data-keep]")
  if (!(keep instanceof HTMLButtonElement)) return
  event.preventDefault()
  keep.click()
})
