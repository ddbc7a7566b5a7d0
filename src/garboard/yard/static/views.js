/** The views by the first word of the address; each fills the page, and may give what ends it. Any other is home. */

import { alone } from "/yard/alone.js"
import { asked } from "/yard/asked.js"
import { camera } from "/yard/camera.js"
import { instruments } from "/yard/instruments.js"
import { pad } from "/yard/pad.js"
import { part } from "/yard/part.js"
import { red } from "/yard/red.js"
import { strikes } from "/yard/strikes.js"
import { tonight } from "/yard/tonight.js"
import { visit } from "/yard/visit.js"
import { walk } from "/yard/walk.js"

/** @typedef {(main: HTMLElement, of: string[]) => Promise<{ leave?: () => void } | void> | { leave?: () => void } | void} View */

/** @type {Record<string, View>} */
export const VIEWS = {
  alone,
  asked,
  camera,
  instruments,
  pad,
  part,
  red,
  strikes,
  tonight,
  visit,
  walk,
}
