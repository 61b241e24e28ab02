"""Stairs as wheels are turned: which slide goes where, and which way a rounded setting leaves metal."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, NamedTuple

from handwheel.path.arc import Arc, quarters
from handwheel.path.by_coordinates import Stair, corner_away, stairs_along
from handwheel.path.chain import Chain
from handwheel.path.line import Line
from handwheel.path.outline import Outline
from handwheel.tolerances import CONTACT, SNAP


class Step(NamedTuple):
    """One axis moved to a coordinate, mm. ``leaving``, 1 or −1, is the way in which a rounded setting leaves metal; 0:
    it is no matter. ``is_long``: it makes the whole of a straight piece."""

    axis: Literal[0, 1]
    to: float
    leaving: Literal[-1, 0, 1] = 0
    is_long: bool = False


def led(
    chain: Chain, aside: Literal[-1, 0, 1], cutter_radius: float, cusp: float, wall: Outline | None = None
) -> Iterator[Step]:
    """The steps that lead the cutter's center along a chain.

    Where a straight piece ends at another wall, its last setting leaves metal there too.

    Parameters
    ----------
    chain : the centre's path, mm
    aside : on which side of the path the open room is, seen along it: 1 left, −1 right; the wall is across from it. 0:
        there is no wall, and the path is led along with no care for what is beside it
    cutter_radius : mm
    cusp : what may stay on the wall, mm
    wall : the finished outline, where the path has inside corners that no axis leads into

    >>> bent = (Line((0.0, 0.0), (9.0, 0.0)), Line((9.0, 0.0), (9.0, 5.0)))
    >>> [(step.axis, step.to) for step in led(bent, 1, 3.0, 0.1)]
    [(0, 9.0), (1, 5.0)]
    """
    stairs = stairs_along(chain, cutter_radius, cusp, work_left=aside < 0, wall=wall) if aside else _plain(chain)
    for index, stair in enumerate(stairs):
        *steps, last = _wheels(stair, aside)
        yield from steps
        following = stairs[index + 1].piece if index + 1 < len(stairs) else None
        if last.leaving == 0 and aside and isinstance(following, Line):
            x, y = following.start_direction
            last = last._replace(leaving=_sign((-y * aside, x * aside)[last.axis]))
        yield last


def _plain(chain: Chain) -> list[Stair]:
    """A stair for each line and each quarter of an arc."""
    pieces = [part for piece in chain for part in (quarters(piece) if isinstance(piece, Arc) else (piece,))]
    return [Stair(piece, corner_away(piece.start, piece.end, work_left=False)) for piece in pieces]


def _wheels(stair: Stair, aside: Literal[-1, 0, 1]) -> list[Step]:
    """The one or two wheels of a stair; at its end the setting is rounded towards the open room."""
    moved = (stair.end[0] - stair.start[0], stair.end[1] - stair.start[1])
    if isinstance(stair.piece, Line) and min(abs(moved[0]), abs(moved[1])) <= SNAP:
        along: Literal[0, 1] = 0 if abs(moved[0]) > abs(moved[1]) else 1
        return [Step(along, stair.end[along], is_long=True)]
    x, y = stair.piece.end_direction
    room = (-y * aside, x * aside)
    first: Literal[0, 1] = 0 if stair.corner[1] == stair.start[1] else 1
    second: Literal[0, 1] = 1 if first == 0 else 0
    wheels = [Step(axis, stair.end[axis], _sign(room[axis])) for axis in (first, second) if abs(moved[axis]) > CONTACT]
    return wheels or [Step(first, stair.end[first], _sign(room[first]))]


def _sign(value: float) -> Literal[-1, 0, 1]:
    return 0 if abs(value) <= 1e-9 else 1 if value > 0 else -1
