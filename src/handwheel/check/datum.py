"""Is the zero on a face that the job cuts?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from handwheel.check.finding import Finding
from handwheel.check.inspection import Inspection
from handwheel.job import Facing
from handwheel.path.face import Face
from handwheel.setup import Setup

ENDS: Final = {"x": ("left", "right"), "y": ("front", "back")}


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``zero-on-uncut-face``, one an axis; nothing where the job plans no operation and leaves the cut to a program."""
    setup = inspection.setup
    for axis in "xyz":
        # facing alone goes nowhere by X or Y
        if all(axis != "z" and isinstance(one, Facing) for one in setup.operations):
            continue
        zero: str = getattr(setup.zero, axis)
        for face in map(Face, ENDS[axis] if zero == "centre" else (zero,)):
            spare: float = getattr(inspection.job.stock.allowance, setup.part_face(face))
            if setup.is_raw(face) and not _is_cut(setup, face, spare):
                yield inspection.finding(
                    "zero-on-uncut-face",
                    f"{axis.upper()} zero is the {zero} of the finished work, but no operation takes "
                    f"{inspection.size(spare)} off the {face}: what is measured from there is off as much",
                )


def _is_cut(setup: Setup, face: Face, spare: float) -> bool:
    """Whether something of what stands past the middle of a face, near the top, is meant to go."""
    point = [*setup.finished.centre]
    point[2] = setup.finished_top - min(setup.finished.size[2], spare) / 2
    at = (setup.finished.high if face.outwards > 0 else setup.finished.low)[face.axis]
    point[face.axis] = at + face.outwards * spare / 2
    return any(one.holds((point[0], point[1], point[2])) for one in setup.intended)
