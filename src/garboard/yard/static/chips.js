/** Choices as big buttons that stay pressed. */

import { copy, made, one } from "/yard/dom.js"
import { isDouble } from "/yard/touch.js"

/**
 * @param {string} legend
 * @param {[string, string][]} options values and words
 * @param {{ chosen?: string[], isSingle?: boolean, isOwed?: boolean,
 *   changed?: (off?: import("/yard/touch.js").Off) => unknown }} [about] `isOwed` where one always stays chosen; `changed`
 *   is told what a touch took off
 */
export function chips(
  legend,
  options,
  { chosen = [], isSingle = false, isOwed = false, changed } = {},
) {
  const field = /** @type {HTMLElement} */ (one(copy("choice", { legend }), "fieldset"))
  const pressed = new Set(chosen)
  /** How the last touch left each. @type {Map<string, boolean>} */
  const left = new Map()
  const buttons = options.map(([value, words]) => {
    const button = made("button", { type: "button", class: "second", "data-value": value }, words)
    button.addEventListener("click", (event) => {
      const isOn = pressed.has(value)
      const isAsLeft = isOn === (left.get(value) ?? isOn)
      // Where it was set anew since, as after another strike, a touch is no second one.
      if ((isDouble(event, `${legend}: ${words}`) && isAsLeft) || (isOwed && isOn)) return
      left.set(value, !isOn)
      if (isSingle || isOwed) pressed.clear()
      if (isOn) pressed.delete(value)
      else pressed.add(value)
      show()
      changed?.(isOn ? { words, putBack: () => putBack(value) } : undefined)
    })
    return button
  })
  const show = () => {
    for (const each of buttons) {
      each.setAttribute("aria-pressed", String(pressed.has(each.dataset.value ?? "")))
    }
  }
  const putBack = (/** @type {string} */ value) => {
    if (isSingle) pressed.clear()
    pressed.add(value)
    show()
    return changed?.()
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
