/** What was begun on a part and not kept yet: held on this device touch by touch, so that no call or fall loses it. */

import { set, setting } from "/yard/store.js"
import { survey } from "/yard/survey.js"

/** @type {{ of: string, parts: Record<string, Record<string, any>> }} */
let held = { of: "", parts: {} }

/** By the key of a part and the name of a form, what is in it. @returns {Promise<Record<string, Record<string, any>>>} */
export async function begun() {
  if (held.of !== survey.id) {
    held = { of: survey.id, parts: (await setting(name())) ?? {} }
  }
  return held.parts
}

/**
 * Hold what a form has in it now; nothing, once it is kept or emptied.
 *
 * @param {string} key @param {string} form @param {Record<string, string | string[]>} [value]
 */
export async function hold(key, form, value = {}) {
  const parts = await begun()
  const forms = { ...parts[key] }
  if (Object.values(value).some((each) => each.length)) forms[form] = value
  else delete forms[form]
  if (Object.keys(forms).length) parts[key] = forms
  else delete parts[key]
  await set(name(), parts)
}

const name = () => `begun ${survey.id}`
