/**
 * Several chosen at once in a form with `data-choosing`: Shift takes all between, arrows go from one to the next, and
 * how many are chosen is said.
 */

class Choosing {
  /** @type {HTMLInputElement | null} */
  #last = null

  /** @param {HTMLFormElement} form */
  constructor(form) {
    this.form = form
    this.count = form.querySelector("[data-count]")
    for (const [name, isChosen] of /** @type {const} */ ([
      ["all", true],
      ["none", false],
    ])) {
      const button = form.querySelector(`[data-${name}]`)
      button?.removeAttribute("hidden")
      button?.addEventListener("click", () => this.#set(this.boxes, isChosen))
    }
    form.parentElement?.querySelector("[data-choosing-hint]")?.removeAttribute("hidden")
    form.addEventListener("click", (event) => this.#clicked(event))
    form.addEventListener("keydown", (event) => this.#pressed(event))
    form.addEventListener("change", () => this.#show())
    this.#show()
  }

  /** @returns {HTMLInputElement[]} those that can be seen */
  get boxes() {
    const all = this.form.querySelectorAll("input[type=checkbox][name=photo]")
    return /** @type {HTMLInputElement[]} */ (Array.from(all)).filter(
      (box) => !box.closest("details:not([open])"),
    )
  }

  /** @param {MouseEvent} event */
  #clicked(event) {
    const box = boxOf(event.target)
    if (!box) return
    if (event.shiftKey && this.#last) this.#set(this.#between(this.#last, box), box.checked)
    this.#last = box
  }

  /** @param {KeyboardEvent} event */
  #pressed(event) {
    const box = boxOf(event.target)
    const steps = box && this.#steps(event.key, box)
    if (!box || !steps) return
    const next = this.boxes[this.boxes.indexOf(box) + steps]
    event.preventDefault()
    if (!next) return
    if (event.shiftKey) this.#set(this.#between(box, next), true)
    this.#last = next
    next.focus()
  }

  /** @param {string} key @param {HTMLInputElement} box */
  #steps(key, box) {
    const list = box.closest("ol")
    const columns = list ? getComputedStyle(list).gridTemplateColumns.split(" ").length : 1
    const isRow = list?.classList.contains("sheet")
    return (
      {
        ArrowRight: 1,
        ArrowLeft: -1,
        ArrowDown: isRow ? columns : 1,
        ArrowUp: isRow ? -columns : -1,
      }[key] ?? 0
    )
  }

  /** @param {HTMLInputElement} one @param {HTMLInputElement} other */
  #between(one, other) {
    const boxes = this.boxes
    const [first, last] = [boxes.indexOf(one), boxes.indexOf(other)].sort((a, b) => a - b)
    return boxes.slice(first, (last ?? 0) + 1)
  }

  /** @param {HTMLInputElement[]} boxes @param {boolean} isChosen */
  #set(boxes, isChosen) {
    for (const box of boxes) box.checked = isChosen
    this.#show()
  }

  #show() {
    const chosen = this.form.querySelectorAll("input[name=photo]:checked").length
    if (this.count) this.count.textContent = `${chosen} chosen`
  }
}

/** @param {EventTarget | null} target @returns {HTMLInputElement | null} */
const boxOf = (target) =>
  target instanceof HTMLInputElement && target.name === "photo" && target.type === "checkbox"
    ? target
    : null

function start() {
  for (const form of document.querySelectorAll("form[data-choosing]:not([data-is-choosing])")) {
    form.setAttribute("data-is-choosing", "")
    new Choosing(/** @type {HTMLFormElement} */ (form))
  }
}

start()
// The sheet is fetched again when photographs have arrived.
document.addEventListener("htmx:afterSettle", start)
