"""Spindle speed and table feed, as the handbook has them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from handwheel.job.hole_making import HoleMaking
from handwheel.job.operations import AnyOperation
from handwheel.job.tapping import Tap
from handwheel.motion import Tool
from handwheel.plan.which_route import Route
from handwheel.setup import Setup
from handwheel.shop.machines import SpindleSpeeds
from handwheel.tolerances import SNAP
from handwheel.units import Units, to_units

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

SHARE_OF_SPEED: Final = {"reamer": 0.5, "counterbore": 0.5, "countersink": 0.3}
SHARE_OF_FEED: Final = {"reamer": 2.5, "counterbore": 0.5, "spot drill": 0.7, "countersink": 0.7, "end mill": 0.3}
"""Of a drill's: half its speed and two or three times its feed for a reamer; the rest common practice."""


def drill_feed(diameter: float) -> float:
    """Feed a turn of a drill, mm.

    >>> drill_feed(6.0), drill_feed(10.0)
    (0.1, 0.18)
    """
    return next((feed for most, feed in DRILL_FEED if diameter <= most), 0.35)


def speeds(setup: Setup, operation: AnyOperation, tool: Tool, route: Route) -> Speeds:
    """The machine's highest step not above the calculated speed, and the feed from the chip load at that step."""
    if isinstance(operation, Tap):
        return tapping(setup, operation, tool, route)
    by_hand = route is Route.BY_HAND
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


TAP_SHARE: Final = 0.15
"""Of the milling speed: a control stops and turns the spindle round at the bottom, and both take time (common
practice)."""

HAND_TURNS_A_MINUTE: Final = 15.0
"""A tap turned by hand, the half turns back counted in (common practice)."""


def tapping(setup: Setup, operation: Tap, tool: Tool, route: Route) -> Speeds:
    """The feed of a tap is its pitch times its speed, exactly; the speed is such that the feed is a round number.

    By hand the spindle is turned by hand.
    """
    if route == "by hand":
        return _exactly(HAND_TURNS_A_MINUTE, HAND_TURNS_A_MINUTE, tool)
    wanted = spindle_speed(setup.job.material.cutting_speed(tool.material), tool.diameter)
    calculated = operation.rpm or TAP_SHARE * wanted
    machine = setup.job.by_program
    fed = min(calculated, machine.feed_max / tool.pitch)
    return _exactly(calculated, round_speed(machine.rpm, fed, tool.pitch, setup.job.units), tool)


def round_speed(speeds: SpindleSpeeds, most: float, pitch: float, units: Units) -> float:
    """The speed of a tap, rev/min: of those that are not above ``most`` one whose feed is a round number, where there
    is one within a fifth of it.

    >>> from handwheel.shop import SpindleSpeeds
    >>> drive = SpindleSpeeds(least=60.0, greatest=6000.0)
    >>> round_speed(drive, 519.0, 25.4 / 20, "in"), round_speed(drive, 519.0, 25.4 / 13, "in")
    (500.0, 507.0)
    >>> round_speed(drive, 519.0, 1.25, "mm"), round_speed(SpindleSpeeds((80.0, 300.0)), 519.0, 1.75, "mm")
    (500.0, 300.0)
    """
    highest = speeds.highest_not_above(most)
    if speeds.steps:
        return highest
    for feed_step, speed_step in ((1.0, 100), (1.0, 10), (1.0, 1), (0.1, 1)):
        speed = math.floor(highest / speed_step) * speed_step
        while speed >= max(0.8 * highest, speeds.least, 1.0):
            feed = to_units(pitch * speed, units) / feed_step
            if abs(feed - round(feed)) < SNAP:
                return float(speed)
            speed -= speed_step
    return highest


def _exactly(calculated: float, rpm: float, tool: Tool) -> Speeds:
    feed = tool.pitch * rpm
    return Speeds(
        calculated=calculated,
        rpm=rpm,
        cutting_speed=math.pi * tool.diameter * rpm / 1000.0,
        feed_per_tooth=tool.pitch / tool.flutes,
        feed_mm_min=feed,
        plunge_mm_min=feed,
    )


def _said(feed: float, units: Units) -> float:
    """A feed as it is said, never nothing, mm/min."""
    return max(1, math.floor(feed / FEED_STEP[units] + 1e-9)) * FEED_STEP[units]
