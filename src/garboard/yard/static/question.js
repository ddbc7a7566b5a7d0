/** A question that must be answered before something is done: a dialog with big answers, closed by Escape as well. */

import { copy, made, one } from "/yard/dom.js"

/**
 * The answer that was touched; empty where none was.
 *
 * @param {string} question
 * @param {string} detail
 * @param {[string, string][]} answers values and words, the one that does most first
 * @returns {Promise<string>}
 */
export function choose(question, detail, answers) {
  const dialog = /** @type {HTMLDialogElement} */ (
    one(copy("question", { question, detail }), "dialog")
  )
  const buttons = answers.map(([value, words], at) =>
    made("button", { value, ...(at && { class: "second" }) }, words),
  )
  one(dialog, "form").append(
    ...buttons,
    made("button", { value: "", class: "second" }, "No, go back"),
  )
  document.body.append(dialog)
  dialog.showModal()
  return new Promise((resolve) =>
    dialog.addEventListener("close", () => {
      dialog.remove()
      resolve(dialog.returnValue)
    }),
  )
}
