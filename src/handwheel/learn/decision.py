"""Is a measured size in its limits, when the gauge itself may be wrong?"""

from __future__ import annotations

from typing import Final, Literal

from handwheel.tolerances import CONTACT

SizeVerdict = Literal["in", "out", "doubtful"]

GUARD: Final = 1.65
"""The guard band as so many standard uncertainties: conforming, or not, at 95 % (ISO 14253-1:2017, from memory)."""

COVERS: Final = 2.0
"""A gauge's expanded uncertainty is so many standard uncertainties."""


def decide(value: float, lower: float, upper: float, uncertainty: float, *, guarded: bool = False) -> SizeVerdict:
    """What to say of one measured size; all in one unit.

    Parameters
    ----------
    value : as measured
    lower, upper : the drawing's limits
    uncertainty : of the gauge, expanded (k = 2)
    guarded : decide by ISO 14253-1:2017 with its default guard band: ``in`` inside the limits less the band, ``out``
        outside them plus the band, else ``doubtful``. Left out: ``in`` and ``out`` by the drawing's own limits, and
        ``doubtful`` within the uncertainty of one, where another gauge is to be taken

    Examples
    --------
    >>> decide(10.02, 9.95, 10.05, 0.01), decide(10.045, 9.95, 10.05, 0.01), decide(10.07, 9.95, 10.05, 0.01)
    ('in', 'doubtful', 'out')
    >>> decide(10.045, 9.95, 10.05, 0.005, guarded=True), decide(10.0455, 9.95, 10.05, 0.01, guarded=True)
    ('in', 'doubtful')
    """
    band = GUARD * uncertainty / COVERS if guarded else uncertainty
    room = min(value - lower, upper - value)
    if guarded:
        return "in" if room >= band - CONTACT else "out" if room < -band - CONTACT else "doubtful"
    # a reading just on a limit is within the gauge's uncertainty of it
    if abs(room) < band - CONTACT:
        return "doubtful"
    return "in" if room >= -CONTACT else "out"
