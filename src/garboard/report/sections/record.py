"""The record of the survey: instruction and terms, what was told, conditions, instruments, methods, statement."""

from collections.abc import Iterable

from garboard.boat.identity import read_identity
from garboard.catalogue.naming import capital
from garboard.catalogue.parts import catalogue
from garboard.judgement.readiness import ACTS
from garboard.methods.declaration import Method
from garboard.methods.result import Criterion, Result
from garboard.methods.written import EXPANDED, trouble_lies
from garboard.notebook.body import (
    Boat,
    Conditions,
    ConflictCheck,
    Consent,
    Examination,
    Instrument,
    InstrumentCheck,
    Person,
    Terms,
    Told,
)
from garboard.report.document import (
    Block,
    Column,
    Facts,
    Heading,
    Items,
    Paragraph,
    SignatureBlock,
    Span,
    Table,
    Text,
    plain,
)
from garboard.report.sections.case import Case
from garboard.report.sections.front import surveyor_of
from garboard.report.sections.words import clock, counted, day, listed, purpose_words

# Time since lift-out is told in days from here on.
_LONG_H = 120
# Questions about what she has are counted where there are more.
_MOST_ASKED = 8
_TEXT = {
    "read": "text read",
    "second hand": "read second hand",
    "memory": "from memory, not read here",
}


def the_boat(case: Case) -> tuple[Block, ...]:
    """The particulars as stated, and what the identity number says."""
    boat = case.boat
    lengths = (
        ("Length of hull", boat.loa_m),
        ("Waterline length", boat.lwl_m),
        ("Beam of hull", boat.beam_m),
        ("Draught", boat.draught_m),
    )
    stated: list[tuple[str, str]] = [
        ("Name", boat.name),
        ("Identity number", boat.identity_number),
        ("Registration", boat.registration),
        ("Builder and design", ", ".join(filter(None, (boat.builder, boat.design)))),
        ("Year", str(boat.year or "")),
        *((name, f"{value:.2f} m" if value else "") for name, value in lengths),
        ("Displacement", f"{boat.displacement_kg:,.0f} kg".replace(",", " ") if boat.displacement_kg else ""),
        ("Ballast", f"{boat.ballast_kg:,.0f} kg".replace(",", " ") if boat.ballast_kg else ""),
        ("Hull", ", ".join(filter(None, (_material(boat.material), boat.construction)))),
        ("Keel", (boat.keel or "").replace("-", " ")),
        ("Rudder", (boat.rudder or "").replace("-", " ")),
        ("Drive", boat.drive or ""),
        ("Rig", boat.rig or ""),
        *(("Engine", _engine(each.described, each.power_kw, each.year, each.hours)) for each in boat.engines),
        ("Not known of her", _unknown(boat)),
        ("Notes", boat.notes),
    ]  # fmt: skip
    pairs = tuple((term, plain(text)) for term, text in stated if text and text != "none")
    blocks: list[Block] = [
        Heading(level=1, text="The boat", label="boat"),
        Facts(pairs=pairs),
    ]
    if boat.identity_number:
        queries = read_identity(boat.identity_number).queries
        if queries:
            blocks.append(Heading(level=2, text="Questions the identity number raises"))
            blocks.append(Items(items=tuple(plain(query) for query in queries)))
    return tuple(blocks)


def _unknown(boat: Boat) -> str:
    """The fittings of which nobody could tell, as the questions that were left open."""
    open_ones = boat.fitted_unknown
    if len(open_ones) > _MOST_ASKED:
        return f"{len(open_ones)} of the questions what she has; all of it was to be looked for"
    asked = catalogue().vocabulary.fittings
    return " ".join(asked.get(each, each) for each in open_ones)


def told(case: Case) -> tuple[Block, ...]:
    """What people said, kept apart from what was seen."""
    entries = case.survey.of(Told)
    if not entries:
        return ()
    items: list[Text] = []
    for entry in entries:
        body = entry.body
        asked = f" Asked: {body.asked.rstrip('?')}?" if body.asked else ""
        items.append(
            (Span(text=f"{body.who}.", style="strong"), Span(text=f"{asked} “{body.said}”"))
        )
    return (
        Heading(level=1, text="What was told", label="told"),
        Paragraph(
            text=plain(
                "Statements are given as they were made; they were not verified unless a finding says so."
            )
        ),
        Items(items=tuple(items), rests_on=tuple(entry.id for entry in entries)),
    )


def conditions(case: Case) -> tuple[Block, ...]:
    """The circumstances of the day, and the instruments with their checks."""
    blocks: list[Block] = [Heading(level=1, text="Conditions and instruments", label="conditions")]
    blocks += [
        Facts(pairs=_conditions(entry.body), rests_on=(entry.id,))
        for entry in case.survey.of(Conditions)
    ]
    people = case.survey.of(Person)
    if people:
        words = "; ".join(
            f"{p.body.name}, {p.body.role}{'' if p.body.attended else ' (did not attend)'}"
            for p in people
        )
        blocks.append(
            Facts(pairs=(("People", plain(words)),), rests_on=tuple(p.id for p in people))
        )
    blocks += _instruments(case)
    if len(blocks) == 1:
        blocks.append(
            Paragraph(
                text=plain("Neither the conditions of the day nor an instrument is recorded.")
            )
        )
    return tuple(blocks)


def methods(case: Case) -> tuple[Block, ...]:
    """The methods whose results are given: what for, source, limits, whose word stands above."""
    if not case.methods:
        return ()
    blocks: list[Block] = [
        Heading(level=1, text="Methods, criteria and sources", label="methods"),
        Paragraph(
            text=plain(
                f"Each figure of this report was computed by one of these methods. {EXPANDED}. "
                "Where a limit lies within that reach of a figure, the figure is “at the limit”. A "
                "criterion whose text was not read here never says more than “have this checked”. "
                "Calculations are screening aids: they do not replace the maker's data, the law of the "
                "place, or a licensed or class surveyor's decision."
            ),
            kind="small",
        ),
    ]
    rows = []
    for id_, (number, method) in case.methods.items():
        limits = f"{method.limits} {method.defer}".strip()
        rows.append(
            (
                plain(str(number)),
                (Span(text=f"{method.name}. ", style="strong"), Span(text=method.what_for)),
                plain(f"{capital(_source(method))}."),
                plain(limits),
            )
        )
        assert id_ == method.id
    blocks.append(
        Table(
            caption="Methods used",
            number=next(case.tables),
            columns=(
                Column(name="No.", align="right", share=0.35),
                Column(name="Method", share=1.7),
                Column(name="Source, and what weight it has", share=1.8),
                Column(name="Limits of use", share=2.4),
            ),
            rows=tuple(rows),
            label="table-methods",
        )
    )
    return (*blocks, *_criteria(case.results, case))


def instruction(case: Case) -> tuple[Block, ...]:
    """Who asked, on which terms, with whose leave, and who may rely on the report."""
    body = case.instruction
    reliance = "; ".join(dict.fromkeys((body.client, *body.may_rely)))
    pairs = [
        ("Client", body.client),
        ("Paid by", body.payer or body.client),
        ("Purpose", capital(purpose_words(body.purpose))),
        ("May be relied on by", reliance),
        ("Copies go to", "; ".join(body.copies)),
        ("Visits agreed", listed(list(body.visits))),
    ]
    terms = case.survey.last(Terms)
    if terms:
        pairs.append(
            (
                "Terms",
                f"{capital(terms.version)}, accepted by {terms.accepted_by} on {day(terms.accepted_on)}, {terms.how}",
            ),
        )
    check = case.survey.last(ConflictCheck)
    if check:
        words = f"{capital(check.result)}. {check.looked_at}"
        pairs.append(("Conflicts of interest", words))
    blocks: list[Block] = [
        Heading(level=1, text="Instruction and terms", label="instruction"),
        Facts(pairs=tuple((term, plain(text)) for term, text in pairs if text)),
    ]
    if terms and terms.summary:
        blocks.append(Heading(level=2, text="The terms in short"))
        blocks.append(Items(items=tuple(plain(each) for each in terms.summary)))
    # Of each act what was said last holds.
    consents = tuple({c.body.act: c for c in case.survey.of(Consent)}.values())
    if consents:
        blocks.append(Heading(level=2, text=_leave(c.body.given for c in consents)))
        blocks.append(
            Items(
                items=tuple(
                    plain(
                        f"To {ACTS[c.body.act]}: {'given' if c.body.given else 'refused'} by {c.body.by} on "
                        f"{day(c.body.on)}{f'; {c.body.limits}' if c.body.limits else ''}."
                    )
                    for c in consents
                ),
                rests_on=tuple(c.id for c in consents),
            )
        )
    return tuple(blocks)


def _leave(given: Iterable[bool]) -> str:
    """What a list of leave given and refused is called."""
    said = set(given)
    return (
        "Leave given and refused"
        if len(said) > 1
        else "Leave given"
        if True in said
        else "Leave refused"
    )


def statement(case: Case) -> tuple[Block, ...]:
    """The words that are signed, and how anybody can check that nothing was changed since."""
    surveyor = surveyor_of(case)
    body = case.instruction
    words = (
        *_what_was_done(case),
        f"This report was made for {body.client}, for the purpose stated on its first page. Nobody "
        f"{'but those named there ' if body.may_rely else 'else '}may rely on it without my written "
        "consent, and it may be copied only as a whole.",
        "It states what was found on the day and my opinion of it. It is no warranty of what was not "
        "reached, and no certificate that the boat complies with any rule or standard.",
        "The facts stated are within my own knowledge unless marked as told or inferred; the opinions "
        "are mine.",
        *_interest(case),
    )
    return (
        Heading(
            level=1, text="Signed statement" if case.signed else "Statement", label="statement"
        ),
        SignatureBlock(
            name=surveyor.name,
            qualification=surveyor.qualification,
            date=case.dated,
            statement=words,
        ),
        Heading(level=2, text="How to check this report"),
        Paragraph(text=plain(_how_to_check(case)), kind="small"),
    )


def _what_was_done(case: Case) -> tuple[str, ...]:
    if not case.survey.of(Examination):
        return ()
    signs = surveyor_of(case).name
    attended = [p.name for p in case.survey.bodies(Person) if p.attended and p.name != signs]
    others = f" {listed(attended)} attended." if attended else ""
    return (
        f"I examined {case.boat.name} at {case.instruction.place or 'the place stated'} on "
        f"{case.surveyed}.{others} What others did, or told me, is marked so in this report.",
    )


def _interest(case: Case) -> tuple[str, ...]:
    check = case.survey.last(ConflictCheck)
    if check is None:
        return ()
    if check.result == "none":
        return ("I have no interest in the boat, the sale or any repair.",)
    return ("The interests stated under Instruction and terms were disclosed.",)


def _how_to_check(case: Case) -> str:
    inside = (
        "The PDF of this report carries inside it the notebook it was made from "
        f"({counted(len(case.survey.entries), 'entry', 'entries')}) and the readings as plain tables. "
        f"SHA-256 of the notebook: {_digest(case)}."
    )
    if not case.signed:
        return f"This report is not signed. {inside}"
    return (
        "The PDF of this report is signed electronically: any reader of signed PDF files tells whether a "
        f"byte has changed since. Copies in other forms are not signed. {inside}"
    )


def _digest(case: Case) -> str:
    return "stated here when the report is made" if case.in_writing else case.survey.digest


def cautions(case: Case) -> tuple[Block, ...]:
    """The usual cautions for whoever carries the work out."""
    return (
        Heading(level=2, text="Before any work is done"),
        Paragraph(
            text=plain(
                "Ladders, props and slings, antifouling dust, closed tanks and lockers, gas, petrol vapour, "
                "batteries, mains electricity, rotating gear and lifting can injure or kill. Work goes to "
                "people competent and, where the law asks it, licensed for it; the makers' instructions and "
                "the rules of the place stand above this report."
            ),
            kind="caution",
        ),
    )


def _source(of: Method | Criterion) -> str:
    """Where a method or a limit comes from, how much that binds, and whether its text was read."""
    weight = "the method's own figure" if of.standing == "working figure" else of.standing
    return f"{of.source} ({weight}; {_TEXT[of.text]})"


def _criteria(results: tuple[Result, ...], case: Case) -> list[Block]:
    criteria = {r.criterion.id: r.criterion for r in results if r.criterion}
    if not criteria:
        return []
    rows = tuple(
        (
            plain(capital(trouble_lies(each, is_whole=True))),
            plain(capital(each.applies)),
            plain(capital(_source(each))),
        )
        for each in criteria.values()
    )
    return [
        Table(
            caption="Criteria applied, with their sources",
            number=next(case.tables),
            columns=(
                Column(name="Trouble lies", share=1.2),
                Column(name="Applies to", share=2.0),
                Column(name="Source, and what weight it has", share=2.4),
            ),
            rows=rows,
            label="table-criteria",
        )
    ]


def _conditions(body: Conditions) -> tuple[tuple[str, Text], ...]:
    zone = body.began.tzinfo
    ended = f" to {body.ended.astimezone(zone):%H:%M}" if body.ended else ""
    lifted = ""
    if body.lifted:
        lifted_on = day(body.lifted.astimezone(zone))
        hours = (body.began - body.lifted).total_seconds() / 3600
        ago = f"{hours:.0f} hours" if hours < _LONG_H else f"{hours / 24:.0f} days"
        lifted = f"{lifted_on}, {ago} before the survey began" if hours >= 0 else lifted_on
    stated = (
        ("Time", f"{day(body.began)}, {clock(body.began)}{ended}"),
        ("Lying", body.lying),
        ("Lifted", lifted),
        ("Washed", {True: "yes", False: "no", None: ""}[body.washed]),
        ("Air", _pair(body.air_c, "°C", body.humidity_pct, "% relative humidity")),
        ("Hull surface", _pair(body.surface_c, "°C", None, "")),
        ("Water", _pair(body.water_c, "°C", body.salinity, "practical salinity")),
        ("Rain in the last day", {True: "yes", False: "no", None: ""}[body.rain_last_day]),
        ("Cover", body.covered),
        ("Light", body.light),
        ("Antifouling", body.antifouling),
        ("Chocked", body.chocked),
        ("Power", body.power),
        ("Aboard", body.aboard),
        ("Notes", body.notes),
    )
    return tuple((term, plain(text)) for term, text in stated if text)


def _pair(first: float | None, unit: str, second: float | None, second_unit: str) -> str:
    words = [f"{first:g} {unit}"] if first is not None else []
    if second is not None:
        words.append(f"{second:g} {second_unit}")
    return ", ".join(words)


def _instruments(case: Case) -> list[Block]:
    entries = case.survey.of(Instrument)
    if not entries:
        return []
    checks: dict[str, list[InstrumentCheck]] = {}
    for check in case.survey.bodies(InstrumentCheck):
        checks.setdefault(check.instrument, []).append(check)
    rows = tuple(
        (
            (Span(text=entry.body.name, style="strong"), Span(text=f": {entry.body.described}")),
            plain("; ".join(filter(None, (entry.body.scale, _resolution(entry.body))))),
            plain(
                "; ".join(_check(each) for each in checks.get(entry.body.name, ()))
                or "No check recorded"
            ),
        )
        for entry in entries
    )
    return [
        Table(
            caption="Instruments and their checks",
            number=next(case.tables),
            columns=(
                Column(name="Instrument", share=2.0),
                Column(name="Scale and resolution", share=1.3),
                Column(name="Checked", share=2.6),
            ),
            rows=rows,
            label="table-instruments",
            rests_on=tuple(entry.id for entry in entries),
        )
    ]


def _resolution(body: Instrument) -> str:
    words = f"{body.resolution:g} {body.unit}" if body.resolution else ""
    return f"{words}, calibrated {day(body.calibrated_on)}" if body.calibrated_on else words


def _check(check: InstrumentCheck) -> str:
    figures = "passed" if check.passed else "FAILED"
    if check.expected is not None and check.read is not None:
        figures = f"{check.read:g} read for {check.expected:g}{'' if check.passed else ', FAILED'}"
    notes = f" ({check.notes})" if check.notes and not check.passed else ""
    return f"{check.when}, on {check.on}: {figures}{notes}"


def _engine(described: str, power_kw: float | None, year: int | None, hours: float | None) -> str:
    words = [described]
    if power_kw:
        words.append(f"{power_kw:g} kW")
    if year:
        words.append(str(year))
    if hours is not None:
        words.append(f"{hours:g} hours as shown")
    return ", ".join(words)


def _material(material: str | None) -> str:
    return {
        "grp": "glass-reinforced plastic",
        "sandwich": "sandwich of glass-reinforced plastic",
    }.get(material or "", material or "")
