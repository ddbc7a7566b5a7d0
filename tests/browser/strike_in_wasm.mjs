// Asks the bridge in the browser's WebAssembly Python about one strike beside its references, and takes the time.
// Arguments: the folder of our source, the folder with the pure-Python wheels' packages, a JSON file of WAV files.
import { readFileSync } from "node:fs"
import { loadPyodide } from "pyodide"

const [source, packages, sounds] = process.argv.slice(2)
const python = await loadPyodide()
python.FS.mkdirTree("/source")
python.FS.mkdirTree("/packages/rfc8785")
python.mountNodeFS("/source", source)
python.mountNodeFS("/packages/rfc8785", `${packages}/rfc8785`)
python.runPython(`import sys; sys.path[:0] = ["/source", "/packages"]`)
const bridge = python.pyimport("garboard.yard.bridge")
const { references, strikes } = JSON.parse(readFileSync(sounds, "utf8"))
const answers = strikes.map((sound) => {
  const given = JSON.stringify({ sound, references, unprocessed: true })
  const began = performance.now()
  const { value, problem } = JSON.parse(bridge.answer("strike", given))
  return { ...value, problem, took_ms: performance.now() - began }
})
process.stdout.write(JSON.stringify(answers))
