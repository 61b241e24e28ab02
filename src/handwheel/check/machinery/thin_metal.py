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


RUB = 0.05
"""A shank that is nearer than this to a wall rubs on it, mm: chips and the cutter's own bend close such a gap."""


def struck(tip: Moves, tools: Mapping[int, Tool], before: Part, asked: NDArray[np.bool_]) -> Floats:
    """(n,) how far the flutes go below the top of what each of the moves asked about runs into, mm; else 0.

    Parameters
    ----------
    tip : moves of the true tip
    tools : the tools that really cut
    before : the work before the first of them
    asked : (n,) which moves
    """
    # smaller by contact all round: touching is not cutting
    bodies = {
        number: (replace(tool, diameter=tool.diameter - 2.0 * CONTACT), CONTACT) for number, tool in tools.items()
    }
    return _met(tip, tools, bodies, before, asked)


def rubbed(tip: Moves, tools: Mapping[int, Tool], before: Part, asked: NDArray[np.bool_]) -> Floats:
    """(n,) how far a shank is below the top of a wall that it rubs on, or of its own hole's, mm; else 0.

    A shank as thick as the cutter rubs on what the cutter has left there, also where it was cut in steps before;
    one that is thinner by more than ``RUB`` a side goes free. Parameters as for :func:`struck`.
    """
    bodies = {
        number: (
            replace(
                tool,
                shape="end mill",
                corner_radius=0.0,
                diameter=tool.shank + 2.0 * RUB,
                flute_length=tool.reach - tool.flute_length,
                reach=tool.reach - tool.flute_length,
            ),
            tool.flute_length + CONTACT,
        )
        for number, tool in tools.items()
        if tool.reach > tool.flute_length and tool.shank > 0.0
    }
    return _met(tip, tools, bodies, before, asked)


def _met(
    tip: Moves,
    tools: Mapping[int, Tool],
    bodies: Mapping[int, tuple[Tool, float]],
    work: Part,
    asked: NDArray[np.bool_],
) -> Floats:
    """How deep each body, so far above its cutter's tip, goes into what the moves before left standing."""
    deep = np.zeros(len(tip))
    if not asked.any():
        return deep
    number = tip.of_modal("tool").astype(np.int64).tolist()
    low, high = extents(tip)
    cutters = {one: tool.diameter / 2.0 for one, tool in tools.items()}
    was_low, was_high, cuts = _footprints(low, high, [cutters.get(one, -math.inf) for one in number], work.stock)
    asking = {one: body.diameter / 2.0 for one, (body, _) in bodies.items()}
    low[:, 2] += np.array([bodies[one][1] if one in bodies else 0.0 for one in number])
    low, high, reaches = _footprints(low, high, [asking.get(one, -math.inf) for one in number], work.stock)
    for row in np.flatnonzero(asked & reaches).tolist():
        beside = cuts[:row]
        for axis in (0, 1):
            beside = beside & (was_low[:row, axis] < high[row, axis]) & (was_high[:row, axis] > low[row, axis])
        body, lift = bodies[number[row]]
        raised = tip.rows(np.array([row])).shifted(np.array([[0.0, 0.0, lift]]))
        standing = work.with_cut(tip.rows(np.flatnonzero(beside)), tools)
        deep[row] = _depth(standing, Cut(raised, {number[row]: body}), body, low[row], high[row])
    return deep


def _footprints(low: Floats, high: Floats, radii: list[float], work: Box) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """What moves reach sideways, and from the lowest point up; and which of them reach the raw work."""
    radius = np.array(radii)
    low, high = low.copy(), high.copy()
    low[:, :2] -= radius[:, None]
    high[:, :2] += radius[:, None]
    reaches = (low[:, 2] < work.high[2] - CONTACT) & np.isfinite(radius)
    for axis in (0, 1):
        reaches &= (low[:, axis] < work.high[axis] - CONTACT) & (high[:, axis] > work.low[axis] + CONTACT)
    return low, high, np.asarray(reaches)


def _depth(standing: Part, cut: Cut, body: Tool, low: Floats, high: Floats) -> float:
    work = standing.stock
    after = Part(work, (*standing.cuts, cut))
    reach = min(float(work.high[2] - low[2]), body.flute_length)
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
