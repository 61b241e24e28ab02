"""The table of moves: what goes in comes out."""

from __future__ import annotations

import math

import pytest

from handwheel.motion import Kind, Modal, MovesBuilder, Plane
from handwheel.motion.extent import extents


def test_what_goes_in_comes_out() -> None:
    builder = MovesBuilder()
    builder.add(Kind.RAPID, (1, 2, 3), (4, 5, 6), Modal(tool=1), line=7)
    builder.add(
        Kind.ARC, (4, 5, 6), (6, 7, 8), Modal(tool=2), feed=9.0, centre=(4, 7, 6), turn=math.pi / 2, line=8, step=3
    )
    builder.add(Kind.DWELL, (6, 7, 8), (6, 7, 8), Modal(tool=1), seconds=1.5, line=9)
    rapid, arc, dwell = builder.build()
    assert (rapid.kind, rapid.start, rapid.end, rapid.feed, rapid.line) == (Kind.RAPID, (1, 2, 3), (4, 5, 6), None, 7)
    assert (arc.centre, arc.turn, arc.plane, arc.feed, arc.step) == ((4, 7, 6), math.pi / 2, Plane.XY, 9.0, 3)
    assert (dwell.kind, dwell.seconds) == (Kind.DWELL, 1.5)
    assert [move.modal.tool for move in (rapid, arc, dwell)] == [1, 2, 1]


def test_add_straight_is_add() -> None:
    one, other = MovesBuilder(), MovesBuilder()
    one.add(Kind.FEED, (1, 2, 3), (4, 5, 6), Modal(), feed=10.0, line=4)
    other.add_straight(Kind.FEED, (1, 2, 3), (4, 5, 6), Modal(), 10.0, 4)
    assert repr(one.build()[0]) == repr(other.build()[0])


@pytest.mark.parametrize(
    ("turn", "end", "low", "high"),
    [
        (math.pi / 2, (0, 5), (0, 0), (5, 5)),
        (-math.pi / 2, (0, -5), (0, -5), (5, 0)),
        (math.pi, (-5, 0), (-5, 0), (5, 5)),
        (-1.5 * math.pi, (0, 5), (-5, -5), (5, 5)),
        (2 * math.pi, (5, 0), (-5, -5), (5, 5)),
    ],
)
def test_an_arc_reaches_to_its_bulge(
    turn: float, end: tuple[int, int], low: tuple[int, int], high: tuple[int, int]
) -> None:
    builder = MovesBuilder()
    builder.add(Kind.ARC, (5, 0, 1), (*end, 2), Modal(), feed=1.0, centre=(0, 0, 1), turn=turn)
    lowest, highest = extents(builder.build())
    assert lowest[0] == pytest.approx([*low, 1], abs=1e-12)
    assert highest[0] == pytest.approx([*high, 2], abs=1e-12)
