"""The kernel that holds every move against every box; see :mod:`handwheel.check.machinery.nearest`."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from handwheel.check.kernels.gap import move_gap
from handwheel.check.kernels.lift import move_lowest
from handwheel.check.kernels.piece import widest
from handwheel.check.kernels.way import ARC, END, START, TURN, arc_point
from handwheel.cut.kernels.compiled import compiled
from handwheel.tolerances import CONTACT

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

HALVINGS = 40
"""Of a move, to find a moment in it: 2^-40 of it is nothing."""


@compiled
def survey(
    all_ways: Floats,
    low: Floats,
    high: Floats,
    tool_index: Ints,
    first_row: int,
    pieces: Floats,
    part_of: Ints,
    ends: Ints,
    boxes: Floats,
    counts: Ints,
    lift: Floats,
    least: Floats,
    where: Ints,
) -> None:
    """Fill in the hits of each tool and part, and the least distance without a hit.

    The moves count from ``first_row``. ``counts`` is (4, tools, parts): moves that hit, the first, the one deepest in,
    and in which box that is. ``least`` is the distance, ``where`` its row, part and box.
    """
    count, first, deepest, box_hit = counts
    best = least[0]
    for row in range(len(all_ways)):
        way, tool = all_ways[row], tool_index[row]
        if tool < 0:
            continue
        counted = -1
        for index in range(ends[tool], ends[tool + 1]):
            piece, part = pieces[index], part_of[index]
            for number in range(len(boxes)):
                box = boxes[number]
                bound = _bound(low[row], high[row], piece, box)
                if bound >= best > 0.0 or bound > 0.0 >= best:
                    continue
                if move_gap(way, piece, _core(box)) > 0.0:
                    gap = move_gap(way, piece, box)
                    if gap < best:
                        best = gap
                        where[0], where[1], where[2] = first_row + row, part, number
                    continue
                if counted != part:
                    counted = part
                    if count[tool, part] == 0:
                        first[tool, part] = first_row + row
                    count[tool, part] += 1
                needed = _lift(way, pieces[ends[tool] : index + 1], box)
                if needed > lift[tool, part]:
                    lift[tool, part] = needed
                    deepest[tool, part], box_hit[tool, part] = first_row + row, number
    least[0] = best


@compiled
def _lift(way: Floats, pieces: Floats, box: Floats) -> float:
    """The least lift that frees the last of these pieces, which hits the box, and leaves none of those under it in the
    box that are still below its underside."""
    last = len(pieces) - 1
    needed = float(box[5] - move_lowest(way, pieces[last], box))
    for index in range(last):
        if move_gap(way, pieces[index], _core(box)) > 0.0:
            needed = max(needed, float(box[5] - move_lowest(way, pieces[index], box)))
    return needed


@compiled
def first_share(way: Floats, pieces: Floats, boxes: Floats) -> float:
    """The share of a move that is made when one of the pieces first meets one of the boxes; 1 where none does.

    Whether a piece has met a box by then only ever turns from no to yes, so halving finds the moment.
    """
    best = 1.0
    for piece in pieces:
        for box in boxes:
            core = _core(box)
            if move_gap(_until(way, best), piece, core) > 0.0:
                continue
            low, high = 0.0, best
            if move_gap(_until(way, 0.0), piece, core) <= 0.0:
                return 0.0
            for _ in range(HALVINGS):
                middle = 0.5 * (low + high)
                if move_gap(_until(way, middle), piece, core) > 0.0:
                    low = middle
                else:
                    high = middle
            best = high
    return best


@compiled
def _until(way: Floats, share: float) -> Floats:
    """The first part of a move."""
    part = way.copy()
    if way[ARC] == 0.0:
        for axis in range(3):
            part[END + axis] = way[START + axis] + share * (way[END + axis] - way[START + axis])
        return part
    part[END : END + 3] = arc_point(way, share)
    part[TURN] = share * way[TURN]
    return part


@compiled
def _bound(low: Floats, high: Floats, piece: Floats, box: Floats) -> float:
    """A distance that a move from ``low`` to ``high`` does not undercut."""
    reach = widest(piece)
    across = max(box[0] - high[0], low[0] - box[3], reach) - reach
    along = max(box[1] - high[1], low[1] - box[4], reach) - reach
    over = max(box[2] - high[2] - piece[2], low[2] + piece[1] - box[5], 0.0)
    return math.sqrt(across * across + along * along + over * over)


@compiled
def _core(box: Floats) -> Floats:
    """The box less contact all round: what overlaps it is hit and not only touched."""
    core = np.empty(6)
    for axis in range(3):
        middle = (box[axis] + box[axis + 3]) / 2.0
        core[axis] = min(box[axis] + CONTACT, middle)
        core[axis + 3] = max(box[axis + 3] - CONTACT, middle)
    return core
