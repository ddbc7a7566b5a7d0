/**
 * Crop and marks drawn on a picture. The numbers of the form are what counts: drawing writes them, typing them draws,
 * and the desk shows what a printed copy would look like.
 */

const SVG = "http://www.w3.org/2000/svg"
const LEAST = 0.01
const NEAR_PX = 24
const PREVIEW_AFTER_MS = 300

/** @typedef {{ x: number, y: number }} Point shares of the picture */
/** @typedef {{ sort: string, from: Point, to: Point, fields: HTMLInputElement[] }} Shape fields: from x, from y, to x, to y */

class PhotoEditor {
  /** @type {{ start: Point, sort: string, fields: HTMLInputElement[] | null } | null} */
  #drawing = null
  #waiting = 0

  /** @param {HTMLFormElement} form */
  constructor(form) {
    this.form = form
    /** @type {SVGSVGElement} */
    this.over = one(form, "[data-over]")
    /** @type {HTMLElement} */
    this.list = one(form, "[data-marks]")
    /** @type {HTMLImageElement} */
    this.shown = one(form, "[data-shown]")
    /** @type {HTMLElement} */
    this.said = one(form, "[data-said]")
    for (const each of form.querySelectorAll("[hidden]")) each.removeAttribute("hidden")
    for (const type of ["pointerdown", "pointermove", "pointerup", "pointercancel"])
      this.over.addEventListener(type, this)
    form.addEventListener("input", () => this.#changed())
    form.addEventListener("click", (event) => this.#clicked(event))
    this.shown.addEventListener("error", () => this.#explain())
    this.shown.addEventListener("load", () => {
      this.said.textContent = ""
    })
    this.#draw()
  }

  /** @param {Event} event */
  handleEvent(event) {
    const pointer = /** @type {PointerEvent} */ (event)
    if (!pointer.isPrimary) return
    const at = this.#at(pointer)
    if (pointer.type === "pointerdown") this.#begin(pointer, at)
    else if (!this.#drawing) return
    else if (pointer.type === "pointercancel") this.#drawing = null
    else this.#to(at, pointer.type === "pointerup")
  }

  /** @param {PointerEvent} pointer @param {Point} at */
  #begin(pointer, at) {
    this.over.setPointerCapture(pointer.pointerId)
    const end = this.#endNear(at)
    this.#drawing = end ?? { start: at, sort: this.#tool, fields: null }
  }

  /** @param {Point} at @param {boolean} isLast */
  #to(at, isLast) {
    const drawing = this.#drawing
    if (!drawing) return
    const isMeant = Math.hypot(at.x - drawing.start.x, at.y - drawing.start.y) > LEAST
    if (!drawing.fields && isMeant) drawing.fields = this.#fieldsFor(drawing.sort, drawing.start)
    if (drawing.fields) {
      write(drawing.fields.slice(-2), at)
      if (drawing.sort === "crop") ordered(drawing.fields, drawing.start, at)
      this.#draw()
    }
    if (isLast) {
      this.#drawing = null
      this.#changed()
    }
  }

  /** Where a new shape is written. @param {string} sort @param {Point} start @returns {HTMLInputElement[]} */
  #fieldsFor(sort, start) {
    if (sort === "crop") return this.#cropFields
    const row = this.#emptyRow()
    one(row, "select").value = sort
    const fields = numbers(row)
    write(fields.slice(0, 2), start)
    return fields
  }

  /** @returns {HTMLElement} */
  #emptyRow() {
    const rows = this.#rows
    const empty = rows.find((row) => !one(row, "select").value)
    if (empty) return empty
    const made = /** @type {HTMLElement} */ (
      /** @type {HTMLElement} */ (rows[rows.length - 1]).cloneNode(true)
    )
    for (const field of fieldsIn(made)) {
      const name = field.name.replace(/\d+/, String(rows.length))
      one(made, `label[for="${field.id}"]`).htmlFor = name
      Object.assign(field, { name, id: name, value: "" })
    }
    this.list.append(made)
    return made
  }

  /** @param {Event} event */
  #clicked(event) {
    const button = event.target instanceof Element ? event.target.closest("button") : null
    if (button?.type !== "button") return
    if (button.dataset.add) this.#add(button.dataset.add)
    else if (button.hasAttribute("data-whole"))
      for (const field of this.#cropFields) field.value = ""
    else if (button.hasAttribute("data-remove"))
      this.#remove(/** @type {HTMLElement} */ (button.closest("[data-mark]")))
    this.#changed()
  }

  /** A mark in the middle, to be moved by its numbers. @param {string} sort */
  #add(sort) {
    const fields = this.#fieldsFor(sort, { x: 0.4, y: 0.4 })
    write(fields.slice(-2), { x: 0.6, y: 0.6 })
    fields[0]?.focus()
  }

  /** @param {HTMLElement} row */
  #remove(row) {
    for (const field of fieldsIn(row)) field.value = ""
    row.previousElementSibling?.querySelector("select")?.focus()
  }

  #changed() {
    this.#draw()
    clearTimeout(this.#waiting)
    this.#waiting = setTimeout(() => {
      this.shown.src = this.#preview
    }, PREVIEW_AFTER_MS)
  }

  async #explain() {
    const response = await fetch(this.#preview)
    if (!response.ok) this.said.textContent = await response.text()
  }

  get #preview() {
    const asked = new URLSearchParams()
    for (const [name, value] of new FormData(this.form)) {
      if (/^(crop|marks)\./.test(name) && value) asked.append(name, String(value))
    }
    return `${this.form.dataset.preview}?${asked}`
  }

  get #tool() {
    return one(this.form, "[name=tool]:checked").value
  }

  /** @returns {HTMLElement[]} */
  get #rows() {
    return Array.from(this.list.querySelectorAll("[data-mark]"))
  }

  /** @returns {HTMLInputElement[]} */
  get #cropFields() {
    return ["left", "top", "right", "bottom"].map((edge) => one(this.form, `[name="crop.${edge}"]`))
  }

  /** @returns {Shape[]} what is written out in full */
  get #shapes() {
    const marks = this.#rows.map((row) => shapeOf(one(row, "select").value, numbers(row)))
    return [...marks, shapeOf("crop", this.#cropFields)].filter((shape) => shape !== null)
  }

  /** @param {PointerEvent} pointer @returns {Point} */
  #at(pointer) {
    const box = this.over.getBoundingClientRect()
    return {
      x: share((pointer.clientX - box.left) / box.width),
      y: share((pointer.clientY - box.top) / box.height),
    }
  }

  /** The end of a shape that a pointer takes hold of, so that the other one stays. @param {Point} at */
  #endNear(at) {
    const { width, height } = this.over.getBoundingClientRect()
    /** @param {Point} end */
    const isNear = (end) => Math.hypot((end.x - at.x) * width, (end.y - at.y) * height) < NEAR_PX
    for (const { sort, from, to, fields } of this.#shapes) {
      if (isNear(to)) return { start: from, sort, fields }
      if (isNear(from))
        return { start: to, sort, fields: sort === "crop" ? fields : turned(fields) }
    }
    return null
  }

  #draw() {
    const { width, height } = this.over.viewBox.baseVal
    this.over.replaceChildren(...this.#shapes.flatMap((shape) => drawn(shape, width, height)))
  }
}

/** @param {Element} within @param {string} selector @returns {any} */
const one = (within, selector) => within.querySelector(selector)

/** @param {Element} row @returns {HTMLInputElement[]} its mark and its numbers */
const fieldsIn = (row) => Array.from(row.querySelectorAll("select, input"))

/** @param {Element} row @returns {HTMLInputElement[]} */
const numbers = (row) => Array.from(row.querySelectorAll("input"))

/** @param {number} value */
const share = (value) => Math.round(1000 * Math.min(1, Math.max(0, value))) / 1000

/** @param {HTMLInputElement[]} fields across and down @param {Point} at */
function write(fields, at) {
  const [across, down] = fields
  if (across) across.value = String(at.x)
  if (down) down.value = String(at.y)
}

/** A crop is written left, top, right, bottom. @param {HTMLInputElement[]} fields @param {Point} one @param {Point} other */
function ordered(fields, one, other) {
  write(fields.slice(0, 2), { x: Math.min(one.x, other.x), y: Math.min(one.y, other.y) })
  write(fields.slice(2), { x: Math.max(one.x, other.x), y: Math.max(one.y, other.y) })
}

/** To move the first end of a mark, its fields are taken the other way round. @param {HTMLInputElement[]} fields */
const turned = (fields) => [...fields.slice(2), ...fields.slice(0, 2)]

/** @param {string} sort @param {HTMLInputElement[]} fields @returns {Shape | null} */
function shapeOf(sort, fields) {
  if (!sort || fields.some((field) => field.value === "")) return null
  const [x, y, x2, y2] = fields.map((field) => Number(field.value))
  return { sort, from: { x: x ?? 0, y: y ?? 0 }, to: { x: x2 ?? 0, y: y2 ?? 0 }, fields }
}

/** @param {Shape} shape @param {number} width @param {number} height @returns {SVGElement[]} */
function drawn({ sort, from, to }, width, height) {
  const [x, y, x2, y2] = [from.x * width, from.y * height, to.x * width, to.y * height]
  const left = Math.min(x, x2),
    top = Math.min(y, y2),
    broad = Math.abs(x2 - x),
    tall = Math.abs(y2 - y)
  const handles = [
    [x, y],
    [x2, y2],
  ].map(([cx, cy]) => element("circle", { class: "handle", cx, cy, r: width / 90 }))
  if (sort === "crop") {
    const d = `M0 0H${width}V${height}H0ZM${left} ${top}v${tall}h${broad}v${-tall}Z`
    return [element("path", { class: "out", d }), ...handles]
  }
  if (sort === "blur")
    return [
      element("rect", { class: "blur", x: left, y: top, width: broad, height: tall }),
      ...handles,
    ]
  if (sort === "circle") {
    const ring = { cx: left + broad / 2, cy: top + tall / 2, rx: broad / 2, ry: tall / 2 }
    return [
      element("ellipse", { class: "edge", ...ring }),
      element("ellipse", { class: "line", ...ring }),
      ...handles,
    ]
  }
  const d = `M${x} ${y}L${x2} ${y2}${head(x, y, x2, y2, width / 30)}`
  return [
    element("path", { class: "edge", d }),
    element("path", { class: "line", d }),
    handles[0],
    handles[1],
  ].filter((each) => each !== undefined)
}

/** The two strokes of an arrow's point. @param {number} x @param {number} y @param {number} x2 @param {number} y2 @param {number} size */
function head(x, y, x2, y2, size) {
  const angle = Math.atan2(y2 - y, x2 - x)
  return [-0.4, 0.4]
    .map(
      (turn) => `M${x2} ${y2}l${-size * Math.cos(angle + turn)} ${-size * Math.sin(angle + turn)}`,
    )
    .join("")
}

/** @param {string} name @param {Record<string, string | number | undefined>} attributes @returns {SVGElement} */
function element(name, attributes) {
  const made = document.createElementNS(SVG, name)
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, String(value))
  return made
}

for (const form of document.querySelectorAll("form[data-editor]")) {
  new PhotoEditor(/** @type {HTMLFormElement} */ (form))
}
