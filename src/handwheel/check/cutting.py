"""Does the cutter stand the chip and the speed? Both are held against the shop's table for the work's material.

The table's values are starting values on the gentle side, so that only what is far above them is told.
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

FAR_ABOVE = 2.0
"""So many times the table's value is far above it: handbooks differ from one another by less (common practice)."""

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
    """``thick-chip`` and ``fast-rim``: one finding for each tool, for its worst block."""
    cutting = inspection.cutting
    for number in np.unique(inspection.tool_number[cutting]).tolist():
        rows = np.flatnonzero(cutting & (inspection.tool_number == number))
        tool = inspection.tools[number]
        wide = 2.0 * _radius(tool, inspection.heights.engagement.depth[rows])
        if tool.shape in MILLS:
            yield from _thick_chip(inspection, tool, rows, wide)
        yield from _fast_rim(inspection, tool, rows, wide)


def _radius(tool: Tool, depth: Floats) -> Floats:
    """The radius that cuts at these depths: of a ball or a cone less than the whole."""
    flutes = cutter(tool).flutes
    return np.maximum(flutes.radius_at(np.minimum(depth, flutes.high)), 0.0)


def _thick_chip(inspection: Inspection, tool: Tool, rows: NDArray[np.int64], wide: Floats) -> Iterator[Finding]:
    moves, material = inspection.moves, inspection.job.material
    rpm = moves.of_modal("rpm")[rows]
    feed_per_tooth = moves.feed[rows] / (rpm * tool.flutes)
    width = np.where(inspection.plunging[rows], tool.diameter, inspection.heights.engagement.width[rows])
    chip = greatest_chip_thickness(feed_per_tooth, width, wide)
    load = material.chip_load(tool.material, tool.diameter)
    far = chip > FAR_ABOVE * load
    if not far.any():
        return
    worst = int(chip.argmax())
    units = inspection.job.units
    yield inspection.finding(
        "thick-chip",
        f"tool {tool.number} is fed {shop_number(float(moves.feed[rows[worst]]), units)} {units}/min at "
        f"{rpm[worst]:g} rev/min: a tooth takes a chip of {inspection.size(float(chip[worst]))}, "
        f"{chip[worst] / load:.2g} times the {inspection.size(load)} that the shop's table has for it in "
        f"{material.description}",
        rows[far],
    )


def _fast_rim(inspection: Inspection, tool: Tool, rows: NDArray[np.int64], wide: Floats) -> Iterator[Finding]:
    material, rpm = inspection.job.material, inspection.moves.of_modal("rpm")[rows]
    speed = math.pi * wide * rpm / 1000.0
    table = material.cutting_speed(tool.material)
    far = speed > FAR_ABOVE * table
    if not far.any():
        return
    worst = int(speed.argmax())
    yield inspection.finding(
        "fast-rim",
        f"the rim of tool {tool.number} runs at {_speed(inspection, float(speed[worst]))} at {rpm[worst]:g} rev/min, "
        f"{speed[worst] / table:.2g} times the {_speed(inspection, table)} that the shop's table has for "
        f"{tool.material} in {material.description}",
        rows[far],
    )


def _speed(inspection: Inspection, metres: float) -> str:
    return f"{metres * FEET_A_METRE:.0f} ft/min" if inspection.job.units == "in" else f"{metres:.0f} m/min"
