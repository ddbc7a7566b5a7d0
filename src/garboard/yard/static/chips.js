/** Choices as big buttons that stay pressed. */

import { copy, made, one } from "/yard/dom.js"

/**
 * @param {string} legend
 * @param {[string, string][]} options values and words
 * @param {{ chosen?: string[], isSingle?: boolean, isOwed?: boolean, changed?: () => void }} [about] `isOwed` where one
 *   always stays chosen
 */
export function chips(
  legend,
  options,
  { chosen = [], isSingle = false, isOwed = false, changed } = {},
) {
  const field = /** @type {HTMLElement} */ (one(copy("choice", { legend }), "fieldset"))
  const pressed = new Set(chosen)
  const buttons = options.map(([value, words]) => {
    const button = made("button", { type: "button", class: "second", "data-value": value }, words)
    button.addEventListener("click", () => {
      const isOn = pressed.has(value)
      if (isOwed && isOn) return
      if (isSingle || isOwed) pressed.clear()
      if (isOn) pressed.delete(value)
      else pressed.add(value)
      show()
      changed?.()
    })
    return button
  })
  const show = () => {
    for (const each of buttons) {
      each.setAttribute("aria-pressed", String(pressed.has(each.dataset.value ?? "")))
    }
  }
  field.append(...buttons)
  show()
  return {
    field,
    /** In the order in which they are offered. */
    chosen: () => options.map(([value]) => value).filter((value) => pressed.has(value)),
    /** @param {string[]} values */
    choose(values) {
      pressed.clear()
      for (const each of values) pressed.add(each)
      show()
    },
  }
}
