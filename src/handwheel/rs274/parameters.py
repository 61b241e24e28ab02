"""The control's numbered parameters, #1 to #5399. Source: NISTIR 6556, section 3.2.1 (from memory)."""

from __future__ import annotations

from typing import Final

LAST: Final = 5399
HOME: Final = 5161
SECOND_HOME: Final = 5181
AXIS_OFFSET: Final = 5211
ACTIVE_SYSTEM: Final = 5220

Point = tuple[float, float, float]


def system_origin(number: int) -> int:
    """The first parameter of the origin of coordinate system 1…9 (G54…G59.3)."""
    return 5201 + 20 * number


class Parameters:
    """Numbers as stored. A length among them keeps the units it was stored in: :meth:`point` gives it in mm."""

    def __init__(self, scale: float) -> None:
        self.scale = scale
        """mm in one unit of the program, at present."""
        self._values: dict[int, float] = {}
        self._scales: dict[int, float] = {}

    def __getitem__(self, number: int) -> float:
        return self._values.get(number, 0.0)

    def __setitem__(self, number: int, value: float) -> None:
        self._values[number] = value
        if number > HOME - 1:
            self._scales[number] = self.scale

    def stored(self) -> dict[int, float]:
        """All that is stored, by number."""
        return dict(sorted(self._values.items()))

    def point(self, first: int) -> Point:
        """Three lengths from parameter ``first`` on, in mm."""
        x, y, z = (self[n] * self._scales.get(n, self.scale) for n in range(first, first + 3))
        return x, y, z

    def store_point(self, first: int, lengths: Point) -> None:
        """Store three lengths (mm) from parameter ``first`` on, in the units of the moment; the rotary three are 0."""
        for number, length in enumerate(lengths, first):
            self[number] = length / self.scale
        for number in range(first + 3, first + 6):
            self[number] = 0.0
