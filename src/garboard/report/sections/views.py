"""The schematic views of the boat, with the findings at their numbers."""

from garboard.boat.hull import hull_of
from garboard.drawings.hull import Mark, hull_views
from garboard.report.document import Block, Drawing, Heading, Paragraph, plain
from garboard.report.sections.case import Case


def hull(case: Case) -> tuple[Block, ...]:
    """Profile, plan, sections and unrolled shell; nothing where the particulars do not give a hull."""
    marks = tuple(
        Mark(number=each.number, place=place)
        for each in case.findings
        for place in each.entry.body.places
        if place.station_m is not None and place.level_m is not None
    )
    try:
        views, assumptions = hull_views(case.boat, marks), hull_of(case.boat).assumptions
    except ValueError:
        return ()
    return (
        Heading(level=1, text="Where the findings lie", label="views", new_page=True),
        Paragraph(
            text=plain(
                "The drawings are schematic, made from the main particulars; they show where a place lies, "
                "not her true lines. Numbers are those of the findings; findings without a measured place "
                "are not drawn."
            ),
            kind="small",
        ),
        *(
            [Paragraph(text=plain(f"Assumed for them: {' '.join(assumptions)}"), kind="small")]
            if assumptions
            else []
        ),
        *(
            Drawing(
                svg=view.svg,
                alt=view.alt,
                caption=view.title,
                number=next(case.figures),
                label=f"figure-view-{index}",
                rests_on=tuple(each.entry.id for each in case.findings),
            )
            for index, view in enumerate(views, 1)
        ),
    )
