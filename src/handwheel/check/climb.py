"""By hand: does the cutter pull the table through the screw's backlash?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from handwheel.check.finding import Finding
from handwheel.check.inspection import Inspection
from handwheel.plan import plan
from handwheel.tolerances import CONTACT


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``climb-with-backlash``: a climb cut fed along a slide whose screw has play."""
    if inspection.by_program or not len(inspection.moves):
        return
    climbing = [step.number for step in plan(inspection.setup, inspection.route).steps if step.cutting == "climb"]
    of_climb = inspection.feeding & np.isin(inspection.moves.step, climbing) & (inspection.standing.depth > 0.0)
    way = np.abs(inspection.moves.end - inspection.moves.start)
    slides = inspection.job.by_hand.slides
    for axis, name, slide in ((0, "table", slides.x), (1, "saddle", slides.y)):
        rows = np.flatnonzero(of_climb & (way[:, axis] > CONTACT))
        if slide.backlash > CONTACT and len(rows):
            yield inspection.finding(
                "climb-with-backlash",
                f"a climb cut can pull the {name} forward by its backlash of {inspection.size(slide.backlash)}: "
                f"cut conventionally, or keep the {name}'s lock dragging",
                rows,
            )
