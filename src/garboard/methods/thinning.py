"""What the panels of a survey show: losses against their limits, rates, and the life they leave."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import fmean

from garboard.methods.criteria import criteria
from garboard.methods.panels import Panel, allowances, paint_words, panels
from garboard.methods.plating import (
    allowance_used_ratio,
    diminution_pct,
    diminution_uncertainty_pct,
    least_mm,
    renewal_mm,
)
from garboard.methods.result import Criterion, Result, Verdict, verdict_of
from garboard.methods.wastage import Wastage, next_reading_y
from garboard.notebook.body import Place, Side
from garboard.notebook.fold import Survey

_SIX_MM = 6.0

# The parts of the catalogue whose plate is the shell itself, from outside or inside.
_SHELL = (
    "bottom-plate-thickness",
    "hull-pits",
    "waterline-and-chine-plating",
    "steel-bilge",
    "plate-behind-linings",
    "boot-top",
    "bilge-turn",
    "stem",
    "transom",
)


def results(survey: Survey) -> tuple[Result, ...]:
    """What the thickness readings show, panel by panel; then the least thickness of each 6 mm shell."""
    found = panels(survey)
    is_steel = survey.boat is not None and survey.boat.material == "steel"
    return tuple(
        result
        for panel in found
        for limits in (allowances(survey, panel.part),)
        for result in (*_losses(panel, *limits, is_steel), *_life(panel, *limits, is_steel))
    ) + (_remaining(found) if is_steel else ())


def _losses(
    panel: Panel, mean_limit: Criterion | None, local_limit: Criterion | None, is_steel: bool
) -> tuple[Result, ...]:
    mean_what = f"mean loss of {panel.name}, {panel.words}"
    if panel.original_mm is None:
        readings = [spot.thickness_mm for spot in panel.spots]
        why = (
            f"The original thickness is not known; {len(readings)} readings average "
            f"{fmean(readings):.2f} mm, the least is {least_mm(readings):g} mm."
        )
        return (_cannot_say("plating.diminution_pct", mean_what, "%", panel, why),)
    if panel.mean_mm is None or panel.mean_u_mm is None:
        return (_cannot_say("plating.diminution_pct", mean_what, "%", panel, _thick(panel)),)
    least = panel.least
    mean = _loss(panel, mean_what, panel.mean_mm, panel.mean_u_mm, mean_limit, panel.place)
    local = _loss(
        panel,
        f"greatest local loss of {panel.name}, {panel.words}",
        least.thickness_mm,
        least.doubt.reading_mm,
        local_limit,
        least.place,
    )
    return (mean, local, *(_watched(panel, local, local_limit) if is_steel else ()))


def _loss(
    panel: Panel,
    what: str,
    measured_mm: float,
    measured_u_mm: float,
    limit: Criterion | None,
    place: Place,
) -> Result:
    original_mm = panel.original_mm or 0.0
    value = diminution_pct(original_mm, measured_mm)
    doubt = diminution_uncertainty_pct(original_mm, panel.original_u_mm, measured_mm, measured_u_mm)
    caveats = _caveats(panel)
    verdict: Verdict = "not comparable"
    if limit is None:
        caveats = ("No limit is held for it.", *caveats)
    else:
        verdict = verdict_of(value, doubt, limit)
    if panel.spots[0].through_paint and verdict != "beyond":
        return _cannot_say(
            "plating.diminution_pct",
            what,
            "%",
            panel,
            f"The gauge read through paint, which it shows as metal; with it, {value:.1f} % is lost.",
        )
    return Result(
        method="plating.diminution_pct",
        what=what,
        value=value,
        unit="%",
        verdict=verdict,
        used=panel.used,
        uncertainty=doubt,
        criterion=limit,
        place=place,
        caveats=caveats,
    )


def _watched(panel: Panel, local: Result, limit: Criterion | None) -> tuple[Result, ...]:
    """The share of the local allowance used, where the allowance itself is not."""
    if limit is None or local.verdict not in ("within", "at the limit"):
        return ()
    original_mm, line = panel.original_mm or 0.0, criteria()["plating-watch"]
    used = allowance_used_ratio(
        original_mm, panel.least.thickness_mm, renewal_mm(original_mm, limit.limit)
    )
    doubt = (local.uncertainty or 0.0) / limit.limit
    return (
        Result(
            method="plating.allowance_used_ratio",
            what=f"share of the local allowance used on {panel.name}, {panel.words}",
            value=used,
            unit="of the allowance",
            verdict=verdict_of(used, doubt, line),
            used=panel.used,
            uncertainty=doubt,
            criterion=line,
            place=panel.least.place,
            caveats=(f"The allowance is {limit.limit:g} %: {limit.source}.",),
        ),
    )


def _life(
    panel: Panel, mean_limit: Criterion | None, local_limit: Criterion | None, is_steel: bool
) -> tuple[Result, ...]:
    """The rate of the mean, and the life that ends first: of the mean or of the thinnest place read twice."""
    wastage, where = panel.wastage, f"{panel.name}, {panel.words}"
    if wastage is None:
        if not panel.why_no_wastage:
            return ()
        what = f"rate of wastage of {where}"
        why = panel.why_no_wastage
        return (_cannot_say("wastage.rate_mm_per_y", what, "mm a year", panel, why),)
    line = criteria()["wastage-rate"] if is_steel else None
    rate, doubt = wastage.rate_mm_per_y, wastage.uncertainty_mm_per_y
    shown = Result(
        method="wastage.rate_mm_per_y",
        what=f"rate of wastage of {where}, over {wastage.years:.1f} years",
        value=rate,
        unit="mm a year",
        verdict=verdict_of(rate, doubt, line) if line else "not comparable",
        used=(*panel.used, *panel.earlier_used),
        uncertainty=doubt,
        criterion=line,
        place=panel.place,
        caveats=_rate_caveats(wastage),
    )
    return (shown, _life_result(panel, wastage, tuple(_lives(panel, mean_limit, local_limit))))


def _rate_caveats(wastage: Wastage) -> tuple[str, ...]:
    places = "One place was" if wastage.places == 1 else f"{wastage.places} places were"
    caveats = [f"{places} read at both surveys; a steady, even loss is assumed."]
    if wastage.rate_mm_per_y < 0:
        caveats.append(
            "The plate reads thicker than before: the place, the paint or the gauge differs."
        )
    elif not wastage.is_shown:
        caveats.append(
            f"No rate can be shown: at most {wastage.upper_mm_per_y:.2f} mm a year with 95 % confidence."
        )
    return tuple(caveats)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Life:
    """A life of a panel, and what ends it."""

    of: str
    shortest_y: float
    best_y: float | None
    limit_mm: float
    held: Criterion


def _lives(
    panel: Panel, mean_limit: Criterion | None, local_limit: Criterion | None
) -> Iterator[_Life]:
    for of, wastage, limit_mm, held in (
        ("the mean of the places read twice", panel.wastage, panel.limit_mm, mean_limit),
        ("the thinnest place read twice", panel.local_wastage, panel.least_limit_mm, local_limit),
    ):
        if wastage and wastage.shortest_y is not None and limit_mm is not None and held:
            yield _Life(
                of=of,
                shortest_y=wastage.shortest_y,
                best_y=wastage.life_y,
                limit_mm=limit_mm,
                held=held,
            )


def _life_result(panel: Panel, wastage: Wastage, lives: Sequence[_Life]) -> Result:
    about, what = "wastage.shortest_life_y", f"shortest likely life of {panel.name}, {panel.words}"
    used = (*panel.used, *panel.earlier_used)
    if panel.spots[0].through_paint:
        why = "The gauge read through paint, so what metal is left is not known."
        return _cannot_say(about, what, "years", panel, why, used=used)
    if not lives:
        is_lost = wastage.upper_mm_per_y > 0
        why = (
            "The original thickness or the limit is not known." if is_lost else "No loss was found."
        )
        return _cannot_say(about, what, "years", panel, why, used=used)
    first, line = min(lives, key=lambda life: life.shortest_y), criteria()["wastage-life"]
    best = (
        f"Best estimate {first.best_y:.1f} years."
        if first.best_y is not None
        else "No best estimate: the loss does not stand clear of the readings' doubt."
    )
    return Result(
        method=about,
        what=what,
        value=first.shortest_y,
        unit="years",
        verdict=verdict_of(first.shortest_y, None, line),
        used=used,
        uncertainty_why="A one-sided bound that holds with about 95 % confidence.",
        criterion=line,
        place=panel.place,
        caveats=(
            best,
            f"Until {first.of} reaches {first.limit_mm:.2f} mm, {first.held.limit:g} % lost: "
            f"{first.held.source}.",
            f"Gauge again within {next_reading_y(first.shortest_y):.1f} years.",
            "Not for pits, nor after new paint, new anodes or another berth.",
        ),
    )


def _remaining(found: Sequence[Panel]) -> tuple[Result, ...]:
    """The least thickness of each part and side of a 6 mm steel shell."""
    limit = criteria()["plating-remaining-4mm"]
    by_side: dict[tuple[str, Side | None], list[Panel]] = defaultdict(list)
    for panel in found:
        is_six = panel.original_mm is not None and abs(panel.original_mm - _SIX_MM) < 0.05
        if is_six and panel.part in _SHELL:
            by_side[panel.part, panel.side].append(panel)
    return tuple(
        _least_result(min(group, key=lambda panel: panel.least.thickness_mm), group, limit)
        for group in by_side.values()
    )


def _least_result(thinnest: Panel, group: Sequence[Panel], limit: Criterion) -> Result:
    least = thinnest.least
    what = f"least thickness of {thinnest.name}{f', {thinnest.side}' if thinnest.side else ''}"
    used = tuple(dict.fromkeys(each for panel in group for each in panel.used))
    verdict = verdict_of(least.thickness_mm, least.doubt.reading_mm, limit)
    if least.through_paint and verdict != "beyond":
        return _cannot_say(
            "plating.least_mm", what, "mm", thinnest, "The gauge read through paint.", used=used
        )
    return Result(
        method="plating.least_mm",
        what=what,
        value=least.thickness_mm,
        unit="mm",
        verdict=verdict,
        used=used,
        uncertainty=least.doubt.reading_mm,
        criterion=limit,
        place=least.place,
        caveats=("The least reading found, not the least there is.",),
    )


def _caveats(panel: Panel) -> tuple[str, ...]:
    count = len(panel.spots)
    caveats = [
        "One reading in this panel; it proves the spot read, not the plate round it."
        if count == 1
        else f"{count} readings in this panel; they prove the spots read, not the plate between."
    ]
    if panel.original_from != "as stated":
        caveats.append(f"Original of {panel.original_mm:.2f} mm {panel.original_from}.")
    if panel.thicker:
        caveats.append(_thick(panel))
    if panel.spots[0].through_paint:
        caveats.append("The gauge read through paint: less metal is left than it shows.")
    return (*caveats, *filter(None, (paint_words(panel.spots),)))


def _thick(panel: Panel) -> str:
    thick = ", ".join(f"{spot.thickness_mm:g}" for spot in panel.thicker)
    return (
        f"Left out of the mean: {thick} mm, thicker than the original of {panel.original_mm:g} mm; "
        "filler, paint, a doubler or another plate, to be looked into."
    )


def _cannot_say(
    about: str,
    what: str,
    unit: str,
    panel: Panel,
    why: str,
    *,
    used: tuple[str, ...] | None = None,
) -> Result:
    return Result(
        method=about,
        what=what,
        value=None,
        unit=unit,
        verdict="cannot say",
        used=panel.used if used is None else used,
        place=panel.place,
        caveats=(why,),
    )
