"""Does the spindle nose stay where the machine can go?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from handwheel.check.finding import Finding
from handwheel.check.inspection import Inspection
from handwheel.motion.extent import extents
from handwheel.tolerances import CONTACT


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``beyond-travel``: one finding, for the axis that goes furthest past its end."""
    if not len(inspection.moves):
        return
    if not inspection.by_program:
        yield from _by_hand(inspection)
    if inspection.travel is None:
        return
    low, high = extents(inspection.moves)
    nose = inspection.moves.of_modal("length")
    low[:, 2] += nose
    high[:, 2] += nose
    beyond = np.stack([inspection.travel.low - low, high - np.asarray(inspection.travel.high)])
    rows = np.flatnonzero((beyond > CONTACT).any(axis=(0, 2)))
    if not len(rows):
        return
    end, _, axis = np.unravel_index(int(beyond.argmax()), beyond.shape)
    yield inspection.finding(
        "beyond-travel",
        f"{'XYZ'[axis]} is sent {inspection.size(float(beyond.max()))} past its {'−+'[end]} end of travel",
        rows,
    )


def _by_hand(inspection: Inspection) -> Iterator[Finding]:
    """Where the work stands on the table is the operator's choice, so only how far a slide is wound in all can tell."""
    low, high = extents(inspection.moves)
    travel = inspection.job.by_hand.travel
    for axis, slide in ((0, "table"), (1, "saddle")):
        first, last = int(low[:, axis].argmin()), int(high[:, axis].argmax())
        wound = float(high[last, axis] - low[first, axis])
        if wound > travel[axis] + CONTACT:
            yield inspection.finding(
                "beyond-travel",
                f"the {slide} is wound over {inspection.size(wound)}, and has {inspection.size(travel[axis])} of "
                "travel",
                [max(first, last)],
            )
