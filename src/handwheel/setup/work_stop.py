"""The work stop: how high it may stand at the work's end, or that it must go before the first cut."""

from __future__ import annotations

import math
from typing import Final

from handwheel.job import Job
from handwheel.setup.fixture import Setup
from handwheel.tolerances import SNAP
from handwheel.units import Units

SET_TO: Final[dict[Units, float]] = {"in": 0.254, "mm": 0.1}
"""A stop is set by rule, to hundredths of an inch or tenths of a millimetre, in mm (common practice)."""

STOP_UNPROVED: Final = "The work stop is no part of the proof: nothing that comes near it is seen."
"""What goes with every proof of a job that has a stop."""


def stop_above_jaws(job: Job, setup: Setup) -> float | None:
    """How far the stop's top may stand above the jaws, mm, rounded down to what a rule sets; ``None`` where nothing is
    left and the stop must be swung away after clamping, or where no cut is known.

    The lowest cut of the job less the vise's air decides, whichever end it is at: a side is milled past both its ends,
    and by hand the cutter is wound round the work at the depth it has (common practice).
    """
    if setup.air is None:
        return None
    step = SET_TO[job.units]
    room = math.floor((setup.air - job.vise.air + SNAP) / step) * step
    return room if room > 0 else None
