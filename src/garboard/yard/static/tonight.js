/** What is told by telephone tonight: one page, provisional, made on this device, and the record that it was told. */

import { dayOf, hourOf } from "/yard/clock.js"
import { core } from "/yard/core.js"
import { copy, made, one } from "/yard/dom.js"
import { offered } from "/yard/people.js"
import { survey } from "/yard/survey.js"
import { singly } from "/yard/touch.js"

/** @param {HTMLElement} main */
export function tonight(main) {
  /** @type {any} */
  let list
  main.append(
    copy(
      "tonight",
      {},
      { share, copy: toClipboard, print: () => print(), ...singly("that it was told", { told }) },
    ),
  )
  const field = (/** @type {string} */ name) =>
    /** @type {HTMLInputElement} */ (one(main, `[name=${name}]`))
  const said = (/** @type {string} */ words) => {
    one(main, "[data-done]").textContent = words
  }
  one(main, "[data-share]").toggleAttribute("hidden", !navigator.share)
  const draw = async () => {
    if (core.state !== "ready") {
      one(main, "[data-made]").textContent =
        core.state === "failed"
          ? "The calculations could not be started here, so no list is made. Read it from the walk: what is amiss is marked there."
          : "The list is made as soon as the calculations have started."
      return
    }
    try {
      list = await core.ask("tonight", { survey: survey.id })
      show(main, list)
    } catch (problem) {
      one(main, "[data-made]").textContent = /** @type {Error} */ (problem).message
    }
  }
  draw()
  logged(main)
  const changed = () => logged(main)
  survey.addEventListener("planned", draw)
  survey.addEventListener("changed", changed)
  return {
    leave() {
      survey.removeEventListener("planned", draw)
      survey.removeEventListener("changed", changed)
    },
  }

  async function share() {
    try {
      await navigator.share({ title: list.title, text: list.words })
      said("Handed on. Write down below whom you told.")
    } catch {
      said("Not handed on.")
    }
  }

  async function toClipboard() {
    try {
      await navigator.clipboard.writeText(list.words)
      said("Copied. Write down below whom you told.")
    } catch {
      said("This browser does not let it be copied: choose the words with a long touch.")
    }
  }

  async function told() {
    const whom = field("whom").value.trim()
    if (!whom) return said("Say who was told first.")
    const how = field("how").value
    const words = `Told provisionally ${how}.\n\n${list.words}`
    try {
      await survey.keep("arrangement", { what: "follow-up", words, with_whom: whom })
      field("whom").value = ""
      said(`Saved on this device: ${whom} was told ${how}, in the words above.`)
      return true
    } catch {
      said("Not saved.")
    }
  }
}

/** @param {HTMLElement} main @param {any} list */
function show(main, { title, note, issued, sections }) {
  one(main, "[data-list]").replaceChildren(
    made("h2", {}, title),
    made("p", { class: "said" }, note),
    ...(issued ? [made("p", { class: "said" }, issued)] : []),
    ...sections.flatMap((/** @type {any} */ { heading, lines }) => [
      made("h3", {}, heading),
      made("ul", {}, ...lines.map((/** @type {string} */ each) => made("li", {}, each))),
    ]),
  )
  one(main, "[data-made]").textContent = ""
  for (const each of main.querySelectorAll("[data-if-made]")) each.removeAttribute("hidden")
}

/** Whom it was told to so far. @param {HTMLElement} main */
function logged(main) {
  const told = survey
    .standing("arrangement")
    .filter(({ body }) => body.what === "follow-up" && body.words.startsWith("Told provisionally"))
  one(main, "[data-names]").replaceChildren(...offered())
  one(main, "[data-told]").replaceChildren(
    ...told.map(({ at, body }) =>
      made(
        "li",
        { class: "row" },
        `${body.with_whom}, ${dayOf(at)} at ${hourOf(at)}. ${body.words.split("\n")[0]}`,
      ),
    ),
  )
}
