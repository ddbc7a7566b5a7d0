/** Photographs there were before, in small, fetched at the desk and put by to be laid over the camera's picture. */

import { asked, sync } from "/yard/sync.js"

/** @typedef {{ part: string, number: string, caption: string, taken: string, address: string }} Earlier */

const nameOf = (/** @type {string} */ survey) => `photographs ${survey}`

/** Nothing of a survey stays here. @param {string} survey */
export const forget = (survey) => caches.delete(nameOf(survey))

/** From now on, those of a survey are put by whenever something of it arrived. */
export function begin() {
  sync.addEventListener("arrived", (event) => putBy(/** @type {CustomEvent} */ (event).detail))
}

/** @param {string} survey @param {string} part @returns {Promise<Earlier[]>} those of the part that were put by */
export async function earlier(survey, part) {
  const cache = await caches.open(nameOf(survey))
  const listed = await cache.match(list(survey))
  const { photographs = [] } = listed ? await listed.json() : {}
  const here = photographs.filter((/** @type {Earlier} */ each) => each.part === part)
  const held = await Promise.all(
    here.map((/** @type {Earlier} */ each) => cache.match(each.address)),
  )
  return here.filter((/** @type {Earlier} */ _, /** @type {number} */ at) => held[at])
}

/** @param {Earlier} photo @returns {Promise<Blob | undefined>} */
export async function pictureOf({ address }) {
  const found = await caches.match(address)
  return found?.blob()
}

/** @param {string} survey */
async function putBy(survey) {
  const cache = await caches.open(nameOf(survey))
  try {
    const found = await asked(list(survey))
    for (const { address } of found.photographs) {
      if (!(await cache.match(address))) await cache.add(address)
    }
    await cache.put(list(survey), Response.json(found))
  } catch {
    // Out of reach, or no room: what is here stays, and the rest is fetched the next time.
  }
}

/** @param {string} survey */
const list = (survey) => `/api/earlier/${survey}`
