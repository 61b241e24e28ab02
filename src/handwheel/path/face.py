"""The six faces of a block, by the names that the trade gives them as the block lies."""

from __future__ import annotations

from enum import StrEnum
from typing import Literal

Axis = Literal[0, 1, 2]


class Face(StrEnum):
    """A face: left and right end, front and back side, top and bottom.

    >>> Face.BACK.axis, Face.BACK.outwards, Face.BACK.opposite.value
    (1, 1, 'front')
    """

    LEFT = "left"
    RIGHT = "right"
    FRONT = "front"
    BACK = "back"
    BOTTOM = "bottom"
    TOP = "top"

    @property
    def axis(self) -> Axis:
        """The axis that is square to it: 0, 1, 2 for X, Y, Z."""
        return _AXES[self]

    @property
    def outwards(self) -> Literal[-1, 1]:
        """Which way along its axis the work looks there."""
        return 1 if self in (Face.RIGHT, Face.BACK, Face.TOP) else -1

    @property
    def opposite(self) -> Face:
        """The face across the work."""
        return _OPPOSITE[self]

    @property
    def normal(self) -> tuple[int, int, int]:
        """Away from the work, square to the face.

        >>> Face.FRONT.normal
        (0, -1, 0)
        """
        x, y, z = (self.outwards if self.axis == axis else 0 for axis in (0, 1, 2))
        return (x, y, z)


def face_of(axis: int, outwards: int) -> Face:
    """The face that looks that way.

    >>> face_of(2, -1)
    <Face.BOTTOM: 'bottom'>
    """
    return next(face for face in Face if face.axis == axis and face.outwards == outwards)


_AXES: dict[Face, Axis] = {
    Face.LEFT: 0,
    Face.RIGHT: 0,
    Face.FRONT: 1,
    Face.BACK: 1,
    Face.BOTTOM: 2,
    Face.TOP: 2,
}
_OPPOSITE = {
    Face.LEFT: Face.RIGHT,
    Face.RIGHT: Face.LEFT,
    Face.FRONT: Face.BACK,
    Face.BACK: Face.FRONT,
    Face.BOTTOM: Face.TOP,
    Face.TOP: Face.BOTTOM,
}
