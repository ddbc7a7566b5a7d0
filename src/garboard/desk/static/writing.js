/** A form of words: it says whether it is kept, is kept by Ctrl+S, and is not left by accident. */

/** The form as it stands now; the server puts another in its place when it is kept. */
const form = () => {
  const found = document.querySelector("form[data-writing]")
  return found instanceof HTMLFormElement ? found : null
}
let isUnkept = form()?.dataset.writing === "unkept"

/** @typedef {HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement} Field */
/** What the fields said when they were sent. @type {Map<Field, string | boolean>} */
let sent = new Map()
/** What was changed since, which the form that takes their place does not know. @type {Field[]} */
let since = []

/** The fields that words are written in, or that are ticked. */
const fields = () =>
  /** @type {Field[]} */ ([
    ...(form()?.querySelectorAll(":is(input, textarea, select):not([type=hidden])") ?? []),
  ])

/**
 * @param {Field} field
 * @returns {field is HTMLInputElement}
 */
const isTick = (field) => field instanceof HTMLInputElement && /^(checkbox|radio)$/.test(field.type)

/** @param {Field} field */
const said = (field) => (isTick(field) ? field.checked : field.value)

/**
 * Have the field of the form that stands now say what one of the form before it said.
 * @param {Field} old
 */
function carryOver(old) {
  const now = fields().find(
    (each) => each.name === old.name && (!isTick(each) || each.value === old.value),
  )
  if (!now) return
  if (isTick(now) && isTick(old)) now.checked = old.checked
  else now.value = old.value
  now.dispatchEvent(new Event("input", { bubbles: true }))
}

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
document.addEventListener("submit", (event) => {
  // Another form, or a page that opens beside this one, keeps none of the words.
  const isBeside = event.submitter?.getAttribute("formtarget") === "_blank"
  if (event.target === form() && !isBeside) isUnkept = false
})
document.addEventListener("htmx:beforeRequest", (event) => {
  if (!(event.target instanceof Element) || !event.target.closest("form[data-writing]")) return
  sent = new Map(fields().map((each) => [each, said(each)]))
})
document.addEventListener("htmx:beforeSwap", (event) => {
  if (event.target !== form()) return
  since = fields().filter((each) => sent.get(each) !== said(each))
})
document.addEventListener("htmx:afterSettle", (event) => {
  if (event.target !== form()) return
  isUnkept = form()?.dataset.writing === "unkept"
  for (const each of since.splice(0)) carryOver(each)
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
