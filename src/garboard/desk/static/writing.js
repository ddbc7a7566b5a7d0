/** A form of words: it says whether it is kept, is kept by Ctrl+S, and is not left by accident. */

/** The form as it stands now; the server puts another in its place when it is kept. */
const form = () => {
  const found = document.querySelector("form[data-writing]")
  return found instanceof HTMLFormElement ? found : null
}
let isUnkept = form()?.dataset.writing === "unkept"

/** @typedef {HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement} Field */
/** What was in the fields when they were sent. @type {Map<Field, string>} */
let sent = new Map()
/** What was written in since, which the form that takes their place does not know. @type {Field[]} */
let typed = []

/** The fields that words are written in. */
const fields = () =>
  /** @type {Field[]} */ ([
    ...(form()?.querySelectorAll(
      ":is(input, textarea, select):not([type=hidden], [type=checkbox], [type=radio])",
    ) ?? []),
  ])

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
document.addEventListener("htmx:beforeRequest", (event) => {
  if (!(event.target instanceof Element) || !event.target.closest("form[data-writing]")) return
  sent = new Map(fields().map((each) => [each, each.value]))
})
document.addEventListener("htmx:beforeSwap", (event) => {
  if (event.target !== form()) return
  typed = fields().filter((each) => sent.get(each) !== each.value)
})
document.addEventListener("htmx:afterSettle", () => {
  isUnkept = form()?.dataset.writing === "unkept"
  const since = typed
  typed = []
  for (const { name, value } of since) {
    const field = fields().find((each) => each.name === name)
    if (!field) continue
    field.value = value
    field.dispatchEvent(new Event("input", { bubbles: true }))
  }
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
