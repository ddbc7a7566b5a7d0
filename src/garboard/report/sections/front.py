"""The first page a reader meets, and the one page a lay reader needs."""

from itertools import zip_longest

from garboard.catalogue.naming import addressed, capital, named
from garboard.catalogue.parts import catalogue
from garboard.judgement.gaps_of_job import is_surveyor
from garboard.judgement.issues import is_changed, issues
from garboard.judgement.ranking import URGENCIES, Ranked, totals
from garboard.notebook.body import (
    Amendment,
    Boat,
    Instruction,
    Limitation,
    Person,
    Summary,
    Value,
)
from garboard.notebook.entry import Entry
from garboard.notebook.money import shown
from garboard.report.document import (  # fmt: skip
    Block,
    Column,
    Heading,
    Items,
    Paragraph,
    Picture,
    Span,
    Table,
    Text,
    plain,
)
from garboard.report.sections.case import Case
from garboard.report.sections.words import (
    banded,
    between,
    counted,
    day,
    listed,
    paragraphs,
    purpose_words,
    together,
)

_TOP = ("before launching", "before the boat next goes to sea", "within a stated time")
_TOP_FINDINGS = 6
_TOP_LIMITS = 4
# Below this a motor vessel is called a boat.
_YACHT_M = 10.0
# Where what was not seen matters most to a reader, by zone.
_WEIGHTY = (
    "keel",
    "openings",
    "steering-and-drive",
    "helm",
    "metal-hull",
    "wooden-hull",
    "multihull",
    "hull",
    "gas-and-heating",
    "rig",
    "structure",
    "fuel",
    "machinery",
    "electrical",
)
GRAVEST = frozenset(
    (
        "keel-bolt", "keel-joint", "keel-floors", "fabricated-keel", "lifting-keel",
        "seacock", "skin-fitting", "sea-hose", "transducer", "heads-connections",
        "raw-water-intake", "hull-drain",
        "rudder-blade", "rudder-stock", "rudder-hangings", "rudder-stops-and-tube", "skeg",
        "stern-tube", "shaft-bracket", "saildrive-diaphragm", "sterndrive-leg",
        "steering-linkage", "hydraulic-steering",
        "bottom-plate-thickness", "hull-pits", "waterline-and-chine-plating", "steel-bilge",
        "metal-welds",
        "garboard", "planking", "plank-fastenings", "wooden-keel-and-deadwood",
        "stem-and-hood-ends", "marine-borers",
        "crossbeam-and-sockets", "daggerboard", "bottom-laminate",
        "gas-locker", "gas-regulator", "gas-pipe", "gas-appliance", "solid-fuel-stove",
        "diesel-heater",
        "rigging-terminal", "wire-stay", "rod-or-textile-stay",
        "bulkhead", "floors-and-liner", "chainplate-below",
        "fuel-tank", "fuel-supply", "petrol-space",
        "shaft-seal", "raw-water-cooling",
    )
)  # fmt: skip
"""Parts whose failure lets the sea in, takes keel, steering or mast, or fills her with gas, fuel or fumes."""
OF_PAPER = frozenset(
    {
        "engine-identity",
        "identity-marks",
        "ship-papers",
        "history-told",
        "inventory",
        "principal-dimensions",
    }
)
"""Parts of which only what is said or written of her could turn out to be otherwise."""


def front_pairs(case: Case) -> tuple[tuple[str, str], ...]:
    """What the title page states."""
    boat, instruction = case.boat, case.instruction
    surveyor = surveyor_of(case)
    stated = (
        ("Boat", described(boat)),
        ("Identity number", boat.identity_number),
        ("Registration", boat.registration),
        ("Surveyed", case.surveyed),
        ("Lying at", instruction.place),
        ("Purpose", capital(purpose_words(instruction.purpose))),
        ("Client", addressed(instruction)),
        ("Paid by", instruction.payer if instruction.payer != instruction.client else ""),
        (
            "May be relied on by",
            "; ".join(dict.fromkeys((instruction.client, *instruction.may_rely))),
        ),
        ("Surveyor", ", ".join(filter(None, (surveyor.name, surveyor.qualification)))),
        ("Report", instruction.report_number),
        ("Version", _version(case)),
        ("Date of the report", case.dated),
    )
    return tuple((term, text) for term, text in stated if text)


def _version(case: Case) -> str:
    """The version of an issued report, and which one it amends; of a draft, which one was the last issued."""
    issued = issues(case.survey)
    if not issued:
        return ""
    dates = [day(case.survey.done_at(each)) for each in issued]
    last = issued[-1]
    if is_changed(case.survey):
        return f"not issued; the last issued is {last.body.version} of {dates[-1]}"
    if len(issued) == 1:
        return str(last.body.version)
    return f"{last.body.version}, amends version {issued[-2].body.version} of {dates[-2]}"


def amendment(case: Case) -> tuple[Block, ...]:
    """Why an issued report was amended, and what changed; nothing in a first issue."""
    amendments = case.survey.of(Amendment)
    if not amendments:
        return ()
    blocks: list[Block] = [Heading(level=1, text="Amendments", label="amendments")]
    for entry in amendments:
        of = case.survey.by_id.get(entry.body.issue)
        version = of.body.version if of else "?"
        blocks.append(
            Paragraph(
                text=plain(f"Amends version {version}: {entry.body.reason}"), rests_on=(entry.id,)
            )
        )
        if entry.body.changes:
            blocks.append(Items(items=tuple(plain(each) for each in entry.body.changes)))
    return tuple(blocks)


def surveyor_of(case: Case) -> Person:
    """Who signs: the person recorded as the surveyor, else the author of the instruction."""
    for person in case.survey.bodies(Person):
        if is_surveyor(person):
            return person
    return Person(name=case.survey.of(Instruction)[-1].author, role="surveyor")


def described(boat: Boat) -> str:
    """The boat in a line: what she is, how long, from when."""
    is_small = boat.drive == "outboard" or (boat.loa_m or 0.0) < _YACHT_M
    kind = {
        "none": "motorboat" if is_small else "motor yacht",
        "sloop": "sloop",
        "cutter": "cutter",
        "ketch": "ketch",
        "yawl": "yawl",
        "schooner": "schooner",
        "gaff": "gaff-rigged yacht",
        "unstayed": "yacht",
    }.get(boat.rig or "", "boat")
    material = {"grp": "GRP", "sandwich": "GRP sandwich", "coated-fabric": "inflatable"}.get(
        boat.material or "", boat.material or ""
    )
    words = [f"{boat.name}, {material} {kind}".replace("  ", " ")]
    if boat.loa_m:
        words.append(f"{boat.loa_m:.2f} m")
    if boat.year:
        words.append(str(boat.year))
    return ", ".join(words)


def cover(case: Case) -> Picture | None:
    """The photograph of the title page: the one chosen, else the first of the whole boat; never a part of her unasked."""
    printed = sorted(case.photos.values(), key=lambda entry: entry.body.number)
    chosen = [e for e in printed if e.body.cover]
    whole = [e for e in printed if e.body.place and e.body.place.part == "general-appearance"]
    return next((case.picture(entry) for entry in (*chosen, *whole)), None)


def summary(case: Case) -> tuple[Block, ...]:
    """One page: what was asked, the answer in three sentences, what matters, what was not seen, what next."""
    body = case.survey.last(Summary)
    blocks: list[Block] = [Heading(level=1, text="Summary", label="summary", new_page=True)]
    if body:
        blocks += [Paragraph(text=text) for text in paragraphs(body.overall)]
    blocks += _what_matters(case)
    blocks += _costs(case)
    blocks += _answers(case, body)
    blocks += _not_seen(case)
    blocks += _value(case)
    if body and body.next_steps:
        blocks.append(Heading(level=2, text="What to do next, in order", beside=True))
        blocks.append(Items(items=tuple(plain(each) for each in body.next_steps), numbered=True))
    return tuple(blocks)


def _what_matters(case: Case) -> list[Block]:
    if case.instruction.purpose == "value":
        return []
    if not any(state.state.startswith("examined") for state in case.states):
        return [Paragraph(text=plain("No examination is recorded yet."))]
    top = [each for each in case.findings if each.entry.body.urgency in _TOP]
    if not top:
        words = "No finding calls for action before the boat is used."
        return [Paragraph(text=plain(words))]
    items: list[Text] = []
    for each in top[:_TOP_FINDINGS]:
        body = each.entry.body
        cost = f" {_cost_of(each)}." if each.cost_minor else ""
        items.append(
            (
                Span(text=body.title, style="strong", to=f"finding-{each.number}"),
                Span(
                    text=f" (finding {each.number}): {_by_when(body.urgency, body.within)}.{cost}"
                ),
            )
        )
    left = [each.entry.body.urgency for each in case.findings if each not in top[:_TOP_FINDINGS]]
    if left:
        words = listed(
            [f"{left.count(urgency)} {urgency}" for urgency in URGENCIES if urgency in left]
        )
        more = f"{capital(counted(len(left), 'further finding'))} ({words}): "
        every = f"all {len(case.findings)} findings"
        items.append((Span(text=more), Span(text=every, to=overview(case)), Span(text=".")))
    blocks: list[Block] = [
        Heading(level=2, text="What matters most", beside=True),
        Items(items=tuple(items)),
    ]
    return blocks


def _costs(case: Case) -> list[Block]:
    """What the recommendations may cost together, by urgency and in all."""
    summed = [each for each in totals(case.findings) if each.bands]
    if case.instruction.purpose == "value" or not summed:
        return []
    said = [f"{each.urgency} {banded(each)}" for each in summed if each.urgency]
    whole = "".join(f"In all {together(each)}." for each in summed if not each.urgency)
    return [
        Heading(level=2, text="What it may cost", beside=True),
        Paragraph(
            text=(
                Span(text=f"{capital('; '.join(said))}. "),
                Span(text=whole or "How it adds up.", to="table-costs"),
            )
        ),
    ]


def overview(case: Case) -> str:
    """The label of the table that lists all findings; an insurer's report lists them by date."""
    return "required" if case.instruction.purpose in ("insure", "lend") else "glance"


def _by_when(urgency: str, within: str) -> str:
    return within or urgency


def _answers(case: Case, body: Summary | None) -> list[Block]:
    """Each question with its answer, or with the plain word that it has none."""
    asked = case.instruction.questions
    if not asked:
        return []
    answers = body.answers[: len(asked)] if body else ()
    items = tuple(
        (
            Span(text=f"{question} ", style="emphatic"),
            Span(text=answer.strip() or "Not answered in this survey."),
        )
        for question, answer in zip_longest(asked, answers, fillvalue="")
    )
    return [Heading(level=2, text="The questions you asked", beside=True), Items(items=items)]


def _not_seen(case: Case) -> list[Block]:
    silent = sum(state.state in ("silent", "not written up") for state in case.places)
    partly = sum(state.state == "examined in part" for state in case.places)
    unreached = sum(state.state == "not reached" for state in case.places)
    said = [
        f"{counted(partly, 'place was', 'places were')} examined in part" if partly else "",
        f"{counted(unreached, 'place was', 'places were')} not reached" if unreached else "",
    ]
    words = f"{listed([each for each in said if each])}. " if partly or unreached else ""
    if silent:
        words += f"Of {counted(silent, 'place')} no examination is recorded. "
    if not words:
        return []
    weighty = tuple(_weighed(each) for each in _weightiest(case))
    return [
        Heading(level=2, text="What could not be seen", beside=True),
        Paragraph(
            text=(
                Span(text=f"{words}All of it: "),
                Span(text="what was not examined", to="not-examined"),
                Span(text=f".{' Of most weight, and what it could hide:' if weighty else ''}"),
            )
        ),
        *([Items(items=weighty)] if weighty else []),
    ]


def _weighed(body: Limitation) -> Text:
    """What was not reached, and what that could hide."""
    hides = body.could_hide.rstrip(".") or "not said"
    return (
        Span(text=capital(named(body.place)), style="strong"),
        Span(text=f": {hides}."),
    )


def _weightiest(case: Case) -> list[Limitation]:
    """The limitations that matter most to a reader, one a zone.

    By what could come of what they hide: the gravest parts first, her papers last. Of parts as grave in one zone,
    those that a finding rests on, then what was not reached at all.
    """
    parts = catalogue().parts
    unreached = {each.called.part.id for each in case.states if each.state == "not reached"}

    def weight(entry: Entry[Limitation]) -> tuple[bool, bool, int, bool, bool]:
        part = parts[entry.body.place.part]
        rank = _WEIGHTY.index(part.zone) if part.zone in _WEIGHTY else len(_WEIGHTY)
        return (
            part.id in OF_PAPER,
            part.id not in GRAVEST,
            rank,
            entry.id not in case.taken_up,
            part.id not in unreached,
        )

    by_zone: dict[str, Limitation] = {}
    for entry in sorted(case.limitations, key=weight):
        by_zone.setdefault(parts[entry.body.place.part].zone, entry.body)
    return list(by_zone.values())[:_TOP_LIMITS]


def _value(case: Case) -> list[Block]:
    values: list[Entry[Value]] = sorted(case.survey.of(Value), key=lambda each: each.body.condition)
    if not values:
        return []
    first = values[0].body
    alike = [v for v in values if (v.body.basis, v.body.on) == (first.basis, first.on)]
    figures = "; ".join(
        f"{each.body.condition} {shown(each.body.point_minor, each.body.currency)}"
        for each in alike
    )
    if len(alike) < len(values):
        figures += "; on other bases or dates, see there"
    basis = capital(first.basis.partition(":")[0].strip())
    return [
        Heading(level=2, text="Value", beside=True),
        Paragraph(
            text=(
                Span(text=f"{basis} on {day(first.on)}: {figures}; "),
                Span(text="how it was found", to="value"),
                Span(text="."),
            ),
            rests_on=tuple(each.id for each in values),
        ),
    ]


def at_a_glance(case: Case) -> tuple[Block, ...]:
    """All findings in one table, by urgency."""
    if not case.findings:
        return ()
    rows = tuple(
        (
            (Span(text=str(each.number), to=f"finding-{each.number}"),),
            plain(each.entry.body.title),
            plain(capital(_by_when(each.entry.body.urgency, each.entry.body.within))),
            plain(_cost_of(each)),
        )
        for each in case.findings
    )
    return (
        Heading(level=1, text="Findings at a glance", label="glance"),
        Table(
            caption="Findings by urgency, with the cost bands given for what is recommended",
            number=next(case.tables),
            columns=(
                Column(name="No.", align="right", share=0.4),
                Column(name="Finding", share=3.4),
                Column(name="By when", share=2.0),
                Column(name="May cost", align="right", share=1.6),
            ),
            rows=rows,
            label="table-glance",
        ),
    )


def _cost_of(each: Ranked) -> str:
    """What a finding's recommendations may cost together."""
    cost = each.cost_minor
    if cost is None:
        return "see the finding" if any(advice.costs for advice in each.advice) else ""
    return between(*cost)
