"""What still stands when each move is made, and what of the tool meets it.

Upright rays stand on a grid over the work, with a pair of rays close to either side of every face that is known
beforehand, so that a shaving of such a face is met as well. Moves are made in order; each ray keeps the height that
still stands. What is thinner than the grid elsewhere may be missed: its spacing is :data:`SPACING` of the work's longer
side.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from handwheel.check.kernels.meet import PARTS, make_moves
from handwheel.check.machinery.bent_rapid import legs
from handwheel.check.machinery.kernel_moves import ways
from handwheel.cut.cutter import cutter
from handwheel.cut.kernels.rows import Sweeps
from handwheel.cut.part import Part
from handwheel.cut.rays import Rays, left
from handwheel.cut.sweeps import BATCH, batches
from handwheel.motion import Moves, Tool
from handwheel.path.box import Box
from handwheel.tolerances import BESIDE, CONTACT, NEAR

Floats = NDArray[np.float64]

SPACING = 1.0 / 128.0
"""Of the grid, as a share of the work's longer side."""

CORE = 0.25
"""The middle of a cutter without teeth there, as a share of its diameter from the axis (common practice)."""


@dataclass(frozen=True)
class Standing:
    """What each move meets, mm; 0 where it meets nothing.

    Attributes
    ----------
    depth : (n,) how far the flutes go below what stands: the axial depth of cut
    core : (n,) the same within the middle of the cutter
    above_flutes : (n,) how far the standing material reaches above the flutes that cut it
    shank, holder : (n,) how far shank and holder are below the top of what they run into
    leg : (n,) how deep the flutes go where each axis of a rapid runs at its own rate
    gap : how near the holder comes to the rays' tops, mm; ``NEAR`` where it stays further away. Exact upwards, and
        sideways to a known face; to another wall it may be too large by the grid's spacing
    gap_row : the move where it does; −1: none
    """

    depth: Floats
    core: Floats
    above_flutes: Floats
    shank: Floats
    holder: Floats
    leg: Floats
    gap: float
    gap_row: int


def standing(tip: Moves, tools: Mapping[int, Tool], before: Part, work: Box, faces: Iterable[Box] = ()) -> Standing:
    """Make all moves on the work.

    Parameters
    ----------
    tip : moves of the true tip
    tools : the tools that really cut
    before : the work before the first of them
    work : the block that holds it
    faces : boxes whose sides are faces that somebody may shave
    """
    xs, ys = (_coordinates(work, axis, [work, *faces]) for axis in (0, 1))
    heights = _tops(before, xs, ys)
    met = np.zeros((len(PARTS) + 2, len(tip)))
    nearest = np.array([NEAR, -1.0])
    numbers = sorted({modal.tool for modal in tip.modals} & set(tools))
    holders, index_of = _holders([tools[number] for number in numbers])
    tool_of = np.array([index_of.get(modal.tool, -1) for modal in tip.modals], dtype=np.int64)
    core = np.array([tools[modal.tool].diameter * CORE if modal.tool in tools else 0.0 for modal in tip.modals])
    shanks = {number: _cylinder(tools[number], "shank") for number in numbers}
    noses = {number: _cylinder(tools[number], "holder") for number in numbers}
    for first in range(0, len(tip), BATCH):
        moves = tip.rows(slice(first, first + BATCH))
        first_leg, second_leg, third_leg = legs(moves)
        make_moves(
            (
                _shrunk(first_leg, tools),
                _shrunk(second_leg, tools),
                _shrunk(third_leg, tools),
                _shrunk(moves, tools),
                _shrunk(_raised(moves, tools, "shank"), shanks),
                _shrunk(_raised(moves, tools, "holder"), noses),
            ),
            ways(moves),
            tool_of[moves.modal],
            core[moves.modal],
            holders,
            xs,
            ys,
            heights,
            float(work.low[2]),
            float(work.high[2]),
            first,
            met,
            nearest,
        )
    *first_legs, depth, shank, holder, core_depth, above_flutes = met
    leg = np.maximum.reduce(first_legs)
    return Standing(depth, core_depth, above_flutes, shank, holder, leg, float(nearest[0]), int(nearest[1]))


def _tops(before: Part, xs: Floats, ys: Floats) -> Floats:
    """(nx, ny) how high the work stands on each ray before the first move; at its underside where nothing does."""
    work = before.stock
    if not before.cuts:
        return np.full((len(xs), len(ys)), float(work.high[2]))
    at = np.column_stack([values.ravel() for values in np.meshgrid(xs, ys, indexing="ij")])
    met = left(before, Rays(2, at))
    tops = np.full(len(at), float(work.low[2]))
    some = met.first[1:] > met.first[:-1]
    tops[some] = met.high[met.first[1:][some] - 1]
    return tops.reshape(len(xs), len(ys))


def _coordinates(work: Box, axis: int, faces: Iterable[Box]) -> Floats:
    """The rays' coordinates along an axis: even, and a pair close to every face within the work."""
    low, high = work.low[axis], work.high[axis]
    spacing = max(work.size[0], work.size[1]) * SPACING
    count = max(1, math.ceil((high - low) / spacing))
    even = low + (np.arange(count) + 0.5) * (high - low) / count
    sides = {side + near for box in faces for side in (box.low[axis], box.high[axis]) for near in (-BESIDE, BESIDE)}
    return np.array(sorted({*even.tolist(), *(side for side in sides if low < side < high)}))


def _shrunk(moves: Moves, tools: Mapping[int, Tool]) -> Sweeps:
    """Sweeps of the tools, smaller by contact all round, so that touching is not cutting.

    They are those for level rays, which keep the pieces that do not matter from below: their tops do here.
    """
    (sweeps,) = batches(moves, tools, vertical=False)
    pieces = sweeps.pieces.copy()
    rounded = pieces[:, 0] == 1.0
    pieces[:, 1] += CONTACT
    pieces[rounded, 2] -= CONTACT
    pieces[rounded, 5] -= CONTACT
    pieces[np.ix_(~rounded, [3, 4])] = np.maximum(pieces[np.ix_(~rounded, [3, 4])] - CONTACT, 0.0)
    return sweeps._replace(pieces=pieces)


def _cylinder(tool: Tool, part: str) -> Tool:
    """Shank or holder as a cutter of its own that starts at its own lower end."""
    profile = getattr(cutter(tool), part)
    length = profile.high - profile.low if profile else 0.0
    return replace(
        tool, shape="end mill", corner_radius=0.0, diameter=2.0 * profile.radius, flute_length=length, reach=length
    )


def _raised(moves: Moves, tools: Mapping[int, Tool], part: str) -> Moves:
    """The moves of a part's lower end; those of a tool without that part belong to no tool."""
    lift, modals = [], []
    for modal in moves.modals:
        profile = getattr(cutter(tools[modal.tool]), part) if modal.tool in tools else None
        lift.append(profile.low if profile else 0.0)
        modals.append(modal if profile else replace(modal, tool=0))
    offset = np.zeros((len(moves), 3))
    offset[:, 2] = np.array(lift)[moves.modal]
    return replace(moves.shifted(offset), modals=tuple(modals))


def _holders(tools: Iterable[Tool]) -> tuple[Floats, dict[int, int]]:
    """The holder of each tool as one piece above the tip; and where it stands in the table."""
    rows, index_of = [np.empty((0, 6))], {}
    for tool in tools:
        numbers = cutter(tool).holder.numbers()
        if len(numbers):
            index_of[tool.number] = len(rows) - 1
            rows.append(numbers[:1])
    return np.concatenate(rows), index_of
