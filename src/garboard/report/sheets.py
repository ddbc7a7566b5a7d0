"""The plain tables of a survey: readings, soundings, recommendations, for whoever reckons further with them."""

from decimal import Decimal

from garboard.judgement.ranking import ranked
from garboard.notebook.body import Place, ReadingSet, Sounding
from garboard.notebook.fold import Survey
from garboard.notebook.money import to_major
from garboard.report.xlsx import Cell, Sheet

_PLACE = ("part", "side", "number", "station m", "level m", "where")


def sheets(survey: Survey) -> tuple[Sheet, ...]:
    """Three sheets; one without rows is there all the same, so that nobody looks for it in vain."""
    return (_readings(survey), _soundings(survey), _recommendations(survey))


def _readings(survey: Survey) -> Sheet:
    rows = [
        (
            entry.body.name,
            survey.done_at(entry),
            entry.body.quantity,
            *_place(reading.place),
            reading.to,
            Decimal(reading.as_read),
            Decimal(reading.original) if reading.original else None,
            entry.body.unit,
            "yes" if reading.reference else "",
            entry.body.instrument,
            entry.body.scale,
            entry.body.electrode,
            reading.note,
        )
        for entry in survey.of(ReadingSet)
        for reading in entry.body.readings
    ]
    columns = (
        "set", "read at", "quantity", *_PLACE, "to", "reading", "original", "unit", "dry reference",
        "instrument", "scale", "electrode", "note",
    )  # fmt: skip
    return Sheet(name="Readings", columns=columns, rows=tuple(rows))


def _soundings(survey: Survey) -> Sheet:
    rows = [
        (survey.done_at(entry), *_place(entry.body.place), entry.body.heard, entry.body.hammer)
        for entry in survey.of(Sounding)
    ]
    return Sheet(
        name="Soundings", columns=("struck at", *_PLACE, "heard", "hammer"), rows=tuple(rows)
    )


def _recommendations(survey: Survey) -> Sheet:
    rows: list[tuple[Cell, ...]] = []
    for each in ranked(survey):
        finding = each.entry.body
        head: tuple[Cell, ...] = (each.number, finding.title, finding.urgency)
        if not each.advice:
            rows.append((*head, *("",) * 5, None, None, "", ""))
        for advice in each.advice:
            body = advice.entry.body
            said = (body.sort, body.what, body.by_whom, body.by_when, body.verified)
            if not advice.costs:
                rows.append((*head, *said, None, None, "", ""))
            rows += [
                (
                    *head,
                    *said,
                    Decimal(to_major(cost.body.low_minor, cost.body.currency)),
                    Decimal(to_major(cost.body.high_minor, cost.body.currency)),
                    cost.body.currency,
                    cost.body.basis,
                )
                for cost in advice.costs
            ]
    columns = (
        "finding", "title", "urgency", "sort", "what", "by whom", "by when", "verified by",
        "cost from", "cost to", "currency", "basis",
    )  # fmt: skip
    return Sheet(name="Recommendations", columns=columns, rows=tuple(rows))


def _place(place: Place) -> tuple[Cell, ...]:
    return (place.part, place.side, place.number, place.station_m, place.level_m, place.words)
