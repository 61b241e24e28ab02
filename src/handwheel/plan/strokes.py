"""What every operation's strokes have in common: how far off the work they start, and how a depth is divided."""

from __future__ import annotations

import math

from handwheel.motion import Tool
from handwheel.setup import Setup
from handwheel.tolerances import CONTACT


def gap(setup: Setup) -> float:
    """How far a cutter stays off what it must not yet touch: 0.100 in or 2.5 mm (common practice)."""
    return 2.54 if setup.job.units == "in" else 2.5


def run_off(setup: Setup, tool: Tool) -> float:
    """From the raw end of the work to the cutter's center where a stroke starts or ends: the cutter is wholly off, by
    the gap and by what the stock may be longer."""
    return tool.diameter / 2 + gap(setup) + setup.job.stock.tolerance


def lead_in(setup: Setup, tool: Tool) -> float:
    """The length of the move on which compensation comes on: more than the cutter's radius, whatever small correction
    the offset holds."""
    return tool.diameter / 2 + gap(setup)


def even_steps(start: float, end: float, greatest: float) -> tuple[float, ...]:
    """From ``start`` (left out) to ``end`` (included) in equal steps of at most ``greatest``; one where they are equal.

    >>> even_steps(3.0, 0.0, 1.0), even_steps(0.0, -5.0, 3.0), even_steps(0.0, 0.0, 3.0)
    ((2.0, 1.0, 0.0), (-2.5, -5.0), (0.0,))
    """
    count = max(1, math.ceil((abs(end - start) - CONTACT) / greatest))
    return (*(start + (end - start) * step / count for step in range(1, count)), end)
