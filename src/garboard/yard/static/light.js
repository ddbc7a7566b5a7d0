/** Three lights and two hands: as the device has it, sun, dark bilge; buttons for the right thumb or the left. */

const KINDS = ["light", "hand"]

export function begin() {
  for (const kind of KINDS) {
    document.documentElement.dataset[kind] = localStorage.getItem(kind) ?? ""
  }
}

/** @param {"light" | "hand"} kind @param {string} chosen */
export function choose(kind, chosen) {
  localStorage.setItem(kind, chosen)
  document.documentElement.dataset[kind] = chosen
}

/** @param {"light" | "hand"} kind */
export const chosen = (kind) => localStorage.getItem(kind) ?? ""
