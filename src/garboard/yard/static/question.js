/** What must be answered before something is done: a dialog with big answers or a few words, closed by Escape and by leaving the page as well. */

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
  return answered(dialog)
}

/**
 * The words that were typed, on one line; nothing where the dialog was left.
 *
 * @param {string} question @param {string} words those there are
 * @returns {Promise<string | undefined>}
 */
export async function worded(question, words) {
  const dialog = /** @type {HTMLDialogElement} */ (one(copy("question", { question }), "dialog"))
  const field = /** @type {HTMLTextAreaElement} */ (
    made("textarea", { rows: "2", "aria-labelledby": "question-asked" })
  )
  field.value = words
  one(dialog, "form").append(
    field,
    made("button", { value: "keep" }, "Keep the words"),
    made("button", { value: "", class: "second" }, "No, go back"),
  )
  return (await answered(dialog)) ? field.value.trim().replace(/\s+/g, " ") : undefined
}

/** @param {HTMLDialogElement} dialog @returns {Promise<string>} the value of the button that closed it */
function answered(dialog) {
  document.body.append(dialog)
  dialog.showModal()
  // What was asked on one page is not answered on another.
  const left = () => dialog.close("")
  addEventListener("hashchange", left)
  return new Promise((resolve) =>
    dialog.addEventListener("close", () => {
      removeEventListener("hashchange", left)
      dialog.remove()
      resolve(dialog.returnValue)
    }),
  )
}
