"""Is the work held: do both jaws touch it, over enough of it, and does it stand on the parallels?

Asked by rays through the part as it came into the set-up: what was really cut before decides, not what was planned.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from handwheel.check.finding import Finding
from handwheel.check.inspection import Inspection
from handwheel.cut.rays import Rays, left
from handwheel.path.face import Face
from handwheel.setup import least_grip
from handwheel.tolerances import CONTACT, SEATED, THIN_GRIP_SHARE

ABREAST: Final = 48
"""So many rays stand along the jaws, and as many over their height."""


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``not-held``, ``thin-grip``, ``raw-in-jaws``, ``no-rod``.

    Thin is a grip under a quarter of the raw height or 3 mm, or less than a quarter of the jaw face that the work
    covers (common practice).
    """
    setup = inspection.setup
    held, share = setup.grip, _touched(inspection)
    wanted = least_grip(setup.raw.size[2])
    if share == 0.0:
        yield inspection.finding("not-held", "the jaws do not close on two opposite faces of the work: it is not held")
    elif not _stands(inspection):
        yield inspection.finding("not-held", "nothing of the work stands on the parallels: it can sink or tip")
    elif held < wanted - CONTACT:
        yield inspection.finding(
            "thin-grip",
            f"the jaws hold only {inspection.size(held)} of the work; at least {inspection.size(wanted)} is wanted",
        )
    elif share < THIN_GRIP_SHARE:
        yield inspection.finding(
            "thin-grip",
            f"the jaws touch only {share:.0%} of what stands between them; at least {THIN_GRIP_SHARE:.0%} is wanted",
        )
    yield from _raw(inspection)


def _raw(inspection: Inspection) -> Iterator[Finding]:
    """After the first cuts a finished face belongs on the fixed jaw, and a rod at a raw one across from it."""
    setup = inspection.setup
    if not setup.before:
        return
    back, front = (setup.part_face(face) for face in (Face.BACK, Face.FRONT))
    if _is_raw_in_jaws(inspection, Face.BACK):
        yield inspection.finding(
            "raw-in-jaws", f"the {back} is still raw and is on the fixed jaw: nothing cut from it will be square"
        )
    elif _is_raw_in_jaws(inspection, Face.FRONT) and setup.entry.rod is None:
        yield inspection.finding(
            "no-rod",
            f"the {front} is still raw and is at the movable jaw without a rod: it tilts the work off the fixed jaw",
        )


def _is_raw_in_jaws(inspection: Inspection, face: Face) -> bool:
    """Whether a jaw closes on a face as it was sawn."""
    setup = inspection.setup
    jaw = setup.fixed_jaw.low[1] if face is Face.BACK else setup.movable_jaw.high[1]
    sawn = (setup.stock.high if face is Face.BACK else setup.stock.low)[1]
    return setup.is_raw(face) and abs(jaw - sawn) <= CONTACT


def _touched(inspection: Inspection) -> float:
    """The share of what stands between the jaws over which both of them touch the work."""
    setup = inspection.setup
    work, jaw = inspection.before.stock, setup.fixed_jaw
    low, high = max(work.low[0], jaw.low[0]), min(work.high[0], jaw.high[0])
    bottom, top = work.low[2], min(work.high[2], setup.jaw_top)
    if high - low <= CONTACT or top - bottom <= CONTACT:
        return 0.0
    share = (np.arange(ABREAST) + 0.5) / ABREAST
    at = np.meshgrid(low + share * (high - low), bottom + share * (top - bottom))
    met = left(inspection.before, Rays(1, np.column_stack([values.ravel() for values in at])))
    some = met.first[1:] > met.first[:-1]
    if not some.any():
        return 0.0
    front = met.low[met.first[:-1][some]] <= setup.movable_jaw.high[1] + SEATED
    back = met.high[met.first[1:][some] - 1] >= setup.fixed_jaw.low[1] - SEATED
    return float((front & back).mean())


def _stands(inspection: Inspection) -> bool:
    """Whether anything of the work is on the parallels."""
    work = inspection.before.stock
    for parallel in inspection.setup.parallels:
        low = [max(work.low[axis], parallel.low[axis]) for axis in (0, 1)]
        high = [min(work.high[axis], parallel.high[axis]) for axis in (0, 1)]
        if any(b - a <= CONTACT for a, b in zip(low, high, strict=True)):
            continue
        share = (np.arange(ABREAST) + 0.5) / ABREAST
        at = np.meshgrid(*(a + share * (b - a) for a, b in zip(low, high, strict=True)))
        met = left(inspection.before, Rays(2, np.column_stack([values.ravel() for values in at])))
        lowest = met.low[met.first[:-1][met.first[1:] > met.first[:-1]]]
        if (lowest <= parallel.high[2] + SEATED).any():
            return True
    return False
