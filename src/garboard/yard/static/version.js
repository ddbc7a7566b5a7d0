/** The page's own files: put by for a day with no signal, and a newer version taken over only between surveys. */

const STATE = "yard-state"

/** @type {Promise<ServiceWorkerRegistration | undefined> | undefined} */
let registered

export function begin() {
  if (!navigator.serviceWorker) return
  registered = navigator.serviceWorker
    .register("/yard/sw.js", { scope: "/yard/" })
    .catch(() => undefined)
  navigator.serviceWorker.addEventListener("message", ({ data }) => {
    if (data === "taken over") location.reload()
  })
}

/** Whether a newer version is put by and waits. */
export async function isNewer() {
  return Boolean((await registered) && (await (await caches.open(STATE)).match("/yard/newer")))
}

/** Whether every file is put by, so that the page opens with no signal. */
export const isPutBy = async () =>
  Boolean(
    navigator.serviceWorker && (await navigator.serviceWorker.getRegistration("/yard/"))?.active,
  )

/** Only between surveys: every page of this browser is loaded anew. */
export async function takeOver() {
  const registration = await registered
  const newest = registration?.waiting ?? registration?.active
  newest?.postMessage("take over")
}
