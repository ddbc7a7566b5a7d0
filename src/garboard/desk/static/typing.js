/** The checklist typed back: a line is kept when it is left, and the server answers it as it stands. */

const form = document.querySelector("form[data-typing]")

/** @param {EventTarget | null} target */
const lineOf = (target) => (target instanceof Element ? target.closest("[data-line]") : null)

/** @param {Element} line */
const cellsOf = (line) => /** @type {HTMLInputElement[]} */ ([...line.querySelectorAll("input")])

/** @param {string} words */
function say(words) {
  const said = form?.querySelector("[data-said]")
  if (said) said.textContent = words
}

/**
 * Send a line with its fields, and put the answer in its place.
 * @param {Element} line
 * @param {FormData} data
 */
async function send(line, data) {
  if (line.hasAttribute("aria-busy")) return
  line.setAttribute("aria-busy", "true")
  // What is typed now would be lost with the line that the answer takes the place of.
  for (const each of cellsOf(line)) each.readOnly = true
  try {
    const answer = await fetch(/** @type {HTMLElement} */ (line).dataset.line ?? "", {
      method: "POST",
      body: data,
    })
    if (!answer.ok && answer.status !== 422) throw new Error(await answer.text())
    const made = document.createElement("template")
    made.innerHTML = await answer.text()
    const now = made.content.firstElementChild
    if (now) line.replaceWith(now)
    const name = now?.querySelector(".what a")?.textContent ?? ""
    if (answer.ok) say(now?.hasAttribute("data-open") ? `Taken back: ${name}` : `Kept: ${name}`)
    else say(`To be mended: ${name}. ${now?.querySelector(".wrong")?.textContent ?? ""}`)
  } catch {
    line.removeAttribute("aria-busy")
    for (const each of cellsOf(line)) each.readOnly = false
    say("The desk did not answer; the line is not kept yet. Leave it once more to try again.")
  }
}

/** @param {Element} line */
function keep(line) {
  const cells = cellsOf(line)
  if (!cells.some((each) => each.value.trim())) return
  const data = new FormData()
  for (const each of cells) data.append(each.name, each.value)
  send(line, data)
}

/**
 * Go to a line that is open, in the same column or the first.
 * @param {Element} from
 * @param {number} step
 * @param {number} column
 */
function go(from, step, column) {
  const lines = [...(form?.querySelectorAll("[data-line][data-open]") ?? [])]
  const next = lines[lines.indexOf(from) + step]
  if (!next) return
  const folded = next.closest("details")
  if (folded) folded.open = true
  cellsOf(next)[column]?.focus()
}

/** @param {KeyboardEvent} event */
function pressed(event) {
  const line = lineOf(event.target)
  if (!line || !(event.target instanceof HTMLInputElement)) return
  const column = cellsOf(line).indexOf(event.target)
  if (event.key === "Enter") {
    event.preventDefault()
    const lines = [...(form?.querySelectorAll("[data-line][data-open]") ?? [])]
    if (lines.at(-1) === line) keep(line)
    else go(line, 1, 0)
  } else if (event.key === "ArrowDown") go(line, 1, column)
  else if (event.key === "ArrowUp") go(line, -1, column)
}

/** @param {FocusEvent} event */
function left(event) {
  const line = lineOf(event.target)
  if (line && !(event.relatedTarget instanceof Node && line.contains(event.relatedTarget)))
    keep(line)
}

/** @param {Event} event */
function clicked(event) {
  const button = event.target instanceof Element ? event.target.closest("button.undo") : null
  const line = lineOf(event.target)
  if (!(button instanceof HTMLButtonElement) || !line) return
  event.preventDefault()
  const data = new FormData()
  data.append(button.name, button.value)
  send(line, data)
}

if (form instanceof HTMLFormElement) {
  form.addEventListener("keydown", pressed)
  form.addEventListener("focusout", left)
  form.addEventListener("click", clicked)
  document.querySelector("[data-scripted]")?.removeAttribute("hidden")
}
