"""Our methods beside arrays: a moisture map, what soundings could have missed, local statistics.

    python benchmarks/methods.py        # a minute or two, most of it kriging and compiling

Readings and strikes are made up here, roughly on a grid, over the schematic hulls of the demo's boats. Our core
is Python without arrays, as it must run in a browser; the peers are compiled code.

Moisture map of 2,000 readings, 30 of them the dry reference: limits, neighbours, chances, shift, raised areas.
    arrays, outlined  NumPy and SciPy: the same values over the same nets, outlined by the tracer of ours, as they
                      have none
    arrays, counted   the same without outlines; areas are squares of the net, counted
    garboard          moisture_maps, and the rank sum that goes with it, for a boat of unknown shape
    garboard, cut     the same where the hull is known and patches stop at the edges of their part
    pykrige, gstools  the readings kriged every 0.1 m. That is another answer, as it fills in the skin that nobody
                      read, which ours leaves blank

Detectability of 5,000 strikes: the patch met with 95 % probability, and the largest place not struck.
    cKDTree           SciPy and NumPy, over the same net of 20,000 test points
    garboard          detectable_radius_m, unseen_radius_m

Local statistics of the same readings: is more raised round a reading than by accident, adjusted for many looks?
    binomial          SciPy: cKDTree, binom.sf, false_discovery_control
    garboard          spacing, neighbours and exact chances, as moisture_maps works them out
    G*                esda, 999 permutations, one core, weights given. That is another question: whether raised
                      readings gather here, so many being raised; ours is whether a dry hull would show as many.
                      On a hull raised all over, G* finds nothing

How to read the figures. "ms" is the median of five in this process, processor time of all threads, so that others
on the computer disturb it little; each has run once before, but for the kriged maps, which are timed once. "/peer"
is that over the first row, the fastest peer with an equal answer: below 1 ours is faster. "apart" is how far the
answers lie apart at most, as a share of themselves. Compare ratios, never milliseconds of two computers.
"""

import math
import random
import time
import warnings
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import Any

import gstools
import numpy as np
from esda import G_Local
from fold import cpu_s
from libpysal.graph import Graph
from numpy.typing import NDArray
from pykrige.ok import OrdinaryKriging
from scipy import stats
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree
from scipy.spatial.distance import cdist

from garboard.boat.hull import Hull, hull_of
from garboard.dossier.read import read_dossier
from garboard.methods import moisture, patch, sounding
from garboard.methods.comparison import rank_sum_chance
from garboard.methods.criteria import criteria
from garboard.methods.patch import Point, Ring, area_m2, holds
from garboard.methods.zone import panel_of
from garboard.notebook.body import Boat, Place, Reading, ReadingSet
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey, fold
from garboard.notebook.ids import uuid7

DEMO = Path(__file__).parent.parent / "demo"
AT = datetime(2026, 7, 1, 12, tzinfo=UTC)
READINGS, REFERENCES, STRIKES = 2_000, 30, 5_000
PERMUTATIONS = 999
SIDES = ("port", "starboard")
KRIGED_M = 0.1

Floats = NDArray[np.float64]


# The invented readings and strikes


def boat(name: str) -> Boat:
    return fold(read_dossier(DEMO / name, AT).entries).boat


def places(panel: Ring, count: int, dice: random.Random) -> list[Point]:
    """Places all over a panel, roughly on a grid, to the centimetre."""
    step = 0.95 * math.sqrt(area_m2([panel]) / count)
    (left, right), (low, high) = ((min(each), max(each)) for each in zip(*panel, strict=True))
    found = []
    for column in range(math.ceil((right - left) / step)):
        for row in range(math.ceil((high - low) / step)):
            x, y = (at + dice.uniform(-0.25, 0.25) for at in (column, row))
            point = (round(left + (x + 0.5) * step, 2), round(low + (y + 0.5) * step, 2))
            if holds(panel, point):
                found.append(point)
    return dice.sample(found, count)


def readings(hull: Hull) -> tuple[Reading, ...]:
    """A dry reference, and a bottom read on both sides: dry but for a few patches and single places."""
    dice = random.Random(0)
    found = [
        Reading(
            place=Place(part="topside-laminate", side="port", station_m=1 + 0.25 * n, level_m=0.7),
            as_read=f"{dice.gauss(13, 1.3):.0f}",
            reference=True,
        )
        for n in range(REFERENCES)
    ]
    for side in SIDES:
        panel = panel_of(("bottom-moisture", side, None), hull)
        read = places(panel, (READINGS - REFERENCES) // 2, dice)
        wet = [(place, dice.uniform(0.2, 0.6)) for place in dice.sample(read, 6)]
        for point in read:
            depth = max(1 - math.dist(point, place) / across for place, across in wet)
            value = dice.gauss(13, 1.3) + 18 * max(0.0, depth)
            place = Place(part="bottom-moisture", side=side, station_m=point[0], level_m=point[1])
            found.append(Reading(place=place, as_read=f"{value:.0f}"))
    return tuple(found)


def survey(read: Sequence[Reading], of: Boat) -> Survey:
    body = ReadingSet(
        name="bottom",
        quantity="moisture",
        unit="scale units",
        instrument="meter 1",
        readings=tuple(read),
    )
    return fold(
        Entry(
            id=str(uuid7(AT, number)),
            survey=str(uuid7(AT, 0)),
            at=AT,
            author="Ines Caldervane",
            device="tablet-1",
            body=each,
        )
        for number, each in enumerate((of, body), 1)
    )


# The same with arrays


@dataclass(frozen=True, slots=True, kw_only=True)
class ArrayMap:
    raised: NDArray[np.bool_]
    chances: Floats
    areas: list[float]
    shift: tuple[float, ...]
    share: tuple[float, float]
    rank_sum: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Neighbourhoods:
    """The readings of one side: by pair who is near whom, and how many are raised in how many."""

    points: Floats
    raised: NDArray[np.bool_]
    spacing_m: float
    pairs: NDArray[np.intp]
    counts: Floats
    sizes: NDArray[np.intp]


def map_with_arrays(read: Sequence[Reading], *, is_outlined: bool) -> ArrayMap:
    values = np.array([float(each.as_read) for each in read])
    is_reference = np.array([each.reference for each in read])
    dry, hull = values[is_reference], values[~is_reference]
    spread = max(1.482602218506 * stats.median_abs_deviation(dry), 0.5)
    departures = (values - np.median(dry)) / spread
    raised = departures > criteria()["moisture-raised"].limit
    around = neighbourhoods(read, raised)
    differences = np.sort(np.subtract.outer(hull, dry), axis=None)
    pairs = len(differences)
    half = stats.norm.ppf(0.975) * math.sqrt(pairs * (len(values) + 1) / 12)
    rank = math.floor(pairs / 2 - half)
    share = stats.binomtest(int(raised[~is_reference].sum()), len(hull)).proportion_ci(0.95)
    u_test = stats.mannwhitneyu(hull, dry, alternative="greater", method="asymptotic")
    return ArrayMap(
        raised=raised[~is_reference],
        chances=chances(around),
        areas=areas(around, is_outlined),
        shift=(np.median(differences), differences[rank - 1], differences[pairs - rank]),
        share=(share.low, share.high),
        rank_sum=u_test.pvalue,
    )


def neighbourhoods(read: Sequence[Reading], raised: NDArray[np.bool_]) -> list[Neighbourhoods]:
    at = np.array([(each.place.station_m, each.place.level_m) for each in read])
    side = np.array(["" if each.reference else each.place.side for each in read])
    return [neighbourhood(at[side == each], raised[side == each]) for each in SIDES]


def neighbourhood(points: Floats, raised: NDArray[np.bool_]) -> Neighbourhoods:
    tree = cKDTree(points)
    spacing_m = float(np.median(tree.query(points, k=2)[0][:, 1]))
    pairs = tree.query_pairs(patch.LINK * spacing_m, output_type="ndarray")
    both = np.concatenate([pairs, pairs[:, ::-1]])
    many = len(points)
    return Neighbourhoods(
        points=points,
        raised=raised,
        spacing_m=spacing_m,
        pairs=pairs,
        counts=raised + np.bincount(both[:, 0], raised[both[:, 1]], many),
        sizes=1 + np.bincount(both[:, 0], minlength=many),
    )


def chances(around: Sequence[Neighbourhoods]) -> Floats:
    counts = np.concatenate([each.counts for each in around])
    sizes = np.concatenate([each.sizes for each in around])
    share = moisture.false_alarm_share(REFERENCES)
    return stats.false_discovery_control(stats.binom.sf(counts - 1, sizes, share))


def areas(around: Sequence[Neighbourhoods], is_outlined: bool) -> list[float]:
    found = []
    for each in around:
        hang = each.pairs[each.raised[each.pairs].all(axis=1)]
        linked = coo_array((np.ones(len(hang)), hang.T), shape=(len(each.points),) * 2)
        _, groups = connected_components(linked, directed=False)
        reach = patch.REACH * each.spacing_m
        clear = each.points[~each.raised]
        for group in np.unique(groups[each.raised]):
            depths, step = net(each.points[each.raised & (groups == group)], clear, reach)
            squares = area_m2(patch._rings(depths.tolist())) if is_outlined else np.sum(depths > 0)
            found.append(squares * step**2)
    return found


def net(inside: Floats, clear: Floats, reach: float) -> tuple[Floats, float]:
    """How deep the squares of our net lie in a patch, and how wide a square is."""
    step = reach / 10
    low, high = inside.min(axis=0) - reach, inside.max(axis=0) + reach
    close = clear[((clear >= low - reach) & (clear <= high + reach)).all(axis=1)]
    first = low - 1.5 * step
    many = np.ceil((high + 1.5 * step - first) / step).astype(int) + 1
    across, up = (first[axis] + np.arange(many[axis]) * step for axis in (0, 1))
    points = np.stack(np.meshgrid(across, up), axis=-1).reshape(-1, 2)
    # For so few readings quicker than a tree.
    within, beyond = (cdist(points, each).min(axis=1, initial=np.inf) for each in (inside, close))
    depths = np.minimum(reach - within, (beyond - within) / 2)
    return depths.reshape(len(up), len(across)), step


def kriged(krige: Callable[..., Any], read: Sequence[Reading]) -> None:
    """Each side kriged on a net over all of it."""
    for side in SIDES:
        here = [each for each in read if not each.reference and each.place.side == side]
        x, y, values = np.array(
            [(each.place.station_m, each.place.level_m, each.value) for each in here]
        ).T
        krige(x, y, values, *(np.arange(each.min(), each.max(), KRIGED_M) for each in (x, y)))


def kriged_by_pykrige(x: Floats, y: Floats, values: Floats, across: Floats, up: Floats) -> None:
    OrdinaryKriging(x, y, values, variogram_model="exponential").execute("grid", across, up)


def kriged_by_gstools(x: Floats, y: Floats, values: Floats, across: Floats, up: Floats) -> None:
    model = gstools.Exponential(dim=2)
    model.fit_variogram(*gstools.vario_estimate((x, y), values))
    gstools.krige.Ordinary(model, (x, y), values, pseudo_inv=False).structured((across, up))


def far_from_strikes(strikes: Sequence[Point], panel: Ring) -> tuple[cKDTree, Floats]:
    """Distances of our net's points from the nearest strike."""
    corners = np.array(panel)
    x1, y1 = corners.T
    x2, y2 = np.roll(corners, -1, axis=0).T
    step = math.sqrt(abs(np.sum(x1 * y2 - x2 * y1)) / 2 / sounding._NET_POINTS)
    columns = max(1, round((x1.max() - x1.min()) / step))
    along = np.arange(columns) + 0.5
    x = x1.min() + along * (x1.max() - x1.min()) / columns
    first = along * sounding._GOLDEN % 1
    crossing = (x1 > x[:, None]) != (x2 > x[:, None])
    with np.errstate(divide="ignore", invalid="ignore"):
        y = y1 + (x[:, None] - x1) * (y2 - y1) / (x2 - x1)
    # These panels are crossed twice at each station.
    low = np.min(y, axis=1, where=crossing, initial=np.inf)
    high = np.max(y, axis=1, where=crossing, initial=-np.inf)
    rows = np.round((high - low) / step).astype(int)
    column = np.repeat(np.arange(columns), rows)
    row = np.arange(len(column)) - np.repeat(np.cumsum(rows) - rows, rows)
    level = low[column] + (row + first[column]) * ((high - low) / rows)[column]
    tree = cKDTree(strikes)
    return tree, tree.query(np.column_stack([x[column], level]))[0]


def detectable_with_arrays(strikes: Sequence[Point], panel: Ring) -> float:
    _, distances = far_from_strikes(strikes, panel)
    return float(np.quantile(distances, sounding.CHANCE, method="inverted_cdf"))


def unseen_with_arrays(strikes: Sequence[Point], panel: Ring) -> float:
    tree, distances = far_from_strikes(strikes, panel)
    return float(max(distances.max(), tree.query(panel)[0].max()))


def weights_of(around: Sequence[Neighbourhoods]) -> Graph:
    """Who is near whom; the sides lie a kilometre apart."""
    points = np.concatenate(
        [each.points + np.array([1000 * n, 0]) for n, each in enumerate(around)]
    )
    return Graph.build_distance_band(points, patch.LINK * max(each.spacing_m for each in around))


def g_star(raised: Floats, weights: Graph) -> Floats:
    """Adjusted chances of as many raised readings in a neighbourhood, so many being raised in all."""
    with warnings.catch_warnings(), np.errstate(invalid="ignore"):
        # It warns of what a later version will call its chances.
        warnings.simplefilter("ignore")
        found = G_Local(
            raised, weights, transform="B", permutations=PERMUTATIONS, star=1.0, seed=0, n_jobs=1
        )
    # The chance of either end, whichever it lies at.
    return stats.false_discovery_control(np.where(found.Zs > 0, found.p_sim, 1.0))


# Ours


def our_map(of: Survey) -> tuple[moisture.MoistureMap, float]:
    (found,) = moisture.moisture_maps(of)
    hull = [each.value for each in found.readings if each.departure is not None]
    return found, rank_sum_chance(hull, found.reference.values)


def our_chances(read: ReadingSet, is_raised: Sequence[bool]) -> list[float]:
    placed = tuple(moisture._placed(read))
    return list(moisture._neighbourhood_chances(placed, is_raised, REFERENCES).values())


# The tables


def show(title: str, ways: Mapping[str, Callable[[], object]], slow: Sequence[str] = ()) -> None:
    """A row for each way, beside the first."""
    print(f"\n{title:<52}{'ms':>9}{'/peer':>9}")
    times: dict[str, float] = {}
    for name, way in ways.items():
        if name in slow:
            times[name] = once_s(way)
        else:
            way()
            times[name] = cpu_s(way)
        ratio = times[name] / next(iter(times.values()))
        print(f"    {name:<48}{1000 * times[name]:>9.1f}{ratio:>9.2f}", flush=True)
    ratio = times["garboard"] / next(iter(times.values()))
    print(f"    {'met' if ratio <= 1 else 'NOT met'}: no slower than the fastest peer: {ratio:.2f}")


def once_s(act: Callable[[], object]) -> float:
    began = time.process_time()
    act()
    return time.process_time() - began


def show_apart(what: str, ours: Iterable[float], theirs: Iterable[float]) -> None:
    both = np.array([list(ours), list(theirs)])
    print(f"    apart, {what}: {np.max(abs(both[0] - both[1]) / abs(both).max(axis=0)):.1e}")


def moisture_map(read: Sequence[Reading], of: Boat) -> None:
    bare, known = (survey(read, each) for each in (Boat(name=of.name), of))
    show(
        f"Moisture map of {len(read):,} readings",
        {
            "arrays, outlined": partial(map_with_arrays, read, is_outlined=True),
            "arrays, counted": partial(map_with_arrays, read, is_outlined=False),
            "garboard": partial(our_map, bare),
            "garboard, cut": partial(our_map, known),
            "pykrige": partial(kriged, kriged_by_pykrige, read),
            "gstools": partial(kriged, kriged_by_gstools, read),
        },
        slow=("pykrige", "gstools"),
    )
    found, rank_sum = our_map(bare)
    theirs = map_with_arrays(read, is_outlined=True)
    ours = sorted(each.area_m2 for each in found.areas)
    print(
        f"    {found.raised} readings raised, {theirs.raised.sum()} with arrays; {len(ours)} areas"
    )
    show_apart(
        "chances",
        (each.chance for each in found.readings if each.chance is not None),
        theirs.chances,
    )
    show_apart("areas outlined", ours, sorted(theirs.areas))
    show_apart("areas counted", ours, sorted(map_with_arrays(read, is_outlined=False).areas))
    show_apart(
        "shift, share and rank sum",
        (*found.shift, *found.raised_share, rank_sum),
        (*theirs.shift, *theirs.share, theirs.rank_sum),
    )


def detectability(struck: Sequence[Point], panel: Ring) -> None:
    for what, ours, theirs in (
        ("Patch met with 95 %", sounding.detectable_radius_m, detectable_with_arrays),
        ("Largest place not struck", sounding.unseen_radius_m, unseen_with_arrays),
    ):
        show(
            f"{what}, {len(struck):,} strikes",
            {"cKDTree": partial(theirs, struck, panel), "garboard": partial(ours, struck, panel)},
        )
        show_apart("radius", [ours(struck, panel)], [theirs(struck, panel)])


def local_statistics(read: Sequence[Reading], of: Boat) -> None:
    (entry,) = survey(read, of).of(ReadingSet)
    found, _ = our_map(survey(read, of))
    is_raised = [each.judged in ("raised", "much raised") for each in found.readings]
    around = neighbourhoods(read, np.array(is_raised))
    raised = np.concatenate([each.raised for each in around]).astype(float)
    weights = weights_of(around)
    show(
        f"Local statistics of {len(raised):,} readings",
        {
            "binomial": lambda: chances(neighbourhoods(read, np.array(is_raised))),
            "garboard": partial(our_chances, entry.body, is_raised),
            f"G*, {PERMUTATIONS} permutations": partial(g_star, raised, weights),
        },
    )
    ours = np.array(our_chances(entry.body, is_raised))
    show_apart("chances", ours, chances(around))
    rate = criteria()["moisture-neighbourhood"].limit
    here, gathered = ours <= rate, g_star(raised, weights) <= rate
    print(
        f"    more raised than by accident: {here.sum()} neighbourhoods; G* {gathered.sum()}, "
        f"of which {(here & gathered).sum()} the same"
    )


def main() -> None:
    quillet, harrowmere = boat("quillet"), boat("harrowmere")
    read = readings(hull_of(quillet))
    panel = panel_of(("bottom-plating", "port", None), hull_of(harrowmere))
    moisture_map(read, quillet)
    detectability(places(panel, STRIKES, random.Random(1)), panel)
    local_statistics(read, quillet)


if __name__ == "__main__":
    main()
