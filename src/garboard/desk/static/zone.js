/** Where nobody has chosen a time zone yet, the one of this browser is chosen beforehand. */

const unchosen = document.querySelector("#zone option[data-proposed]")
const proposed = Intl.DateTimeFormat().resolvedOptions().timeZone
const select = unchosen?.closest("select")
const found = [...(select?.options ?? [])].find((each) => each.value === proposed)
if (select && found) {
  found.selected = true
  document.querySelector("#zone-proposed")?.removeAttribute("hidden")
}
