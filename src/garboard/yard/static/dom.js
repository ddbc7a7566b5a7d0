/** HTML from the page's templates, with words and acts put in. */

/**
 * A copy of a template: words go in where `data-word` names them (an element whose words are empty or missing is
 * taken out), acts onto the elements that `data-act` names.
 *
 * @param {string} id
 * @param {Record<string, string | number | null | undefined>} [words]
 * @param {Record<string, (event: Event) => void>} [acts]
 * @returns {DocumentFragment}
 */
export function copy(id, words = {}, acts = {}) {
  const template = document.getElementById(id)
  if (!(template instanceof HTMLTemplateElement)) throw new Error(`There is no template ${id}.`)
  const made = /** @type {DocumentFragment} */ (template.content.cloneNode(true))
  for (const each of made.querySelectorAll("[data-word]")) {
    const said = words[/** @type {HTMLElement} */ (each).dataset.word ?? ""]
    if (said === undefined || said === null || said === "") each.remove()
    else each.textContent = String(said)
  }
  for (const each of made.querySelectorAll("[data-act]")) {
    const act = acts[/** @type {HTMLElement} */ (each).dataset.act ?? ""]
    if (act) each.addEventListener(each instanceof HTMLInputElement ? "change" : "click", act)
    else each.remove()
  }
  return made
}

/** @template {Element} T @param {ParentNode} within @param {string} selector @returns {T} */
export const one = (within, selector) => {
  const found = within.querySelector(selector)
  if (!found) throw new Error(`There is no ${selector} here.`)
  return /** @type {T} */ (found)
}

/**
 * An element with words and attributes.
 *
 * @param {string} name
 * @param {Record<string, string>} [attributes]
 * @param {...(Node | string)} inside
 * @returns {HTMLElement}
 */
export function made(name, attributes = {}, ...inside) {
  const element = document.createElement(name)
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value)
  element.append(...inside)
  return element
}

/**
 * Rows drawn anew in place of those shown. The focus stays in the row of the same name, and where that is gone it goes
 * to the heading above.
 *
 * @param {Element} list
 * @param {HTMLElement} heading
 * @param {...(Node | string)} rows each row with a name of its own in data-row
 */
export function redraw(list, heading, ...rows) {
  const focused = list.contains(document.activeElement) ? document.activeElement : null
  const name = focused?.closest("[data-row]")?.getAttribute("data-row")
  list.replaceChildren(...rows)
  if (!focused) return
  const row = list.querySelector(`[data-row="${CSS.escape(name ?? "")}"]`)
  const act = focused.getAttribute("data-act")
  const same = row?.querySelector(act ? `[data-act="${act}"]` : focused.localName)
  heading.setAttribute("tabindex", "-1")
  const to = same instanceof HTMLElement ? same : heading
  to.focus({ preventScroll: true })
}
