"""Films of paint where they were read, on the unrolled shell."""

from garboard.boat.hull import hull_of
from garboard.drawings.maps import Value, readings_map
from garboard.methods.campaign import latest
from garboard.methods.coating import Film, films_of, specified_pct
from garboard.methods.criteria import criteria
from garboard.report.document import Block, Drawing
from garboard.report.sections.case import Case


def coatings(case: Case) -> list[Block]:
    """A map of the films, those below the least a place may have ringed; nothing where no station was noted."""
    found = films_of(case.survey, latest(case.survey, "film thickness"))
    try:
        hull = hull_of(case.boat)
    except ValueError:
        return []
    if all(each.place.station_m is None for each in found):
        return []
    view = readings_map(
        hull,
        [_value(each) for each in found],
        what="Dry film as read",
        unit="µm",
    )
    return [
        Drawing(
            svg=view.svg,
            alt=view.alt,
            caption=view.title,
            number=next(case.figures),
            label="figure-films",
            rests_on=tuple(dict.fromkeys(each.entry for each in found)),
        )
    ]


def _value(film: Film) -> Value:
    least = criteria()["coating-least"].limit
    is_thin = film.specified_um is not None and specified_pct(film.film_um, film.specified_um) < least  # fmt: skip
    return Value(
        place=film.place,
        value=film.film_um,
        as_read=f"{film.film_um:g}",
        mark="beyond" if is_thin else "",
    )
