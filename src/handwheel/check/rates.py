"""Does the machine have the speed and the feed that are asked of it?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from handwheel.check.finding import Finding
from handwheel.check.inspection import Inspection
from handwheel.motion import Spindle
from handwheel.units import shop_number


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``no-feed``; ``beyond-machine`` for speeds and, by program, for feeds."""
    moves, job = inspection.moves, inspection.job
    idle = np.flatnonzero(inspection.feeding & ~(moves.feed > 0.0))
    if len(idle):
        yield inspection.finding("no-feed", "a feed move has no feed", idle)
    speeds = (job.by_program if inspection.by_program else job.by_hand).rpm
    rpm = moves.of_modal("rpm")
    turning = inspection.feeding & (moves.of_modal("spindle") != Spindle.OFF) & (rpm > 0.0)
    if not inspection.by_program:
        # a tap is turned by hand, as slowly as it goes
        turning &= ~inspection.has_tool("tap")
    for rows, limit, word in (
        (np.flatnonzero(turning & (rpm > speeds.greatest * _SLACK)), speeds.greatest, "at most"),
        (np.flatnonzero(turning & (rpm < speeds.least / _SLACK)), speeds.least, "at least"),
    ):
        if len(rows):
            asked = rpm[rows].max() if word == "at most" else rpm[rows].min()
            yield inspection.finding(
                "beyond-machine", f"{asked:g} rev/min is asked of a spindle that turns {word} {limit:g} rev/min", rows
            )
    if inspection.by_program:
        limit = job.by_program.feed_max
        rows = np.flatnonzero(inspection.feeding & (moves.feed > limit * _SLACK))
        if len(rows):
            units = f"{job.units}/min"
            asked_feed = shop_number(float(moves.feed[rows].max()), job.units)
            yield inspection.finding(
                "beyond-machine",
                f"a feed of {asked_feed} {units} is asked of a machine that feeds at most "
                f"{shop_number(limit, job.units)} {units}",
                rows,
            )


_SLACK = 1.0 + 1e-6
