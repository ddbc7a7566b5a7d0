/** A page is not left unasked while a form that is marked so holds something typed and not kept, or came back so. */

let sent = false

/** @param {Element} field */
function isChanged(field) {
  if (field instanceof HTMLInputElement) {
    const ticks = field.type === "checkbox" || field.type === "radio"
    return ticks ? field.checked !== field.defaultChecked : field.value !== field.defaultValue
  }
  if (field instanceof HTMLTextAreaElement) return field.value !== field.defaultValue
  if (field instanceof HTMLSelectElement) {
    const begun = [...field.options].findIndex((each) => each.defaultSelected)
    return field.selectedIndex !== Math.max(begun, 0)
  }
  return false
}

document.addEventListener("submit", (event) => {
  // Another form, such as the search, keeps nothing of what this one holds.
  if (event.target instanceof Element && event.target.matches("form[data-unkept]")) sent = true
})
addEventListener("beforeunload", (event) => {
  const fields = document.querySelectorAll("form[data-unkept] :is(input, textarea, select)")
  const cameBack = document.querySelector('form[data-unkept="yes"]') !== null
  if (!sent && (cameBack || [...fields].some(isChanged))) event.preventDefault()
})
