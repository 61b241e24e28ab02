"""A box with its edges along X, Y and Z."""

from __future__ import annotations

from dataclasses import dataclass

Point = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Box:
    """From corner ``low`` to corner ``high``, mm.

    >>> Box((0, 0, -10), (40, 20, 0)).size
    (40, 20, 10)
    """

    low: Point
    high: Point

    def __post_init__(self) -> None:
        if any(low > high for low, high in zip(self.low, self.high, strict=True)):
            raise ValueError(f"a box is turned inside out: {self.low} to {self.high}")

    @property
    def size(self) -> Point:
        """Lengths along X, Y and Z, mm."""
        return (self.high[0] - self.low[0], self.high[1] - self.low[1], self.high[2] - self.low[2])

    @property
    def centre(self) -> Point:
        """The middle, mm."""
        return tuple((low + high) / 2 for low, high in zip(self.low, self.high, strict=True))  # type: ignore[return-value]

    def moved(self, by: Point) -> Box:
        """The same box, displaced."""
        return Box(_added(self.low, by), _added(self.high, by))


def _added(point: Point, by: Point) -> Point:
    return (point[0] + by[0], point[1] + by[1], point[2] + by[2])
