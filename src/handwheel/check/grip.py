"""Do the jaws hold enough of the work?"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.check.finding import Finding
from handwheel.check.inspection import Inspection
from handwheel.setup import least_grip
from handwheel.tolerances import CONTACT


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``thin-grip``: under a quarter of the raw height or 3 mm (common practice)."""
    held = inspection.setup.grip
    wanted = least_grip(inspection.setup.raw.size[2])
    if held < wanted - CONTACT:
        yield inspection.finding(
            "thin-grip",
            f"the jaws hold only {inspection.size(held)} of the work; at least {inspection.size(wanted)} is wanted",
        )
