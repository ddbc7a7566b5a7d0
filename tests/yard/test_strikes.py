import json
from base64 import b64encode
from typing import Any

import numpy as np
import pytest
from build_strikes import area, found_at, page
from recorded import wav
from struck import Synthesis, dull, hollow, recorded, sound

from garboard.yard.bridge import answer


def struck(make: Synthesis, seed: int, above_noise_db: float = 30) -> str:
    chance = np.random.default_rng(seed)
    return b64encode(wav(recorded(make(chance), chance, above_noise_db))).decode()


REFERENCES = [struck(sound, seed) for seed in range(8)]


def suggested(
    strike: str, references: list[str] = REFERENCES, *, unprocessed: bool = True
) -> dict[str, Any]:
    given = {"sound": strike, "references": references, "unprocessed": unprocessed}
    value: dict[str, Any] = json.loads(answer("strike", json.dumps(given)))["value"]
    return value


@pytest.mark.parametrize(
    ("make", "heard"), [(sound, "as reference"), (hollow, "tonal"), (dull, "dull")]
)
def test_a_strike_is_suggested_with_how_far_to_rely_on_it(make: Synthesis, heard: str) -> None:
    found = suggested(struck(make, 21))

    assert found["heard"] == heard
    assert "Note and distance agree" in found["confidence"]
    assert found["why"] == ""
    assert "not a verdict" in found["caution"]


def test_five_references_are_said_to_be_few() -> None:
    found = suggested(struck(hollow, 21), REFERENCES[:5])

    assert found["heard"] == "tonal"
    assert "Only 5 references; better 8." in found["confidence"]


@pytest.mark.parametrize(
    ("strike", "references", "unprocessed", "why"),
    [
        (struck(sound, 21), REFERENCES[:4], True, "4 reference strikes can be read; 5 or more"),
        (struck(sound, 21), REFERENCES, False, "processed by the device"),
        (struck(sound, 21, 8), REFERENCES, True, "less than 15 dB above the noise"),
        (b64encode(wav(np.ones(9000))).decode(), REFERENCES, True, "too loud and clipped"),
        (b64encode(b"no sound").decode(), REFERENCES, True, "no uncompressed WAV file"),
    ],
)
def test_a_strike_that_cannot_be_judged_says_why(
    strike: str, references: list[str], unprocessed: bool, why: str
) -> None:
    found = suggested(strike, references, unprocessed=unprocessed)

    assert found["heard"] == "not judged"
    assert why in found["why"]
    assert found["confidence"] == ""


def test_the_figures_of_the_docs_are_reckoned_as_their_page_says() -> None:
    near, far, mixed = [1.0, 2.0, 3.0, 4.0], [5.0, 6.0], [0.0, 5.0]

    assert (area(near, far), area(near, near), area(near, mixed)) == (1.0, 0.5, 0.5)
    assert (found_at(0.25, near, far), found_at(0.25, near, mixed)) == (1.0, 0.5)


def test_the_page_of_figures_is_written_for_any_number_of_strikes() -> None:
    written = page(strikes=2, seed=3)

    assert written.count("hollow disc |") == 4
    assert "No strike here was recorded on a boat." in written
