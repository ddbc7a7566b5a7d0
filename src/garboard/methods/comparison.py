"""Comparing two handfuls of readings by their ranks and medians, so that no single odd reading decides.

Pure arithmetic on numbers of one unit; what the numbers mean is the business of the family that calls.
"""

import math
from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from itertools import accumulate, product
from statistics import NormalDist, fmean, median, quantiles, stdev

from garboard.methods.declaration import method

# To be read as the standard deviation of a normal distribution: 1 / Φ⁻¹(3/4) and 2 Φ⁻¹(3/4).
_SIGMA_OF_MAD = 1.482602218506
_IQR_OF_SIGMA = 1.348979500392
_EXACT_UP_TO = 30
_BISECTIONS = 60
# So much smaller than the greatest, what is added changes no digit of a sum.
_NEGLIGIBLE = 1e-30


@method(
    name="Median absolute deviation",
    what_for="The spread of a set of readings, unmoved by one odd reading.",
    symbols={"readings": "any one unit", "result": "same unit"},
    limits="Five readings or more; with many ties it can be zero, see robust_spread.",
    source="Hampel, J. Am. Stat. Assoc. 69 (1974) 383",
    standing="common practice",
    text="memory",
)
def median_deviation(readings: Sequence[float]) -> float:
    """Median distance of the readings from their median.

    Args:
        readings: At least one, any one unit.

    Returns:
        In the unit of the readings, 0 or more.

    Raises:
        ValueError: There is no reading.

    >>> round(median_deviation([4.1, 4.3, 4.0, 4.2, 4.4, 4.2, 9.9, 4.1]), 6)
    0.1
    """
    _some(readings)
    middle = median(readings)
    return median(abs(each - middle) for each in readings)


@method(
    name="Robust spread of a reference",
    what_for="The ordinary scatter of readings over sound dry laminate, as a standard deviation.",
    symbols={
        "readings": "any one unit",
        "step": "smallest step of the scale, same unit",
        "result": "same unit",
    },
    limits=(
        "Never less than half a step of the scale: a spread below that is not seen by the instrument. "
        "Where more than half the readings are equal the quartiles are used in place of the median deviation."
    ),
    source="1.4826 times the median absolute deviation; the floor of half a step is the method's own",
    standing="common practice",
    text="memory",
)
def robust_spread(readings: Sequence[float], step: float) -> float:
    """Spread of the readings, to be read as a standard deviation.

    Args:
        readings: At least two, any one unit.
        step: Smallest step of the scale, same unit; above 0.

    Returns:
        In the unit of the readings, at least half a step.

    Raises:
        ValueError: Fewer than two readings, or a step not above zero.

    >>> round(robust_spread([12, 13, 12, 14, 13, 12, 15, 13, 12, 13, 14, 12], 1), 4)
    1.4826
    """
    if len(readings) < 2:
        raise ValueError(f"A spread needs two readings or more; {len(readings)} given.")
    if not step > 0:
        raise ValueError(f"The step of a scale is above zero; {step} is not.")
    spread = _SIGMA_OF_MAD * median_deviation(readings)
    if spread == 0:
        low, _, high = quantiles(readings, n=4, method="inclusive")
        spread = (high - low) / _IQR_OF_SIGMA
    return max(spread, step / 2)


@method(
    name="Rank-sum chance",
    what_for="Do these readings stand above the reference, or could chance have dealt them so?",
    symbols={"readings": "any one unit", "reference": "same unit", "result": "chance, 0 to 1"},
    limits=(
        "Readings taken to be independent; those a few centimetres apart are not, which makes the chance too "
        "small. Exact without ties up to 30 readings in all, else the normal form with ties and continuity."
    ),
    source="Mann & Whitney, Ann. Math. Stat. 18 (1947) 50; tie correction as in Hollander & Wolfe 1973",
    standing="common practice",
    text="memory",
)
def rank_sum_chance(readings: Sequence[float], reference: Sequence[float]) -> float:
    """Chance of a rank sum as high as this one if readings and reference were alike (one-sided).

    Args:
        readings: At least one, any one unit.
        reference: At least one, same unit.

    Returns:
        0 to 1; small where the readings stand above the reference.

    Raises:
        ValueError: Either is empty.

    >>> permeable = [0.80, 0.83, 1.89, 1.04, 1.45, 1.38, 1.91, 1.64, 0.73, 1.46]
    >>> round(rank_sum_chance(permeable, [1.15, 0.88, 0.90, 0.74, 1.21]), 7)
    0.1272061
    """
    _some(readings)
    _some(reference)
    m, n = len(readings), len(reference)
    above = pairs_above(readings, reference)
    ties = Counter([*readings, *reference])
    if m + n <= _EXACT_UP_TO and len(ties) == m + n:
        counts = _arrangements(m, n)
        return sum(counts[int(above) :]) / sum(counts)
    total = m + n
    tied = sum(each**3 - each for each in ties.values()) / (total * (total - 1))
    variance = m * n / 12 * (total + 1 - tied)
    if variance <= 0:
        return 1.0
    return 1 - NormalDist().cdf((above - m * n / 2 - 0.5) / math.sqrt(variance))


@method(
    name="Pairs above",
    what_for="How often a reading stands above a reference reading, over all pairs.",
    symbols={
        "readings": "any one unit",
        "reference": "same unit",
        "result": "pairs; a tie is half",
    },
    limits="A count; its meaning lies in rank_sum_chance.",
    source="Mann & Whitney, Ann. Math. Stat. 18 (1947) 50",
    standing="common practice",
    text="memory",
)
def pairs_above(readings: Sequence[float], reference: Sequence[float]) -> float:
    """Number of pairs in which the reading is the higher, ties counting half.

    Args:
        readings: Any one unit.
        reference: Same unit.

    >>> pairs_above([2, 3], [1, 2])
    3.5
    """
    ordered = sorted(reference)
    return sum((bisect_left(ordered, each) + bisect_right(ordered, each)) / 2 for each in readings)


@method(
    name="Shift over a reference",
    what_for="By how much readings stand above the reference, with its 95 % interval.",
    symbols={
        "readings": "any one unit",
        "reference": "same unit",
        "result": "shift, low and high end of its 95 % interval, same unit",
    },
    limits="Supposes both scatter alike; the interval is the normal form, good from five readings each.",
    source="Hodges & Lehmann, Ann. Math. Stat. 34 (1963) 598; interval as in Hollander & Wolfe 1973",
    standing="common practice",
    text="memory",
)
def shift(readings: Sequence[float], reference: Sequence[float]) -> tuple[float, float, float]:
    """Median of all differences between a reading and a reference reading, with its 95 % interval.

    Args:
        readings: At least one, any one unit.
        reference: At least one, same unit.

    Returns:
        The shift, and the low and high end of its interval, in the unit of the readings.

    Raises:
        ValueError: Either is empty.

    >>> shift([14, 15, 16], [12, 12, 13])
    (3, 1, 4)
    """
    _some(readings)
    _some(reference)
    m, n = len(readings), len(reference)
    # A scale has few steps, so few differences occur, each of them often.
    times: Counter[float] = Counter()
    for (each, often), (other, as_often) in product(
        Counter(readings).items(), Counter(reference).items()
    ):
        times[each - other] += often * as_often
    differences = sorted(times)
    up_to = list(accumulate(times[each] for each in differences))

    def ranked(rank: int) -> float:
        return differences[bisect_left(up_to, rank)]

    half = NormalDist().inv_cdf(0.975) * math.sqrt(m * n * (m + n + 1) / 12)
    rank = max(1, math.floor(m * n / 2 - half))
    middle = median({ranked((m * n + 1) // 2), ranked(m * n // 2 + 1)})
    return middle, ranked(rank), ranked(m * n + 1 - rank)


@method(
    name="Chances adjusted for many looks",
    what_for="Many places tested at once: holds down the share of false alarms among those declared.",
    symbols={"chances": "one a test, 0 to 1", "result": "adjusted chances, same order"},
    limits="Tests independent or rising together, as neighbours on a hull do.",
    source="Benjamini & Hochberg, J. R. Stat. Soc. B 57 (1995) 289",
    standing="common practice",
    text="second hand",
)
def adjusted_chances(chances: Sequence[float]) -> tuple[float, ...]:
    """Chances adjusted after Benjamini and Hochberg; declare those at or below the wished rate.

    Args:
        chances: One a test, 0 to 1.

    Returns:
        As many, in the same order, each 0 to 1.

    >>> [round(each, 3) for each in adjusted_chances([0.01, 0.04, 0.03, 0.5])]
    [0.04, 0.053, 0.053, 0.5]
    """
    tests = len(chances)
    adjusted = [1.0] * tests
    least = 1.0
    for rank, index in sorted(
        enumerate(sorted(range(tests), key=lambda each: chances[each]), 1), reverse=True
    ):
        least = min(least, tests * chances[index] / rank)
        adjusted[index] = least
    return tuple(adjusted)


@method(
    name="Interval of a share",
    what_for="A share counted over few places, with its 95 % interval.",
    symbols={
        "count": "places counted",
        "of": "places in all",
        "result": "low and high share, 0 to 1",
    },
    limits="Places taken to be independent; neighbours on a hull are not, so the interval is too narrow.",
    source="Clopper & Pearson, Biometrika 26 (1934) 404",
    standing="common practice",
    text="memory",
)
def share_interval(count: int, of: int) -> tuple[float, float]:
    """Exact 95 % interval of a share.

    Args:
        count: Places counted, 0 or more.
        of: Places in all, at least `count` and above 0.

    Returns:
        Low and high share, 0 to 1.

    Raises:
        ValueError: The count is not between 0 and the number in all.

    >>> [round(each, 3) for each in share_interval(10, 16)]
    [0.354, 0.848]
    """
    if not 0 <= count <= of or of == 0:
        raise ValueError(f"{count} of {of} is no share.")
    low = (
        0.0 if count == 0 else _bisected(lambda share: chance_of_as_many(count, of, share) < 0.025)
    )
    high = (
        1.0
        if count == of
        else _bisected(lambda share: chance_of_as_many(count + 1, of, share) < 0.975)
    )
    return low, high


@method(
    name="Chance of as many",
    what_for="How likely a number of chance exceedances is, when each has the same small chance.",
    symbols={
        "count": "places counted",
        "of": "places in all",
        "share": "chance at each place, 0 to 1",
        "result": "chance, 0 to 1",
    },
    limits="Places taken to be independent.",
    source="Binomial distribution; definition",
    standing="common practice",
    text="memory",
)
def chance_of_as_many(count: int, of: int, share: float) -> float:
    """Chance of `count` or more of `of` when each has the chance `share`.

    Args:
        count: 0 or more.
        of: Places in all, 0 or more.
        share: Chance at each place, 0 to 1.

    >>> round(chance_of_as_many(2, 3, 0.5), 3)
    0.5
    """
    if count <= 0:
        return 1.0
    if not 0 < share < 1:
        return float(share >= 1 and count <= of)
    return min(1.0, math.fsum(_binomial_terms(count, of, share)))


@method(
    name="Repeatability of a meter",
    what_for="How far one hand's readings of one place scatter.",
    symbols={
        "groups": "readings by one hand on one day, a row each, any one unit",
        "result": "same unit",
    },
    limits="Rows of equal length on the same place; says nothing of other hands.",
    source="analysis of variance, one way, as in ISO 5725-2",
    standing="standard",
    text="memory",
)
def repeatability(groups: Sequence[Sequence[float]]) -> float:
    """Standard deviation within the rows.

    Args:
        groups: `(k, n)` readings, any one unit; two rows or more of two readings or more.

    Returns:
        In the unit of the readings.

    Raises:
        ValueError: Too few rows or readings, or rows of unequal length.

    >>> round(repeatability([(12, 14), (15, 17)]), 4)
    1.4142
    """
    _balanced(groups)
    return math.sqrt(fmean(stdev(each) ** 2 for each in groups))


@method(
    name="Reproducibility of a meter",
    what_for="How far readings of one place scatter when hands and days differ too.",
    symbols={
        "groups": "readings by one hand on one day, a row each, any one unit",
        "result": "same unit",
    },
    limits="Rows of equal length on the same place; a few hands hardly settle the part between them.",
    source="analysis of variance, one way, as in ISO 5725-2",
    standing="standard",
    text="memory",
)
def reproducibility(groups: Sequence[Sequence[float]]) -> float:
    """Standard deviation within the rows and between them together.

    Args:
        groups: `(k, n)` readings, any one unit; two rows or more of two readings or more.

    Returns:
        In the unit of the readings; at least the repeatability.

    Raises:
        ValueError: Too few rows or readings, or rows of unequal length.

    >>> round(reproducibility([(12, 14), (15, 17)]), 4)
    2.3452
    """
    within = repeatability(groups) ** 2
    between = stdev([fmean(each) for each in groups]) ** 2 - within / len(groups[0])
    return math.sqrt(within + max(0.0, between))


def _balanced(groups: Sequence[Sequence[float]]) -> None:
    lengths = {len(each) for each in groups}
    if len(groups) < 2 or len(lengths) != 1 or min(lengths) < 2:
        raise ValueError(
            "Repeating needs two rows or more of the same two readings or more; rows of "
            f"{', '.join(str(len(each)) for each in groups) or 'nothing'} were given."
        )


def _some(readings: Sequence[float]) -> None:
    if not readings:
        raise ValueError("There is no reading to compare.")


def _binomial_terms(count: int, of: int, share: float) -> Iterator[float]:
    """The chance of exactly `count` of `of`, of one more, and so on until it no longer tells."""
    log_yes, log_no = math.log(share), math.log1p(-share)
    log_ways_all = math.lgamma(of + 1)
    greatest = 0.0
    for k in range(count, of + 1):
        log_ways = log_ways_all - math.lgamma(k + 1) - math.lgamma(of - k + 1)
        term = math.exp(log_ways + k * log_yes + (of - k) * log_no)
        yield term
        greatest = max(greatest, term)
        if term < _NEGLIGIBLE * greatest:
            return


def _arrangements(m: int, n: int) -> list[int]:
    """By u from 0 to m n: the ways m readings among n others can stand above exactly u of the pairs."""
    counts = [1] + [0] * (m * n)
    for i in range(1, m + 1):
        for u in range(m * n, n + i - 1, -1):
            counts[u] -= counts[u - n - i]
        for u in range(i, m * n + 1):
            counts[u] += counts[u - i]
    return counts


def _bisected(is_below: Callable[[float], bool]) -> float:
    low, high = 0.0, 1.0
    for _ in range(_BISECTIONS):
        middle = (low + high) / 2
        low, high = (middle, high) if is_below(middle) else (low, middle)
    return (low + high) / 2
