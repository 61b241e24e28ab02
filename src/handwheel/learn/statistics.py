"""Mean, spread and trend of measured sizes, and what they let one say of the process."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import NormalDist
from typing import Final

CONFIDENCE: Final = 0.95
"""Of every interval here."""

FEWEST: Final = 25
"""No index under so many parts: from 5 parts an index of 1.33 means 0.4 to 2.3 (common practice)."""

INDIVIDUALS: Final = 2.660
"""3/d2, by which the mean moving range of two gives an individuals chart its limits (e-Handbook, 6.3.2.2)."""

TREND_FROM: Final = 8
"""A trend is told from so many parts on, and where it is over three times its own uncertainty (common practice)."""


@dataclass(frozen=True, slots=True)
class Interval:
    """An estimate and its limits at 95 %."""

    value: float
    low: float
    high: float


def mean(values: Sequence[float]) -> float:
    """The sum by the count; the sum is exact, and rounded once.

    >>> mean([10000001.0, 10000003.0, 10000002.0])
    10000002.0
    """
    return math.fsum(values) / len(values)


def deviation(values: Sequence[float]) -> float:
    """The standard deviation of a sample (n − 1), in two passes; NaN under two values.

    >>> deviation([10000001.0, 10000003.0, 10000002.0])
    1.0
    """
    count = len(values)
    if count < 2:
        return math.nan
    middle = mean(values)
    rest = [value - middle for value in values]
    return math.sqrt((math.fsum(one * one for one in rest) - math.fsum(rest) ** 2 / count) / (count - 1))


def trend(values: Sequence[float]) -> float | None:
    """How much a size changes from part to part, where that is more than chance: the slope of the least-squares line.

    >>> trend([1.0, 1.1, 1.2, 1.3, 1.4, 1.5, 1.6, 1.7])
    0.1
    """
    count = len(values)
    if count < TREND_FROM:
        return None
    steps = [index - (count - 1) / 2 for index in range(count)]
    across = math.fsum(step * step for step in steps)
    middle = mean(values)
    slope = math.fsum(step * (value - middle) for step, value in zip(steps, values, strict=True)) / across
    off = (value - middle - slope * step for step, value in zip(steps, values, strict=True))
    uncertainty = math.sqrt(math.fsum(one * one for one in off) / (count - 2) / across)
    return round(slope, 12) if abs(slope) > 3.0 * uncertainty else None


def control_limits(values: Sequence[float]) -> tuple[float, float] | None:
    """Lower and upper limit of an individuals chart: mean ∓ 2.660 times the mean moving range; none under two parts.

    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2 (from memory).
    """
    if len(values) < 2:
        return None
    ranges = [abs(after - before) for before, after in pairwise(values)]
    reach = INDIVIDUALS * mean(ranges)
    return mean(values) - reach, mean(values) + reach


def performance(values: Sequence[float], lower: float, upper: float) -> tuple[Interval, Interval] | None:
    """Pp and Ppk with their intervals; none under 25 parts, or where all are alike.

    Pp = (upper − lower)/6s with an interval by chi-square of n − 1; Ppk = the nearer of the two halves by 3s, with the
    normal approximation z·√(1/9n + Ppk²/2(n − 1)).

    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.1.6 (from memory); s is that of all parts, so the
    indices are called Pp and Ppk, not Cp and Cpk.
    """
    count, spread = len(values), deviation(values)
    if count < FEWEST or not spread > 0.0:
        return None
    wide = (upper - lower) / (6.0 * spread)
    near = min(upper - mean(values), mean(values) - lower) / (3.0 * spread)
    left = (1.0 - CONFIDENCE) / 2.0
    low, high = (math.sqrt(chi_square_quantile(share, count - 1) / (count - 1)) for share in (left, 1.0 - left))
    reach = NormalDist().inv_cdf(1.0 - left) * math.sqrt(1.0 / (9.0 * count) + near * near / (2.0 * (count - 1)))
    return Interval(wide, wide * low, wide * high), Interval(near, near - reach, near + reach)


def chi_square_quantile(share: float, degrees: int) -> float:
    """The value under which so large a share (0…1) of chi-square with so many degrees of freedom lies.

    Found by halving on the lower incomplete gamma function, which is summed as a series or, far out, as a continued
    fraction. Source: Abramowitz and Stegun, 26.4, 6.5.29 and 6.5.31 (from memory).

    >>> round(chi_square_quantile(0.95, 10), 6)
    18.307038
    """
    low, high = 0.0, degrees + 10.0
    while _lower_gamma(degrees / 2.0, high / 2.0) < share:
        high *= 2.0
    for _ in range(200):
        middle = (low + high) / 2.0
        if middle in (low, high):
            break
        if _lower_gamma(degrees / 2.0, middle / 2.0) < share:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def _lower_gamma(a: float, x: float) -> float:
    """P(a, x), the lower incomplete gamma function as a share of the whole."""
    if x <= 0.0:
        return 0.0
    front = math.exp(a * math.log(x) - x - math.lgamma(a))
    if x < a + 1.0:
        term = total = 1.0 / a
        n = a
        while abs(term) > 1e-17 * abs(total):
            n += 1.0
            term *= x / n
            total += term
        return front * total
    # the continued fraction of Q, by Lentz's method
    b = x + 1.0 - a
    c, d = 1e300, 1.0 / b
    h = d
    for i in range(1, 10_000):
        step = -i * (i - a)
        b += 2.0
        d = 1.0 / (step * d + b)
        c = b + step / c
        h *= d * c
        if abs(d * c - 1.0) < 1e-16:
            break
    return 1.0 - front * h
