"""Stern gear and keel: clearance of bearings, pitch of propellers, loads of keel bolts, drawn."""

from garboard.catalogue.naming import capital
from garboard.drawings.gear import (
    BearingBar,
    BladeRow,
    BoltMark,
    Limit,
    clearance_bars,
    keel_bolts,
    pitch_spread,
)
from garboard.methods.blades import Pitches, pitches
from garboard.methods.criteria import criteria
from garboard.methods.keel import Bolt, bolts
from garboard.methods.stern_gear import Bearing, bearings
from garboard.methods.zone import place_words
from garboard.report.document import Block, Drawing
from garboard.report.sections.case import Case

_WEAR = (
    ("bearing-plan", "plan its renewal"),
    ("bearing-renew", "renew before launching"),
    ("bearing-stop", "no longer run"),
)
_SHARED = "Load in proportion to the distance from the edge; the keel's weight alone, held level"


def stern_gear(case: Case) -> list[Block]:
    """Clearance of the bearings beside the limits of custom, and the pitch of each propeller."""
    found = bearings(case.survey)
    return [
        *([_clearances(found, case)] if found else []),
        *(_pitch(each, n, case) for n, each in enumerate(pitches(case.survey), 1)),
    ]


def keel(case: Case) -> list[Block]:
    """The keel bolts in plan with what they carry, where their sizes and distances were read."""
    found = bolts(case.survey)
    return [_bolts(found, case)] if found else []


def _clearances(found: tuple[Bearing, ...], case: Case) -> Drawing:
    title = "Clearance of the shaft bearings in per cent of the shaft"
    return Drawing(
        svg=clearance_bars(
            title,
            [
                BearingBar(
                    label=place_words(each.place),
                    clearance_mm=each.clearance_mm,
                    shaft_mm=each.shaft_mm,
                    uncertainty_mm=each.uncertainty_mm,
                    fitted_mm=each.fitted_mm,
                )
                for each in found
            ],
            [Limit(value=criteria()[name].limit, words=words) for name, words in _WEAR],
        ),
        alt=f"{title}: "
        + "; ".join(
            f"{place_words(each.place)}: {each.clearance_mm:.2f} mm on {each.shaft_mm:g} mm, "
            f"{100 * each.clearance_mm / each.shaft_mm:.1f} %"
            for each in found
        ),
        caption=f"{title}; the limits are custom, and the bearing's maker decides",
        number=next(case.figures),
        label="figure-clearance",
        rests_on=_together(found),
    )


def _pitch(of: Pitches, number: int, case: Case) -> Drawing:
    name = place_words(of.place)
    rows = [
        BladeRow(
            label=blade,
            pitches=tuple((f"{radius} R" if radius else "", value) for radius, value in read),
        )
        for blade, read in of.blades
    ]
    return Drawing(
        svg=pitch_spread(
            capital(name),
            rows,
            nominal_mm=of.nominal_mm,
            tolerance_pct=of.tolerance_pct,
            uncertainty_pct=of.uncertainty_pct,
        ),
        alt=f"Pitch of {name}: "
        + "; ".join(
            f"{blade}: {', '.join(f'{value:g}' for _, value in read)} mm"
            for blade, read in of.blades
        ),
        caption=f"Pitch of {name}, blade by blade",
        number=next(case.figures),
        label=f"figure-pitch-{number}",
        rests_on=of.used,
    )


def _bolts(found: tuple[Bolt, ...], case: Case) -> Drawing:
    stations = [each.station_m for each in found if each.station_m is not None]
    are_placed = len(stations) == len(found)
    marks = [
        BoltMark(
            label=_label(each, n),
            along_m=stations[n - 1] if are_placed else float(n),
            arm_m=each.arm_m,
            load_kn=each.load_n / 1000,
            left_ratio=each.left_ratio,
        )
        for n, each in enumerate(found, 1)
    ]
    order = "" if are_placed else ", set out in the order they were read, their stations not noted"
    return Drawing(
        svg=keel_bolts("Keel bolts", marks, shared=_SHARED),
        alt="Keel bolts: "
        + "; ".join(
            f"{mark.label}: {mark.load_kn:.1f} kN, {mark.arm_m:g} m off the edge" for mark in marks
        ),
        caption=f"What each keel bolt carries with the keel hanging level, and what is left of it{order}",
        number=next(case.figures),
        label="figure-keel-bolts",
        rests_on=_together(found),
    )


def _label(bolt: Bolt, read: int) -> str:
    number = str(bolt.place.number or read)
    return f"{bolt.place.side} {number}" if bolt.place.side else number


def _together(found: tuple[Bearing, ...] | tuple[Bolt, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(used for each in found for used in each.used))
