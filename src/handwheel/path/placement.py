"""How a part stands in one set-up: turned by quarter turns and displaced."""

from __future__ import annotations

from dataclasses import dataclass

from handwheel.path.box import Box

Point = tuple[float, float, float]
Row = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Placement:
    """From the part's frame to the set-up's: ``rotation`` · point + ``shift`` (mm).

    ``rotation`` is given row by row; each row holds one +1 or −1, and no part is turned into its mirror image.

    >>> upside_down = Placement(((1, 0, 0), (0, -1, 0), (0, 0, -1)), (0.0, 60.0, -30.0))
    >>> upside_down.box(Box((0, 0, -30), (100, 60, 0)))
    Box(low=(0.0, 0.0, -30.0), high=(100.0, 60.0, 0.0))
    """

    rotation: tuple[Row, Row, Row] = ((1, 0, 0), (0, 1, 0), (0, 0, 1))
    shift: Point = (0.0, 0.0, 0.0)

    def __post_init__(self) -> None:
        a, b, c = self.rotation
        if any(sorted(map(abs, row)) != [0, 0, 1] for row in self.rotation) or _cross(a, b) != c:
            raise ValueError(f"not a turn by quarter turns: {self.rotation}")

    @property
    def is_identity(self) -> bool:
        """Whether nothing is turned or displaced."""
        return self == AS_DRAWN

    def axis(self, axis: int) -> tuple[int, int]:
        """Where an axis of the part goes: the set-up's axis and +1 or −1."""
        column = [row[axis] for row in self.rotation]
        onto = next(index for index, sign in enumerate(column) if sign)
        return onto, column[onto]

    def point(self, point: Point) -> Point:
        """A point of the part in the set-up's frame."""
        x, y, z = (
            sum(sign * value for sign, value in zip(row, point, strict=True)) + shift
            for row, shift in zip(self.rotation, self.shift, strict=True)
        )
        return (x, y, z)

    def inverse(self) -> Placement:
        """The way back, from the set-up's frame to the part's."""
        a, b, c = zip(*self.rotation, strict=True)
        back = Placement((a, b, c))
        x, y, z = back.point(self.shift)
        return Placement(back.rotation, (-x, -y, -z))

    def after(self, first: Placement) -> Placement:
        """``first``, and then this one."""
        a, b, c = (
            tuple(sum(row[k] * first.rotation[k][n] for k in range(3)) for n in range(3)) for row in self.rotation
        )
        return Placement((a, b, c), self.point(first.shift))  # type: ignore[arg-type]

    def box(self, box: Box) -> Box:
        """A box of the part in the set-up's frame."""
        a, b = self.point(box.low), self.point(box.high)
        low = tuple(min(pair) for pair in zip(a, b, strict=True))
        high = tuple(max(pair) for pair in zip(a, b, strict=True))
        return Box(low, high)  # type: ignore[arg-type]


def _cross(a: Row, b: Row) -> Row:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


AS_DRAWN = Placement()
"""Neither turned nor displaced."""
