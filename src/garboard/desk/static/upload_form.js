/** A form with `data-upload`: files are chosen or dropped, and how far they are is said in words and by a bar. */

import { Upload } from "/static/upload.js"

const SPOKEN_EVERY_MS = 1500

/** @template {Element} T @param {Element} within @param {string} selector @returns {T} */
const one = (within, selector) => /** @type {T} */ (within.querySelector(selector))

class UploadForm {
  /** @type {Map<import("/static/upload.js").Item, HTMLElement>} */
  #rows = new Map()
  #isDrawn = false
  #saidAt = 0

  /** @param {HTMLFormElement} form */
  constructor(form) {
    this.form = form
    this.upload = new Upload(form.action, (item) => this.#changed(item))
    /** @type {HTMLInputElement} */
    this.input = one(form, "input[type=file]")
    /** @type {HTMLProgressElement} */
    this.bar = one(form, "progress")
    /** @type {HTMLElement} */
    this.words = one(form, "[data-words]")
    /** @type {HTMLElement} */
    this.list = one(form, "[data-list]")
    /** @type {HTMLButtonElement} */
    this.againButton = one(form, "[data-again]")
    one(form, "button:not([type])").remove()
    this.input.addEventListener("change", () => this.#chosen())
    this.againButton.addEventListener("click", () => this.upload.again())
    form.addEventListener("submit", (event) => event.preventDefault())
    for (const type of ["dragover", "dragleave", "drop"]) form.addEventListener(type, this)
    addEventListener("dragenter", () => form.closest("details")?.setAttribute("open", ""))
    addEventListener("online", () => this.upload.again())
    addEventListener("beforeunload", (event) => this.upload.isBusy && event.preventDefault())
  }

  /** @param {Event} event */
  handleEvent(event) {
    event.preventDefault()
    this.form.toggleAttribute("data-over", event.type === "dragover")
    if (event.type === "drop") this.#take(/** @type {DragEvent} */ (event).dataTransfer?.files)
  }

  #chosen() {
    this.#take(this.input.files)
    this.input.value = ""
  }

  /** @param {FileList | null | undefined} files */
  #take(files) {
    if (!files?.length) return
    one(this.form, "[data-progress]").removeAttribute("hidden")
    this.upload.add(Array.from(files))
  }

  /** @param {import("/static/upload.js").Item} item */
  #changed(item) {
    this.#showRow(item)
    if (!this.#isDrawn) {
      this.#isDrawn = true
      requestAnimationFrame(() => this.#show())
    }
  }

  #show() {
    this.#isDrawn = false
    const { items } = this.upload
    const whole = items.reduce((sum, item) => sum + item.file.size, 0)
    this.bar.value = whole ? items.reduce((sum, item) => sum + share(item), 0) / whole : 1
    this.againButton.hidden = !items.some((item) => item.state === "stopped")
    const isDone = !this.upload.isBusy
    // Not at every step: it is read aloud.
    if (!isDone && performance.now() - this.#saidAt < SPOKEN_EVERY_MS) return
    this.#saidAt = performance.now()
    this.words.textContent = summary(items)
    if (isDone) this.form.dispatchEvent(new CustomEvent("uploaded", { bubbles: true }))
  }

  /** What is on its way, and what was not kept, each in a row of its own. @param {import("/static/upload.js").Item} item */
  #showRow(item) {
    const row = this.#rows.get(item) ?? document.createElement("li")
    this.#rows.set(item, row)
    const isQuiet = item.state === "kept" && !isWorthReading(item.words)
    if (isQuiet) row.remove()
    else {
      row.textContent = `${item.file.name}: ${rowWords(item)}`
      if (!row.isConnected) this.list.append(row)
    }
  }
}

/** Beside its number something was said: that it was here already, is damaged, or has no time. @param {string} words */
const isWorthReading = (words) => !/^Kept as [a-z]+ \d+\.$/.test(words)

/** @param {import("/static/upload.js").Item} item */
function share(item) {
  return ["kept", "refused"].includes(item.state) ? item.file.size : item.sent
}

/** @param {import("/static/upload.js").Item} item */
function rowWords(item) {
  if (item.state === "reading") return "being read"
  if (item.state === "sending")
    return `being sent, ${Math.floor((100 * item.sent) / item.file.size)} %`
  return item.words
}

/** @param {import("/static/upload.js").Item[]} items */
function summary(items) {
  /** @param {string[]} states */
  const count = (...states) => items.filter((item) => states.includes(item.state)).length
  const parts = [`${count("kept")} of ${items.length} kept`]
  if (count("reading", "sending")) parts.push(`${count("reading", "sending")} on their way`)
  if (count("refused")) parts.push(`${count("refused")} refused`)
  if (count("stopped")) parts.push(`${count("stopped")} broken off`)
  return `${parts.join(", ")}.`
}

for (const form of document.querySelectorAll("form[data-upload]")) {
  new UploadForm(/** @type {HTMLFormElement} */ (form))
}
