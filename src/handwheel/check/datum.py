"""Is the zero on a face that the job cuts?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from handwheel.check.finding import Finding
from handwheel.check.inspection import Inspection
from handwheel.job import SideMilling
from handwheel.tolerances import CONTACT

ENDS: Final = {"x": ("left", "right"), "y": ("front", "back")}


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``zero-on-uncut-face``, one an axis; nothing where the job plans no operation and leaves the cut to a program."""
    job = inspection.job
    if not inspection.setup.operations:
        return
    cut = {one.edge if isinstance(one, SideMilling) else "top" for one in inspection.setup.operations}
    for axis in "xyz":
        zero: str = getattr(inspection.setup.zero, axis)
        for face in ENDS[axis] if zero == "centre" else (zero,):
            spare: float = getattr(job.stock.allowance, face)
            if face not in cut and spare > CONTACT:
                yield inspection.finding(
                    "zero-on-uncut-face",
                    f"{axis.upper()} zero is the {zero} of the finished work, but no operation takes "
                    f"{inspection.size(spare)} off the {face}: what is measured from there is off as much",
                )
