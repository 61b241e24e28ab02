"""Spindle speed and table feed, as the handbook has them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from handwheel.job.hole_making import HoleMaking
from handwheel.job.operations import AnyOperation
from handwheel.motion import Tool
from handwheel.setup import Setup
from handwheel.units import Units

if TYPE_CHECKING:
    from handwheel.plan.model import Route

HAND_SECONDS_A_TURN = 1.0
"""By hand a handwheel is fed at most one turn a second, evenly: common practice."""

FEED_STEP = {"in": 2.54, "mm": 1.0}
"""A feed is said to a tenth of an inch or a whole millimetre a minute, downwards."""


RUBS = 0.3
"""Under this share of the chip load the spindle is set slower by hand: teeth that take too little rub (common
practice)."""
PLUNGE_SHARE = 0.5
"""Of the feed, straight down into metal: common practice."""


@dataclass(frozen=True, slots=True)
class Speeds:
    """What the cutter runs at.

    ``calculated`` and ``rpm`` in rev/min (the second is the machine's step), ``cutting_speed`` in m/min at that step,
    ``feed_per_tooth`` in mm, ``feed_mm_min`` in mm/min and ``plunge_mm_min`` straight down into metal; ``held`` says
    why the feed is lower than the chip load asks for.
    """

    calculated: float
    rpm: float
    cutting_speed: float
    feed_per_tooth: float
    feed_mm_min: float
    plunge_mm_min: float
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


DRILL_FEED: Final = ((3.2, 0.05), (6.4, 0.10), (12.7, 0.18), (25.4, 0.28))
"""Feed a turn up to these diameters, mm: .001 to .003 in under 1/8 in, .002 to .006 to 1/4, .004 to .010 to 1/2, .007
to .015 to 1 in; the middle of each. Source: Machinery's Handbook, drilling (from memory)."""

SHARE_OF_SPEED: Final = {"reamer": 0.5, "counterbore": 0.5}
SHARE_OF_FEED: Final = {"reamer": 2.5, "counterbore": 0.5, "spot drill": 0.7, "end mill": 0.3}
"""Of a drill's: half its speed and two or three times its feed for a reamer; the rest common practice."""


def drill_feed(diameter: float) -> float:
    """Feed a turn of a drill, mm.

    >>> drill_feed(6.0), drill_feed(10.0)
    (0.1, 0.18)
    """
    return next((feed for most, feed in DRILL_FEED if diameter <= most), 0.35)


def speeds(setup: Setup, operation: AnyOperation, tool: Tool, route: Route) -> Speeds:
    """The machine's highest step not above the calculated speed, and the feed from the chip load at that step."""
    by_hand = route == "by hand"
    machine = setup.job.by_hand if by_hand else setup.job.by_program
    share, feed_a_turn = (1.0, None)
    if isinstance(operation, HoleMaking):
        share = SHARE_OF_SPEED.get(tool.shape, 1.0)
        feed_a_turn = drill_feed(tool.diameter) * SHARE_OF_FEED.get(tool.shape, 1.0)
    calculated = operation.rpm or share * spindle_speed(setup.job.material.cutting_speed(tool.material), tool.diameter)
    rpm = machine.rpm.highest_not_above(calculated)
    usual = (
        setup.job.material.chip_load(tool.material, tool.diameter) if feed_a_turn is None else feed_a_turn / tool.flutes
    )
    chip_load = operation.feed_per_tooth or usual
    feed = table_feed(rpm, tool.flutes, chip_load)
    held = ""
    if by_hand:
        slowest = min(setup.job.by_hand.slides.x.per_turn, setup.job.by_hand.slides.y.per_turn)
        limit, reason = 60.0 / HAND_SECONDS_A_TURN * slowest, "held to one turn of the handwheel a second"
    else:
        limit, reason = setup.job.by_program.feed_max, "held to the machine's greatest feed"
    if feed > limit:
        feed, held = limit, reason
        if by_hand and feed < RUBS * table_feed(rpm, tool.flutes, chip_load):
            rpm = machine.rpm.highest_not_above(feed / (RUBS * tool.flutes * chip_load))
            held = f"{reason}; the spindle slower for it, so that the teeth cut and do not rub"
    feed = _said(feed, setup.job.units)
    return Speeds(
        calculated=calculated,
        rpm=rpm,
        cutting_speed=math.pi * tool.diameter * rpm / 1000.0,
        feed_per_tooth=feed / (rpm * tool.flutes),
        feed_mm_min=feed,
        plunge_mm_min=_said(feed * PLUNGE_SHARE, setup.job.units),
        held=held,
    )


def _said(feed: float, units: Units) -> float:
    """A feed as it is said, never nothing, mm/min."""
    return max(1, math.floor(feed / FEED_STEP[units] + 1e-9)) * FEED_STEP[units]
