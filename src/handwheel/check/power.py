"""Does the spindle have the power for the cut?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

from handwheel.check.finding import Finding
from handwheel.tolerances import CONTACT
from handwheel.units import Units, shop_number

if TYPE_CHECKING:
    from handwheel.check.inspection import Inspection

Floats = NDArray[np.float64]

EFFICIENCY_BY_HAND = 0.75
"""Of a belt-driven spindle, motor to cutter (Machinery's Handbook, from memory)."""

WATTS_A_HORSEPOWER = 745.6999
"""550 ft·lbf/s. Source: NIST SP 811, appendix B."""


def mean_chip_thickness(feed_per_tooth: ArrayLike, width: ArrayLike, diameter: ArrayLike) -> Floats:
    """The mean thickness of the chip that a tooth cuts, mm.

    A tooth that enters or leaves at the side of the path turns through φ with cos φ = 1 − 2·width/diameter while it
    cuts, and sweeps ``width`` · ``feed_per_tooth`` meanwhile.

    >>> round(float(mean_chip_thickness(0.1, 10.0, 10.0)), 4)  # a slot: 2/π of the feed a tooth
    0.0637
    """
    wide = np.asarray(diameter, dtype=np.float64)
    cut = np.minimum(np.asarray(width, dtype=np.float64), wide)
    angle = np.arccos(1.0 - 2.0 * cut / wide)
    swept = np.asarray(feed_per_tooth, dtype=np.float64) * cut
    return np.divide(swept, wide / 2.0 * angle, out=np.zeros(np.shape(swept)), where=angle > 0.0)


def cutting_power(kc11: float, m_c: float, chip: ArrayLike, rate: ArrayLike) -> Floats:
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
    return np.asarray(kc11 * np.asarray(chip) ** (-m_c) * np.asarray(rate) / 60_000.0)


def power(inspection: Inspection) -> Floats:
    """(n,) W; what each feed move asks of the spindle at its greatest depth and width of cut."""
    moves, engaged = inspection.moves, inspection.heights.engagement
    rpm = moves.of_modal("rpm")
    rows = np.flatnonzero(inspection.cutting)
    watts = np.zeros(len(moves))
    if not len(rows):
        return watts
    tools, which = np.unique(inspection.tool_number[rows], return_inverse=True)
    used = [inspection.tools[number] for number in tools.tolist()]
    diameter = np.array([tool.diameter for tool in used])[which]
    flutes = np.array([tool.flutes for tool in used])[which]
    point = np.radians([tool.point_angle / 2.0 for tool in used])[which]
    feed = moves.feed[rows]
    feed_per_tooth = feed / (rpm[rows] * flutes)
    width = np.minimum(engaged.width[rows], diameter)
    plunges = inspection.plunging[rows]
    chip = np.where(plunges, feed_per_tooth * np.sin(point), mean_chip_thickness(feed_per_tooth, width, diameter))
    travel = np.maximum(moves.length[rows], CONTACT)
    rate = np.where(plunges, engaged.volume[rows] / travel, width * engaged.depth[rows]) * feed
    thick = chip > 0.0
    force = inspection.job.material.force
    watts[rows[thick]] = cutting_power(force.kc11, force.m_c, chip[thick], rate[thick])
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
        f"tool {int(inspection.tool_number[heaviest])} takes "
        f"{inspection.size(float(engaged.depth[heaviest]))} deep and {_about(inspection, heaviest)} wide, which asks "
        f"{shown_power(float(watts[heaviest]), job.units)} of a spindle that gives {shown_power(limit, job.units)}",
        rows,
    )


def _about(inspection: Inspection, row: int) -> str:
    """The width of cut without decimals that the height map cannot give."""
    width, units = float(inspection.heights.engagement.width[row]), inspection.job.units
    return f"about {shop_number(width, units, 2 if units == 'in' else 1)} {units}"


def shown_power(watts: float, units: Units) -> str:
    """A power as a trainee reads it."""
    return f"{watts / WATTS_A_HORSEPOWER:.2g} hp" if units == "in" else f"{watts / 1000.0:.2g} kW"
