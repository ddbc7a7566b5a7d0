"""The core gives the same answers in the browser's WebAssembly Python as here."""

import json
import subprocess
from base64 import b64encode
from pathlib import Path

import numpy as np
import rfc8785
from folder import survey
from recorded import wav
from struck import KEPT, dull, hollow, recorded, sound

from garboard.drawings.hull import hull_views
from garboard.judgement.gaps import gaps
from garboard.judgement.states import called_parts
from garboard.methods.library import results_of
from garboard.notebook.entry import lines
from garboard.yard.strikes import suggestion

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


def test_a_strike_is_judged_in_the_browser_as_it_is_here(tmp_path: Path) -> None:
    chance = np.random.default_rng(3)
    struck = [wav(recorded(make(chance), chance)[:KEPT]) for make in (*[sound] * 9, dull, hollow)]
    encoded = [b64encode(each).decode() for each in struck]
    given = tmp_path / "sounds.json"
    given.write_text(json.dumps({"references": encoded[:8], "strikes": encoded[8:]}))

    done = subprocess.run(
        ["node", "tests/browser/strike_in_wasm.mjs", ROOT / "src", Path(rfc8785.__file__).parents[1], given],
        cwd=ROOT, capture_output=True, text=True, check=False, timeout=300,
    )  # fmt: skip

    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout)
    here = [suggestion(each, encoded[:8], unprocessed=True) for each in encoded[8:]]
    assert [each["facts"] for each in found] == [each["facts"] for each in here]
    assert [each["heard"] for each in found] == ["as reference", "dull", "tonal"]
    # The first reads the references as well; those after it come while the hammer is lifted again.
    assert max(each["took_ms"] for each in found[1:]) < 1000
