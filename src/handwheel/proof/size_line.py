"""A line along which a size is taken, through many parts at once: what is left of it where each has its own errors."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handwheel.job import Dimension
from handwheel.path.box import Box
from handwheel.tolerances import CONTACT

Floats = NDArray[np.float64]


def read(size: Dimension, line: Line, raw: Box, zero: Floats | float = 0.0) -> Floats:
    """(n,) mm; what a size reads on each of n parts, NaN where nothing is met.

    Parameters
    ----------
    size : what is read
    line : what is left where it is taken
    raw : the block
    zero : where the face that a step starts from really is
    """
    if size.of == "distance":
        assert size.between is not None
        first, second = (line.gap(at) for at in sorted(size.between))
        return np.asarray((second[0] + second[1] - first[0] - first[1]) / 2.0)
    if size.of in ("inside", "middle"):
        low, high = line.gap(size.at or 0.0)
        return np.asarray(high - low if size.of == "inside" else (low + high) / 2.0)
    if size.of == "step":
        return _step(size, line, raw, zero)
    return line.piece(size.at) if size.at is not None else line.top() - line.bottom()


def _step(size: Dimension, line: Line, raw: Box, zero: Floats | float) -> Floats:
    """As :func:`handwheel.cut.gauge.measure` reads a step."""
    if size.start is not None:
        outwards = size.start.outwards
        return outwards * (zero - (line.top() if outwards > 0 else line.bottom()))
    axis = "xyz".index(size.axis)
    middle = raw.centre[axis]
    if abs(middle) < CONTACT:
        positive = -1.0 if size.at is not None and size.at < 0.0 else 1.0
        from_high_side = positive > 0.0
    else:
        positive = math.copysign(1.0, middle)
        from_high_side = positive < 0.0
    return positive * ((line.top() if from_high_side or axis == 2 else line.bottom()) - zero)


@dataclass(frozen=True)
class Line:
    """A line through n parts: (n, m) stretches that m moves take from it, and where the raw block begins and ends."""

    low: Floats
    high: Floats
    start: float
    stop: float

    def _down_from(self, at: Floats) -> Floats:
        """Where material begins when one goes down from ``at``: of several cuts the deepest counts."""
        for _ in range(self.low.shape[1] + 1):
            here = (self.low < at[:, None]) & (self.high >= at[:, None] - CONTACT)
            lower = np.minimum(at, np.where(here, self.low, math.inf).min(axis=1, initial=math.inf))
            if (lower == at).all():
                break
            at = lower
        return at

    def _turned(self) -> Line:
        """The same from the other end."""
        return Line(-self.high, -self.low, -self.stop, -self.start)

    def top(self) -> Floats:
        """The last material; NaN where there is none."""
        at = self._down_from(np.full(len(self.low), self.stop))
        return np.where(at > self.start + CONTACT, at, np.nan)

    def bottom(self) -> Floats:
        """The first."""
        return -self._turned().top()

    def piece(self, at: float) -> Floats:
        """How long the piece is that ``at`` lies in."""
        cleared = ((self.low < at) & (at < self.high)).any(axis=1)
        end = np.minimum(self.stop, np.where(self.low >= at, self.low, math.inf).min(axis=1, initial=math.inf))
        begin = np.maximum(self.start, np.where(self.high <= at, self.high, -math.inf).max(axis=1, initial=-math.inf))
        return np.where(cleared, np.nan, end - begin)

    def gap(self, at: float) -> tuple[Floats, Floats]:
        """Both ends of the gap that ``at`` lies in; NaN where it has no two sides."""
        places = np.full(len(self.low), at)
        below, above = self._down_from(places), -self._turned()._down_from(-places)
        closed = (below > self.start + CONTACT) & (above < self.stop - CONTACT) & (above - below > CONTACT)
        return np.where(closed, below, np.nan), np.where(closed, above, np.nan)
