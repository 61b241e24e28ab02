"""The outline of a hole that several cutters made one after the other: what is left of each is what the others did not
take."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations, pairwise
from typing import Final, NamedTuple

from handwheel.path.meant import Bore
from handwheel.tolerances import CONTACT

_JUST: Final = 1e-7
"""So near to a break, as a share of the stretch, is beside it."""


class Stretch(NamedTuple):
    """Along the axis from ``low`` to ``high`` the hole's radius runs from one to the other; mm."""

    low: float
    high: float
    at_low: float
    at_high: float


def together(bores: Sequence[Bore]) -> list[list[Bore]]:
    """The bores by their axes: those on one line make one hole."""
    found: dict[tuple[int, float, float], list[Bore]] = {}
    for bore in bores:
        found.setdefault((bore.axis, round(bore.centre[0], 3), round(bore.centre[1], 3)), []).append(bore)
    return [*found.values()]


def profile(bores: Sequence[Bore], low: float, high: float) -> list[Stretch]:
    """The hole that bores on one axis make together, within a part from ``low`` to ``high``.

    >>> drill = Bore(2, (0.0, 0.0), 3.0, 0.0, -18.0, -20.0)
    >>> seat = Bore(2, (0.0, 0.0), 5.0, 0.0, -6.0, -6.0)
    >>> [tuple(one) for one in profile([drill, seat], -30.0, 0.0)]
    [(-20.0, -18.0, 0.0, 3.0), (-18.0, -6.0, 3.0, 3.0), (-6.0, 0.0, 5.0, 5.0)]
    """
    breaks = {low, high, *(value for bore in bores for value in (bore.open, bore.full, bore.tip))}
    for one, other in combinations(bores, 2):
        breaks.update(_crossings(one, other))
    inside = sorted(value for value in breaks if low <= value <= high)
    stretches: list[Stretch] = []
    for begin, end in pairwise(inside):
        if end - begin <= CONTACT:
            continue
        just = (end - begin) * _JUST
        radii = [max(_radius(bore, at) for bore in bores) for at in (begin + just, end - just)]
        if max(radii) > 0.0:
            found = Stretch(begin, end, *(0.0 if radius < 1e-5 else round(radius, 5) for radius in radii))
            if stretches and _goes_on(stretches[-1], found):
                found = Stretch(stretches[-1].low, end, stretches[-1].at_low, found.at_high)
                stretches.pop()
            stretches.append(found)
    return stretches


def _goes_on(one: Stretch, other: Stretch) -> bool:
    """Whether a stretch is the straight continuation of another."""
    slopes = [(each.at_high - each.at_low) / (each.high - each.low) for each in (one, other)]
    return one.high == other.low and abs(one.at_high - other.at_low) < 1e-4 and abs(slopes[0] - slopes[1]) < 1e-4


def _radius(bore: Bore, at: float) -> float:
    """How wide a bore is at a place along its axis, mm; 0 where it is not."""
    if not min(bore.open, bore.tip) <= at <= max(bore.open, bore.tip):
        return 0.0
    if bore.tip != bore.full and (at - bore.full) * (bore.tip - bore.full) > 0.0:
        return bore.radius * (1.0 - (at - bore.full) / (bore.tip - bore.full))
    return bore.radius


def _crossings(one: Bore, other: Bore) -> Iterator[float]:
    """Where the cone of a bore is as wide as another one's wall or cone."""
    for cone, wall in ((one, other), (other, one)):
        if cone.tip != cone.full and wall.radius < cone.radius:
            yield cone.full + (cone.tip - cone.full) * (1.0 - wall.radius / cone.radius)
    if one.tip != one.full and other.tip != other.full:
        slopes = [bore.radius / (bore.full - bore.tip) for bore in (one, other)]
        if slopes[0] != slopes[1]:
            yield (slopes[0] * one.tip - slopes[1] * other.tip) / (slopes[0] - slopes[1])
