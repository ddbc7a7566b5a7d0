/**
 * A handful of keys. What has `data-key` is chosen by that key while nothing is being typed; in a form Ctrl and
 * Enter press its first button, and Esc leaves the field. They can be switched off, and that is remembered.
 */

const SWITCH = "single keys"

/** @returns {HTMLInputElement | null} */
const onOff = () => document.querySelector("[data-keys-on]")

const isOn = () => localStorage.getItem(SWITCH) !== "off"

/** @param {EventTarget | null} target */
const isTyped = (target) =>
  target instanceof HTMLInputElement ||
  target instanceof HTMLTextAreaElement ||
  target instanceof HTMLSelectElement

/** @param {HTMLElement} chosen */
function choose(chosen) {
  const folded = chosen.closest("details")
  if (!folded || chosen.tagName !== "SUMMARY") return chosen.click()
  folded.open = true
  const field = folded.querySelector("form :is(input, select, textarea)")
  if (field instanceof HTMLElement) field.focus()
}

/** @param {KeyboardEvent} event */
function pressed(event) {
  const target = event.target
  if (event.key === "Escape" && isTyped(target)) return /** @type {HTMLElement} */ (target).blur()
  if (event.key === "Enter" && (event.ctrlKey || event.metaKey) && target instanceof Element) {
    const button = target.closest("form")?.querySelector("button")
    if (button) {
      event.preventDefault()
      button.click()
    }
    return
  }
  if (!isOn() || isTyped(target) || event.ctrlKey || event.metaKey || event.altKey) return
  const chosen = document.querySelector(`[data-key="${CSS.escape(event.key)}"]`)
  if (chosen instanceof HTMLElement) {
    event.preventDefault()
    choose(chosen)
  }
}

const box = onOff()
if (box) {
  box.checked = isOn()
  box.addEventListener("change", () => localStorage.setItem(SWITCH, box.checked ? "on" : "off"))
  box.closest("aside")?.removeAttribute("hidden")
}
document.addEventListener("keydown", pressed)
