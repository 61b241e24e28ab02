"""The outline of a cutter: convex bodies of revolution about the spindle's axis, standing on one another.

Heights are measured from the tip, upwards; everything is in mm. Two functions say all that a cut or a clearance needs:
how low the outline is at a radius, and how wide it is at a height.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

PIECE_NUMBERS: Final = 6
"""How many numbers tell one piece to a kernel; see :meth:`Profile.numbers`."""


@dataclass(frozen=True, slots=True)
class Frustum:
    """A straight-sided piece from height ``low`` to ``high``; a cylinder where both radii are the same.

    >>> Frustum.cylinder(5.0, 0.0, 20.0).radius_at(3.0)
    array(5.)
    >>> Frustum(0.0, 3.0, 0.0, 5.0).lowest([0.0, 2.5, 6.0])
    array([0. , 1.5, inf])
    """

    low: float
    high: float
    radius_low: float
    radius_high: float

    def __post_init__(self) -> None:
        if not (self.low < self.high and min(self.radius_low, self.radius_high) >= 0.0 < self.radius):
            raise ValueError(f"a piece of a cutter without height or width: {self.low} to {self.high}")

    @classmethod
    def cylinder(cls, radius: float, low: float, high: float) -> Frustum:
        """A cylinder from ``low`` to ``high``."""
        return cls(low, high, radius, radius)

    @property
    def radius(self) -> float:
        """The greatest radius."""
        return max(self.radius_low, self.radius_high)

    @property
    def is_cylinder(self) -> bool:
        """Whether the side is upright."""
        return self.radius_low == self.radius_high

    def lowest(self, radius: ArrayLike) -> Floats:
        """The lower height at each radius (0 or more); +inf beyond the piece."""
        r = np.asarray(radius, dtype=np.float64)
        height = np.full(r.shape, self.low)
        if self.radius_high > self.radius_low:
            rise = (self.high - self.low) / (self.radius_high - self.radius_low)
            height = self.low + rise * np.maximum(r - self.radius_low, 0.0)
        return np.where(r <= self.radius, height, np.inf)

    def highest(self, radius: ArrayLike) -> Floats:
        """The upper height at each radius; −inf beyond the piece."""
        upside_down = Frustum(-self.high, -self.low, self.radius_high, self.radius_low)
        return -upside_down.lowest(radius)

    def radius_at(self, height: ArrayLike) -> Floats:
        """The radius at each height; −inf above and below the piece."""
        h = np.asarray(height, dtype=np.float64)
        share = (h - self.low) / (self.high - self.low)
        radius = self.radius_low + share * (self.radius_high - self.radius_low)
        return np.where((h >= self.low) & (h <= self.high), radius, -np.inf)


@dataclass(frozen=True, slots=True)
class Rounded:
    """A level disc of radius ``flat`` at height ``centre``, grown by a ball of radius ``ball``; ``flat`` 0: a ball.

    >>> Rounded(centre=3.0, flat=0.0, ball=3.0).lowest([0.0, 3.0])
    array([0., 3.])
    """

    centre: float
    flat: float
    ball: float

    def __post_init__(self) -> None:
        if not (self.flat >= 0.0 < self.ball):
            raise ValueError(f"a rounded piece wants a radius above 0, not {self.ball}")

    @property
    def low(self) -> float:
        """The lowest height."""
        return self.centre - self.ball

    @property
    def high(self) -> float:
        """The greatest height."""
        return self.centre + self.ball

    @property
    def radius(self) -> float:
        """The greatest radius."""
        return self.flat + self.ball

    def lowest(self, radius: ArrayLike) -> Floats:
        """The lower height at each radius (0 or more); +inf beyond the piece."""
        r = np.asarray(radius, dtype=np.float64)
        out = np.maximum(r - self.flat, 0.0)
        drop = np.sqrt(np.maximum((self.ball - out) * (self.ball + out), 0.0))
        return np.where(r <= self.radius, self.centre - drop, np.inf)

    def highest(self, radius: ArrayLike) -> Floats:
        """The upper height at each radius; −inf beyond the piece."""
        return 2.0 * self.centre - self.lowest(radius)

    def radius_at(self, height: ArrayLike) -> Floats:
        """The radius at each height; −inf above and below the piece."""
        h = np.asarray(height, dtype=np.float64) - self.centre
        bulge = np.sqrt(np.maximum((self.ball - h) * (self.ball + h), 0.0))
        return np.where(np.abs(h) <= self.ball, self.flat + bulge, -np.inf)


Piece = Frustum | Rounded


@dataclass(frozen=True, slots=True)
class Profile:
    """Pieces that together are one body of revolution; no piece: nothing there.

    >>> Profile((Rounded(3.0, 0.0, 3.0), Frustum.cylinder(3.0, 3.0, 20.0))).high
    20.0
    """

    pieces: tuple[Piece, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.pieces)

    @property
    def low(self) -> float:
        """The lowest height; +inf for no piece."""
        return min((piece.low for piece in self.pieces), default=math.inf)

    @property
    def high(self) -> float:
        """The greatest height; −inf for no piece."""
        return max((piece.high for piece in self.pieces), default=-math.inf)

    @property
    def radius(self) -> float:
        """The greatest radius; 0 for no piece."""
        return max((piece.radius for piece in self.pieces), default=0.0)

    def lowest(self, radius: ArrayLike) -> Floats:
        """The lowest height at each radius (0 or more); never falls outwards; +inf beyond the outline."""
        r = np.asarray(radius, dtype=np.float64)
        heights = [piece.lowest(r) for piece in self.pieces]
        return np.asarray(np.minimum.reduce([np.full(r.shape, np.inf), *heights]))

    def radius_at(self, height: ArrayLike) -> Floats:
        """The greatest radius at each height; −inf where there is nothing."""
        h = np.asarray(height, dtype=np.float64)
        radii = [piece.radius_at(h) for piece in self.pieces]
        return np.asarray(np.maximum.reduce([np.full(h.shape, -np.inf), *radii]))

    def numbers(self) -> Floats:
        """(pieces, 6) for kernels: 0 for a frustum and 1 for a rounded piece; lowest and greatest height; lower and
        upper radius (rounded: the disc's, twice); radius of the ball (frustum: 0)."""
        rows = [
            (0.0, piece.low, piece.high, piece.radius_low, piece.radius_high, 0.0)
            if isinstance(piece, Frustum)
            else (1.0, piece.low, piece.high, piece.flat, piece.flat, piece.ball)
            for piece in self.pieces
        ]
        return np.array(rows, dtype=np.float64).reshape(-1, PIECE_NUMBERS)
