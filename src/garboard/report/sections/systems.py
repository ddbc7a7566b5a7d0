"""Systems: batteries on the scale of their rest voltage, and water through openings against the pumps, drawn."""

from garboard.drawings.systems import Opening, Rested, inflow_plot, rest_voltage_scale
from garboard.methods import flooding as flooding_methods
from garboard.methods.batteries import rest_voltages
from garboard.methods.zone import place_words
from garboard.report.document import Block, Drawing
from garboard.report.sections.case import Case


def batteries(case: Case) -> list[Block]:
    """The batteries read at rest."""
    found = rest_voltages(case.survey)
    if not found:
        return []
    return [
        Drawing(
            svg=rest_voltage_scale(
                "Batteries at rest",
                [Rested(label=place_words(each.place), rest_v=each.of_six_v) for each in found],
            ),
            alt="Batteries at rest: "
            + "; ".join(f"{place_words(each.place)}: {each.of_six_v:.2f} V" for each in found),
            caption="Batteries at rest; a voltage tells the charge, not the capacity",
            number=next(case.figures),
            label="figure-rest-voltage",
            rests_on=tuple(dict.fromkeys(used for each in found for used in each.used)),
        )
    ]


def flooding(case: Case) -> list[Block]:
    """The inflow of each opening whose depth is known, and what the pumps were measured to move."""
    found = flooding_methods.openings(case.survey)
    pumped, by = flooding_methods.pumped_l_per_min(case.survey) or (None, ())
    if not found and pumped is None:
        return []
    told = [
        f"{place_words(each.place)}: {each.bore_mm:g} mm, {each.depth_m:.2f} m down"
        for each in found
        if each.depth_m > 0
    ]
    told.append("the pumps were not measured" if pumped is None else f"pumps: {pumped:g} L/min")
    of = "the openings read" if found else "customary bores"
    return [
        Drawing(
            svg=inflow_plot(
                "Inflow if an opening failed",
                [
                    Opening(
                        label=place_words(each.place), bore_mm=each.bore_mm, depth_m=each.depth_m
                    )
                    for each in found
                ],
                pumps_l_per_min=pumped,
            ),
            alt=f"Inflow by depth, {of}: {'; '.join(told)}",
            caption=f"Inflow if an opening failed: {of}, and what the pumps were measured to move"
            if pumped is not None
            else f"Inflow if an opening failed: {of}; what the pumps move was not measured",
            number=next(case.figures),
            label="figure-inflow",
            rests_on=tuple(dict.fromkeys((*(u for each in found for u in each.used), *by))),
        )
    ]
