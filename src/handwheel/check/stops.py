"""May a hand go in where the program stops for the operator?"""

from __future__ import annotations

import math
from collections.abc import Iterator

from handwheel.check.finding import Finding, Point, level_of
from handwheel.check.inspection import Inspection
from handwheel.tolerances import CONTACT, HAND
from handwheel.units import shop_number

STOPS = ("stop", "optional stop", "pallet stop")
"""What waits for the operator (M0, M1, M60)."""


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``stop-while-turning`` and ``stop-over-work``."""
    yield from _while_turning(inspection)
    yield from _over_work(inspection)


def _while_turning(inspection: Inspection) -> Iterator[Finding]:
    """A stop while nothing has stopped the spindle."""
    turning, lines = False, []
    for event in inspection.events:
        if event.what in ("spindle on", "spindle off", "tool change"):
            turning = event.what == "spindle on"
        elif event.what in STOPS and turning:
            lines.append(event.line)
    if lines:
        message = "the program stops for the operator while the spindle turns: write M5 before the stop"
        code = "stop-while-turning"
        yield Finding(level_of(code), code, inspection.setup.name, lines[0], None, None, len(lines), message)


def _over_work(inspection: Inspection) -> Iterator[Finding]:
    """A stop with the cutter nearer to the work than a hand needs that measures it."""
    near: list[tuple[float, int, Point]] = []
    for event in inspection.events:
        if event.what not in STOPS or event.before_move == 0 or event.tool not in inspection.tools:
            continue
        x, y, z = map(float, inspection.tip.end[event.before_move - 1])
        room = _room(inspection, (x, y, z), inspection.tools[event.tool].diameter / 2.0)
        if room < HAND - CONTACT:
            near.append((room, event.line, (x, y, z)))
    if near:
        least, (_, line, at) = min(room for room, _, _ in near), near[0]
        code, units = "stop-over-work", inspection.job.units
        where = "in the work" if least <= 0.0 else f"about {shop_number(least, units, 1)} {units} from the work"
        message = (
            f"the program stops for the operator with the cutter {where}: take it a hand's breadth away before the "
            "stop, so that nobody measures at its teeth"
        )
        yield Finding(level_of(code), code, inspection.setup.name, line, None, at, len(near), message)


def _room(inspection: Inspection, tip: Point, radius: float) -> float:
    """From a cutter, upwards of its tip's disc, to the raw work, mm."""
    low, high = inspection.setup.raw.low, inspection.setup.raw.high
    across, along = (max(low[axis] - tip[axis], tip[axis] - high[axis], 0.0) for axis in (0, 1))
    return math.hypot(max(math.hypot(across, along) - radius, 0.0), max(tip[2] - high[2], 0.0))
