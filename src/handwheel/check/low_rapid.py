"""Does the cutter run level at rapid while it is down beside the work or over the jaws?

Nothing is hit as long as every number is right. With a zero or an offset that is off by a little, what was a near pass
is a crash at full speed: an instructor wants the cutter lifted first. By hand going round the work at depth is usual.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from handwheel.check.finding import Finding
from handwheel.check.inspection import Inspection
from handwheel.check.kernels.gap import move_gap
from handwheel.check.machinery.kernel_moves import ways
from handwheel.cut.cutter import cutter
from handwheel.path.box import Box
from handwheel.tolerances import CONTACT


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``low-rapid``: one finding for each tool; by program only."""
    tip, work = inspection.tip, inspection.setup.raw
    if not inspection.by_program or not len(tip):
        return
    way = tip.end - tip.start
    level = (np.abs(way[:, 2]) <= CONTACT) & (np.hypot(way[:, 0], way[:, 1]) > CONTACT)
    low = inspection.moves.at_rapid & level & (tip.end[:, 2] < work.high[2] - CONTACT) & (inspection.depth == 0.0)
    for number in sorted(set(inspection.tool_number[low].tolist()) & set(inspection.tools)):
        rows = np.flatnonzero(low & (inspection.tool_number == number))
        near = [
            (row, gap, name)
            for row in rows.tolist()
            for gap, name in [_nearest(inspection, row)]
            if gap < inspection.tools[number].diameter / 2.0
        ]
        if near:
            _, gap, name = min(near, key=lambda one: one[1])
            yield inspection.finding(
                "low-rapid",
                f"tool {number} runs level at rapid below the top of the work, {inspection.size(gap)} from the {name}: "
                "lift it to the clear height first, or go there at feed",
                [first for first, _, _ in near],
            )


def _nearest(inspection: Inspection, row: int) -> tuple[float, str]:
    """How near the flutes come to the raw work and to the jaws on a move, and to which."""
    setup = inspection.setup
    bodies = {"work": setup.raw, "fixed jaw": setup.fixed_jaw, "movable jaw": setup.movable_jaw}
    (way,) = ways(inspection.tip.rows(np.array([row])))
    pieces = cutter(inspection.tools[int(inspection.tool_number[row])]).flutes.numbers()
    return min((min(move_gap(way, piece, _corners(box)) for piece in pieces), name) for name, box in bodies.items())


def _corners(box: Box) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    return np.array([*box.low, *box.high], dtype=np.float64)
