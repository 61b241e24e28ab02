"""What a rapid or a stopped cutter takes with it that is thinner than any grid: walls, ribs, pins, ledges.

Few moves of a program are at rapid below the top of the work. Each of them is asked about by exact level rays across
all that it sweeps, along X and along Y, close above its lowest point and higher up: a wall that stands in its way is
crossed by the rays of one axis or the other, however thin it is.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from handwheel.cut.part import Cut, Part
from handwheel.cut.rays import Rays, left
from handwheel.motion import Moves, Tool
from handwheel.motion.extent import extents
from handwheel.path.box import Box
from handwheel.tolerances import BESIDE, CONTACT

Floats = NDArray[np.float64]

APART = 0.25
"""How far neighbouring rays are from one another, mm: a pin of that width is met."""

MOST_ABREAST = 1000
"""The most rays abreast; a sweep wider than 250 mm has them further apart."""

LEVELS = (0.15, 0.4, 0.7, 0.95)
"""Heights of the rays as shares of how deep the flutes are below the top of the raw work; one more is just above the
lowest point, where most walls are still there."""


def struck(tip: Moves, tools: Mapping[int, Tool], work: Box, asked: NDArray[np.bool_]) -> Floats:
    """(n,) how far the flutes go below the top of what each of the moves asked about runs into, mm; else 0.

    Parameters
    ----------
    tip : moves of the true tip
    tools : the tools that really cut
    work : the raw block
    asked : (n,) which moves
    """
    deep = np.zeros(len(tip))
    if not asked.any():
        return deep
    number = tip.of_modal("tool").astype(np.int64)
    low, high = extents(tip)
    radius = np.array([tools[one].diameter / 2.0 if one in tools else -math.inf for one in number.tolist()])
    # what moves reach sideways, and from the lowest point up
    low[:, :2] -= radius[:, None]
    high[:, :2] += radius[:, None]
    reaches = (low[:, 2] < work.high[2] - CONTACT) & np.isfinite(radius)
    for axis in (0, 1):
        reaches &= (low[:, axis] < work.high[axis] - CONTACT) & (high[:, axis] > work.low[axis] + CONTACT)
    for row in np.flatnonzero(asked & reaches).tolist():
        beside = reaches[:row]
        for axis in (0, 1):
            beside = beside & (low[:row, axis] < high[row, axis]) & (high[:row, axis] > low[row, axis])
        tool = tools[int(number[row])]
        deep[row] = _depth(tip, np.flatnonzero(beside), row, tools, tool, work, low[row], high[row])
    return deep


def _depth(
    tip: Moves,
    before: NDArray[np.int64],
    row: int,
    tools: Mapping[int, Tool],
    tool: Tool,
    work: Box,
    low: Floats,
    high: Floats,
) -> float:
    # smaller by contact all round: touching is not cutting
    shrunk = replace(tool, diameter=tool.diameter - 2.0 * CONTACT)
    raised = tip.rows(np.array([row])).shifted(np.array([[0.0, 0.0, CONTACT]]))
    standing = Part(work, (Cut(tip.rows(before), tools),))
    after = Part(work, (*standing.cuts, Cut(raised, {tool.number: shrunk})))
    reach = min(float(work.high[2] - low[2]), tool.flute_length)
    levels = [float(low[2]) + height for height in (min(2.0 * BESIDE, reach / 2.0), *(s * reach for s in LEVELS))]
    deepest = 0.0
    for axis, across in ((0, 1), (1, 0)):
        first, last = max(low[across], work.low[across]), min(high[across], work.high[across])
        count = min(max(math.ceil((last - first) / APART), 2), MOST_ABREAST)
        edge = min(BESIDE, (last - first) / 4.0)
        abreast = [first + edge, *(first + (np.arange(count) + 0.5) * (last - first) / count), last - edge]
        rays = Rays(axis, np.array([(place, level) for level in levels for place in abreast]))
        there, gone = left(standing, rays), left(after, rays)
        met = there.total() - gone.total() > CONTACT
        if met.any():
            deepest = max(deepest, float(rays.at[met, 1].max() - low[2]))
    return deepest
