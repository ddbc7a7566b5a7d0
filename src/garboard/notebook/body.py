"""The bodies of entries: one small frozen class a kind, each saying one act of the survey.

`Annotated` carries the physical range of a number; `shape` reads it. Lengths are metres, masses kilograms,
temperatures degrees Celsius, money integer minor units (pence, cents) with an ISO 4217 currency.
A class never computes what a method could; it only holds what was recorded.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from types import MappingProxyType
from typing import Annotated, Any, Literal

_NONE: Mapping[str, int] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Range:
    """The physical range a number must lie in, with its unit in words."""

    low: float
    high: float
    unit: str = ""


Count = Annotated[int, Range(0, 10_000)]
Metres = Annotated[float, Range(0, 200, "m")]
Celsius = Annotated[float, Range(-60, 120, "°C")]
Percent = Annotated[float, Range(0, 100, "%")]
Share = Annotated[float, Range(0, 1)]
Minor = Annotated[int, Range(0, 10**12, "minor units")]

Side = Literal["port", "starboard", "centre"]
Purpose = Literal[
    "buy", "sell", "insure", "lend", "value", "damage", "new", "tonnage", "re-inspection"
]
Material = Literal[
    "grp", "sandwich", "steel", "aluminium", "carvel", "clinker", "strip", "cold-moulded",
    "plywood", "ferro", "coated-fabric",
]  # fmt: skip
Keel = Literal[
    "bolted-iron", "bolted-lead", "encapsulated", "twin", "lifting", "long", "centreboard",
    "bulb-on-foil", "none",
]  # fmt: skip
Rudder = Literal["spade", "part-skeg", "full-skeg", "transom", "keel-hung", "twin"]
Drive = Literal["shaft", "saildrive", "sterndrive", "outboard", "jet", "pod"]
Rig = Literal["none", "sloop", "cutter", "ketch", "yawl", "schooner", "gaff", "unstayed"]
Deck = Literal["grp-sandwich", "grp", "teak-over", "ply", "laid", "metal"]
Construction = Literal[
    "single skin", "cored", "plate", "planked", "laminated", "sheet", "inflatable"
]
Heard = Literal["sound", "dull", "hollow", "not sounded"]
Extent = Literal["whole", "part", "not fitted", "not called for"]
HowKnown = Literal["seen", "measured", "inferred", "told"]
Urgency = Literal[
    "before launching",
    "before the boat next goes to sea",
    "within a stated time",
    "at the next lift-out",
    "keep under watch",
    "for information",
]
Act = Literal[
    "attend", "photograph", "scrape", "probe", "operate", "open up", "sample", "power up", "trial",
    "share the report",
]  # fmt: skip
Settled = Literal[
    "contact", "visit", "fee", "lift or slip", "access", "telephone", "hazards", "weather and tide", "competence",
    "insurance cover", "notice to the insurer", "follow-up",
]  # fmt: skip
Quantity = Literal[
    "moisture", "thickness", "pit depth", "potential", "resistance", "mass", "anode loss",
    "temperature", "voltage", "current", "gap", "play", "hardness", "length", "diameter", "pitch",
    "run-out", "angle", "revolutions", "speed", "pressure", "flow", "area", "time", "frequency",
    "capacity", "concentration", "viscosity", "film thickness",
]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A place on the boat; one without coordinates is a place too.

    `station_m` is metres aft of the stem; `level_m` metres along the skin from the boot-top, down negative.
    """

    part: str
    side: Side | None = None
    number: Annotated[int, Range(1, 999)] | None = None
    station_m: Annotated[float, Range(-5, 150, "m")] | None = None
    level_m: Annotated[float, Range(-20, 30, "m")] | None = None
    words: str = ""


# The instruction and its people


@dataclass(frozen=True, slots=True, kw_only=True)
class Instruction:
    """Who asked for what, for which purpose, and who may rely on the answer.

    `dated` is the date the report bears; without it, it bears the day it is made. How the client is reached is an
    arrangement, which never leaves the notebook; `client_address` says who the client is, as a letter does.
    """

    client: str
    purpose: Purpose
    client_address: str = ""
    payer: str = ""
    may_rely: tuple[str, ...] = ()
    copies: tuple[str, ...] = ()
    questions: tuple[str, ...] = ()
    exclusions: tuple[str, ...] = ()
    specialists: tuple[str, ...] = ()
    visits: tuple[Literal["ashore", "afloat", "trial"], ...] = ("ashore",)
    asked_parts: tuple[str, ...] = ()
    place: str = ""
    report_number: str = ""
    due: date | None = None
    dated: date | None = None
    currency: str = "EUR"
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Somebody who took part, and in which role."""

    name: str
    role: str
    qualification: str = ""
    attended: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """The terms the client accepted: which text, by its hash, when and how."""

    version: str
    accepted_by: str
    accepted_on: date
    how: str
    summary: tuple[str, ...] = ()
    sha256: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Consent:
    """Leave given, or refused, for one kind of act on this boat."""

    act: Act
    given: bool
    by: str
    on: date
    limits: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ConflictCheck:
    """A look for interests that could colour the opinion."""

    result: Literal["none", "disclosed and accepted", "declined"]
    looked_at: str
    accepted_by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrangement:
    """Something settled about the job, as before travelling: what, in which words, with whom.

    `on` is the day it is for; a follow-up with a day is still to come, and one without is done. It is the
    surveyor's own record and never leaves the notebook.
    """

    what: Settled
    words: str
    with_whom: str = ""
    on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What somebody said, never mixed with what was seen or measured."""

    who: str
    said: str
    asked: str = ""
    about: tuple[str, ...] = ()


# The boat


@dataclass(frozen=True, slots=True, kw_only=True)
class Engine:
    """One engine as its plate and the owner describe it."""

    described: str
    power_kw: Annotated[float, Range(0, 5000, "kW")] | None = None
    year: Annotated[int, Range(1850, 2200)] | None = None
    hours: Annotated[float, Range(0, 200_000, "h")] | None = None
    serial: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Boat:
    """The particulars of the boat; None says nobody has stated it yet.

    Dimensions in the sense of ISO 8666: `loa_m` length of hull, `lwl_m` waterline length, `beam_m` beam of
    hull, `draught_m` maximum draught, `canoe_draught_m` depth of the canoe body below the waterline,
    `freeboard_m` mean freeboard. `numbers` counts the parts a boat has several of, by part id.

    `fitted` holds what she has, `fitted_unknown` what nobody could tell of, and so is looked for; what is on neither
    list she has not. With both empty nobody has been asked, unless `fitted_none` says that she has nothing at all.
    """

    name: str
    identity_number: str = ""
    registration: str = ""
    builder: str = ""
    design: str = ""
    year: Annotated[int, Range(1700, 2200)] | None = None
    loa_m: Metres | None = None
    lwl_m: Metres | None = None
    beam_m: Annotated[float, Range(0, 60, "m")] | None = None
    draught_m: Annotated[float, Range(0, 20, "m")] | None = None
    canoe_draught_m: Annotated[float, Range(0, 20, "m")] | None = None
    freeboard_m: Annotated[float, Range(0, 20, "m")] | None = None
    displacement_kg: Annotated[float, Range(0, 5_000_000, "kg")] | None = None
    ballast_kg: Annotated[float, Range(0, 2_000_000, "kg")] | None = None
    sail_area_m2: Annotated[float, Range(0, 5000, "m²")] | None = None
    material: Material | None = None
    construction: Construction | None = None
    chines: Annotated[int, Range(0, 4)] | None = None
    keel: Keel | None = None
    rudder: Rudder | None = None
    drive: Drive | None = None
    rig: Rig | None = None
    mast: Literal["alloy", "carbon", "wood"] | None = None
    mast_step: Literal["deck", "keel"] | None = None
    standing: Literal["wire", "rod", "textile"] | None = None
    fuel: Literal["diesel", "petrol", "electric", "none"] | None = None
    deck: tuple[Deck, ...] = ()
    exhaust: Literal["wet", "dry"] | None = None
    speed: Literal["displacement", "semi-displacement", "planing"] | None = None
    hulls: Annotated[int, Range(1, 3)] | None = None
    engines: tuple[Engine, ...] = ()
    fitted: tuple[str, ...] = ()
    fitted_unknown: tuple[str, ...] = ()
    fitted_none: bool = False
    numbers: Mapping[str, int] = field(default_factory=lambda: _NONE)
    notes: str = ""


# On site


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """The circumstances of the survey, recorded once and again when they change."""

    lying: Literal["ashore", "afloat", "slings", "trailer", "mud"]
    began: datetime
    ended: datetime | None = None
    lifted: datetime | None = None
    washed: bool | None = None
    air_c: Celsius | None = None
    humidity_pct: Percent | None = None
    surface_c: Celsius | None = None
    water_c: Celsius | None = None
    salinity: Annotated[float, Range(0, 50, "practical salinity")] | None = None
    rain_last_day: bool | None = None
    covered: str = ""
    light: str = ""
    antifouling: str = ""
    chocked: str = ""
    power: str = ""
    aboard: str = ""
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument:
    """An instrument in use."""

    name: str
    described: str
    quantity: Quantity
    unit: str
    resolution: Annotated[float, Range(0, 10_000)] | None = None
    uncertainty: Annotated[float, Range(0, 10_000)] | None = None
    scale: str = ""
    reference: str = ""
    calibrated_on: date | None = None
    due: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class InstrumentCheck:
    """A check of an instrument on a known thing, before or after it is read."""

    instrument: str
    on: str
    when: Literal["before", "during", "after"]
    expected: Annotated[float, Range(-100_000, 100_000)] | None = None
    read: Annotated[float, Range(-100_000, 100_000)] | None = None
    passed: bool = True
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Examination:
    """What was done to a part: how far it could be examined, by which methods, with what outcome."""

    place: Place
    extent: Extent
    how: tuple[str, ...] = ()
    share_pct: Percent | None = None
    outcome: Literal["sound", "defect", "doubtful"] | None = None
    found: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Limitation:
    """A called part, a share of it, or a method, that was not reached."""

    place: Place
    not_reached: str
    reasons: tuple[str, ...]
    could_hide: str = ""
    would_lift: str = ""
    how: tuple[str, ...] = ()
    offered: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sounding:
    """What the hammer said at a place."""

    place: Place
    heard: Heard
    hammer: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One number as it was read, its digits kept; `original` is the same quantity as built or as new."""

    place: Place
    as_read: str
    original: str = ""
    to: str = ""
    reference: bool = False
    note: str = ""

    @property
    def value(self) -> float:
        """The reading as a number, in the unit of its set."""
        return float(self.as_read)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingSet:
    """Readings of one quantity with one instrument, on one scale, in one pass.

    `name` tells sets apart; `electrode` names the reference electrode of potentials; `calibration` says
    by which of the user's own calibrations a moisture scale means per cent water, else it is comparative.
    """

    name: str
    quantity: Quantity
    unit: str
    instrument: str
    readings: tuple[Reading, ...]
    scale: str = ""
    mode: str = ""
    electrode: str = ""
    calibration: str = ""
    spacing_m: Annotated[float, Range(0, 50, "m")] | None = None
    through_coating: bool = False
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """Something seen at a place, fact not opinion."""

    place: Place
    seen: str
    defect: bool = False
    length_mm: Annotated[float, Range(0, 200_000, "mm")] | None = None
    width_mm: Annotated[float, Range(0, 50_000, "mm")] | None = None
    depth_mm: Annotated[float, Range(0, 5_000, "mm")] | None = None
    count: Count | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Crop:
    """What of a photograph its copies show: four edges as shares of the upright picture, from its left and top."""

    left: Share
    top: Share
    right: Share
    bottom: Share


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A mark that copies of a photograph bear, at shares of the whole upright picture from its left and top.

    An arrow runs from its tail to its point; a circle, and what is blurred, fill the box between two corners.
    """

    sort: Literal["arrow", "circle", "blur"]
    from_x: Share
    from_y: Share
    to_x: Share
    to_y: Share


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """A photograph, known by the SHA-256 of its untouched bytes; `crop` and `marks` are made on copies alone.

    `cover` asks for it on the title page of the report, where it is `printed`.
    """

    number: Annotated[int, Range(1, 99_999)]
    file: str
    sha256: str
    media_type: str
    caption: str
    place: Place | None = None
    taken: datetime | None = None
    printed: bool = True
    cover: bool = False
    crop: Crop | None = None
    marks: tuple[Mark, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Memo:
    """A spoken note, known by the SHA-256 of its sound, with its words where somebody wrote them down.

    `photo` names the file of the photograph it is about.
    """

    file: str
    sha256: str
    seconds: Annotated[float, Range(0, 86_400, "s")]
    words: str = ""
    place: Place | None = None
    photo: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Recording:
    """The sound of one strike, known by the SHA-256 of its file.

    `reference` marks a strike on structure known to be good; `unprocessed` says that the device's noise
    suppression, echo and gain control were off.
    """

    file: str
    sha256: str
    place: Place
    reference: bool = False
    unprocessed: bool = False
    hammer: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """A private remark; it never leaves the notebook."""

    text: str
    place: Place | None = None


# At the desk


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """Something the reader needs to know, with the ids of the entries it rests on."""

    name: str
    title: str
    seen: str
    why: str
    urgency: Urgency
    because: str
    how_known: tuple[HowKnown, ...]
    places: tuple[Place, ...]
    within: str = ""
    evidence: tuple[str, ...] = ()
    photos: tuple[str, ...] = ()
    phrase: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Recommendation:
    """One act to be done about a finding; `sort` keeps what an insurer would require from maintenance."""

    finding: str
    what: str
    by_whom: str
    by_when: str
    verified: str
    why: str = ""
    caution: str = ""
    sort: Literal["required", "maintenance"] = "required"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """What a recommendation may cost, as a band with its basis and date."""

    recommendation: str
    low_minor: Minor
    high_minor: Minor
    currency: str
    basis: str
    on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparable:
    """Another boat's price, with the adjustments that make it comparable, in minor units."""

    described: str
    price_minor: Minor
    currency: str
    kind: Literal["asked", "sold"]
    on: date
    source: str
    year: Annotated[int, Range(1700, 2200)] | None = None
    adjustments: Mapping[str, int] = field(default_factory=lambda: _NONE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Value:
    """An opinion of value: basis, range and rounded point, on a date, under stated assumptions."""

    basis: str
    low_minor: Minor
    high_minor: Minor
    point_minor: Minor
    currency: str
    on: date
    condition: Literal["as found", "with the listed work done"] = "as found"
    assumptions: tuple[str, ...] = ()
    comparables: tuple[str, ...] = ()
    reasoning: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Summary:
    """The surveyor's own words for the front page: overall impression, and answers to the client's questions."""

    overall: str
    answers: tuple[str, ...] = ()
    next_steps: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """The surveyor's words about a gap that stays open."""

    gap: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Withdrawal:
    """Takes back the entries it replaces; they stay legible, with the reason in `why`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Issue:
    """A report frozen, numbered and delivered, and the entries it was made of by their content digest."""

    number: str
    version: Annotated[int, Range(1, 999)]
    entries_sha256: str
    signed_by: str = ""
    delivered_to: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Amendment:
    """A later change of an issued report: which one, why, and what changed."""

    issue: str
    reason: str
    changes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Unknown:
    """A body of a kind this version does not know, kept as canonical JSON and passed on untouched."""

    kind: str
    json: str


KINDS: Mapping[str, type[Any]] = MappingProxyType(
    {
        "instruction": Instruction,
        "person": Person,
        "terms": Terms,
        "consent": Consent,
        "conflict check": ConflictCheck,
        "arrangement": Arrangement,
        "told": Told,
        "boat": Boat,
        "conditions": Conditions,
        "instrument": Instrument,
        "instrument check": InstrumentCheck,
        "examination": Examination,
        "limitation": Limitation,
        "sounding": Sounding,
        "reading set": ReadingSet,
        "observation": Observation,
        "photo": Photo,
        "memo": Memo,
        "recording": Recording,
        "remark": Remark,
        "finding": Finding,
        "recommendation": Recommendation,
        "cost": Cost,
        "comparable": Comparable,
        "value": Value,
        "summary": Summary,
        "answer": Answer,
        "withdrawal": Withdrawal,
        "issue": Issue,
        "amendment": Amendment,
    }
)
"""Every kind of entry this version knows, by its name."""
