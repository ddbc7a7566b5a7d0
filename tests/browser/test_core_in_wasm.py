"""The core gives the same answers in the browser's WebAssembly Python as here."""

import json
import subprocess
from pathlib import Path

import rfc8785
from folder import survey

from garboard.drawings.hull import hull_views
from garboard.judgement.gaps import gaps
from garboard.judgement.states import called_parts
from garboard.methods.library import results_of
from garboard.notebook.entry import lines

ROOT = Path(__file__).parents[2]
BOAT = """
name = "Quillet"
identity_number = "XX-QLT00417C898"
loa_m = 10.20
lwl_m = 8.75
beam_m = 3.35
draught_m = 1.85
displacement_kg = 5200
material = "grp"
keel = "bolted-iron"
rig = "sloop"
"""
READINGS = """# quantity: moisture
# unit: scale
# instrument: meter
part,side,station_m,level_m,as_read,reference
""" + "".join(
    f"bottom-moisture,port,{1 + n / 4},-0.45,{12 + n % 3},{'yes' if n < 12 else ''}\n" for n in range(30)
)  # fmt: skip


def test_the_core_gives_the_same_answers_in_the_browser(tmp_path: Path) -> None:
    here = survey(tmp_path / "q", boat_toml=BOAT, readings__bottom_csv=READINGS)
    notebook = tmp_path / "notebook.jsonl"
    notebook.write_bytes(b"\n".join(lines(here.entries)))

    done = subprocess.run(
        ["node", "tests/browser/core_in_wasm.mjs", ROOT / "src", Path(rfc8785.__file__).parents[1], notebook],
        cwd=ROOT, capture_output=True, text=True, check=False, timeout=300,
    )  # fmt: skip

    assert done.returncode == 0, done.stderr
    results = results_of(here)
    assert here.boat is not None
    assert json.loads(done.stdout) == {
        "problems": 0,
        "digest": here.digest,
        "called": len(called_parts(here)),
        "results": [[r.method, r.verdict, None if r.value is None else round(r.value, 9)] for r in results],
        "gaps": [gap.id for gap in gaps(here, results)],
        "views": [view.title for view in hull_views(here.boat)],
    }  # fmt: skip
