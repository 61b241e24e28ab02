"""The part by arithmetic: every stroke clears a rectangle, and a size is what the rectangles leave of the raw block.

This is how a machinist reckons with pencil and paper. It knows nothing of moves or of the cut, so that what a slip does
to the part, and how an error gets into a size, can be said beforehand and held against what the cut shows.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from handwheel.job import Dimension
from handwheel.path.box import Box
from handwheel.path.face import Face
from handwheel.setup import Setup
from handwheel.tolerances import CONTACT

Floats = NDArray[np.float64]
Point2 = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Leg:
    """One straight stroke, or way, along X or Y; mm, the job's frame.

    ``start`` and ``end`` are of the cutter's center; ``down`` is where it goes down to ``level``; ``clears`` is half
    the width that it leaves flat or, past a side, half the cutter; ``radius`` half the cutter. ``edge`` is the side of
    the work that it leaves, ``None`` on top and on the way. ``step`` and ``stroke`` count from 1 (0 on the way),
    ``number`` is the action on the sheet (by program 0). The flutes end ``flutes`` above the tip, the spindle's nose is
    ``length`` above it.
    """

    step: int
    stroke: int
    number: int
    tool: int
    start: Point2
    end: Point2
    down: Point2
    level: float
    clears: float
    radius: float
    edge: Face | None
    flutes: float
    length: float

    def moved(self, x: float = 0.0, y: float = 0.0, z: float = 0.0) -> Leg:
        """The same stroke somewhere else."""
        start, end, down = ((one[0] + x, one[1] + y) for one in (self.start, self.end, self.down))
        return replace(self, start=start, end=end, down=down, level=self.level + z)

    @property
    def axis(self) -> int:
        """The axis that it runs along."""
        return 0 if abs(self.end[0] - self.start[0]) >= abs(self.end[1] - self.start[1]) else 1

    def cleared(self) -> tuple[Floats, Floats]:
        """(3,) low and high corner of what the flutes clear. On top the cutter's ends count as square: strokes start
        and end off the work. Else only what lies between the ends of the stroke counts."""
        reach = [self.clears, self.clears]
        if self.edge is not None or not self.stroke:
            reach[self.axis] = 0.0
        low = [min(a, b) - r for a, b, r in zip(self.start, self.end, reach, strict=True)]
        high = [max(a, b) + r for a, b, r in zip(self.start, self.end, reach, strict=True)]
        return np.array([*low, self.level]), np.array([*high, self.level + self.flutes])


# sizes ---------------------------------------------------------------------------------------------------------------


def sizes(setup: Setup, legs: Sequence[Leg]) -> dict[str, float | None]:
    """What each dimension would measure, mm; ``None`` where nothing is left to measure."""
    found = {}
    for size in setup.dimensions:
        corners = [leg.cleared() for leg in legs] + [chord for leg in legs for chord in _round_ends(leg, size)]
        low = np.array([[one for one, _ in corners]]).reshape(1, -1, 3)
        high = np.array([[one for _, one in corners]]).reshape(1, -1, 3)
        found[size.name] = float(measured(size, setup.raw, low, high)[0])
    return {name: None if math.isnan(value) else value for name, value in found.items()}


def _round_ends(leg: Leg, size: Dimension) -> Iterator[tuple[Floats, Floats]]:
    """Of the discs that a cutter clears at the ends of its stroke: the chord on the line that a size is taken along."""
    axis = "xyz".index(size.axis)
    level = [k for k in (0, 1) if k != axis]
    for centre in (leg.start, leg.end):
        off = math.hypot(*(size.through["xy"[k]] - centre[k] for k in level))
        if off >= leg.clears:
            continue
        half = [leg.clears, leg.clears]
        if axis != 2:
            half[axis] = math.sqrt(leg.clears**2 - off**2)
        low = np.array([centre[0] - half[0], centre[1] - half[1], leg.level])
        high = np.array([centre[0] + half[0], centre[1] + half[1], leg.level + leg.flutes])
        yield low, high


def measured(size: Dimension, raw: Box, low: Floats, high: Floats, zero: Floats | float = 0.0) -> Floats:
    """What a size would measure on many parts at once.

    Parameters
    ----------
    size : where it is taken
    raw : the block
    low, high : (n, m, 3) mm; the corners of what m strokes clear on each of n parts
    zero : (n,) mm; where the zero face of the size's axis really stands

    Returns
    -------
    (n,) mm; NaN where nothing is met, and of what strokes do not make: the places of holes
    """
    if size.of in ("middle", "distance") or size.start is not None:
        return np.full(len(low), np.nan)
    axis = "xyz".index(size.axis)
    others = [other for other in (0, 1, 2) if other != axis]
    met = np.ones(low.shape[:2], dtype=bool)
    for other in others:
        place = size.through["xyz"[other]]
        if not raw.low[other] <= place <= raw.high[other]:
            return np.full(len(low), np.nan)
        met &= (low[:, :, other] < place) & (place < high[:, :, other])
    line = _Line(
        np.where(met, low[:, :, axis], math.inf),
        np.where(met, high[:, :, axis], -math.inf),
        raw.low[axis],
        raw.high[axis],
    )
    if size.of == "step":
        return _step(line, raw.centre[axis], raw.size[axis], axis, zero)
    if size.of == "inside":
        return line.gap(size.at or 0.0)
    return line.piece(size.at) if size.at is not None else line.whole()


@dataclass(frozen=True)
class _Line:
    """A line through n parts: the m stretches cleared on each, and where the raw block begins and ends."""

    low: Floats
    high: Floats
    start: float
    stop: float

    def down_from(self, at: Floats) -> Floats:
        """Where material begins when one goes down from ``at``."""
        for _ in range(self.low.shape[1] + 1):
            here = (self.low < at[:, None]) & (self.high >= at[:, None] - CONTACT)
            below = np.where(here, self.low, math.inf).min(axis=1, initial=math.inf)
            lower = np.minimum(at, below)
            if (lower == at).all():
                break
            at = lower
        return at

    def turned(self) -> _Line:
        """The same from the other end."""
        return _Line(-self.high, -self.low, -self.stop, -self.start)

    def _all(self, value: float) -> Floats:
        return np.full(len(self.low), value)

    def top(self) -> Floats:
        """The last material; NaN where there is none."""
        at = self.down_from(self._all(self.stop))
        return np.where(at > self.start + CONTACT, at, np.nan)

    def bottom(self) -> Floats:
        """The first."""
        return -self.turned().top()

    def whole(self) -> Floats:
        """From the first to the last."""
        return self.top() - self.bottom()

    def piece(self, at: float) -> Floats:
        """The piece that ``at`` lies in."""
        cleared = ((self.low < at) & (at < self.high)).any(axis=1)
        end = np.minimum(self.stop, np.where(self.low >= at, self.low, math.inf).min(axis=1, initial=math.inf))
        begin = np.maximum(self.start, np.where(self.high <= at, self.high, -math.inf).max(axis=1, initial=-math.inf))
        return np.where(cleared, np.nan, end - begin)

    def gap(self, at: float) -> Floats:
        """The gap that ``at`` lies in, where it has two sides."""
        below, above = self.down_from(self._all(at)), -self.turned().down_from(self._all(-at))
        closed = (below > self.start + CONTACT) & (above < self.stop - CONTACT) & (above - below > CONTACT)
        return np.where(closed, above - below, np.nan)


def _step(line: _Line, middle: float, length: float, axis: int, zero: Floats | float) -> Floats:
    """From the zero face to the first material, from the side on which the zero face stands open (from above in Z)."""
    centred = abs(middle) < 1e-6 * length
    if centred:
        return line.top() - zero
    inward = 1.0 if middle > 0.0 else -1.0
    return inward * ((line.top() if axis == 2 or inward < 0.0 else line.bottom()) - zero)


# jaws ----------------------------------------------------------------------------------------------------------------


def lift_over_jaws(setup: Setup, legs: Sequence[Leg]) -> float:
    """How far the lowest stroke that meets a jaw is below the jaws' top, mm; 0 where all clear them."""
    low = (leg.level for leg in legs if any(_meets(leg, jaw) for jaw in (setup.fixed_jaw, setup.movable_jaw)))
    lift = setup.jaw_top - min(low, default=math.inf)
    return lift if lift > CONTACT else 0.0


def _meets(leg: Leg, jaw: Box) -> bool:
    if leg.level + leg.length <= jaw.low[2]:
        return False
    for points in ((leg.start, leg.end), (leg.down,)):
        away = [
            max(0.0, jaw.low[k] - max(p[k] for p in points), min(p[k] for p in points) - jaw.high[k]) for k in (0, 1)
        ]
        if math.hypot(*away) < leg.radius - CONTACT:
            return True
    return False
