/**
 * A page of a survey says what was written elsewhere since it was made; nothing on it moves by itself.
 * It listens only while it is looked at: a browser holds few streams open at once.
 */

class News {
  /** @type {EventSource | null} */
  #stream = null

  /** @param {HTMLElement} line */
  constructor(line) {
    this.line = line
    this.address = new URL(line.dataset.news ?? "", location.href)
    document.addEventListener("visibilitychange", () => this.#listen())
    addEventListener("pagehide", () => this.#stream?.close())
    this.#listen()
  }

  #listen() {
    this.#stream?.close()
    if (document.hidden) return
    this.#stream = new EventSource(this.address)
    this.#stream.addEventListener("new", (event) => {
      this.address.searchParams.set("since", event.data)
      this.line.dispatchEvent(new Event("news"))
    })
  }
}

// The line asks for its words through htmx, which hears it from then on.
document.addEventListener("DOMContentLoaded", () => {
  for (const line of document.querySelectorAll("[data-news]")) {
    new News(/** @type {HTMLElement} */ (line))
  }
})
