"""The figures of the boat as methods: ratios from her main particulars, for comparison and nothing more.

The functions are those of `garboard.boat.figures`; here they are declared, with what their numbers may not be used for.
"""

from collections.abc import Mapping

from garboard.boat import figures
from garboard.methods.declaration import method
from garboard.methods.result import Result
from garboard.notebook.body import Boat
from garboard.notebook.fold import Survey

_NO_DEFECT = "Neither a defect nor a judgement of stability; displacement at the stated condition."
_DEFER = "The builder's data and a stability assessment after ISO 12217."

# By what a figure is: its method, and its relative standard uncertainty with the weight as stated good to 5 % and
# dimensions to 1 %, working figures.
_OF: Mapping[str, tuple[str, float]] = {
    "displacement/length ratio": ("displacement_length", 0.058),
    "sail area/displacement ratio": ("sail_area_displacement", 0.035),
    "ballast ratio": ("ballast_ratio", 0.050),
    "capsize screening": ("capsize_screening", 0.019),
    "motion comfort ratio": ("motion_comfort", 0.053),
    "hull speed": ("hull_speed_kn", 0.005),
    "Thames Measurement": ("thames_measurement", 0.021),
}

method(
    name="Displacement/length ratio",
    what_for="How heavy a boat is for her waterline, to compare with her like.",
    symbols={"displacement_kg": "kg", "lwl_m": "m", "result": "long tons per (0.01 ft)³"},
    limits=_NO_DEFECT,
    source="common practice of yacht design, as handbooks print it",
    standing="common practice",
    text="second hand",
)(figures.displacement_length)

method(
    name="Sail area/displacement ratio",
    what_for="How much sail a boat carries for her weight, to compare with her like.",
    symbols={"sail_area_m2": "m²", "displacement_kg": "kg", "result": "ratio"},
    limits=_NO_DEFECT + " Sail area of the main triangle and the whole fore triangle.",
    source="common practice of yacht design, as handbooks print it",
    standing="common practice",
    text="memory",
)(figures.sail_area_displacement)

method(
    name="Ballast ratio",
    what_for="Which share of the weight is ballast.",
    symbols={"ballast_kg": "kg", "displacement_kg": "kg", "result": "ratio"},
    limits=_NO_DEFECT + " Says nothing of how low the ballast lies.",
    source="definition",
    standing="common practice",
    text="read",
)(figures.ballast_ratio)

method(
    name="Capsize screening",
    what_for="A first screen of beam against weight for sailing offshore; 2.0 or less is wanted there.",
    symbols={"beam_m": "m", "displacement_kg": "kg", "result": "ratio"},
    limits=_NO_DEFECT + " Beam and weight alone: nothing of ballast or the form of the hull.",
    source="screening formula drawn up after the 1979 Fastnet race inquiry",
    standing="guidance",
    text="second hand",
    defer=_DEFER,
)(figures.capsize_screening)

method(
    name="Motion comfort ratio",
    what_for="How gently a boat may move, to compare with her like.",
    symbols={
        "displacement_kg": "kg",
        "lwl_m": "m",
        "loa_m": "m",
        "beam_m": "m",
        "result": "ratio",
    },
    limits=_NO_DEFECT + " Compares boats of one kind.",
    source="ratio of T. Brewer, as handbooks print it",
    standing="common practice",
    text="memory",
)(figures.motion_comfort)

method(
    name="Hull speed",
    what_for="The speed at which a boat's own wave is as long as her waterline.",
    symbols={"lwl_m": "m", "result": "kn"},
    limits="No limit for light or planing craft.",
    source="1.34 times the root of the waterline in feet, as handbooks print it",
    standing="common practice",
    text="second hand",
)(figures.hull_speed_kn)

method(
    name="Froude number",
    what_for="Speed in terms of a boat's own waves.",
    symbols={"speed_kn": "kn", "lwl_m": "m", "result": "ratio"},
    limits="None; a definition.",
    source="definition, standard gravity",
    standing="common practice",
    text="read",
)(figures.froude_number)

method(
    name="Metacentric height from the roll",
    what_for="A first idea of initial stability from the period of a free roll.",
    symbols={
        "beam_m": "m",
        "roll_period_s": "s, a full roll out and back",
        "coefficient": "by type and loading",
        "result": "m",
    },
    limits=(
        "Small free roll, calm water, slack moorings; keel yachts with tall masts lie near a coefficient of 0.8 to 1.0 or "
        "more, so give a range. No substitute for an inclining test."
    ),
    source="IMO Resolution A.749(18), Annex 3",
    standing="guidance",
    text="second hand",
    defer="An inclining test by a naval architect.",
)(figures.metacentric_height_m)

method(
    name="Range of metacentric height from the roll",
    what_for="What a free roll says where the coefficient is not known from a sister.",
    symbols={
        "beam_m": "m",
        "roll_period_s": "s, a full roll out and back",
        "least": "smallest coefficient that may hold",
        "greatest": "greatest",
        "result": "m, least and greatest",
    },
    limits="Small free roll, calm water, slack moorings. No substitute for an inclining test.",
    source="IMO Resolution A.749(18), Annex 3, with coefficients from 0.75 to 1.0: the method's own figure for yachts",
    standing="working figure",
    text="second hand",
    defer="An inclining test by a naval architect.",
)(figures.metacentric_range_m)

method(
    name="Relative uncertainty of a metacentric height from the roll",
    what_for="What a coefficient taken from a table and a stop watch are worth.",
    symbols={
        "coefficient": "by type and loading",
        "coefficient_u": "standard uncertainty",
        "roll_period_s": "s",
        "period_u_s": "standard uncertainty, s",
        "result": "ratio",
    },
    limits="The coefficient's doubt governs; published ones spread by 0.05.",
    source="law of propagation, JCGM 100:2008, 5.1",
    standing="guidance",
    text="second hand",
)(figures.metacentric_uncertainty_ratio)

method(
    name="Paint for an area",
    what_for="Litres to order for an area of the schematic hull.",
    symbols={
        "area_m2": "m²",
        "coats": "coats",
        "coverage_m2_per_l": "practical coverage from the tin, m²/l",
        "result": "l",
    },
    limits="The area of a schematic hull may be out by 15 %, of a hard-chine motor boat by 25 %.",
    source="definition of the coverage",
    standing="common practice",
    text="read",
    defer="The paint maker's data sheet.",
)(figures.paint_l)

method(
    name="Weight a centimetre",
    what_for="The weight behind marks that stand deeper than they should.",
    symbols={
        "lwl_m": "m",
        "waterline_beam_m": "m",
        "coefficient": "of the waterplane",
        "salt": "in sea water, else fresh",
        "result": "kg/cm",
    },
    limits="Coefficient 0.65 to 0.72 sailing, 0.75 to 0.82 motor; a few centimetres about the waterline.",
    source="definition; 1,025 kg/m³ sea water",
    standing="common practice",
    text="read",
)(figures.kilograms_a_centimetre)

method(
    name="International gross tonnage",
    what_for="Gross tonnage from the enclosed volume.",
    symbols={"enclosed_m3": "m³, all enclosed spaces", "result": "gross tonnage"},
    limits="The convention applies from 24 m length.",
    source="46 CFR 69.57 and the International Convention on Tonnage Measurement of Ships, 1969",
    standing="regulation",
    text="read",
    defer="The registering authority.",
)(figures.gross_tonnage_international)

method(
    name="Simplified gross tonnage, United States",
    what_for="Gross register tonnage of a small craft from its overall dimensions.",
    symbols={
        "length_m": "m",
        "breadth_m": "m",
        "depth_m": "m",
        "sailing": "designed for sailing",
        "keel_in_depth": "the depth includes the keel",
        "barge": "a motor boat shaped like a barge",
        "result": "register tons",
    },
    limits="One hull, no large deck structure; no rounding.",
    source="46 CFR 69.209",
    standing="regulation",
    text="second hand",
    defer="The registering authority.",
)(figures.gross_tonnage_simplified)

method(
    name="Simplified net tonnage, United States",
    what_for="Net register tonnage of a small craft from her gross.",
    symbols={
        "gross_tons": "register tons",
        "sailing": "designed for sailing",
        "engine_in_hull": "propelling machinery stands in the hull",
        "result": "register tons",
    },
    limits="Gross tonnage by the same measurement; no rounding.",
    source="form of the United States Coast Guard to 46 CFR 69, subpart E",
    standing="regulation",
    text="read",
    defer="The registering authority.",
)(figures.net_tonnage_simplified)

method(
    name="Thames Measurement",
    what_for="The old tonnage of yachts, still met in papers.",
    symbols={"length_m": "m, stem to sternpost on deck", "beam_m": "m", "result": "tons"},
    limits="The length is that from stem to sternpost on deck, not the length of hull.",
    source="the rule of 1855, as an encyclopaedia gives it",
    standing="common practice",
    text="second hand",
)(figures.thames_measurement)


def results(survey: Survey) -> tuple[Result, ...]:
    """The figures the stated particulars allow; each stands for comparison, none has a limit."""
    if not survey.of(Boat):
        return ()
    entry = survey.of(Boat)[-1]
    return tuple(
        Result(
            method=f"figures.{_OF[each.what][0]}",
            what=each.what,
            value=each.value,
            unit=each.unit,
            verdict="not comparable",
            used=(entry.id,),
            uncertainty=each.value * _OF[each.what][1],
            caveats=tuple(
                filter(
                    None, ("From the particulars as stated; no limit holds for it.", each.caution)
                )
            ),
        )
        for each in figures.figures_of(entry.body)
    )
