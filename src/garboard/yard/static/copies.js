/**
 * A second copy of what is captured here, in another storage of the browser than the database, until the survey is taken
 * off the device.
 *
 * Because a browser that is ended in the midst of a write leaves the log of its database with half a record, writes on
 * behind it the next time, and the time after that finds the log spoilt and begins an empty database without a word
 * (LevelDB under Chromium's IndexedDB; tests/browser/test_yard.py does it).
 */

/** @typedef {{ store: string, key: string, survey: string, held: any }} Copy `held` is a blob, or what was copied as JSON */

const NAME = "second copies"
const ROOT = "/yard/copies"

/** @type {Promise<Cache> | undefined} */
let opened

const cache = () => {
  opened ??= caches.open(NAME)
  return opened
}

/** @param {string} store @param {string} key @param {string} survey */
const address = (store, key, survey) =>
  `${ROOT}?${new URLSearchParams({ store, key, survey }).toString()}`

/**
 * The first copy counts: where there is no room for a second, the work goes on.
 *
 * @param {string} store @param {string} key @param {string} survey @param {any} record as JSON, or a blob as it is
 */
export async function copy(store, key, survey, record) {
  try {
    const body = record instanceof Blob ? record : JSON.stringify(record)
    await (await cache()).put(address(store, key, survey), new Response(body))
  } catch {
    opened = undefined
  }
}

/** @param {string} store @param {string} key @param {string} survey */
export async function drop(store, key, survey) {
  try {
    await (await cache()).delete(address(store, key, survey))
  } catch {
    // It goes when the survey is taken off.
    opened = undefined
  }
}

/** @param {string} sha256 @param {string} survey @returns {Promise<Blob | undefined>} */
export async function fileAt(sha256, survey) {
  return (await (await cache()).match(address("files", sha256, survey)))?.blob()
}

/** All that belongs to a survey; its settings bear its id in their names. @param {string} survey */
export async function dropOf(survey) {
  const held = await cache()
  const requests = (await held.keys()).filter((each) => each.url.includes(survey))
  await Promise.all(requests.map((each) => held.delete(each)))
}

/** @returns {Promise<Copy[]>} every copy that can be read */
export async function all() {
  const held = await cache()
  const found = await Promise.allSettled((await held.keys()).map((each) => read(held, each)))
  return found.flatMap((each) => (each.status === "fulfilled" ? each.value : []))
}

/** @param {Cache} from @param {Request} request @returns {Promise<Copy[]>} */
async function read(from, request) {
  const response = await from.match(request)
  if (!response) return []
  const { searchParams } = new URL(request.url)
  const [store = "", key = "", survey = ""] = ["store", "key", "survey"].map(
    (each) => searchParams.get(each) ?? "",
  )
  const held = store === "files" ? await response.blob() : await response.json()
  return [{ store, key, survey, held }]
}
