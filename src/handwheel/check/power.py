"""Does the spindle have the power for the cut?"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from handwheel.check.finding import Finding
from handwheel.motion import Spindle, Tool
from handwheel.units import Units

if TYPE_CHECKING:
    from handwheel.check.inspection import Inspection

Floats = NDArray[np.float64]

EFFICIENCY_BY_HAND = 0.75
"""Of a belt-driven spindle, motor to cutter (Machinery's Handbook, from memory)."""

WATTS_A_HORSEPOWER = 745.6999
"""550 ft·lbf/s. Source: NIST SP 811, appendix B."""


def mean_chip_thickness(feed_per_tooth: float, width: float, diameter: float) -> float:
    """The mean thickness of the chip that a tooth cuts, mm.

    A tooth that enters or leaves at the side of the path turns through φ with cos φ = 1 − 2·width/diameter while it
    cuts, and sweeps ``width`` · ``feed_per_tooth`` meanwhile.

    >>> round(mean_chip_thickness(0.1, 10.0, 10.0), 4)  # a slot: 2/π of the feed a tooth
    0.0637
    """
    width = min(width, diameter)
    angle = math.acos(1.0 - 2.0 * width / diameter)
    return feed_per_tooth * width / (diameter / 2.0 * angle) if angle > 0.0 else 0.0


def cutting_power(kc11: float, m_c: float, chip: float, rate: float) -> float:
    """P = kc · Q with kc = kc1.1 · h^(−m_c), in W.

    Parameters
    ----------
    kc11 : N/mm²
    m_c : exponent
    chip : mean chip thickness h, mm
    rate : removal rate Q, mm³/min

    Source
    ------
    Kienzle; Machinery's Handbook, machining power (from memory).
    """
    return float(kc11 * chip ** (-m_c) * rate / 60_000.0)


def power(inspection: Inspection) -> Floats:
    """(n,) W; what each feed move asks of the spindle at its greatest depth and width of cut."""
    moves, engaged = inspection.moves, inspection.heights.engagement
    force = inspection.job.material.force
    rpm, spindle = moves.of_modal("rpm"), moves.of_modal("spindle")
    watts = np.zeros(len(moves))
    works = inspection.feeding & (engaged.volume > 0.0) & (spindle != Spindle.OFF) & (rpm > 0.0) & (moves.feed > 0.0)
    for row in np.flatnonzero(works).tolist():
        tool = inspection.tools.get(int(inspection.tool_number[row]))
        if tool is None:
            continue
        feed = float(moves.feed[row])
        feed_per_tooth = feed / (float(rpm[row]) * tool.flutes)
        if np.array_equal(moves.start[row, :2], moves.end[row, :2]):
            chip = feed_per_tooth * math.sin(math.radians(tool.point_angle / 2.0))
            rate = float(engaged.volume[row] / moves.length[row]) * feed
        else:
            width = min(float(engaged.width[row]), tool.diameter)
            chip = mean_chip_thickness(feed_per_tooth, width, tool.diameter)
            rate = width * float(engaged.depth[row]) * feed
        if chip > 0.0:
            watts[row] = cutting_power(force.kc11, force.m_c, chip, rate)
    return watts


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``overload``: more than the machine's power × efficiency."""
    job = inspection.job
    if inspection.by_program:
        limit = job.by_program.power * job.by_program.efficiency
    else:
        limit = job.by_hand.power * EFFICIENCY_BY_HAND
    watts = power(inspection)
    rows = np.flatnonzero(watts > limit)
    if not len(rows):
        return
    heaviest = int(watts.argmax())
    engaged = inspection.heights.engagement
    yield inspection.finding(
        "overload",
        f"{_tool_name(inspection.tools[int(inspection.tool_number[heaviest])])} takes "
        f"{inspection.size(float(engaged.depth[heaviest]))} deep and {_about(inspection, heaviest)} wide, which asks "
        f"{_shown(float(watts[heaviest]), job.units)} of a spindle that gives {_shown(limit, job.units)}",
        rows,
    )


def _about(inspection: Inspection, row: int) -> str:
    """The width of cut without decimals that the height map cannot give."""
    from handwheel.units import shop_number

    width, units = float(inspection.heights.engagement.width[row]), inspection.job.units
    return f"about {shop_number(width, units, 2 if units == 'in' else 1)} {units}"


def _tool_name(tool: Tool) -> str:
    return f"tool {tool.number}"


def _shown(watts: float, units: Units) -> str:
    return f"{watts / WATTS_A_HORSEPOWER:.2g} hp" if units == "in" else f"{watts / 1000.0:.2g} kW"
