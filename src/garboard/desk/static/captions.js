/** Captions typed one after the other: a line is kept when it is left; Enter goes on, Shift and Enter goes back. */

class Captions {
  /** What a row waits for: its last change. @type {WeakMap<HTMLElement, Promise<boolean>>} */
  #turns = new WeakMap()

  /** @param {HTMLFormElement} form */
  constructor(form) {
    this.form = form
    this.address = form.dataset.captions ?? ""
    form.querySelector("button")?.closest(".acts")?.remove()
    form.parentElement?.querySelector("[data-hint]")?.removeAttribute("hidden")
    form.addEventListener("change", (event) => this.#changed(rowOf(event.target)))
    form.addEventListener("keydown", (event) => this.#pressed(event))
    form.addEventListener("submit", (event) => event.preventDefault())
    addEventListener(
      "beforeunload",
      (event) => this.form.querySelector("[data-unsaid]") && event.preventDefault(),
    )
  }

  /** @param {KeyboardEvent} event */
  #pressed(event) {
    const row = rowOf(event.target)
    if (event.key !== "Enter" || event.isComposing || !row) return
    event.preventDefault()
    // What was not kept is tried again.
    if (row.hasAttribute("data-unsaid")) this.#changed(row)
    const next = event.shiftKey ? row.previousElementSibling : row.nextElementSibling
    const field = captionIn(next ?? row)
    if (next) field?.focus()
    else captionIn(row)?.blur()
    field?.scrollIntoView({ block: "center" })
  }

  /** One after the other, so that each corrects what the one before made. @param {HTMLElement | null} row */
  #changed(row) {
    if (!row) return
    row.toggleAttribute("data-unsaid", true)
    const turn = (this.#turns.get(row) ?? Promise.resolve(true)).then(() => this.#keep(row))
    this.#turns.set(row, turn)
    turn.then((isKept) => {
      if (this.#turns.get(row) === turn) row.toggleAttribute("data-unsaid", !isKept)
    })
  }

  /** @param {HTMLElement} row @returns {Promise<boolean>} whether it was kept */
  async #keep(row) {
    const words = /** @type {HTMLElement} */ (row.querySelector("[data-said]"))
    words.textContent = "being kept"
    try {
      const response = await fetch(this.address, { method: "POST", body: sentBy(row) })
      const said = await response.json()
      words.textContent = said.problems ? said.problems.join(" ") : "kept"
      if (said.entry) this.#rename(row, said.entry)
      const count = this.form.parentElement?.querySelector("[data-captionless]")
      if (count && said.captionless) count.textContent = said.captionless
      return !said.problems
    } catch {
      words.textContent = "not kept: the desk could not be reached. Press Enter in it to try again."
      return false
    }
  }

  /** What is corrected next is the entry just made. @param {HTMLElement} row @param {string} entry */
  #rename(row, entry) {
    for (const field of row.querySelectorAll("input"))
      field.name = `${field.name.split(".")[0]}.${entry}`
  }
}

/** @param {Element} row */
function sentBy(row) {
  const sent = new URLSearchParams()
  for (const field of row.querySelectorAll("input")) {
    if (field.type !== "checkbox" || field.checked) sent.append(field.name, field.value)
  }
  return sent
}

/** @param {EventTarget | null} target @returns {HTMLElement | null} */
const rowOf = (target) => (target instanceof HTMLElement ? target.closest("[data-row]") : null)

/** @param {Element} row @returns {HTMLInputElement | null} */
const captionIn = (row) => row.querySelector("input:not([type])")

for (const form of document.querySelectorAll("form[data-captions]")) {
  new Captions(/** @type {HTMLFormElement} */ (form))
}
