"""Uncertainty of a computed thing: the law of propagation, and Monte Carlo where that law is too coarse.

`propagated` and `simulated` take the same model and inputs and give the same `Outcome`. Where the two differ by
more than the digits that matter, the simulated one is right: the law sees a model as flat over its inputs' doubt.
Chance comes from outside, seeded, so that the same survey gives the same numbers.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import floor, fsum, inf, isfinite, sqrt
from types import MappingProxyType
from typing import Literal, Protocol

from garboard.methods.declaration import method
from garboard.methods.wastage import coverage_factor

Shape = Literal["normal", "rectangular", "triangular", "student"]
Model = Callable[..., float]
Matrix = Sequence[Sequence[float]]
Correlations = Mapping[tuple[int, int], float]

DRAWS = 100_000
"""Draws of a simulation: the ends of a 95 % interval then stand within about a hundredth of the uncertainty."""

_NONE: Correlations = MappingProxyType({})
_ROUNDING = 1e-12


class Chance(Protocol):
    """Where chance comes from; a seeded `random.Random` is one."""

    def gauss(self, mu: float, sigma: float, /) -> float:
        """A draw from a normal distribution."""

    def uniform(self, a: float, b: float, /) -> float:
        """A draw from a rectangular distribution."""

    def triangular(self, low: float, high: float, mode: float, /) -> float:
        """A draw from a triangular distribution."""

    def gammavariate(self, alpha: float, beta: float, /) -> float:
        """A draw from a gamma distribution."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One input of a model, in its own unit.

    `uncertainty` is its standard uncertainty; `freedom` the degrees of freedom behind that; `shape` the
    distribution it is drawn from ("student": Student's t, `uncertainty` its scale).
    """

    estimate: float
    uncertainty: float
    freedom: float = inf
    shape: Shape = "normal"


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What a model makes of its inputs, in the model's unit.

    `value` with its standard `uncertainty`; from `low` to `high` lies `share` of what may reasonably be believed;
    `freedom` is the effective number of degrees of freedom, infinite for a simulation.
    """

    value: float
    uncertainty: float
    low: float
    high: float
    share: float
    freedom: float = inf


@method(
    name="Standard uncertainty of bounds",
    what_for="What a value is worth of which only two bounds are known.",
    symbols={"half_width": "half of the distance of the bounds, any unit", "result": "same unit"},
    limits="Nothing said for one value between the bounds above another.",
    source="JCGM 100:2008, 4.3.7",
    standing="standard",
    text="second hand",
)
def rectangular_u(half_width: float) -> float:
    """Half-width over the root of three.

    Args:
        half_width: Any unit; 0 or more.

    Returns:
        Standard uncertainty, same unit.

    Raises:
        ValueError: The half-width is negative.

    >>> round(rectangular_u(0.1), 4)
    0.0577
    """
    return _half(half_width) / sqrt(3)


@method(
    name="Standard uncertainty of bounds with a likely middle",
    what_for="What a value is worth that lies near the middle of its bounds more likely than at their ends.",
    symbols={"half_width": "half of the distance of the bounds, any unit", "result": "same unit"},
    limits="The chance falls evenly from the middle to nothing at the bounds.",
    source="JCGM 100:2008, 4.3.9",
    standing="standard",
    text="second hand",
)
def triangular_u(half_width: float) -> float:
    """Half-width over the root of six.

    Args:
        half_width: Any unit; 0 or more.

    Returns:
        Standard uncertainty, same unit.

    Raises:
        ValueError: The half-width is negative.

    >>> round(triangular_u(0.1), 4)
    0.0408
    """
    return _half(half_width) / sqrt(6)


@method(
    name="Standard uncertainty of a display's step",
    what_for="What the last digit of an instrument is worth.",
    symbols={"step": "smallest step of the display, any unit", "result": "same unit"},
    limits="The step alone; calibration, placing and repeatability come on top.",
    source="JCGM 100:2008, 4.3 (a rectangle of half a step either way)",
    standing="standard",
    text="second hand",
)
def resolution_u(step: float) -> float:
    """Step over the root of twelve.

    Args:
        step: Any unit; 0 or more.

    Returns:
        Standard uncertainty, same unit.

    Raises:
        ValueError: The step is negative.

    >>> round(resolution_u(0.1), 4)
    0.0289
    """
    return rectangular_u(step / 2)


def _half(half_width: float) -> float:
    if not half_width >= 0:
        raise ValueError(f"A half-width or step is 0 or more; {half_width:g} was given.")
    return half_width


@method(
    name="Combined standard uncertainty",
    what_for="The doubt about a result from the parts its inputs contribute.",
    symbols={
        "components": "change of the result for one standard uncertainty of each input, with its sign",
        "correlation": "matrix of correlation coefficients; empty for independent inputs",
        "result": "unit of the result",
    },
    limits="The model nearly straight over one standard uncertainty either way; else simulate.",
    source="law of propagation, JCGM 100:2008, 5.1.2 and 5.2.2",
    standing="standard",
    text="second hand",
)
def combined_u(components: Sequence[float], correlation: Matrix = ()) -> float:
    """Root of the summed squares, and of the cross products of inputs that move together.

    Args:
        components: `(n,)` parts, unit of the result, signed.
        correlation: `(n, n)` coefficients, -1 to 1; empty for independent inputs.

    Returns:
        Standard uncertainty.

    Raises:
        ValueError: The matrix is not of n rows of n.

    >>> round(combined_u((25, 9.7, 2.9, 16.6)), 1)
    31.7
    """
    if not correlation:
        return sqrt(fsum(each**2 for each in components))
    if any(len(row) != len(components) for row in (correlation, *correlation)):
        raise ValueError(
            f"{len(components)} parts need as many rows and columns of correlation coefficients."
        )
    total = fsum(
        one * other * coefficient
        for one, row in zip(components, correlation, strict=True)
        for other, coefficient in zip(components, row, strict=True)
    )
    # Parts that cancel exactly may leave a rounding error below zero.
    return sqrt(max(0.0, total))


@method(
    name="Effective degrees of freedom",
    what_for="How well the combined uncertainty is itself known.",
    symbols={
        "components": "parts of the combined uncertainty, its unit",
        "freedoms": "degrees of freedom of each",
        "result": "degrees of freedom, not rounded",
    },
    limits="Independent inputs. Rounded down before a coverage factor is looked up.",
    source="Welch-Satterthwaite formula, JCGM 100:2008, G.4.1",
    standing="standard",
    text="second hand",
)
def effective_freedom(components: Sequence[float], freedoms: Sequence[float]) -> float:
    """Fourth power of the whole over the sum of the parts' fourth powers by their freedom.

    Args:
        components: `(n,)` parts, any one unit.
        freedoms: `(n,)` degrees of freedom; above 0, may be infinite.

    Returns:
        Degrees of freedom; infinite where no part with a finite number counts.

    Raises:
        ValueError: Not one number for each part, or one not above zero.

    >>> round(effective_freedom((0.25, 0.57, 0.82), (9, 4, 14)), 1)
    19.0
    """
    if len(components) != len(freedoms) or not all(each > 0 for each in freedoms):
        raise ValueError(
            "Each part needs its degrees of freedom above zero; "
            f"{len(components)} parts and {tuple(freedoms)} were given."
        )
    whole = combined_u(components)
    if whole == 0:
        return inf
    # Shares of the whole, since fourth powers of small numbers vanish.
    parts = fsum(
        (each / whole) ** 4 / freedom for each, freedom in zip(components, freedoms, strict=True)
    )
    return 1 / parts if parts > 0 else inf


@method(
    name="Degrees of freedom of a judgement",
    what_for="What an uncertainty set by judgement counts for, from how well it is thought to be known.",
    symbols={
        "doubt_ratio": "relative uncertainty of the uncertainty",
        "result": "degrees of freedom",
    },
    limits="A judgement about a judgement; 0.25 is a usual figure.",
    source="JCGM 100:2008, G.4.2, formula G.3",
    standing="standard",
    text="second hand",
)
def judged_freedom(doubt_ratio: float) -> float:
    """Half over the square of the relative doubt.

    Args:
        doubt_ratio: Above 0.

    Returns:
        Degrees of freedom.

    Raises:
        ValueError: The doubt is not above zero.

    >>> judged_freedom(0.25)
    8.0
    """
    if not doubt_ratio > 0:
        raise ValueError(f"A relative doubt is above zero; {doubt_ratio:g} was given.")
    return 0.5 / doubt_ratio**2


@method(
    name="Expanded uncertainty",
    what_for="How far either way of a result a stated share of what may be believed lies.",
    symbols={
        "uncertainty": "combined standard uncertainty, any unit",
        "freedom": "effective degrees of freedom; rounded down here",
        "share": "0 to 1, 0.95 as a rule",
        "result": "same unit",
    },
    limits="A result near normal: several parts, none far above the rest unless it is normal itself.",
    source="JCGM 100:2008, G.3 and G.4.1",
    standing="standard",
    text="second hand",
)
def expanded_u(uncertainty: float, freedom: float = inf, share: float = 0.95) -> float:
    """The standard uncertainty times Student's t of the degrees of freedom rounded down.

    Args:
        uncertainty: Standard uncertainty, any unit; 0 or more.
        freedom: Effective degrees of freedom; at least 1, may be infinite.
        share: Of what may be believed; 0 to below 1.

    Returns:
        Half-width, same unit.

    Raises:
        ValueError: An argument is out of its range.

    >>> round(expanded_u(31.71, 16.66, 0.99), 1)
    92.6
    """
    if not uncertainty >= 0 or not 0 <= share < 1:
        raise ValueError(
            "An expanded uncertainty needs an uncertainty of 0 or more and a share from 0 to below 1; "
            f"{uncertainty:g} and {share:g} were given."
        )
    whole = floor(freedom) if isfinite(freedom) else freedom
    return uncertainty * coverage_factor((1 + share) / 2, whole)


@method(
    name="Interval with equal tails",
    what_for="The range that holds a share of the draws, as many left out below as above.",
    symbols={
        "draws": "drawn values, any unit",
        "share": "0 to 1, 0.95 as a rule",
        "result": "low and high, same unit",
    },
    limits="Many draws: ten thousand times one over the share left out is customary.",
    source="JCGM 101:2008, 7.7.2",
    standing="standard",
    text="memory",
)
def symmetric_interval(draws: Sequence[float], share: float = 0.95) -> tuple[float, float]:
    """The middle of the sorted draws.

    Args:
        draws: `(n,)` values in any order; two or more.
        share: Of the draws held; above 0, below 1.

    Returns:
        Low and high.

    Raises:
        ValueError: Fewer than two draws, or a share out of its range.

    >>> symmetric_interval(range(1, 101), 0.95)
    (3, 98)
    """
    held = _held(draws, share)
    ordered = sorted(draws)
    first = (len(ordered) - held + 1) // 2 - 1
    first = max(0, first)
    return ordered[first], ordered[first + held]


@method(
    name="Shortest interval",
    what_for="The narrowest range that holds a share of the draws: for a lopsided result.",
    symbols={
        "draws": "drawn values, any unit",
        "share": "0 to 1, 0.95 as a rule",
        "result": "low and high, same unit",
    },
    limits="Many draws; a result with one peak.",
    source="JCGM 101:2008, 7.7.4",
    standing="standard",
    text="memory",
)
def shortest_interval(draws: Sequence[float], share: float = 0.95) -> tuple[float, float]:
    """Of all ranges of the sorted draws that hold the share, the narrowest, the lowest of equals.

    Args:
        draws: `(n,)` values in any order; two or more.
        share: Of the draws held; above 0, below 1.

    Returns:
        Low and high.

    Raises:
        ValueError: Fewer than two draws, or a share out of its range.

    >>> shortest_interval((0, 0, 0, 1, 9), 0.6)
    (0, 1)
    """
    held = _held(draws, share)
    ordered = sorted(draws)
    first = min(
        range(len(ordered) - held), key=lambda each: (ordered[each + held] - ordered[each], each)
    )
    return ordered[first], ordered[first + held]


def _held(draws: Sequence[float], share: float) -> int:
    """How many steps of the sorted draws hold the share."""
    if len(draws) < 2 or not 0 < share < 1:
        raise ValueError(
            "An interval needs two draws or more and a share above 0 and below 1; "
            f"{len(draws)} and {share:g} were given."
        )
    return min(len(draws) - 1, floor(share * len(draws) + 0.5))


def propagated(
    model: Model,
    inputs: Sequence[Input],
    *,
    share: float = 0.95,
    correlations: Correlations = _NONE,
) -> Outcome:
    """What a model makes of its inputs by the law of propagation.

    Args:
        model: Takes the inputs in their order.
        inputs: One or more.
        share: Of what may be believed between low and high.
        correlations: Coefficients by the positions of two inputs, from 0; unnamed pairs are independent.

    Raises:
        ValueError: An input, share or coefficient is out of its range.

    Limits:
        First order. With correlated inputs the degrees of freedom are still counted as of independent ones.

    Source:
        JCGM 100:2008, 5.1.2, with the numerical parts of 5.1.3, note 2; G.4.1.
    """
    _check(inputs)
    estimates = [each.estimate for each in inputs]
    components = [
        (
            model(*_moved(estimates, at, each.uncertainty))
            - model(*_moved(estimates, at, -each.uncertainty))
        )
        / 2
        for at, each in enumerate(inputs)
    ]
    matrix = _matrix(len(inputs), correlations)
    whole = combined_u(components, matrix if correlations else ())
    freedom = effective_freedom(components, [each.freedom for each in inputs])
    value, half = model(*estimates), expanded_u(whole, max(1.0, freedom), share)
    return Outcome(
        value=value,
        uncertainty=whole,
        low=value - half,
        high=value + half,
        share=share,
        freedom=freedom,
    )


def simulated(
    model: Model,
    inputs: Sequence[Input],
    *,
    chance: Chance,
    draws: int = DRAWS,
    share: float = 0.95,
    correlations: Correlations = _NONE,
    shortest: bool = False,
) -> Outcome:
    """What a model makes of its inputs when they are drawn many times.

    Args:
        model: Takes the inputs in their order.
        inputs: One or more.
        chance: A seeded source; print its seed beside the result.
        draws: Two or more.
        share: Of the draws between low and high; above 0, below 1.
        correlations: Coefficients by the positions of two normal inputs, from 0.
        shortest: The narrowest interval in place of the one with equal tails.

    Raises:
        ValueError: An input, share or coefficient is out of its range, or a correlated input is not normal.

    Source:
        JCGM 101:2008, 5.2, 6.4 and 7.
    """
    _check(inputs)
    if draws < 2:
        raise ValueError(f"A simulation needs two draws or more; {draws} was given.")
    for pair in correlations:
        if any(inputs[at].shape != "normal" for at in pair):
            raise ValueError("Only inputs of normal shape can be drawn together.")
    root = _root(_matrix(len(inputs), correlations)) if correlations else ()
    drawn = [model(*_draw(inputs, root, chance)) for _ in range(draws)]
    mean = fsum(drawn) / draws
    low, high = (shortest_interval if shortest else symmetric_interval)(drawn, share)
    return Outcome(
        value=mean,
        uncertainty=sqrt(fsum((each - mean) ** 2 for each in drawn) / (draws - 1)),
        low=low,
        high=high,
        share=share,
    )


def _check(inputs: Sequence[Input]) -> None:
    for each in inputs:
        if not (each.uncertainty >= 0 and each.freedom > 0 and isfinite(each.estimate)):
            raise ValueError(
                "An input has a finite estimate, an uncertainty of 0 or more and a freedom above 0; "
                f"{each.estimate:g}, {each.uncertainty:g} and {each.freedom:g} were given."
            )
        if each.shape == "student" and not isfinite(each.freedom):
            raise ValueError("An input of Student's shape needs its degrees of freedom.")
    if not inputs:
        raise ValueError("A model needs one input or more; none was given.")


def _moved(estimates: Sequence[float], at: int, by: float) -> Iterator[float]:
    return (each + by if index == at else each for index, each in enumerate(estimates))


def _matrix(size: int, correlations: Correlations) -> Matrix:
    rows = [[float(one == other) for other in range(size)] for one in range(size)]
    for (one, other), coefficient in correlations.items():
        if one == other or not -1 <= coefficient <= 1:
            raise ValueError(
                "A correlation is of two inputs and from -1 to 1; "
                f"{coefficient:g} of {one} and {other} was given."
            )
        rows[one][other] = rows[other][one] = coefficient
    return rows


def _root(matrix: Matrix) -> Matrix:
    """Lower triangle whose square is the matrix (Cholesky).

    Raises:
        ValueError: The coefficients contradict each other.
    """
    lower = [[0.0] * len(matrix) for _ in matrix]
    for i, row in enumerate(matrix):
        for j in range(i + 1):
            rest = row[j] - fsum(lower[i][k] * lower[j][k] for k in range(j))
            pivot = lower[j][j]
            if (i == j and rest < -_ROUNDING) or (i != j and not pivot and abs(rest) > _ROUNDING):
                raise ValueError("These correlations contradict each other.")
            if i == j:
                lower[i][i] = sqrt(rest) if rest > _ROUNDING else 0.0
            elif pivot:
                lower[i][j] = rest / pivot
    return lower


def _draw(inputs: Sequence[Input], root: Matrix, chance: Chance) -> list[float]:
    deviates = [_deviate(each, chance) for each in inputs]
    if root:
        deviates = [
            fsum(share * each for share, each in zip(row, deviates, strict=True)) for row in root
        ]
    return [
        each.estimate + each.uncertainty * deviate
        for each, deviate in zip(inputs, deviates, strict=True)
    ]


def _deviate(each: Input, chance: Chance) -> float:
    """A draw of an input's shape about zero, in its uncertainties."""
    match each.shape:
        case "normal":
            return chance.gauss(0.0, 1.0)
        case "rectangular":
            return chance.uniform(-sqrt(3), sqrt(3))
        case "triangular":
            return chance.triangular(-sqrt(6), sqrt(6), 0.0)
        case "student":
            return chance.gauss(0.0, 1.0) / sqrt(
                chance.gammavariate(each.freedom / 2, 2.0) / each.freedom
            )
