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
    if inspection.travel is None or not len(inspection.moves):
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
