"""Spindle speed and table feed, as the handbook has them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from handwheel.job.operations import AnyOperation
from handwheel.motion import Tool
from handwheel.setup import Setup

if TYPE_CHECKING:
    from handwheel.plan.model import Route

HAND_SECONDS_A_TURN = 1.0
"""By hand a handwheel is fed at most one turn a second, evenly: common practice."""

FEED_STEP = {"in": 2.54, "mm": 1.0}
"""A feed is said to a tenth of an inch or a whole millimetre a minute, downwards."""


@dataclass(frozen=True, slots=True)
class Speeds:
    """What the cutter runs at.

    ``calculated`` and ``rpm`` in rev/min (the second is the machine's step), ``cutting_speed`` in m/min at that step,
    ``feed_per_tooth`` in mm, ``feed_mm_min`` in mm/min; ``held`` says why the feed is lower than the
    chip load asks for.
    """

    calculated: float
    rpm: float
    cutting_speed: float
    feed_per_tooth: float
    feed_mm_min: float
    held: str = ""


def spindle_speed(cutting_speed: float, diameter: float) -> float:
    """n = 1000·V / (π·D), rev/min.

    Parameters
    ----------
    cutting_speed : m/min
    diameter : mm

    Source
    ------
    Machinery's Handbook, cutting-speed formulas (from memory).

    >>> round(spindle_speed(30.0, 12.0))
    796
    """
    return 1000.0 * cutting_speed / (math.pi * diameter)


def table_feed(rpm: float, teeth: int, feed_per_tooth: float) -> float:
    """f = n · teeth · chip load, mm/min.

    Source
    ------
    Machinery's Handbook, milling feed formula (from memory).

    >>> table_feed(800.0, 4, 0.05)
    160.0
    """
    return rpm * teeth * feed_per_tooth


def speeds(setup: Setup, operation: AnyOperation, tool: Tool, route: Route) -> Speeds:
    """The machine's highest step not above the calculated speed, and the feed from the chip load at that step."""
    by_hand = route == "by hand"
    machine = setup.job.by_hand if by_hand else setup.job.by_program
    calculated = operation.rpm or spindle_speed(setup.job.material.cutting_speed(tool.material), tool.diameter)
    rpm = machine.rpm.highest_not_above(calculated)
    chip_load = operation.feed_per_tooth or setup.job.material.chip_load(tool.material, tool.diameter)
    feed = table_feed(rpm, tool.flutes, chip_load)
    held = ""
    if by_hand:
        slowest = min(setup.job.by_hand.slides.x.per_turn, setup.job.by_hand.slides.y.per_turn)
        limit, reason = 60.0 / HAND_SECONDS_A_TURN * slowest, "held to one turn of the handwheel a second"
    else:
        limit, reason = setup.job.by_program.feed_max, "held to the machine's greatest feed"
    if feed > limit:
        feed, held = limit, reason
    feed = max(1, math.floor(feed / FEED_STEP[setup.job.units] + 1e-9)) * FEED_STEP[setup.job.units]
    return Speeds(
        calculated=calculated,
        rpm=rpm,
        cutting_speed=math.pi * tool.diameter * rpm / 1000.0,
        feed_per_tooth=feed / (rpm * tool.flutes),
        feed_mm_min=feed,
        held=held,
    )
