"""Which way round a block: the one place that knows conventional from climb.

Right-hand cutter, turning clockwise seen from above, outside of a block: conventional (up) milling goes anticlockwise
round the block, with the work on the cutter's left; climb (down) milling goes clockwise, with the work on its right.
Source: geometry; common practice.
"""

from __future__ import annotations

from typing import Literal

from handwheel.motion import Side
from handwheel.path.face import Face

Point2 = tuple[float, float]


def direction(edge: Face, cut: Literal["conventional", "climb"]) -> Point2:
    """Which way the *cutter* passes along an edge; the table goes the other way.

    >>> direction(Face.FRONT, "conventional"), direction(Face.BACK, "climb")
    ((1.0, 0.0), (1.0, 0.0))
    """
    x, y, _ = map(float, edge.normal)
    return (-y + 0.0, x) if cut == "conventional" else (y, -x + 0.0)


def cutter_side(cut: Literal["conventional", "climb"]) -> Side:
    """The side of the finished edge, seen along the motion, on which the cutter is kept (right: G42, left: G41)."""
    return Side.RIGHT if cut == "conventional" else Side.LEFT


def row_cut(width_left: float, width_right: float) -> Literal["conventional", "climb", "mixed"]:
    """What a row is called: by the side of its centre line with the greater width of cut.

    >>> row_cut(9.0, 3.0), row_cut(3.0, 9.0), row_cut(5.0, 5.0)
    ('conventional', 'climb', 'mixed')
    """
    if abs(width_left - width_right) <= 1e-9:
        return "mixed"
    return "conventional" if width_left > width_right else "climb"
