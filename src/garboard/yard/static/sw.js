/**
 * The page with no signal: every file of it is put by whole, under one version. A newer version is put by beside the
 * one in use, and taken over only when the page says so, between surveys; closing the page does not.
 */

importScripts("/yard/files.js")

/** @typedef {ServiceWorkerGlobalScope & { YARD: { version: string, files: string[] } }} Scope */

const scope = /** @type {Scope} */ (/** @type {unknown} */ (self))
const { version, files } = scope.YARD
const shared = new Set(files)
const STATE = "yard-state"
const IN_USE = "/yard/in-use"

/** @type {Promise<Cache> | undefined} */
let inUse

scope.addEventListener("install", (event) => event.waitUntil(putBy()))
scope.addEventListener("activate", (event) => event.waitUntil(scope.clients.claim()))
scope.addEventListener("message", ({ data }) => data === "take over" && takeOver())
scope.addEventListener("fetch", (event) => {
  const { pathname } = new URL(event.request.url)
  const isOurs = pathname.startsWith("/yard/") || shared.has(pathname)
  if (event.request.method === "GET" && isOurs) event.respondWith(held(event.request, pathname))
})

async function putBy() {
  const cache = await caches.open(`yard-${version}`)
  await cache.addAll(files.map((each) => new Request(each, { cache: "reload" })))
  // The first version is in use from the start; of two devices' versions none takes over by itself.
  const state = await caches.open(STATE)
  if (await state.match(IN_USE)) await state.put("/yard/newer", new Response(version))
  else await state.put(IN_USE, new Response(version))
}

async function takeOver() {
  await scope.skipWaiting()
  const state = await caches.open(STATE)
  await state.put(IN_USE, new Response(version))
  await state.delete("/yard/newer")
  inUse = undefined
  const names = await caches.keys()
  const old = names.filter(
    (each) => each.startsWith("yard-") && ![STATE, `yard-${version}`].includes(each),
  )
  await Promise.all(old.map((each) => caches.delete(each)))
  for (const each of await scope.clients.matchAll()) each.postMessage("taken over")
}

/** @param {Request} request @param {string} path */
async function held(request, path) {
  inUse ??= filesInUse()
  return (await (await inUse).match(path)) ?? fetch(request)
}

async function filesInUse() {
  const held = await (await caches.open(STATE)).match(IN_USE)
  return caches.open(`yard-${held ? await held.text() : version}`)
}
