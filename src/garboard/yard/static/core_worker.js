/** Python in a worker of its own, behind one message port: a name and JSON in, JSON or words of a problem out. */

import { loadPyodide } from "/yard/python/pyodide.mjs"

/** @type {Promise<any>} */
const bridge = (async () => {
  const python = await loadPyodide({ indexURL: "/yard/python/" })
  const packed = await (await fetch("/yard/core.zip")).arrayBuffer()
  python.unpackArchive(packed, "zip", { extractDir: "/core" })
  python.runPython("import sys; sys.path.insert(0, '/core')")
  return python.pyimport("garboard.yard.bridge")
})()

bridge.then(
  () => postMessage({ state: "ready" }),
  () => postMessage({ state: "failed" }),
)

addEventListener("message", async ({ data: { number, name, given } }) => {
  try {
    const answer = JSON.parse((await bridge).answer(name, JSON.stringify(given)))
    postMessage({ number, ...answer })
  } catch {
    // A mistake of our own, or no memory left: whoever asked goes on without.
    postMessage({ number, problem: "This could not be worked out on this device." })
  }
})
