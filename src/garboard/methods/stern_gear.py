"""The stern gear of a survey: bearings and their wear, run-out, the coupling's faces, spacing and strength.

What the entries hold, side or number telling several shafts apart: "diameter" on `propeller-shaft` is the shaft's,
with the size as made as `original` where it is worn; "play" on `shaft-bracket`, `stern-tube` or `propeller-shaft` is
the clearance of a bearing on the diameter, with that of a new bearing as `original`; "run-out" on `propeller-shaft`
(or play with "run-out" among its words) is the full reading of a dial gauge, of the coupling's face where "coupling"
is named; "gap" with "coupling" named, on `engine-mounts`, `gearbox` or `propeller-shaft`, is the gap of its faces at
each of four positions, and a "diameter" named so is the flange's; "length" on `propeller-shaft` is that between two
bearings; "revolutions" there are the shaft's own.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import hypot, sqrt

from garboard.methods.climate import conditions_for
from garboard.methods.criteria import criteria
from garboard.methods.measured import (
    Measured,
    belonging,
    gear_of,
    judged,
    measured,
    relative,
    surely_passed,
    unlimited,
    unsaid,
)
from garboard.methods.result import Result
from garboard.methods.shafting import (
    CAUTION,
    fitted_mm,
    groove_mm,
    misalignment_um_per_mm,
    run_out_mm,
    spacing_diameters,
    strength_needed_mpa,
    wear_pct,
    whirl_ratio,
)
from garboard.methods.zone import place_words
from garboard.notebook.body import Place
from garboard.notebook.fold import Survey

# Standard uncertainties where no instrument states one, working figures.
_PLAY_MM = 0.05
_RUN_OUT_MM = 0.02
_GAP_MM = 0.02
_SIZE_MM = 0.05
_LENGTH_M = 0.01
_TURNS_RATIO = 0.02

_WEAR = ("bearing-plan", "bearing-renew", "bearing-stop")
_COUPLED = ("engine-mounts", "gearbox", "propeller-shaft")
_BEARINGS = ("shaft-bracket", "stern-tube", "propeller-shaft")


@dataclass(frozen=True, slots=True, kw_only=True)
class Bearing:
    """A bearing's clearance on the diameter with its standard uncertainty, and its shaft, mm.

    `fitted_mm` is what a new one is fitted with, least and most, where that is published and agrees with what was
    noted.
    """

    place: Place
    clearance_mm: float
    uncertainty_mm: float
    shaft_mm: float
    fitted_mm: tuple[float, float] | None
    used: tuple[str, ...]


def bearings(survey: Survey) -> tuple[Bearing, ...]:
    """The bearings whose clearance and shaft were both read, in the order they were read."""
    return tuple(
        Bearing(
            place=each.place,
            clearance_mm=each.value,
            uncertainty_mm=each.uncertainty,
            shaft_mm=shaft.value,
            fitted_mm=_fitted(each, shaft),
            used=tuple(dict.fromkeys((each.entry, shaft.entry))),
        )
        for each, shaft in _plays(survey, _shafts(survey))
        if shaft is not None
    )


def results(survey: Survey) -> tuple[Result, ...]:
    """Bearings, run-out, coupling, spacing and strength, as far as readings were taken of them."""
    shafts = _shafts(survey)
    sizes = measured(survey, "diameter", *_COUPLED, uncertainty=_SIZE_MM)
    flanges = [each for each in sizes if _is_of_coupling(each)]
    return (
        *_of_play(survey, shafts),
        *_of_run_out(survey),
        *_of_coupling(survey, flanges),
        *_of_shafts(survey, shafts),
    )


def _shafts(survey: Survey) -> tuple[Measured, ...]:
    sizes = measured(survey, "diameter", *_COUPLED, uncertainty=_SIZE_MM)
    return tuple(each for each in sizes if not _is_of_coupling(each))


def _plays(
    survey: Survey, shafts: Sequence[Measured]
) -> Iterator[tuple[Measured, Measured | None]]:
    """Each bearing's clearance with its shaft, where that was read."""
    for each in measured(survey, "play", *_BEARINGS, uncertainty=_PLAY_MM):
        if not _is_run_out(each):
            yield each, belonging(each.place, shafts)


def _fitted(play: Measured, shaft: Measured) -> tuple[float, float] | None:
    try:
        least, most = fitted_mm(shaft.value)
    except ValueError:
        return None
    agrees = play.original is None or least <= play.original <= most
    return (least, most) if agrees else None


def _of_play(survey: Survey, shafts: Sequence[Measured]) -> Iterator[Result]:
    for each, shaft in _plays(survey, shafts):
        what = f"clearance of the bearing, {place_words(each.place)}"
        new = f"Noted for a new bearing: {each.original:g} mm." if each.original else ""
        if shaft is None:
            why = f"The shaft's diameter was not read; the clearance is {each.value:g} mm."
            unit = "% of the shaft's diameter"
            yield unsaid("shafting.wear_pct", what, unit, [each], why, new, CAUTION)
            continue
        worn = wear_pct(each.value, shaft.value)
        doubt = 100 / shaft.value * hypot(each.uncertainty, worn / 100 * shaft.uncertainty)
        said = [
            f"{each.value:g} mm on a shaft of {shaft.value:g} mm.",
            new or _as_fitted(shaft.value),
            "Limits of wear are custom: no yacht standard gives one, and the bearing's maker decides.",
            CAUTION,
        ]
        limit = surely_passed(worn, doubt, *(criteria()[name] for name in _WEAR))
        yield judged("shafting.wear_pct", what, worn, doubt, limit, [each, shaft], said)


def _as_fitted(shaft: float) -> str:
    try:
        least, most = fitted_mm(shaft)
    except ValueError:
        return ""
    return f"A new bearing is fitted with {least:g} to {most:g} mm (ABYC P-6, at second hand)."


def _of_run_out(survey: Survey) -> Iterator[Result]:
    found = (
        *measured(survey, "run-out", *_COUPLED, uncertainty=_RUN_OUT_MM),
        *filter(_is_run_out, measured(survey, "play", *_BEARINGS, uncertainty=_RUN_OUT_MM)),
    )
    for each in found:
        limit = criteria()["coupling-face-run-out" if _is_of_coupling(each) else "shaft-run-out"]
        what = f"run-out, {place_words(each.place)}"
        value = run_out_mm((each.value,))
        yield judged("shafting.run_out_mm", what, value, each.uncertainty, limit, [each], [CAUTION])


def _of_coupling(survey: Survey, flanges: Sequence[Measured]) -> Iterator[Result]:
    gaps: dict[Place, list[Measured]] = {}
    for each in measured(survey, "gap", *_COUPLED, uncertainty=_GAP_MM):
        if _is_of_coupling(each):
            gaps.setdefault(gear_of(each.place), []).append(each)
    for gear, found in gaps.items():
        what = f"gap of the coupling's faces, {place_words(gear)}"
        flange = belonging(gear, flanges)
        values = [each.value for each in found]
        if flange is None or len(values) < 2:
            why = (
                "The gap was read at one position only."
                if len(values) < 2
                else "The diameter of the flange was not read."
            )
            unit = criteria()["coupling-alignment"].unit
            yield unsaid("shafting.misalignment_um_per_mm", what, unit, found, why)
            continue
        share = misalignment_um_per_mm(values, flange.value)
        doubt = 1000 * sqrt(2) * found[0].uncertainty / flange.value
        said = [
            f"{min(values):g} to {max(values):g} mm at {len(values)} positions of a flange of {flange.value:g} mm.",
            "" if len(values) >= 4 else "Four positions are usual.",
            _not_afloat(survey, found[0]),
            CAUTION,
        ]
        limit = criteria()["coupling-alignment"]
        yield judged(
            "shafting.misalignment_um_per_mm", what, share, doubt, limit, [*found, flange], said
        )


def _of_shafts(survey: Survey, shafts: Sequence[Measured]) -> Iterator[Result]:
    turns = measured(survey, "revolutions", "propeller-shaft", uncertainty=0.0)
    for each in shafts:
        if each.original:
            yield judged(
                "shafting.groove_mm",
                f"wear of the shaft, {place_words(each.place)}",
                groove_mm(each.original, each.value),
                each.uncertainty / 2,
                criteria()["shaft-groove"],
                [each],
                [f"{each.value:g} mm of {each.original:g} mm.", CAUTION],
            )
    fastest = {gear_of(each.place): each for each in sorted(turns, key=lambda each: each.value)}
    for span in measured(survey, "length", "propeller-shaft", uncertainty=_LENGTH_M):
        yield from _of_span(span, belonging(span.place, shafts), fastest)
    for gear, turn in fastest.items():
        yield _strength(survey, turn, belonging(gear, shafts))


def _of_span(
    span: Measured, shaft: Measured | None, fastest: Mapping[Place, Measured]
) -> Iterator[Result]:
    what = f"distance of bearings, {place_words(span.place)}"
    if shaft is None or not span.value:
        why = "The shaft's diameter was not read."
        yield unsaid("shafting.spacing_diameters", what, "shaft diameters", [span], why)
        return
    diameters = spacing_diameters(span.value, shaft.value)
    doubt = (
        1000 * hypot(span.uncertainty, span.value * shaft.uncertainty / shaft.value) / shaft.value
    )
    limit = criteria()["bearing-spacing"]
    said = [f"{span.value:g} m of a shaft of {shaft.value:g} mm; 20 to 40 are usual."]
    yield judged("shafting.spacing_diameters", what, diameters, doubt, limit, [span, shaft], said)
    turn = belonging(span.place, tuple(fastest.values()))
    if turn is None or not turn.value:
        return
    share = whirl_ratio(span.value, turn.value, shaft.value)
    yield judged(
        "shafting.whirl_ratio",
        f"{what}, against the length that whirls at {turn.value:g} rpm",
        share,
        share * hypot(span.uncertainty / span.value, relative(turn, _TURNS_RATIO) / 2),
        criteria()["shaft-whirl"],
        [span, shaft, turn],
        ["Taken as plain stainless steel with pinned ends; bronze whirls earlier."],
    )


def _strength(survey: Survey, turn: Measured, shaft: Measured | None) -> Result:
    what = f"strength the shaft asks for, {place_words(gear_of(turn.place))}"
    powers = {each.power_kw for each in survey.boat.engines} if survey.boat else set()
    power = next(iter(powers)) if len(powers) == 1 else None
    if shaft is None or not power or not turn.value:
        why = (
            "The shaft's diameter was not read."
            if shaft is None
            else "The power of the engine is not stated or differs from engine to engine, or the shaft stood still."
        )
        return unsaid("shafting.strength_needed_mpa", what, "MPa", [turn], why)
    needed = strength_needed_mpa(0.96 * power, turn.value, shaft.value)
    said = [
        f"Yield in torsion at a factor of 3, from {power:g} kW less 4 % at {turn.value:g} rpm; the shaft's "
        "certificate decides.",
        "The turns are taken as those of full power.",
    ]
    return unlimited(
        "shafting.strength_needed_mpa",
        what,
        needed,
        "MPa",
        needed * hypot(0.05, relative(turn, _TURNS_RATIO), 3 * shaft.uncertainty / shaft.value),
        [turn, shaft],
        said,
    )


def _is_of_coupling(each: Measured) -> bool:
    return "coupling" in each.named or "flange" in each.named


def _is_run_out(each: Measured) -> bool:
    return "run-out" in each.named


def _not_afloat(survey: Survey, each: Measured) -> str:
    entry = survey.by_id[each.entry]
    conditions = conditions_for(survey, entry)
    if conditions is None or conditions.body.lying == "afloat":
        return ""
    return "Read ashore: a boat changes her shape afloat, where the faces are measured again."
