/** What a page says first is brought before the reader: what was refused takes the focus, what was kept stays in sight. */

const refused = document.querySelector("main[data-refused]")
const first = refused?.querySelector("[data-mend]") ?? refused?.querySelector("[role='alert']")
if (first instanceof HTMLElement) {
  first.tabIndex = -1
  first.focus()
}

// The words that something was kept go with the page once the reader goes on.
const note = document.querySelector(".note")
if (note) {
  const lay = () => note.classList.add("read")
  for (const each of ["pointerdown", "keydown"]) addEventListener(each, lay, { once: true })
}
