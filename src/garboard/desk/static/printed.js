/** The report's pages beside a form: set again in a moment after each change, at the page that changed. */

const PAUSE_MS = 250

/**
 * @typedef {{count: number, page: number, chapters: {name: string, page: number}[], notes: string[]}} Pages
 */

class Printed {
  /** @param {HTMLElement} aside */
  constructor(aside) {
    this.aside = aside
    this.count = 0
    this.page = 1
    this.version = 0
    this.isAsking = false
    this.isStale = false
    this.timer = 0
  }

  start() {
    document.addEventListener("input", (event) => this.#written(event))
    document.addEventListener("change", (event) => this.#written(event))
    document.addEventListener("htmx:afterSettle", () => this.ask())
    this.aside.addEventListener("click", (event) => this.#clicked(event))
    this.#select()?.addEventListener("change", (event) => this.#chosen(event))
    this.ask()
  }

  /** Ask for the pages as the form stands; while an answer is under way the next question waits for it. */
  async ask() {
    if (this.isAsking) {
      this.isStale = true
      return
    }
    this.isAsking = true
    this.isStale = false
    this.aside.setAttribute("aria-busy", "true")
    try {
      const form = document.querySelector("form[data-writing]")
      const body = form instanceof HTMLFormElement ? new FormData(form) : new FormData()
      body.set("about", this.aside.dataset.about ?? "")
      const answer = await fetch(this.aside.dataset.source ?? "", { method: "POST", body })
      if (!answer.ok) throw new Error(await answer.text())
      this.#take(await answer.json())
    } catch {
      this.#say(
        "The desk did not answer; what you write is still here. It is tried again when you go on.",
      )
    }
    this.aside.removeAttribute("aria-busy")
    this.isAsking = false
    if (this.isStale) this.ask()
  }

  /** @param {Event} event */
  #written(event) {
    if (!(event.target instanceof Element) || !event.target.closest("form[data-writing]")) return
    clearTimeout(this.timer)
    this.timer = setTimeout(() => this.ask(), PAUSE_MS)
  }

  /** @param {Pages | {problem: string}} answer */
  #take(answer) {
    if ("problem" in answer) {
      this.#say(answer.problem)
      return
    }
    this.count = answer.count
    this.version += 1
    this.#fill(answer.chapters)
    this.#note(answer.notes)
    this.#turnTo(answer.page)
  }

  /** @param {number} page */
  async #turnTo(page) {
    this.page = Math.min(Math.max(1, page), this.count)
    const at = this.aside.querySelector("[data-at]")
    if (at) at.textContent = `page ${this.page} of ${this.count}`
    for (const each of this.aside.querySelectorAll("button[data-turn]")) {
      if (!(each instanceof HTMLButtonElement)) continue
      const turned = this.page + Number(each.dataset.turn)
      each.disabled = turned < 1 || turned > this.count
    }
    this.#mark()
    const turning = this.aside.querySelector("[data-turning]")
    if (turning instanceof HTMLElement) turning.hidden = false
    await this.#picture(this.page, this.version)
  }

  /**
   * Put the picture of a page in its place once it is there, so that nothing flickers.
   * @param {number} page
   * @param {number} version
   */
  async #picture(page, version) {
    const shown = this.aside.querySelector("img[data-page]")
    if (!(shown instanceof HTMLImageElement)) return
    const next = /** @type {HTMLImageElement} */ (shown.cloneNode())
    next.src = `${this.aside.dataset.pages}${page}?v=${version}`
    next.alt = `Page ${page} of ${this.count} as it will print; opens large`
    const isThere = await next.decode().then(
      () => true,
      () => false,
    )
    if (page !== this.page || version !== this.version) return
    if (!isThere) {
      this.#say("This page cannot be shown just now.")
      return
    }
    next.dataset.page = String(page)
    shown.replaceWith(next)
    const large = next.closest("a")
    if (large) {
      large.href = next.src
      large.hidden = false
    }
    this.#say("")
  }

  /** @param {{name: string, page: number}[]} chapters */
  #fill(chapters) {
    const select = this.#select()
    if (!select) return
    select.replaceChildren(
      ...chapters.map((each) => {
        const option = document.createElement("option")
        option.value = String(each.page)
        option.textContent = `${each.name}, page ${each.page}`
        return option
      }),
    )
  }

  /** Choose in the list the last chapter that begins at or before the page shown. */
  #mark() {
    const select = this.#select()
    if (!select) return
    const begun = [...select.options].filter((each) => Number(each.value) <= this.page)
    select.selectedIndex = Math.max(0, begun.length - 1)
  }

  /** @param {string[]} notes */
  #note(notes) {
    const section = document.querySelector("[data-notes]")
    if (!(section instanceof HTMLElement)) return
    section.hidden = notes.length === 0
    section.querySelector("ul")?.replaceChildren(
      ...notes.map((each) => {
        const item = document.createElement("li")
        item.textContent = each
        return item
      }),
    )
  }

  /** @param {Event} event */
  #clicked(event) {
    const button = event.target instanceof Element ? event.target.closest("[data-turn]") : null
    if (button instanceof HTMLElement) this.#turnTo(this.page + Number(button.dataset.turn))
  }

  /** @param {Event} event */
  #chosen(event) {
    if (event.target instanceof HTMLSelectElement) this.#turnTo(Number(event.target.value))
  }

  #select() {
    const found = this.aside.querySelector("select[data-chapter]")
    return found instanceof HTMLSelectElement ? found : null
  }

  /** @param {string} words */
  #say(words) {
    const said = this.aside.querySelector("[data-said]")
    if (said) said.textContent = words
  }
}

const aside = document.querySelector("[data-printed]")
if (aside instanceof HTMLElement) new Printed(aside).start()
