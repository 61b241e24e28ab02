"""Do feed and speed suit the cutter? Both are held against the shop's table for the work's material.

The table's values are starting values on the gentle side: somewhat above them is a matter of the handbook, well above
them an instructor steps in, and far above them the cutter breaks or burns.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import ArrayLike, NDArray

from handwheel.check.finding import Finding
from handwheel.check.inspection import Inspection
from handwheel.cut.cutter import cutter
from handwheel.motion import Tool
from handwheel.units import MM_PER_INCH, shop_number

Floats = NDArray[np.float64]

TOO_THICK, FAR_TOO_THICK = 2.0, 4.0
"""The chip's greatest thickness, as so many times the table's chip load (common practice)."""

TOO_FAST, FAR_TOO_FAST = 1.5, 4.0
"""The rim's speed, as so many times the table's cutting speed (common practice)."""

TOO_LITTLE = 0.25
"""The feed a tooth, as a share of the table's chip load: under it the teeth rub (common practice)."""

MILLS = ("end mill", "face mill", "ball end mill", "corner-radius end mill", "chamfer mill")
"""The shapes that the table's chip loads are for; drills, reamers and taps are fed by other rules."""

FEET_A_METRE = 1000.0 / MM_PER_INCH / 12.0


def greatest_chip_thickness(feed_per_tooth: ArrayLike, width: ArrayLike, diameter: ArrayLike) -> Floats:
    """The greatest thickness of the chip that a tooth cuts at the side of a cutter, mm.

    It is the feed a tooth times sin φ, where cos φ = 1 − 2·width/diameter; from half the diameter on, the whole feed.

    >>> greatest_chip_thickness(0.1, [10.0, 5.0, 1.0], 10.0).round(3)  # a slot, half a slot, a tenth
    array([0.1 , 0.1 , 0.06])
    """
    half = np.asarray(diameter, dtype=np.float64) / 2.0
    cut = np.minimum(np.asarray(width, dtype=np.float64), half)
    sine = np.sqrt(cut * (2.0 * half - cut))
    sine = np.divide(sine, half, out=np.ones(np.shape(sine)), where=half > 0.0)
    return np.asarray(np.asarray(feed_per_tooth) * sine)


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``feed-far-too-high``, ``feed-too-high``, ``feed-too-low``, ``speed-far-too-high`` and ``speed-too-high``.

    One finding for each tool and question, for its worst block; only where metal is cut.
    """
    cutting = inspection.cutting
    for number in np.unique(inspection.tool_number[cutting]).tolist():
        rows = np.flatnonzero(cutting & (inspection.tool_number == number))
        tool = inspection.tools[number]
        wide = 2.0 * _radius(tool, inspection.heights.engagement.depth[rows])
        if tool.shape in MILLS:
            yield from _chip(inspection, tool, rows, wide)
            yield from _rubbing(inspection, tool, rows)
        yield from _rim(inspection, tool, rows, wide)


def _radius(tool: Tool, depth: Floats) -> Floats:
    """The radius that cuts at these depths: of a ball or a cone less than the whole."""
    flutes = cutter(tool).flutes
    return np.maximum(flutes.radius_at(np.minimum(depth, flutes.high)), 0.0)


def _chip(inspection: Inspection, tool: Tool, rows: NDArray[np.int64], wide: Floats) -> Iterator[Finding]:
    feed_per_tooth, load = _feed_per_tooth(inspection, tool, rows), _chip_load(inspection, tool)
    width = np.where(inspection.plunging[rows], tool.diameter, inspection.heights.engagement.width[rows])
    chip = greatest_chip_thickness(feed_per_tooth, width, wide)
    for code, limit in (("feed-far-too-high", FAR_TOO_THICK), ("feed-too-high", TOO_THICK)):
        over = chip > limit * load
        if not over.any():
            continue
        worst = int(chip.argmax())
        yield inspection.finding(
            code,
            f"{_fed(inspection, tool, int(rows[worst]))}: a tooth takes a chip of "
            f"{inspection.size(float(chip[worst]))}, "
            f"{chip[worst] / load:.2g} times the {inspection.size(load)} that the shop's table has for it in "
            f"{inspection.job.material.description}",
            rows[over],
        )
        return


def _rubbing(inspection: Inspection, tool: Tool, rows: NDArray[np.int64]) -> Iterator[Finding]:
    """A tooth that is fed too little rubs; a plunge is fed gently on purpose."""
    rows = rows[~inspection.plunging[rows]]
    feed_per_tooth, load = _feed_per_tooth(inspection, tool, rows), _chip_load(inspection, tool)
    under = feed_per_tooth < TOO_LITTLE * load
    if not under.any():
        return
    worst = int(feed_per_tooth.argmin())
    yield inspection.finding(
        "feed-too-low",
        f"{_fed(inspection, tool, int(rows[worst]))}: under a quarter of the {inspection.size(load)} a tooth that the "
        f"shop's table has for it in {inspection.job.material.description}. Is F the feed a minute, and not the feed a "
        "tooth?",
        rows[under],
    )


def _rim(inspection: Inspection, tool: Tool, rows: NDArray[np.int64], wide: Floats) -> Iterator[Finding]:
    material, rpm = inspection.job.material, inspection.moves.of_modal("rpm")[rows]
    speed = math.pi * wide * rpm / 1000.0
    table = material.cutting_speed(tool.material)
    for code, limit in (("speed-far-too-high", FAR_TOO_FAST), ("speed-too-high", TOO_FAST)):
        over = speed > limit * table
        if not over.any():
            continue
        worst = int(speed.argmax())
        yield inspection.finding(
            code,
            f"the rim of tool {tool.number} runs at {_speed(inspection, float(speed[worst]))} at {rpm[worst]:g} "
            f"rev/min, {speed[worst] / table:.2g} times the {_speed(inspection, table)} that the shop's table has for "
            f"{tool.material} in {material.description}",
            rows[over],
        )
        return


def _feed_per_tooth(inspection: Inspection, tool: Tool, rows: NDArray[np.int64]) -> Floats:
    moves = inspection.moves
    return np.asarray(moves.feed[rows] / (moves.of_modal("rpm")[rows] * tool.flutes))


def _chip_load(inspection: Inspection, tool: Tool) -> float:
    return inspection.job.material.chip_load(tool.material, tool.diameter)


def _fed(inspection: Inspection, tool: Tool, row: int) -> str:
    moves, units = inspection.moves, inspection.job.units
    return (
        f"tool {tool.number} is fed {shop_number(float(moves.feed[row]), units)} {units}/min at "
        f"{moves.of_modal('rpm')[row]:g} rev/min"
    )


def _speed(inspection: Inspection, metres: float) -> str:
    return f"{metres * FEET_A_METRE:.0f} ft/min" if inspection.job.units == "in" else f"{metres:.0f} m/min"
