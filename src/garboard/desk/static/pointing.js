/**
 * Drawings that can be pointed at. A click or a touch becomes a point of the sheet in millimetres; it is either shown
 * (`data-points-to` is asked for what lies there) or sent with the form around the drawing, whose fields x and y it
 * fills. What lies under the point is worked out where the drawing was made. Points that come while one is on its way
 * are sent after it, so that none is lost.
 */

/** @type {DOMPoint[]} */
const waiting = []
// From the sending of the form until the one that takes its place is ready, which is a moment after it is shown.
let isBusy = false

/** @param {MouseEvent} event */
function pointed(event) {
  const drawing = event.target instanceof Element ? event.target.closest(".pointable svg") : null
  const holder = drawing?.closest(".pointable")
  if (!(drawing instanceof SVGSVGElement) || !(holder instanceof HTMLElement)) return
  const seen = drawing.getScreenCTM()
  if (!seen) return
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(seen.inverse())
  const { pointsTo, target } = holder.dataset
  if (pointsTo) show(pointsTo, target ?? "", at)
  else send(at)
}

/**
 * @param {string} address
 * @param {string} target
 * @param {DOMPoint} at
 */
function show(address, target, at) {
  const values = { x: at.x.toFixed(2), y: at.y.toFixed(2) }
  // @ts-expect-error - htmx is loaded beside this
  const shown = window.htmx.ajax("GET", address, { target, swap: "innerHTML", values })
  shown.then(() => document.querySelector(target)?.scrollIntoView({ block: "nearest" }))
}

/** @param {DOMPoint} at */
function send(at) {
  const form = document.querySelector("form:has(.pointable)")
  if (!(form instanceof HTMLFormElement)) return
  if (isBusy) {
    waiting.push(at)
    return
  }
  fill(form, at.x.toFixed(2), at.y.toFixed(2))
  form.requestSubmit()
}

/**
 * @param {HTMLFormElement} form
 * @param {string} x
 * @param {string} y
 */
function fill(form, x, y) {
  for (const [name, value] of [
    ["x", x],
    ["y", y],
  ]) {
    const field = form.elements.namedItem(name ?? "")
    if (field instanceof HTMLInputElement) field.value = value ?? ""
  }
}

document.addEventListener("click", pointed)
document.addEventListener("htmx:beforeRequest", (event) => {
  if (event.target instanceof HTMLFormElement) isBusy = true
})
document.addEventListener("htmx:afterSettle", (event) => {
  if (!(event.target instanceof HTMLFormElement)) return
  isBusy = false
  const next = waiting.shift()
  if (next) send(next)
})
for (const failed of ["htmx:sendError", "htmx:responseError"]) {
  document.addEventListener(failed, (event) => {
    if (!(event.target instanceof HTMLFormElement)) return
    isBusy = false
    waiting.length = 0
    fill(event.target, "", "")
  })
}

export {}
