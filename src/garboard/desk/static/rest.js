/** One tick for all places of a stretch; it follows when one of them is taken away. */

for (const label of document.querySelectorAll("[data-all]")) {
  const all = label.querySelector("input")
  const boxes = /** @type {HTMLInputElement[]} */ ([
    ...(label.parentElement?.querySelectorAll("input[name=places]") ?? []),
  ])
  if (!all || !(label instanceof HTMLElement)) continue
  const follow = () => {
    const ticked = boxes.filter((each) => each.checked).length
    all.checked = ticked === boxes.length
    all.indeterminate = ticked > 0 && ticked < boxes.length
  }
  all.addEventListener("change", () => {
    for (const each of boxes) each.checked = all.checked
  })
  for (const each of boxes) each.addEventListener("change", follow)
  label.hidden = false
  follow()
}
