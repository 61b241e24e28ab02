"""Is a rapid clear on the straight line, but not where each axis runs at its own rate?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from handwheel.check.finding import Finding
from handwheel.check.inspection import Inspection
from handwheel.check.machinery.bent_rapid import legs
from handwheel.check.machinery.nearest import nearest
from handwheel.motion import Kind


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``dog-leg``, against the work and against what holds it; by program only: a hand moves one axis at a time."""
    if not inspection.by_program or not len(inspection.tip):
        return
    met = inspection.standing
    rows = np.flatnonzero((met.leg > 0.0) & (met.depth == 0.0))
    if len(rows):
        yield inspection.finding(
            "dog-leg",
            "a rapid is clear of the work on the straight line, but cuts "
            f"{inspection.size(float(met.leg[rows].max()))} deep where each axis runs at its own rate",
            rows,
        )
    setup = inspection.setup
    bodies = (*setup.vise_bodies, *setup.parallels, *([setup.stop] if setup.stop else []), setup.table)
    held = (inspection.near_vise, inspection.near_parallels, inspection.near_stop, inspection.near_table)
    if any(near.hits for near in held):
        return
    bent = [leg.rows(leg.kind == Kind.RAPID) for leg in legs(inspection.tip)]
    hits = [(leg, hit) for leg in bent for hit in nearest(leg, inspection.tools, bodies).hits]
    if hits:
        worst = max((hit for _, hit in hits), key=lambda hit: hit.lift)
        line = min(int(leg.line[hit.first]) for leg, hit in hits)
        yield inspection.finding(
            "dog-leg",
            "a rapid is clear of the vise on the straight line, but where each axis runs at its own rate tool "
            f"{worst.tool} is {inspection.size(worst.lift)} too low over it",
            np.flatnonzero(inspection.moves.line == line),
            count=sum(hit.rows for _, hit in hits),
        )
