"""Blisters and coatings described on open scales, so that another person can say whether they grew.

An observation that speaks of blisters carries their count, and as its length and width the patch looked at; sizes are
read from words such as "2 to 13 mm across". The scales are those of paint films and are used for gelcoat by analogy.
"""

import re
from collections.abc import Callable, Iterator
from itertools import pairwise
from math import exp, inf, lgamma, log, pi, sqrt
from typing import Literal

from garboard.catalogue.naming import named
from garboard.methods.declaration import method
from garboard.methods.result import Result
from garboard.notebook.body import Observation
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey

Size = Literal["S2", "S3", "S4", "S5"]
RustGrade = Literal["Ri 0", "Ri 1", "Ri 2", "Ri 3", "Ri 4", "Ri 5"]

CAUTION = (
    "Blister fluid is under pressure, acid, and may hold styrene: goggles and gloves, and the owner's consent before "
    "one is opened."
)

_BISECTIONS = 80
# Upper end of each size in mm; the last has none.
_SIZES: tuple[tuple[float, Size], ...] = ((0.2, "S2"), (0.5, "S3"), (5.0, "S4"), (inf, "S5"))
_RUSTED: tuple[tuple[float, RustGrade], ...] = (
    (0.05, "Ri 1"),
    (0.5, "Ri 2"),
    (1.0, "Ri 3"),
    (8.0, "Ri 4"),
    (45.0, "Ri 5"),
)
# Upper end of the rusted area of each rating, %, from 10 down.
_RATED = (0.01, 0.03, 0.1, 0.3, 1.0, 3.0, 10.0, 16.0, 33.0, 50.0)
_FLAKED = (0.1, 0.3, 1.0, 3.0, 15.0)
_FLAKES_MM = (1.0, 3.0, 10.0, 30.0, inf)
_NONE_SEEN = re.compile(r"\b(?:no|without|free of) (?:\w+ )?blister\w*")
_ACROSS = re.compile(r"(?:(\d+(?:\.\d+)?)\s*(?:to|-|–)\s*)?(\d+(?:\.\d+)?)\s*mm across")


@method(
    name="Interval of a count",
    what_for="What a count of blisters in one patch is worth.",
    symbols={"count": "blisters counted", "result": "low and high end of its 95 % interval"},
    limits="Blisters scattered at random; they often stand in groups, and then the interval is too narrow.",
    source="exact Poisson interval (Garwood, Biometrika 28 (1936) 437)",
    standing="common practice",
    text="memory",
)
def count_interval(count: int) -> tuple[float, float]:
    """The means under which a count so small, or so great, has a chance of 2.5 %.

    Args:
        count: 0 or more.

    Returns:
        Low and high end.

    Raises:
        ValueError: The count is negative.

    >>> [round(each, 1) for each in count_interval(17)]
    [9.9, 27.2]
    """
    if count < 0:
        raise ValueError(f"A count is 0 or more; {count} was given.")
    high = _mean_for(lambda mean: _chance_of_at_most(count, mean) > 0.025, count)
    if count == 0:
        return 0.0, high
    low = _mean_for(lambda mean: _chance_of_at_most(count - 1, mean) > 0.975, count)
    return low, high


@method(
    name="Density of blisters",
    what_for="How closely blisters stand, as a number that needs no pictures.",
    symbols={"count": "blisters counted", "area_m2": "of the patch, m²", "result": "in 0.1 m²"},
    limits="The patch counted; it may have been chosen for its blisters.",
    source="definition",
    standing="common practice",
    text="read",
)
def density_per_tenth_m2(count: float, area_m2: float) -> float:
    """Count over area, for a tenth of a square metre.

    Args:
        count: 0 or more.
        area_m2: Above 0.

    Returns:
        Blisters in 0.1 m².

    Raises:
        ValueError: An argument is out of its range.

    >>> round(density_per_tenth_m2(17, 0.09), 1)
    18.9
    """
    if count < 0 or area_m2 <= 0:
        raise ValueError(
            f"A density needs a count of 0 or more and an area above 0; {count:g} and {area_m2:g} m² were given."
        )
    return count / area_m2 * 0.1


@method(
    name="Area under blisters",
    what_for="What share of the patch is lifted.",
    symbols={
        "count": "blisters counted",
        "across_mm": "typical size, mm across",
        "area_m2": "of the patch, m²",
        "result": "%",
    },
    limits="Round blisters of one typical size.",
    source="geometry",
    standing="common practice",
    text="read",
)
def blistered_pct(count: int, across_mm: float, area_m2: float) -> float:
    """Discs over patch.

    Args:
        count: 0 or more.
        across_mm: 0 or more, mm.
        area_m2: Above 0.

    Returns:
        Per cent.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(blistered_pct(17, 6, 0.09), 3)
    0.534
    """
    if count < 0 or across_mm < 0 or area_m2 <= 0:
        raise ValueError(
            "A share needs a count and a size of 0 or more and an area above 0; "
            f"{count}, {across_mm:g} mm and {area_m2:g} m² were given."
        )
    return 100 * count * pi * (across_mm / 1000) ** 2 / 4 / area_m2


@method(
    name="Size of blisters, ISO 4628-2",
    what_for="The size class of a blister, to be written beside its size in mm.",
    symbols={"across_mm": "mm across", "result": "S2 to S5"},
    limits="Meant for paint films; for gelcoat by analogy. The quantity class is by pictures and is not computed.",
    source="ISO 4628-2:2016 with the sizes of ISO 4628-1; scope and clauses 3 and 4 read in part, the sizes from memory",
    standing="standard",
    text="memory",
)
def size_class(across_mm: float) -> Size:
    """The class whose size it does not exceed.

    Args:
        across_mm: mm; above 0.

    Returns:
        S2 to 0.2 mm, S3 to 0.5, S4 to 5, S5 above.

    Raises:
        ValueError: The size is not above zero.

    >>> size_class(13)
    'S5'
    """
    if across_mm <= 0:
        raise ValueError(f"A blister is larger than nothing; {across_mm:g} mm was given.")
    return next(size for upper, size in _SIZES if across_mm <= upper)


@method(
    name="Degree of rusting, ISO 4628-3",
    what_for="The degree that a rusted share of a coated surface stands for.",
    symbols={"rusted_pct": "% of the surface", "result": "Ri 0 to Ri 5"},
    limits=(
        "The standard judges by pictures; a measured share goes to the degree nearest to it by ratio, which is this "
        "library's choice."
    ),
    source="ISO 4628-3:2016; scope read, shares of 0, 0.05, 0.5, 1, 8 and 40 to 50 % from memory",
    standing="standard",
    text="memory",
)
def rust_degree(rusted_pct: float) -> RustGrade:
    """The nearest degree on a scale of ratios.

    Args:
        rusted_pct: 0 to 100.

    Returns:
        Ri 0 to Ri 5.

    Raises:
        ValueError: The share is out of its range.

    >>> rust_degree(0), rust_degree(2)
    ('Ri 0', 'Ri 3')
    """
    _share(rusted_pct)
    if rusted_pct == 0:
        return "Ri 0"
    for (share, degree), (next_share, _) in pairwise(_RUSTED):
        if rusted_pct < sqrt(share * next_share):
            return degree
    return "Ri 5"


@method(
    name="Rust rating, ASTM D610",
    what_for="The rating that a rusted share of a painted steel surface stands for.",
    symbols={"rusted_pct": "% of the surface", "result": "10 down to 0"},
    limits="The letters for spot, general, pinpoint and hybrid rusting are the eye's and are not computed.",
    source="ASTM D610 (2008, 2012), table 1",
    standing="standard",
    text="read",
)
def rust_rating(rusted_pct: float) -> int:
    """The highest rating whose share is not passed.

    Args:
        rusted_pct: 0 to 100.

    Returns:
        10 for the least to 0 for the most.

    Raises:
        ValueError: The share is out of its range.

    >>> rust_rating(0.01), rust_rating(2), rust_rating(60)
    (10, 5, 0)
    """
    _share(rusted_pct)
    return 10 - sum(rusted_pct > upper for upper in _RATED)


@method(
    name="Quantity of flaking, ISO 4628-5",
    what_for="The class that a flaked share of a coating stands for.",
    symbols={"flaked_pct": "% of the surface", "result": "0 to 5"},
    limits="A measured share goes to the class nearest to it by ratio, which is this library's choice.",
    source="ISO 4628-5; shares of 0, 0.1, 0.3, 1, 3 and 15 %",
    standing="standard",
    text="memory",
)
def flaking_quantity(flaked_pct: float) -> int:
    """The nearest class on a scale of ratios.

    Args:
        flaked_pct: 0 to 100.

    Returns:
        0 to 5.

    Raises:
        ValueError: The share is out of its range.

    >>> flaking_quantity(0), flaking_quantity(1.1), flaking_quantity(20)
    (0, 3, 5)
    """
    _share(flaked_pct)
    if flaked_pct == 0:
        return 0
    return 1 + sum(flaked_pct >= sqrt(low * high) for low, high in pairwise(_FLAKED))


@method(
    name="Size of flakes, ISO 4628-5",
    what_for="The size class of flakes.",
    symbols={"across_mm": "largest extent, mm", "result": "1 to 5"},
    limits="The largest flakes seen.",
    source="ISO 4628-5; sizes up to 1, 3, 10 and 30 mm",
    standing="standard",
    text="memory",
)
def flaking_size(across_mm: float) -> int:
    """The class whose size it does not exceed.

    Args:
        across_mm: mm; above 0.

    Returns:
        1 to 5.

    Raises:
        ValueError: The size is not above zero.

    >>> flaking_size(8)
    3
    """
    if across_mm <= 0:
        raise ValueError(f"A flake is larger than nothing; {across_mm:g} mm was given.")
    return 1 + sum(across_mm > upper for upper in _FLAKES_MM[:-1])


def results(survey: Survey) -> tuple[Result, ...]:
    """For each observation of blisters: how closely they stand and their size class; "cannot say" without a patch."""
    return tuple(
        result
        for entry in survey.of(Observation)
        if _speaks_of_blisters(entry.body)
        for result in _of_patch(entry)
    )


def _speaks_of_blisters(body: Observation) -> bool:
    return "blister" in _NONE_SEEN.sub("", body.seen.casefold())


def _of_patch(entry: Entry[Observation]) -> Iterator[Result]:
    body = entry.body
    where = named(body.place)
    sizes = _sizes_mm(body.seen)
    if body.count is None or not body.length_mm or not body.width_mm:
        yield Result(
            method="blisters.density_per_tenth_m2",
            what=f"density of blisters at {where}",
            value=None,
            unit="in 0.1 m²",
            verdict="cannot say",
            used=(entry.id,),
            place=body.place,
            caveats=(
                "Count and patch were not both noted; count them in a frame, its sides as length and width.",
                *_classed(sizes),
            ),
        )
        return
    area_m2 = body.length_mm * body.width_mm / 1e6
    low, high = (density_per_tenth_m2(each, area_m2) for each in count_interval(body.count))
    yield Result(
        method="blisters.density_per_tenth_m2",
        what=f"density of blisters at {where}",
        value=density_per_tenth_m2(body.count, area_m2),
        unit="in 0.1 m²",
        verdict="not comparable",
        used=(entry.id,),
        uncertainty=density_per_tenth_m2(sqrt(body.count), area_m2),
        place=body.place,
        caveats=(
            f"{body.count} counted in {area_m2:.2g} m²: {low:.1f} to {high:.1f} with 95 % confidence, were they "
            "scattered at random.",
            *_classed(sizes),
            *_lifted(body.count, sizes, area_m2),
            "No limit is held: a density describes, and does not say why they came.",
            CAUTION,
        ),
    )


def _classed(sizes_mm: tuple[float, float] | None) -> tuple[str, ...]:
    if sizes_mm is None:
        return ("Their size was not noted in mm across.",)
    low, high = size_class(sizes_mm[0]), size_class(sizes_mm[1])
    classes = high if low == high else f"{low} to {high}"
    return (
        f"Up to {sizes_mm[1]:g} mm across, size {classes} of ISO 4628-2 (sizes from memory), a scale of paint films.",
    )


def _lifted(count: int, sizes_mm: tuple[float, float] | None, area_m2: float) -> tuple[str, ...]:
    if sizes_mm is None:
        return ()
    low, high = (blistered_pct(count, each, area_m2) for each in sizes_mm)
    share = f"{high:.2g} %" if low == high else f"between {low:.2g} and {high:.2g} %"
    return (f"They lift {share} of the patch, were all of one size.",)


def _sizes_mm(words: str) -> tuple[float, float] | None:
    """The least and the greatest size that words give, mm across."""
    found = [
        float(each)
        for match in _ACROSS.finditer(words.casefold())
        for each in match.groups()
        if each and float(each) > 0
    ]
    return (min(found), max(found)) if found else None


def _share(pct: float) -> None:
    if not 0 <= pct <= 100:
        raise ValueError(f"A share of a surface lies from 0 to 100 %; {pct:g} was given.")


def _chance_of_at_most(count: int, mean: float) -> float:
    if mean == 0:
        return 1.0
    return sum(exp(k * log(mean) - mean - lgamma(k + 1)) for k in range(count + 1))


def _mean_for(is_below: Callable[[float], bool], count: int) -> float:
    low, high = 0.0, count + 10 * sqrt(count + 1) + 10
    for _ in range(_BISECTIONS):
        middle = (low + high) / 2
        low, high = (middle, high) if is_below(middle) else (low, middle)
    return (low + high) / 2
