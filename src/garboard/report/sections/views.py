"""The schematic views of the boat, with the findings at their numbers, and what was assumed to draw her."""

from garboard.boat.hull import hull_of
from garboard.drawings.hull import Mark, hull_views
from garboard.report.document import Block, Drawing, Heading, Paragraph, plain
from garboard.report.sections.case import Case

_SCHEMATIC = (
    "schematic, made from the main particulars; they show where a place lies, not her true lines."
)


def hull(case: Case) -> tuple[Block, ...]:
    """Profile, plan, sections and unrolled shell; nothing without a placed finding, or particulars of a hull."""
    marks = _marks(case)
    if not marks:
        return ()
    try:
        views = case.kept.once("views", (case.boat, marks), lambda: hull_views(case.boat, marks))
    except ValueError:
        return ()
    return (
        Heading(level=1, text="Where the findings lie", label="views", new_page=True),
        Paragraph(
            text=plain(
                f"The drawings are {_SCHEMATIC} Numbers are those of the findings; findings without a measured "
                "place are not drawn."
            ),
            kind="small",
        ),
        *_assumed(case),
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


def is_drawn(case: Case) -> bool:
    """Whether the views show a finding."""
    return bool(_marks(case))


def said_of_maps(case: Case) -> tuple[Block, ...]:
    """What the maps of readings rest on, where no view has said it."""
    if is_drawn(case):
        return ()
    return (
        Paragraph(text=plain(f"The maps below are {_SCHEMATIC}"), kind="small"),
        *_assumed(case),
    )


def _marks(case: Case) -> tuple[Mark, ...]:
    return tuple(
        Mark(number=each.number, place=place)
        for each in case.findings
        for place in each.entry.body.places
        if place.station_m is not None and place.level_m is not None
    )


def _assumed(case: Case) -> tuple[Block, ...]:
    assumptions = hull_of(case.boat).assumptions
    if not assumptions:
        return ()
    return (Paragraph(text=plain(f"Assumed for them: {' '.join(assumptions)}"), kind="small"),)
