/** Buttons that copy the text of a field; they are hidden where a page cannot copy. */

for (const button of document.querySelectorAll("button[data-copy]")) {
  if (!(button instanceof HTMLButtonElement) || !navigator.clipboard) continue
  button.hidden = false
  button.addEventListener("click", () => copy(button))
}

/** @param {HTMLButtonElement} button */
async function copy(button) {
  const field = document.getElementById(button.dataset.copy ?? "")
  if (!(field instanceof HTMLInputElement)) return
  try {
    await navigator.clipboard.writeText(field.value)
    button.textContent = "Copied"
  } catch {
    // A browser may refuse; the keys always work on what is marked.
    field.select()
    button.textContent = "Marked: copy it with the keys"
  }
}
