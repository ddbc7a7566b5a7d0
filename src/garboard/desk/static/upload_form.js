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
  /** @type {number | undefined} */
  #timer

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
    /** @type {HTMLButtonElement} */
    this.keepButton = one(form, "[data-keep]")
    this.before = kept(form.action)
    one(form, "button:not([type])").remove()
    this.input.addEventListener("change", () => this.#chosen())
    this.againButton.addEventListener("click", () => this.upload.again())
    this.keepButton.addEventListener("click", () => this.#keepBefore())
    if (this.before.length) this.#offerBefore()
    form.addEventListener("submit", (event) => event.preventDefault())
    for (const type of ["dragover", "dragleave", "drop"]) form.addEventListener(type, this)
    addEventListener("dragenter", () => form.closest("details")?.setAttribute("open", ""))
    addEventListener("online", () => this.upload.again())
    addEventListener("beforeunload", (event) => this.upload.isBusy && event.preventDefault())
    // Chosen while this was still on its way.
    if (this.input.files?.length) this.#chosen()
  }

  /** @param {Event} event */
  handleEvent(event) {
    event.preventDefault()
    this.form.toggleAttribute("data-over", event.type === "dragover")
    if (event.type === "drop") this.#take(/** @type {DragEvent} */ (event).dataTransfer?.files)
  }

  /** What an earlier page sent, and was closed before it could keep: nothing of it is in the notebook. */
  #offerBefore() {
    one(this.form, "[data-progress]").removeAttribute("hidden")
    this.form.closest("details")?.setAttribute("open", "")
    this.words.textContent = `${notKept(this.before.length)}, because the page was closed. Choose the rest, which are kept together with them in order, or keep those that are here.`
    this.keepButton.hidden = false
  }

  #keepBefore() {
    this.#takeUpBefore()
    this.upload.again()
  }

  #takeUpBefore() {
    this.upload.takeUp(this.before)
    this.before = []
    this.keepButton.hidden = true
  }

  #chosen() {
    this.#take(this.input.files)
    this.input.value = ""
  }

  /** @param {FileList | null | undefined} files */
  #take(files) {
    if (!files?.length) return
    one(this.form, "[data-progress]").removeAttribute("hidden")
    this.#takeUpBefore()
    this.upload.add(Array.from(files))
  }

  /** @param {import("/static/upload.js").Item} item */
  #changed(item) {
    this.#showRow(item)
    keep(this.form.action, this.upload.there)
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
    const early = SPOKEN_EVERY_MS - (performance.now() - this.#saidAt)
    if (!isDone && early > 0) return this.#showLater(early)
    this.#saidAt = performance.now()
    this.words.textContent = summary(items)
    if (isDone) this.form.dispatchEvent(new CustomEvent("uploaded", { bubbles: true }))
  }

  /** The last step said early is said all the same. @param {number} wait ms */
  #showLater(wait) {
    this.#timer ??= setTimeout(() => {
      this.#timer = undefined
      this.#show()
    }, wait)
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
  if (item.state === "sent") return "is there, and waits for the others"
  if (item.state === "keeping") return "is being kept"
  return item.words
}

/** @param {import("/static/upload.js").Item[]} items */
function summary(items) {
  /** @param {string[]} states */
  const count = (...states) => items.filter((item) => states.includes(item.state)).length
  const parts = [`${count("kept")} of ${items.length} kept`]
  const onTheirWay = count("reading", "sending")
  const here = count("sent", "keeping")
  if (onTheirWay) parts.push(`${onTheirWay} on their way`)
  if (here) parts.push(notKept(here))
  if (count("refused")) parts.push(`${count("refused")} refused`)
  if (count("stopped")) parts.push(`${count("stopped")} broken off`)
  return `${parts.join(", ")}.`
}

/** @param {number} count */
const notKept = (count) => `${count} ${count === 1 ? "is" : "are"} here and not kept yet`

/** What the page that sent to an address last had not kept. @param {string} address @returns {import("/static/upload.js").There[]} */
function kept(address) {
  try {
    return JSON.parse(localStorage.getItem(`upload ${address}`) ?? "[]")
  } catch {
    return []
  }
}

/** @param {string} address @param {import("/static/upload.js").There[]} there */
function keep(address, there) {
  try {
    if (there.length) localStorage.setItem(`upload ${address}`, JSON.stringify(there))
    else localStorage.removeItem(`upload ${address}`)
  } catch {
    // Where the browser stores nothing, the same files chosen again are found at the desk all the same.
  }
}

for (const form of document.querySelectorAll("form[data-upload]")) {
  new UploadForm(/** @type {HTMLFormElement} */ (form))
}
