/**
 * The notebook on this device, in IndexedDB. What is kept here is on the disk when the promise resolves: that of the
 * transaction, asked to be durable, never that of a request.
 */

import * as copies from "/yard/copies.js"

/**
 * @typedef {{ id: string, survey: string, at: string, author: string, device: string, kind: string, body: any,
 *   replaces: string[], why: string | null }} Entry
 * @typedef {{ id: string, survey: string, entry: Entry, waits?: 1, refused?: string[], isRefused?: 1 }} Held
 * @typedef {{ sha256: string, survey: string, size: number, type: string, waits?: 1 }} HeldFile
 * @typedef {{ sha256: string, survey: string, blob: Blob }} Original the bytes of a file, by their SHA-256
 * @typedef {{ id: string, boat: string, client: string, purpose: string, cursor: number, plan: any,
 *   isWhole?: boolean }} HeldSurvey
 */

const NAME = "garboard"

/** What the browser had lost and was put back from the second copies when the database was opened. */
export const putBack = { entries: 0, files: 0 }

/** @type {Promise<IDBDatabase> | undefined} */
let opened
/** @type {IDBDatabase | undefined} the one opened last */
let latest

/** @returns {Promise<IDBDatabase>} */
function database() {
  // A browser that finds its database spoilt clears it away, and may refuse the once while it does.
  opened ??= open()
    .catch(open)
    .catch((problem) => {
      opened = undefined
      throw problem
    })
  return opened
}

/** @returns {Promise<IDBDatabase>} */
async function open() {
  const isThere = (await indexedDB.databases?.())?.some(({ name }) => name === NAME)
  const lost = isThere ? [] : await copies.all()
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, 1)
    request.onupgradeneeded = () => {
      make(request.result)
      restore(lost, /** @type {IDBTransaction} */ (request.transaction))
    }
    request.onerror = () => reject(request.error)
    request.onsuccess = () => {
      const found = request.result
      latest = found
      // The next act opens it again; of one that another has followed there is nothing to let go.
      const letGo = () => {
        if (found === latest) opened = undefined
      }
      // Closed by the browser, as when storage is cleared.
      found.onclose = letGo
      // Another tab runs a newer version.
      found.onversionchange = () => {
        found.close()
        letGo()
      }
      resolve(found)
    }
  })
}

/** @param {IDBDatabase} made */
function make(made) {
  const entries = made.createObjectStore("entries", { keyPath: "id" })
  entries.createIndex("survey", "survey")
  entries.createIndex("waits", "waits")
  entries.createIndex("isRefused", "isRefused")
  const files = made.createObjectStore("files", { keyPath: "sha256" })
  files.createIndex("survey", "survey")
  files.createIndex("waits", "waits")
  // Not as Blobs: WebKit, in a private window, neither takes one nor refuses it.
  made.createObjectStore("bytes")
  made.createObjectStore("surveys", { keyPath: "id" })
  made.createObjectStore("settings")
}

/**
 * Put back what there are second copies of, with the making of the database or not at all.
 *
 * @param {copies.Copy[]} lost @param {IDBTransaction} act
 */
function restore(lost, act) {
  // What was captured here goes over what was brought, and waits for the desk, which knows what it has.
  lost.sort((one, other) => Number(other.store === "surveys") - Number(one.store === "surveys"))
  for (const { store, key, survey, held } of lost) {
    if (store === "settings") act.objectStore(store).put(held.value, key)
    // Its bytes stay where they are.
    else if (store === "files")
      act.objectStore(store).put(waitingFile({ sha256: key, survey, blob: held }))
    else {
      const { entries = [], ...record } = held
      act.objectStore(store).put(record)
      for (const each of entries) act.objectStore("entries").put(each)
    }
    if (store === "entries" || store === "files") putBack[store]++
  }
}

/**
 * One transaction; gives what the work gave once all of it is on the disk.
 *
 * @template T
 * @param {string[]} stores
 * @param {IDBTransactionMode} mode
 * @param {(act: IDBTransaction) => T} work
 * @returns {Promise<T>}
 */
async function within(stores, mode, work) {
  const act = (await database()).transaction(stores, mode, { durability: "strict" })
  /** @type {Promise<void>} */
  const done = new Promise((resolve, reject) => {
    /** @type {DOMException | null} */
    let refused = null
    act.onerror = ({ target }) => {
      refused = /** @type {IDBRequest} */ (target).error
    }
    // WebKit completes a transaction whose request was refused, if it was asked to commit before it knew.
    act.oncomplete = () => (refused ? reject(refused) : resolve())
    act.onabort = () => reject(act.error)
  })
  const given = work(act)
  await done
  return given
}

/** @param {string} store @param {(of: IDBObjectStore) => IDBRequest} ask @returns {Promise<any>} */
async function asked(store, ask) {
  return (await within([store], "readonly", (act) => ask(act.objectStore(store)))).result
}

/**
 * Keep entries, and files that belong to them, all or nothing.
 *
 * @param {Entry[]} entries
 * @param {{ sha256: string, blob: Blob }[]} [files]
 */
export async function keep(entries, files = []) {
  const survey = entries[0]?.survey ?? ""
  const originals = files.map((each) => ({ ...each, survey }))
  const bytes = await Promise.all(files.map(({ blob }) => blob.arrayBuffer()))
  await twice({ entries: entries.map(waitingEntry), originals }, (act) => {
    for (const each of entries) act.objectStore("entries").add(waitingEntry(each))
    for (const [at, each] of originals.entries()) {
      act.objectStore("files").put(waitingFile(each))
      act.objectStore("bytes").put(bytes[at], each.sha256)
    }
  })
}

/** As it waits for the desk. @param {Entry} entry @returns {Held} */
const waitingEntry = (entry) => ({ id: entry.id, survey: entry.survey, entry, waits: 1 })

/** As it waits for the desk. @param {Original} original @returns {HeldFile} */
const waitingFile = ({ sha256, survey, blob }) => ({
  sha256,
  survey,
  size: blob.size,
  type: blob.type,
  waits: 1,
})

/**
 * @typedef {{ entries: Held[], originals: Original[], surveys?: HeldSurvey[] }} Several
 *
 * Written, and copied meanwhile; what could not be written leaves no copy.
 *
 * @param {Several} held
 * @param {(act: IDBTransaction) => void} work
 */
async function twice({ entries, originals, surveys = [] }, work) {
  const stores = ["entries", "files", "bytes", ...(surveys.length ? ["surveys"] : [])]
  const copying = Promise.all([
    ...surveys.map((each) => copies.copy("surveys", each.id, each.id, each)),
    ...entries.map((each) => copies.copy("entries", each.id, each.survey, each)),
    ...originals.map((each) => copies.copy("files", each.sha256, each.survey, each.blob)),
  ])
  try {
    await within(stores, "readwrite", work)
  } catch (problem) {
    await copying
    // What was here before keeps its copy.
    const all = { entries, originals, surveys }
    const mere = await unknownOf(all).catch(() => all)
    for (const { id } of mere.surveys) await copies.drop("surveys", id, id)
    for (const { id, survey } of mere.entries) await copies.drop("entries", id, survey)
    for (const { sha256, survey } of mere.originals) await copies.drop("files", sha256, survey)
    throw problem
  }
  await copying
}

/** Those of several that are not here. @param {Required<Several>} several @returns {Promise<Required<Several>>} */
async function unknownOf({ entries, originals, surveys }) {
  const stores = ["entries", "files", "surveys"]
  const asked = await within(stores, "readonly", (act) =>
    stores.map((each) => act.objectStore(each).getAllKeys()),
  )
  const isUnknown = (/** @type {number} */ of) => {
    const held = new Set(asked[of]?.result)
    return (/** @type {any} */ each) => !held.has(each.id ?? each.sha256)
  }
  return {
    entries: entries.filter(isUnknown(0)),
    originals: originals.filter(isUnknown(1)),
    surveys: surveys.filter(isUnknown(2)),
  }
}

/** @param {string} survey @returns {Promise<Held[]>} in the order of their ids */
export const entriesOf = (survey) => asked("entries", (of) => of.index("survey").getAll(survey))

/** @param {string[]} ids @returns {Promise<(Held | undefined)[]>} each with whether it waits or was refused */
export async function heldOf(ids) {
  const found = await within(["entries"], "readonly", (act) =>
    ids.map((id) => act.objectStore("entries").get(id)),
  )
  return found.map((each) => each.result)
}

/** @param {number} [most] @returns {Promise<Held[]>} those not yet safe on the desk */
export const waitingEntries = (most) => asked("entries", (of) => of.index("waits").getAll(1, most))

/** @returns {Promise<string[]>} the SHA-256 of files not yet safe on the desk */
export const waitingFiles = () => asked("files", (of) => of.index("waits").getAllKeys(1))

/** @param {string} survey @returns {Promise<HeldFile[]>} its photographs and sounds that are here */
export const filesOf = (survey) => asked("files", (of) => of.index("survey").getAll(survey))

/** @param {string} sha256 @returns {Promise<Original | undefined>} */
export async function fileAt(sha256) {
  const { file, bytes } = await within(["files", "bytes"], "readonly", (act) => ({
    file: act.objectStore("files").get(sha256),
    bytes: act.objectStore("bytes").get(sha256),
  }))
  if (!file.result) return
  const { survey, type } = file.result
  // Of what was put back the second copy is the only one.
  const blob = bytes.result
    ? new Blob([bytes.result], { type })
    : await copies.fileAt(sha256, survey)
  return blob && { sha256, survey, blob }
}

/** How many entries and files are on this device alone, and how many entries the desk refused. */
export async function waiting() {
  const { entries, files, refused } = await within(["entries", "files"], "readonly", (act) => ({
    entries: act.objectStore("entries").index("waits").count(1),
    files: act.objectStore("files").index("waits").count(1),
    refused: act.objectStore("entries").index("isRefused").count(1),
  }))
  return { entries: entries.result, files: files.result, refused: refused.result }
}

/** @returns {Promise<Held[]>} what the desk refused, with its words */
export const refusedEntries = () => asked("entries", (of) => of.index("isRefused").getAll(1))

/** @returns {Promise<string | undefined>} the id that sorts last */
export async function latestId() {
  const request = await within(["entries"], "readonly", (act) =>
    act.objectStore("entries").openKeyCursor(null, "prev"),
  )
  return request.result ? String(request.result.key) : undefined
}

/** The ids of a survey's entries and the SHA-256 of its files. @param {string} id */
export async function contents(id) {
  const { entries, files } = await within(["entries", "files"], "readonly", (act) => ({
    entries: act.objectStore("entries").index("survey").getAllKeys(id),
    files: act.objectStore("files").index("survey").getAllKeys(id),
  }))
  return { entries: entries.result.map(String), files: files.result.map(String) }
}

/**
 * The desk holds these, or refused them in words; what it refused stays here.
 *
 * @param {string[]} held
 * @param {{ id: string, problems: string[] }[]} refused
 */
export async function answered(held, refused) {
  await within(["entries"], "readwrite", (act) => {
    const entries = act.objectStore("entries")
    for (const id of held) {
      change(entries, id, ({ waits: _, refused: __, isRefused: ___, ...rest }) => rest)
    }
    for (const { id, problems } of refused) {
      change(entries, id, ({ waits: _, ...rest }) => ({ ...rest, refused: problems, isRefused: 1 }))
    }
  })
}

/** @param {string} sha256 */
export async function fileIsSafe(sha256) {
  let survey = ""
  const bytes = await within(["files", "bytes"], "readwrite", (act) => {
    change(act.objectStore("files"), sha256, ({ waits: _, ...rest }) => {
      survey = rest.survey
      return rest
    })
    return act.objectStore("bytes").getKey(sha256)
  })
  // Of what is large no copy is held for longer than it is needed.
  if (bytes.result) await copies.drop("files", sha256, survey)
}

/**
 * What the desk holds of a survey, up to a cursor; an entry that was waiting is safe then. Of a survey that was taken
 * off in the meantime nothing is kept.
 *
 * @param {string} survey
 * @param {Entry[]} entries
 * @param {number} cursor
 * @param {boolean} isWhole this is all the desk holds of it
 * @returns {Promise<number>} how many of them were not here before
 */
export async function received(survey, entries, cursor, isWhole) {
  let unknown = 0
  let isWholeNow = false
  await within(["entries", "surveys"], "readwrite", (act) => {
    const store = act.objectStore("entries")
    change(act.objectStore("surveys"), survey, (held) => {
      for (const entry of entries) {
        const request = store.getKey(entry.id)
        request.onsuccess = () => {
          if (request.result === undefined) unknown++
          store.put({ id: entry.id, survey, entry })
        }
      }
      isWholeNow = isWhole && !held.isWhole
      return { ...held, cursor, isWhole: held.isWhole || isWhole }
    })
  })
  if (isWholeNow) await copyWhole(survey)
  return unknown
}

/** A survey as it was brought, with its plan; what comes after that the desk has. @param {string} id */
async function copyWhole(id) {
  const [held, entries] = await Promise.all([surveyAt(id), entriesOf(id)])
  await copies.copy("surveys", id, id, { ...held, entries })
}

/**
 * Entries and files that another device gave: those not here yet are kept, all or nothing, and go to the desk as if they
 * were made here.
 *
 * @param {Entry[]} entries
 * @param {Original[]} originals
 * @param {HeldSurvey[]} surveys those of theirs that are on this device from now on
 * @returns {Promise<{ entries: number, files: number }>} how many of them were not here before
 */
export async function take(entries, originals, surveys) {
  const unknown = { entries: 0, files: 0, surveys: 0 }
  try {
    // One after the other, so that gigabytes never lie in memory; what nothing names yet is nothing yet.
    for (const { sha256, blob } of originals) {
      const bytes = await blob.arrayBuffer()
      await within(["bytes"], "readwrite", (act) => act.objectStore("bytes").put(bytes, sha256))
    }
    const news = await unknownOf({ entries: entries.map(waitingEntry), originals, surveys })
    await twice(news, (act) => {
      // It may have come by way of the desk since.
      const put = (
        /** @type {"entries" | "files" | "surveys"} */ name,
        /** @type {Held | HeldFile | HeldSurvey} */ each,
      ) => {
        const store = act.objectStore(name)
        const request = store.getKey("id" in each ? each.id : each.sha256)
        request.onsuccess = () => {
          if (request.result !== undefined) return
          unknown[name]++
          store.put(each)
        }
      }
      for (const each of news.surveys) put("surveys", each)
      for (const each of news.entries) put("entries", each)
      for (const each of news.originals) put("files", waitingFile(each))
    })
  } catch (problem) {
    await dropUnnamed()
    throw problem
  }
  return unknown
}

/** Bytes that no file names, as a taking in cut short leaves them. */
async function dropUnnamed() {
  await within(["files", "bytes"], "readwrite", (act) => {
    const bytes = act.objectStore("bytes")
    const named = act.objectStore("files").getAllKeys()
    const held = bytes.getAllKeys()
    held.onsuccess = () => {
      const names = new Set(named.result)
      for (const key of held.result) if (!names.has(key)) bytes.delete(key)
    }
  })
}

/** @returns {Promise<HeldSurvey[]>} */
export const surveys = () => asked("surveys", (of) => of.getAll())

/** @param {string} id @returns {Promise<HeldSurvey | undefined>} */
export const surveyAt = (id) => asked("surveys", (of) => of.get(id))

/** @param {HeldSurvey} survey */
export async function keepSurvey(survey) {
  await within(["surveys"], "readwrite", (act) => act.objectStore("surveys").put(survey))
  await copies.copy("surveys", survey.id, survey.id, survey)
}

/** @param {string} id @param {any} plan */
export async function keepPlan(id, plan) {
  await within(["surveys"], "readwrite", (act) => {
    change(act.objectStore("surveys"), id, (held) => ({ ...held, plan, boat: plan.boat }))
  })
}

/**
 * Take a survey off this device, with all that belongs to it, but for what is on this device alone.
 *
 * @param {string} id
 * @param {{ entries: string[], files: string[] }} safe what of it the desk said it holds
 * @returns {Promise<number>} how many entries and files stayed because they are nowhere else; then all of it stayed
 */
export async function forget(id, safe) {
  const known = new Set([...safe.entries, ...safe.files])
  let alone = 0
  await within(["entries", "files", "surveys", "settings"], "readwrite", (act) => {
    const asked = ["entries", "files"].map((name) =>
      act.objectStore(name).index("survey").getAllKeys(id),
    )
    const names = act.objectStore("settings").getAllKeys()
    names.onsuccess = () => {
      // A memo that was cut short lies in pieces until its part is opened again.
      const unmade = names.result.filter((each) => String(each).startsWith(`memo ${id} `))
      const entriesAndFiles = asked.flatMap((each) => each.result)
      alone = unmade.length + entriesAndFiles.filter((key) => !known.has(String(key))).length
      if (alone) return
      for (const key of asked[0]?.result ?? []) act.objectStore("entries").delete(key)
      for (const key of asked[1]?.result ?? []) act.objectStore("files").delete(key)
      for (const name of names.result) {
        if (String(name).includes(id)) act.objectStore("settings").delete(name)
      }
      act.objectStore("surveys").delete(id)
    }
  })
  if (!alone) await Promise.all([dropUnnamed(), copies.dropOf(id)])
  return alone
}

/** @param {string} name @returns {Promise<any>} */
export const setting = (name) => asked("settings", (of) => of.get(name))

/** @param {string} name @param {any} value */
export async function set(name, value) {
  await within(["settings"], "readwrite", (act) => {
    act.objectStore("settings").put(value, name)
    // A page that is left the moment after does not undo it.
    act.commit()
  })
  // The pieces of a memo are bytes, and many; the whole of it is copied with its entry.
  if (!name.startsWith("memo ")) await copies.copy("settings", name, "", { value })
}

/** Settings whose names begin alike, in the order of their names. @param {string} start @returns {Promise<any[]>} */
export const settingsFrom = (start) => asked("settings", (of) => of.getAll(named(start)))

/** @param {string} start */
export async function dropFrom(start) {
  await within(["settings"], "readwrite", (act) => act.objectStore("settings").delete(named(start)))
}

/** @param {string} start */
const named = (start) => IDBKeyRange.bound(start, `${start}\uffff`)

/** @param {IDBObjectStore} store @param {string} key @param {(held: any) => any} made */
function change(store, key, made) {
  const request = store.get(key)
  request.onsuccess = () => {
    if (request.result) store.put(made(request.result))
  }
}

// Opened while the rest of the page is still being read; what is wrong with it is said by the first act.
database().catch(() => {})
