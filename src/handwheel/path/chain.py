"""Chains: lines and arcs one after the other, as a cutter is led along them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import TypeAlias

from handwheel.path.arc import Arc, turn_between
from handwheel.path.line import XY, Line
from handwheel.path.offset import Piece, crossings, turn_at_corner
from handwheel.tolerances import CONTACT

Chain: TypeAlias = tuple[Piece, ...]
"""Each piece starts where the one before it ends; empty where there is none."""


def straight(points: Sequence[XY]) -> Chain:
    """The lines from point to point; points that follow on each other without a distance make none.

    >>> straight([(0.0, 0.0), (4.0, 0.0), (4.0, 3.0)])[1]
    Line(start=(4.0, 0.0), end=(4.0, 3.0))
    """
    return tuple(Line(a, b) for a, b in pairwise(points) if math.dist(a, b) > CONTACT)


def corners(chain: Chain) -> tuple[XY, ...]:
    """Where the pieces start and end, in order."""
    return (chain[0].start, *(piece.end for piece in chain)) if chain else ()


def length(chain: Chain) -> float:
    """Along all of it, mm."""
    return sum(piece.length for piece in chain)


def reversed_chain(chain: Chain) -> Chain:
    """The same, the other way along.

    >>> reversed_chain(straight([(0.0, 0.0), (4.0, 0.0), (4.0, 3.0)]))[0]
    Line(start=(4.0, 3.0), end=(4.0, 0.0))
    """
    return tuple(reversed([_turned_back(piece) for piece in chain]))


def _turned_back(piece: Piece) -> Piece:
    if isinstance(piece, Arc):
        return Arc(piece.centre, piece.end, piece.start, -piece.turn)
    return Line(piece.end, piece.start)


def offset_chain(chain: Chain, left: float, *, closed: bool = False) -> Chain:
    """The chain ``left`` mm to the left of the motion (negative: to the right).

    Outside corners are rolled round on an arc, as a control does; at inside corners both pieces end at their crossing.

    Parameters
    ----------
    closed : the last piece ends where the first one starts, and the corner between them counts too

    Raises
    ------
    ValueError
        Where nothing is left of a piece: an arc no larger than the offset, or an inside corner that cuts all of it off.

    >>> [round(value, 6) for value in corners(offset_chain(straight([(0, 0), (4, 0), (4, 3)]), 1.0))[1]]
    [3.0, 1.0]
    """
    if left == 0.0 or not chain:
        return chain
    moved: list[Piece] = []
    for piece in chain:
        offset = piece.offset(left)
        if offset is None:
            raise ValueError(f"an arc of radius {piece.length / abs(piece.turn):g} mm leaves nothing inside {left:g}")  # type: ignore[union-attr]
        moved.append(offset)
    joined: list[Piece] = [moved[0]]
    for index in range(1, len(chain)):
        _join(joined, chain[index - 1], chain[index], moved[index], left)
    if closed and len(chain) > 1:
        ends: list[Piece] = [joined[-1]]
        _join(ends, chain[-1], chain[0], joined[0], left)
        joined[-1:] = ends[:-1]
        joined[0] = ends[-1]
    return tuple(joined)


def _join(joined: list[Piece], before: Piece, after: Piece, moved: Piece, left: float) -> None:
    """Add the next piece, with the corner between it and the last one."""
    turn = turn_at_corner(before.end_direction, after.start_direction)
    last = joined[-1]
    if math.dist(last.end, moved.start) <= CONTACT:
        joined.append(moved)
    elif turn * left < 0.0:
        joined += [Arc(before.end, last.end, moved.start, _rolled(last.end, moved.start, before.end, turn)), moved]
    else:
        met = crossings(last, moved)
        if not met:
            raise ValueError(f"an inside corner at {before.end} leaves no way between")
        point = met[0].point
        joined[-1] = _until(last, point)
        joined.append(_from(moved, point))


def _rolled(start: XY, end: XY, centre: XY, turn: float) -> float:
    return turn_between(start, end, centre, math.copysign(1.0, turn))


def _until(piece: Piece, point: XY) -> Piece:
    if isinstance(piece, Arc):
        return Arc(piece.centre, piece.start, point, piece.turn * piece.share(point))
    return Line(piece.start, point)


def _from(piece: Piece, point: XY) -> Piece:
    if isinstance(piece, Arc):
        return Arc(piece.centre, point, piece.end, piece.turn * (1.0 - piece.share(point)))
    return Line(point, piece.end)
