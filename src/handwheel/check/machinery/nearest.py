"""How near flutes, shank and holder come to what holds the work: every move against every box, in one pass.

A move whose own bounds are further from a box than the best found so far is left out, so that a million moves are
quick. What overlaps by more than contact is a hit; its depth is the least *lift* that frees it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from handwheel.check.kernels.survey import first_share, survey
from handwheel.check.machinery.kernel_moves import ways
from handwheel.cut.cutter import cutter
from handwheel.cut.sweeps import BATCH
from handwheel.motion import Moves, Tool
from handwheel.motion.extent import extents
from handwheel.path.box import Box
from handwheel.path.profile import PIECE_NUMBERS
from handwheel.tolerances import NEAR

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
PARTS = ("flutes", "shank", "holder")


@dataclass(frozen=True, slots=True)
class Hit:
    """What one part of one tool runs into.

    ``rows`` counts the moves that do, ``first`` is the first of them; ``deepest`` the one that needs the greatest
    ``lift`` (mm) to come free, over the box with number ``box``.
    """

    tool: int
    part: str
    box: int
    rows: int
    first: int
    deepest: int
    lift: float


@dataclass(frozen=True, slots=True)
class Approach:
    """The nearest that any part comes: ``gap`` in mm, minus the greatest lift where there are hits; ``row``, ``tool``,
    ``part`` and ``box`` say where."""

    gap: float
    row: int
    tool: int
    part: str
    box: int


@dataclass(frozen=True)
class Nearest:
    """Hits of each tool and part, and the nearest approach; ``None`` where nothing came nearer than ``NEAR``."""

    hits: tuple[Hit, ...]
    approach: Approach | None


def nearest(tip: Moves, tools: Mapping[int, Tool], boxes: Sequence[Box], parts: Sequence[str] = PARTS) -> Nearest:
    """How near the parts of the tools come to the boxes.

    Parameters
    ----------
    tip : moves of the true tip
    tools : the tools that really cut; a move with another, or none, counts for nothing
    boxes : what must not be touched
    parts : which of ``PARTS`` are looked at
    """
    used = sorted({modal.tool for modal in tip.modals} & set(tools))
    if not used or not len(tip) or not boxes:
        return Nearest((), None)
    index_of = {number: index for index, number in enumerate(used)}
    tool_index = np.array([index_of.get(modal.tool, -1) for modal in tip.modals], dtype=np.int64)[tip.modal]
    pieces, part_of, ends = _pieces([tools[number] for number in used], parts)
    low, high = extents(tip)
    shape = (len(used), len(PARTS))
    counts = np.zeros((4, *shape), dtype=np.int64)
    lift = np.full(shape, -math.inf)
    corners = np.array([[*box.low, *box.high] for box in boxes], dtype=np.float64)
    nearest_gap, where = np.array([NEAR]), np.zeros(3, dtype=np.int64)
    for first in range(0, len(tip), BATCH):
        some = slice(first, first + BATCH)
        moves = ways(tip.rows(some)), low[some], high[some], tool_index[some], first
        survey(*moves, pieces, part_of, ends, corners, counts, lift, nearest_gap, where)
    gap = float(nearest_gap[0])
    hits = tuple(
        Hit(
            tool=used[t],
            part=PARTS[p],
            box=int(counts[3, t, p]),
            rows=int(counts[0, t, p]),
            first=int(counts[1, t, p]),
            deepest=int(counts[2, t, p]),
            lift=float(lift[t, p]),
        )
        for t, p in zip(*(index.tolist() for index in np.nonzero(counts[0])), strict=True)
    )
    if hits:
        worst = max(hits, key=lambda hit: hit.lift)
        return Nearest(hits, Approach(-worst.lift, worst.deepest, worst.tool, worst.part, worst.box))
    if gap >= NEAR:
        return Nearest((), None)
    row, part, box = (int(value) for value in where)
    return Nearest((), Approach(float(gap), row, used[int(tool_index[row])], PARTS[part], box))


def when_met(
    tip: Moves, row: int, tools: Mapping[int, Tool], boxes: Sequence[Box], parts: Sequence[str] = PARTS
) -> float:
    """The share of a move (0…1) that is made when these parts of its tool first meet one of the boxes; 1 for never.

    Parameters
    ----------
    tip, tools, boxes, parts : as for :func:`nearest`
    row : the move
    """
    tool = tools.get(tip.modals[int(tip.modal[row])].tool)
    if tool is None or not boxes:
        return 1.0
    pieces, _, _ = _pieces([tool], parts)
    corners = np.array([[*box.low, *box.high] for box in boxes], dtype=np.float64)
    return float(first_share(ways(tip.rows(slice(row, row + 1)))[0], pieces, corners))


def _with_threads(tool: Tool) -> Tool:
    """A tap as wide as its threads."""
    return replace(tool, shape="reamer") if tool.shape == "tap" else tool


def _pieces(tools: Sequence[Tool], parts: Sequence[str]) -> tuple[Floats, Ints, Ints]:
    """All pieces of all tools in one table, which part each belongs to, and where each tool's end."""
    rows, part_of, ends = [np.empty((0, PIECE_NUMBERS))], [], [0]
    for tool in tools:
        for part in parts:
            table = getattr(cutter(_with_threads(tool)), part).numbers()
            rows.append(table)
            part_of += [PARTS.index(part)] * len(table)
        ends.append(len(part_of))
    return np.concatenate(rows), np.array(part_of, dtype=np.int64), np.array(ends, dtype=np.int64)
