/** A file dropped on a field goes into the file field beside it, and the form is looked at. */

for (const place of document.querySelectorAll("[data-drops-into]")) {
  if (!(place instanceof HTMLElement)) continue
  place.addEventListener("dragover", (event) => event.preventDefault())
  place.addEventListener("drop", (event) => take(place, event))
}

/**
 * @param {HTMLElement} place
 * @param {DragEvent} event
 */
function take(place, event) {
  const input = document.getElementById(place.dataset.dropsInto ?? "")
  const files = event.dataTransfer?.files
  if (!(input instanceof HTMLInputElement) || !files?.length) return
  event.preventDefault()
  input.files = files
  input.form?.requestSubmit(input.form.querySelector("button"))
}

export {}
