// Runs the core in the browser's WebAssembly Python: fold, schedule, methods, judgement, drawings.
// Arguments: the folder of our source, the folder with the pure-Python wheels' packages, a notebook of JSON lines.
import { readFileSync } from "node:fs"
import { loadPyodide } from "pyodide"

const [source, packages, notebook] = process.argv.slice(2)
const python = await loadPyodide()
python.FS.mkdirTree("/source")
python.FS.mkdirTree("/packages/rfc8785")
python.mountNodeFS("/source", source)
python.mountNodeFS("/packages/rfc8785", `${packages}/rfc8785`)
python.globals.set("notebook", readFileSync(notebook, "utf8"))
const answer = python.runPython(`
import json, sys
sys.path[:0] = ["/source", "/packages"]
from garboard.drawings.hull import hull_views
from garboard.judgement.gaps import gaps
from garboard.judgement.states import called_parts
from garboard.methods.library import results_of
from garboard.notebook.entry import read_lines
from garboard.notebook.fold import fold

entries, problems = read_lines(notebook, "notebook")
survey = fold(entries)
results = results_of(survey)
json.dumps({
    "problems": len(problems),
    "digest": survey.digest,
    "called": len(called_parts(survey)),
    "results": [[r.method, r.verdict, None if r.value is None else round(r.value, 9)] for r in results],
    "gaps": [gap.id for gap in gaps(survey, results)],
    "views": [view.title for view in hull_views(survey.boat)],
})
`)
process.stdout.write(answer)
