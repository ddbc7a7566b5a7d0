/** One tick for all places, and one for all of a stretch; each follows when one of them is taken away. */

const ticks = [...document.querySelectorAll("[data-all]")].flatMap((label) => {
  const all = label.querySelector("input")
  const boxes = /** @type {HTMLInputElement[]} */ ([
    ...(label.parentElement?.querySelectorAll("input[name=places]") ?? []),
  ])
  return all && label instanceof HTMLElement ? [{ label, all, boxes }] : []
})

function follow() {
  for (const { all, boxes } of ticks) {
    const ticked = boxes.filter((each) => each.checked).length
    all.checked = ticked === boxes.length
    all.indeterminate = ticked > 0 && ticked < boxes.length
  }
}

for (const { label, all, boxes } of ticks) {
  all.addEventListener("change", () => {
    for (const each of boxes) each.checked = all.checked
  })
  label.hidden = false
}
document.addEventListener("change", follow)
follow()
