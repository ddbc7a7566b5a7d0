/**
 * The views by the first word of the address; each fills the page, and may give what ends it. Any other is home.
 *
 * Where the page is opened, home or the walk, is read with it; the other views when they are first wanted, or as soon
 * as the page can be used.
 */

import { home } from "/yard/home.js"
import { walk } from "/yard/walk.js"

/** @typedef {(main: HTMLElement, of: string[]) => Promise<{ leave?: () => void } | void> | { leave?: () => void } | void} View */

/** @type {Record<string, () => View | Promise<View>>} */
const VIEWS = {
  alone: async () => (await import("/yard/alone.js")).alone,
  asked: async () => (await import("/yard/asked.js")).asked,
  camera: async () => (await import("/yard/camera.js")).camera,
  instruments: async () => (await import("/yard/instruments.js")).instruments,
  pad: async () => (await import("/yard/pad.js")).pad,
  part: async () => (await import("/yard/part.js")).part,
  red: async () => (await import("/yard/red.js")).red,
  strikes: async () => (await import("/yard/strikes.js")).strikes,
  tonight: async () => (await import("/yard/tonight.js")).tonight,
  visit: async () => (await import("/yard/visit.js")).visit,
  walk: () => walk,
}

/** @param {string} name @returns {View | Promise<View>} */
export const viewOf = (name) => VIEWS[name]?.() ?? home

/** All of them, so that none is waited for; one that cannot be read now is asked for again when it is wanted. */
export const readAll = () => Promise.allSettled(Object.values(VIEWS).map((each) => each()))
