"""A survey on the desk that is being written up: a boat with a defect, a photograph, and one finding."""

import hashlib
import io

from cast import DAY, QUILLET, SURVEY, entry
from PIL import Image

from garboard.desk.context import Desk
from garboard.notebook.body import (
    Conditions,
    ConflictCheck,
    Consent,
    Cost,
    Examination,
    Finding,
    Instruction,
    Observation,
    Person,
    Photo,
    Place,
    Recommendation,
    Summary,
    Terms,
)
from garboard.notebook.fold import Survey
from garboard.store.jobs import Job

BASE = f"/s/{SURVEY}"
JOINT = Place(part="keel-joint", side="centre")
STEM = Place(part="stem")


def picture() -> bytes:
    held = io.BytesIO()
    Image.new("RGB", (400, 300), "#88aacc").save(held, "JPEG")
    return held.getvalue()


PICTURE = picture()

INSTRUCTION = entry(
    1,
    Instruction(
        client="Tamsin Orrowby",
        purpose="re-inspection",
        asked_parts=("keel-joint", "stem"),
        questions=("Is the keel safe?", "May I launch her?"),
        report_number="Q-1",
    ),
)
BOAT = entry(2, QUILLET)
CRACK = entry(
    3, Observation(place=JOINT, seen="a crack along the joint", defect=True, length_mm=40)
)
SCRATCH = entry(4, Observation(place=STEM, seen="a scratch in the gelcoat", defect=True))
PHOTO = entry(
    5,
    Photo(
        number=1,
        file="1.jpg",
        sha256=hashlib.sha256(PICTURE).hexdigest(),
        media_type="image/jpeg",
        caption="The joint, seen from port",
        place=JOINT,
    ),
)
FINDING = entry(
    10,
    Finding(
        name="keel-joint",
        title="Keel joint cracked",
        seen="A crack of 40 mm runs along the joint.",
        why="Water reaches the bolts.",
        urgency="before launching",
        because="the bolts cannot be seen",
        how_known=("seen",),
        places=(JOINT,),
        evidence=(CRACK.id,),
        photos=(PHOTO.id,),
    ),
)
ADVICE = entry(
    11,
    Recommendation(
        finding=FINDING.id,
        what="Open the joint.",
        by_whom="yard",
        by_when="before launching",
        verified="seen open by the surveyor",
    ),
)
COST = entry(
    12,
    Cost(
        recommendation=ADVICE.id,
        low_minor=80_000,
        high_minor=150_000,
        currency="EUR",
        basis="two days of a yard",
        on=DAY.date(),
    ),
)
# What a report needs beside its findings.
REST = (
    entry(20, Person(name="Ines Caldervane", role="surveyor")),
    entry(21, Terms(version="1", accepted_by="Tamsin Orrowby", accepted_on=DAY.date(), how="by letter")),
    entry(22, ConflictCheck(result="none", looked_at="own records")),
    entry(23, Conditions(lying="ashore", began=DAY)),
    entry(24, Consent(act="attend", given=True, by="the owner", on=DAY.date())),
    entry(25, Consent(act="photograph", given=True, by="the owner", on=DAY.date())),
    entry(26, Examination(place=JOINT, extent="whole", how=("look",), outcome="defect")),
    entry(27, Examination(place=STEM, extent="whole", how=("look",), outcome="sound")),
    entry(28, Summary(overall="She is a sound boat.", answers=("Not until it is opened.", "No."))),
)  # fmt: skip


def put(desk: Desk) -> Survey:
    """The survey with its finding, and a second defect that no finding speaks of."""
    desk.surveys.add([INSTRUCTION, BOAT, CRACK, SCRATCH, PHOTO, FINDING, ADVICE, COST])
    desk.blobs.put([PICTURE])
    return now(desk)


def now(desk: Desk) -> Survey:
    """The survey as it stands."""
    found = desk.surveys.get(SURVEY)
    assert found is not None
    return found


def last_job(desk: Desk) -> Job:
    """The job begun last."""
    from garboard.store import jobs

    with desk.database.reading() as connection:
        return jobs.recent(connection, survey=SURVEY)[0]
