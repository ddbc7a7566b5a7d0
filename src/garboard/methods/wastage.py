"""How fast plate wastes between two surveys, and how long it lasts: screening, never a promise.

Losses are of the same places read twice. A life is given by its lower bound, since a life without its doubt
misleads.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, hypot, lgamma, log, sqrt
from statistics import NormalDist, fmean, stdev

from garboard.methods.declaration import method
from garboard.methods.gauge import GaugeDoubt
from garboard.methods.plating import mean_uncertainty_mm

ONE_SIDED = 0.95
"""Confidence of the one-sided bounds."""

DAYS_A_YEAR = 365.25
SHORTEST_INTERVAL_Y = 1.0
LONGEST_INTERVAL_Y = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Wastage:
    """A rate between two surveys and the life it leaves.

    `rate_mm_per_y` with its standard `uncertainty_mm_per_y` and `upper_mm_per_y`, its one-sided 95 % bound;
    `life_y` at the rate, and `shortest_y` its lower bound, both None where no limit is known, `life_y` also
    where no loss stands clear of the readings' doubt. `places` were read twice, `years` apart.
    """

    rate_mm_per_y: float
    uncertainty_mm_per_y: float
    upper_mm_per_y: float
    places: int
    years: float
    life_y: float | None = None
    shortest_y: float | None = None

    @property
    def is_shown(self) -> bool:
        """Whether the loss stands clear of its doubt: more than twice the standard uncertainty."""
        return self.rate_mm_per_y > 2 * self.uncertainty_mm_per_y


@method(
    name="Rate of wastage",
    what_for="Thickness lost a year between two readings of one place.",
    symbols={
        "earlier_mm": "mm",
        "now_mm": "mm",
        "years": "between the readings, years",
        "result": "mm a year",
    },
    limits=(
        "Uniform loss in unchanged service; not pits, nor across a re-coating, new anodes or a changed berth. "
        "A year or more between the readings."
    ),
    source="API 510, 10th edition, 7.1.1 (corrosion rate between two inspections), borrowed from process plant",
    standing="common practice",
    text="second hand",
)
def rate_mm_per_y(earlier_mm: float, now_mm: float, years: float) -> float:
    """Loss a year; negative where the place reads thicker than before.

    Args:
        earlier_mm: Read at the earlier survey, mm.
        now_mm: Read now, mm.
        years: Between the two; above 0.

    Returns:
        mm a year.

    Raises:
        ValueError: The time is not above zero.

    >>> round(rate_mm_per_y(7.8, 3.24, 15), 3)
    0.304
    """
    if years <= 0:
        raise ValueError(f"A rate needs time between the surveys; {years:g} years were given.")
    return (earlier_mm - now_mm) / years


@method(
    name="Standard uncertainty of a rate",
    what_for="Whether a loss stands clear of what the gauges can tell.",
    symbols={
        "earlier_u_mm": "standard uncertainty, mm",
        "now_u_mm": "standard uncertainty, mm",
        "years": "between the readings, years",
        "result": "mm a year",
    },
    limits="The two surveys taken as independent.",
    source="law of propagation, JCGM 100:2008, 5.1",
    standing="guidance",
    text="second hand",
)
def rate_uncertainty_mm_per_y(earlier_u_mm: float, now_u_mm: float, years: float) -> float:
    """Root of the summed squares, over the years.

    Args:
        earlier_u_mm: Standard uncertainty of the earlier thickness, mm; 0 or more.
        now_u_mm: Of the present one, mm; 0 or more.
        years: Between the two; above 0.

    Returns:
        Standard uncertainty, mm a year.

    Raises:
        ValueError: The time is not above zero.

    >>> round(rate_uncertainty_mm_per_y(0.1, 0.1, 5), 4)
    0.0283
    """
    if years <= 0:
        raise ValueError(f"A rate needs time between the surveys; {years:g} years were given.")
    return sqrt(earlier_u_mm**2 + now_u_mm**2) / years


@method(
    name="Mean loss of places read twice",
    what_for="How much thinner a panel has become, place by place.",
    symbols={
        "earlier_mm": "readings at the earlier survey, mm",
        "now_mm": "readings at the same places in the same order, mm",
        "result": "mm",
    },
    limits="The same spots within the probe's footprint, paint counted alike; a mean hides pits.",
    source="mean of paired differences",
    standing="common practice",
    text="read",
)
def mean_loss_mm(earlier_mm: Sequence[float], now_mm: Sequence[float]) -> float:
    """Mean of earlier less now.

    Args:
        earlier_mm: `(n,)` readings, mm; at least one.
        now_mm: `(n,)` readings at the same places, mm.

    Returns:
        mm; negative where the places read thicker.

    Raises:
        ValueError: No places, or not as many now as before.

    >>> round(mean_loss_mm((9.8, 9.7), (9.5, 9.5)), 3)
    0.25
    """
    return fmean(_differences(earlier_mm, now_mm))


@method(
    name="Standard uncertainty of a mean loss",
    what_for="The doubt about a panel's loss: scatter of the places, and both gauges.",
    symbols={
        "earlier_mm": "readings at the earlier survey, mm",
        "now_mm": "readings at the same places, mm",
        "reading_u_mm": "standard uncertainty of one difference, both gauges together, mm",
        "common_u_mm": "the part of it common to all places, mm",
        "result": "mm",
    },
    limits="More places lessen the scatter, not what a gauge does to all its readings alike.",
    source="law of propagation, JCGM 100:2008, 5.1",
    standing="guidance",
    text="second hand",
)
def mean_loss_uncertainty_mm(
    earlier_mm: Sequence[float],
    now_mm: Sequence[float],
    reading_u_mm: float,
    common_u_mm: float,
) -> float:
    """Scatter, not below that of one difference, over the root of the number; and the common part.

    Args:
        earlier_mm: `(n,)` readings, mm; at least one.
        now_mm: `(n,)` readings at the same places, mm.
        reading_u_mm: Standard uncertainty of one difference, mm; 0 or more.
        common_u_mm: The part of it common to all places, mm; 0 to `reading_u_mm`.

    Returns:
        Standard uncertainty, mm.

    Raises:
        ValueError: No places, or not as many now as before.
    """
    losses = _differences(earlier_mm, now_mm)
    own = max(0.0, reading_u_mm**2 - common_u_mm**2)
    scatter = stdev(losses) ** 2 if len(losses) > 1 else 0.0
    return sqrt(max(own, scatter) / len(losses) + common_u_mm**2)


@method(
    name="Remaining life",
    what_for="Years until the plate reaches its limit at a steady rate.",
    symbols={
        "now_mm": "mm",
        "required_mm": "thickness at which the plate is renewed, mm",
        "rate_mm_per_y": "mm a year",
        "result": "years",
    },
    limits="As for the rate; a best estimate: print it with its lower bound only.",
    source="API 510, 10th edition, 7.2.1 (remaining life), borrowed from process plant",
    standing="common practice",
    text="second hand",
    defer="The naval architect or class surveyor decides what thickness is required.",
)
def remaining_life_y(now_mm: float, required_mm: float, rate_mm_per_y: float) -> float:
    """Margin over rate; 0 where the limit is reached.

    Args:
        now_mm: Thickness now, mm.
        required_mm: At which it is renewed, mm.
        rate_mm_per_y: Loss a year, mm; above 0.

    Returns:
        Years, 0 or more.

    Raises:
        ValueError: The rate is not above zero.

    >>> round(remaining_life_y(3.24, 0.37, 0.34), 3)
    8.441
    """
    if rate_mm_per_y <= 0:
        raise ValueError(f"A life needs a loss; the rate is {rate_mm_per_y:g} mm a year.")
    return max(0.0, (now_mm - required_mm) / rate_mm_per_y)


@method(
    name="Shortest likely life",
    what_for="The life that holds with about 95 % confidence.",
    symbols={
        "now_mm": "mm",
        "now_u_mm": "standard uncertainty, mm",
        "required_mm": "mm",
        "rate_mm_per_y": "mm a year",
        "rate_u_mm_per_y": "standard uncertainty, mm a year",
        "factor": "one-sided coverage factor",
        "result": "years",
    },
    limits=(
        "A screening bound, slightly low: thickness and rate are both taken at their worse end, although a low "
        "reading now worsens both at once."
    ),
    source="one-sided bounds of margin and rate; agrees with a simulation to about 0.2 of 3 years",
    standing="working figure",
    text="read",
    defer="The naval architect or class surveyor decides what thickness is required.",
)
def shortest_life_y(
    now_mm: float,
    now_u_mm: float,
    required_mm: float,
    rate_mm_per_y: float,
    rate_u_mm_per_y: float,
    factor: float = 1.645,
) -> float:
    """The lower end of the margin over the upper end of the rate.

    Args:
        now_mm: Thickness now, mm.
        now_u_mm: Its standard uncertainty, mm; 0 or more.
        required_mm: At which the plate is renewed, mm.
        rate_mm_per_y: Loss a year, mm.
        rate_u_mm_per_y: Its standard uncertainty, mm a year; 0 or more.
        factor: One-sided coverage factor; 1.645 for 95 % where the uncertainties are well known.

    Returns:
        Years, 0 or more.

    Raises:
        ValueError: Even the upper end of the rate is not above zero.

    >>> round(shortest_life_y(5.35, 0.10, 4.80, 0.090, 0.0283), 2)
    2.82
    """
    upper = rate_mm_per_y + factor * rate_u_mm_per_y
    if upper <= 0:
        raise ValueError(f"A life needs a loss; the rate is {upper:g} mm a year at most.")
    return max(0.0, (now_mm - factor * now_u_mm - required_mm) / upper)


@method(
    name="Standard uncertainty of a remaining life",
    what_for="The doubt about a best estimate of life, where the rate stands well clear of its own.",
    symbols={
        "life_y": "years",
        "now_u_mm": "standard uncertainty of the thickness now, mm",
        "rate_mm_per_y": "mm a year",
        "rate_u_mm_per_y": "standard uncertainty, mm a year",
        "years": "between the surveys, years",
        "result": "years",
    },
    limits="Where the rate's uncertainty is above a fifth of the rate the life is skewed: use its lower bound.",
    source="law of propagation with the covariance of thickness and rate, JCGM 100:2008, 5.2",
    standing="guidance",
    text="second hand",
)
def life_uncertainty_y(
    life_y: float, now_u_mm: float, rate_mm_per_y: float, rate_u_mm_per_y: float, years: float
) -> float:
    """First-order uncertainty; the thickness read now enters margin and rate alike.

    Args:
        life_y: Best estimate, years; 0 or more.
        now_u_mm: Standard uncertainty of the thickness now, mm.
        rate_mm_per_y: Loss a year, mm; above 0.
        rate_u_mm_per_y: Its standard uncertainty, mm a year.
        years: Between the surveys; above 0.

    Returns:
        Standard uncertainty, years.

    Raises:
        ValueError: The rate or the time is not above zero.
    """
    if rate_mm_per_y <= 0 or years <= 0:
        raise ValueError(
            f"A life needs a loss and time; {rate_mm_per_y:g} mm a year over {years:g} years."
        )
    margin = now_u_mm / rate_mm_per_y
    speed = life_y * rate_u_mm_per_y / rate_mm_per_y
    common = 2 * life_y * now_u_mm**2 / (rate_mm_per_y**2 * years)
    return sqrt(margin**2 + speed**2 + common)


@method(
    name="When to gauge again",
    what_for="The longest wait before the same places are read again.",
    symbols={"life_y": "remaining life, years", "result": "years"},
    limits="Half of the life, ten years at most; a class, flag or insurer's interval stands above it.",
    source="API 510, 10th edition, 6.5.1.1, borrowed from process plant",
    standing="common practice",
    text="second hand",
)
def next_reading_y(life_y: float) -> float:
    """Half of the life, at most ten years.

    Args:
        life_y: Years, 0 or more.

    Returns:
        Years.

    Raises:
        ValueError: The life is negative.

    >>> next_reading_y(1.0)
    0.5
    """
    if life_y < 0:
        raise ValueError(f"A life is 0 years or more; {life_y:g} was given.")
    return min(life_y / 2, LONGEST_INTERVAL_Y)


@method(
    name="Coverage factor",
    what_for="How many standard uncertainties a one-sided bound needs when few places show the scatter.",
    symbols={
        "confidence": "one-sided, 0.5 to 1",
        "degrees_of_freedom": "1 or more",
        "result": "number of standard uncertainties",
    },
    limits="Normal scatter.",
    source="Student's t distribution; JCGM 100:2008, G.3",
    standing="guidance",
    text="second hand",
)
def coverage_factor(confidence: float, degrees_of_freedom: float) -> float:
    """Quantile of Student's t.

    Args:
        confidence: One-sided, at least 0.5 and below 1.
        degrees_of_freedom: At least 1; may be infinite.

    Returns:
        The quantile.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(coverage_factor(0.975, 7), 6)
    2.364624
    """
    if not 0.5 <= confidence < 1 or not degrees_of_freedom >= 1:
        raise ValueError(
            "A coverage factor needs a confidence from 0.5 to below 1 and a degree of freedom or more, "
            f"not {confidence:g} and {degrees_of_freedom:g}."
        )
    low, high = 0.0, 1.0
    while _student_cdf(high, degrees_of_freedom) < confidence:
        low, high = high, 2 * high
    for _ in range(60):
        middle = (low + high) / 2
        if _student_cdf(middle, degrees_of_freedom) < confidence:
            low = middle
        else:
            high = middle
    return (low + high) / 2


@method(
    name="Smallest loss two surveys show",
    what_for="Whether a second survey can tell anything at all, before it is made.",
    symbols={
        "reproducibility_mm": "standard deviation of readings of one place, hands and days differing, mm",
        "readings": "at the place, at each survey",
        "result": "mm",
    },
    limits="Two-sided, 95 %. More readings do not lessen what differs between hands, days and couplant.",
    source="normal distribution, 1.96 times the standard deviation of a difference of two means",
    standing="common practice",
    text="read",
)
def smallest_loss_shown_mm(reproducibility_mm: float, readings: int = 1) -> float:
    """The loss that stands clear of the scatter of two surveys.

    Args:
        reproducibility_mm: mm; 0 or more.
        readings: At the place, at each survey; 1 or more.

    Returns:
        mm.

    Raises:
        ValueError: The scatter is negative, or there is no reading.

    >>> round(smallest_loss_shown_mm(0.1), 3)
    0.277
    """
    if reproducibility_mm < 0 or readings < 1:
        raise ValueError(
            "A loss shows against a scatter of 0 mm or more and one reading or more; "
            f"{reproducibility_mm:g} mm and {readings} were given."
        )
    return NormalDist().inv_cdf(0.975) * reproducibility_mm * sqrt(2 / readings)


def _effective_freedom(
    earlier_mm: Sequence[float], now_mm: Sequence[float], uncertainty_mm: float
) -> float:
    """Effective degrees of freedom of a mean loss, by the Welch-Satterthwaite formula.

    Args:
        earlier_mm: `(n,)` readings, mm.
        now_mm: `(n,)` readings at the same places, mm.
        uncertainty_mm: Standard uncertainty of their mean loss, mm; above 0.

    Returns:
        At least 1; infinite where one place, or no scatter, leaves the gauges' uncertainty alone.

    Source:
        JCGM 100:2008, G.4; not rounded down here, the factor being a screening figure.
    """
    losses = _differences(earlier_mm, now_mm)
    scatter = stdev(losses) ** 2 / len(losses) if len(losses) > 1 else 0.0
    if scatter == 0:
        return float("inf")
    return max(1.0, uncertainty_mm**4 * (len(losses) - 1) / scatter**2)


def wastage_of(
    earlier_mm: Sequence[float],
    now_mm: Sequence[float],
    years: float,
    *,
    earlier: GaugeDoubt,
    now: GaugeDoubt,
    required_mm: float | None = None,
) -> Wastage:
    """The rate and life of places read twice.

    Args:
        earlier_mm: `(n,)` readings, mm; at least one.
        now_mm: `(n,)` readings at the same places, mm.
        years: Between the two surveys; above 0.
        earlier: What the earlier gauge's readings are worth.
        now: What the present gauge's are.
        required_mm: Mean thickness at which these places are renewed, mm; None where no limit is known.

    Raises:
        ValueError: No places, not as many now as before, or no time between.
    """
    loss = mean_loss_mm(earlier_mm, now_mm)
    loss_u = mean_loss_uncertainty_mm(
        earlier_mm,
        now_mm,
        hypot(earlier.reading_mm, now.reading_mm),
        hypot(earlier.common_mm, now.common_mm),
    )
    rate = rate_mm_per_y(loss, 0.0, years)
    rate_u = loss_u / years
    factor = (
        coverage_factor(ONE_SIDED, _effective_freedom(earlier_mm, now_mm, loss_u))
        if loss_u > 0
        else 0.0
    )
    upper = rate + factor * rate_u
    left, life, shortest = fmean(now_mm), None, None
    if required_mm is not None and upper > 0:
        left_u = mean_uncertainty_mm(now_mm, now.reading_mm, now.common_mm)
        shortest = shortest_life_y(left, left_u, required_mm, rate, rate_u, factor)
        if rate > 2 * rate_u:
            life = remaining_life_y(left, required_mm, rate)
    return Wastage(
        rate_mm_per_y=rate,
        uncertainty_mm_per_y=rate_u,
        upper_mm_per_y=upper,
        places=len(now_mm),
        years=years,
        life_y=life,
        shortest_y=shortest,
    )


def _differences(earlier_mm: Sequence[float], now_mm: Sequence[float]) -> tuple[float, ...]:
    if not now_mm or len(earlier_mm) != len(now_mm):
        raise ValueError(
            "A loss needs the same places read twice; "
            f"{len(earlier_mm)} earlier readings and {len(now_mm)} now were given."
        )
    return tuple(then - now for then, now in zip(earlier_mm, now_mm, strict=True))


def _student_cdf(t: float, freedom: float) -> float:
    """Chance of a value below t, for t of 0 or more."""
    # Beyond this the normal law differs in the ninth decimal, and the fraction below would crawl.
    if freedom > 1e8:
        return NormalDist().cdf(t)
    return 1 - _incomplete_beta(freedom / (freedom + t * t), freedom / 2, 0.5) / 2


def _incomplete_beta(x: float, a: float, b: float) -> float:
    """The regularised incomplete beta function, by its continued fraction."""
    if x <= 0 or x >= 1:
        return min(1.0, max(0.0, x))
    if x > (a + 1) / (a + b + 2):
        return 1 - _incomplete_beta(1 - x, b, a)
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log(1 - x)) / a
    # Lentz's method: numerator and denominator of the fraction, kept from zero.
    c, d = 1.0, 1 / _away_from_zero(1 - (a + b) * x / (a + 1))
    fraction = d
    for m in range(1, 300):
        for step in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            d = 1 / _away_from_zero(1 + step * d)
            c = _away_from_zero(1 + step / c)
            fraction *= c * d
        if abs(c * d - 1) < 1e-15:
            break
    return front * fraction


def _away_from_zero(value: float) -> float:
    return value if abs(value) > 1e-300 else 1e-300
