"""The work stop: where it stands at the work's end, how high, or that it must go before the first cut."""

from __future__ import annotations

import math
from typing import Final

from handwheel.path.box import Box
from handwheel.setup.workpiece import Workpiece
from handwheel.tolerances import SNAP
from handwheel.units import Units

SET_TO: Final[dict[Units, float]] = {"in": 0.254, "mm": 0.1}
"""A stop is set by rule, to hundredths of an inch or tenths of a millimetre, in mm (common practice)."""

FROM_BACK: Final = 0.1
"""The stop's far side is this share of the work's width in front of the fixed jaw, where its arm is held (common
practice)."""


def stop_above_jaws(piece: Workpiece, air: float | None) -> float | None:
    """How far the stop's top above the jaws, mm; ``None`` where there is no stop, or it must be swung away.

    Where the job does not say, it is what a rule sets, rounded down: the lowest cut of the job less the vise's air
    decides, whichever end it is at: a side is milled past both its ends, and by hand the cutter is wound round the work
    at the depth it has (common practice).

    Parameters
    ----------
    piece : the work in its set-up
    air : between the lowest planned cut and the jaws, mm; ``None`` where no cut is known
    """
    stop = piece.vise.stop
    if stop.side == "none":
        return None
    if stop.height is not None:
        return stop.height
    if air is None:
        return None
    step = SET_TO[piece.job.units]
    room = math.floor((air - piece.vise.air + SNAP) / step) * step
    return room if room > 0 else None


def stop_body(piece: Workpiece, bottom: float, top: float) -> Box:
    """The stop against the work's end, near the fixed jaw, between two heights (Z, mm)."""
    stop, raw = piece.vise.stop, piece.raw
    far = raw.high[1] - FROM_BACK * raw.size[1]
    near = max(far - stop.width, raw.low[1])
    left = raw.low[0] - stop.thickness if stop.side == "left" else raw.high[0]
    return Box((left, near, bottom), (left + stop.thickness, far, top))
