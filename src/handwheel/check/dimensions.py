"""Do the sizes pass?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from handwheel.check.finding import Finding
from handwheel.check.gauged import Gauged
from handwheel.check.inspection import Inspection
from handwheel.tolerances import CONTACT

GAUGE_SHARE: Final = 0.1
"""What a gauge may be wrong by, as a share of the tolerance that it judges (the rule of ten: common practice)."""


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``dimension-out``, and ``at-limit`` for a size that passes with no room on one side: one finding for each."""
    for result in inspection.gauged:
        if result.ok:
            yield from _at_limit(inspection, result)
            continue
        limits = f"{inspection.size(result.lower)} to {inspection.size(result.upper)}"
        if result.measured is None:
            message = f"{result.name} is to be {limits}, but there is nothing left to measure"
        else:
            over = result.measured - result.upper
            off = (
                f"{inspection.size(over)} over"
                if over > 0
                else f"{inspection.size(result.lower - result.measured)} under"
            )
            message = f"{result.name} measures {inspection.size(result.measured)}, {off}: it is to be {limits}"
        yield inspection.finding("dimension-out", message, at=result.at)


def _at_limit(inspection: Inspection, result: Gauged) -> Iterator[Finding]:
    assert result.measured is not None
    room = {"upper": result.upper - result.measured, "lower": result.measured - result.lower}
    side = min(room, key=lambda name: room[name])
    if room[side] > GAUGE_SHARE * (result.upper - result.lower) + CONTACT:
        return
    lower, upper, measured = (inspection.size(value) for value in (result.lower, result.upper, result.measured))
    middle = inspection.size((result.lower + result.upper) / 2.0)
    yield inspection.finding(
        "at-limit",
        f"{result.name} measures {measured}, at its {side} limit ({lower} to {upper}): cutter, heat and gauge have no "
        f"room on that side; aim at the middle, {middle}",
        at=result.at,
    )
