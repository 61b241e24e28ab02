"""Does flute, shank or holder run into jaws, bed, parallels, stop or table, and how much room is left?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from handwheel.check.finding import Finding
from handwheel.check.inspection import Inspection
from handwheel.check.machinery.nearest import Hit, Nearest, nearest, when_met
from handwheel.path.box import Box
from handwheel.setup.fixture import parallels_at
from handwheel.tolerances import CONTACT, LOW_CLEARANCE
from handwheel.units import shop_number

VISE_NAMES = ("fixed jaw", "movable jaw", "bed of the vise")
PARALLEL_NAMES = ("front parallel", "back parallel")
STOP_NAMES = ("work stop",)
TABLE_NAMES = ("table",)

INSET_STEP: Final = {"in": 1.5875, "mm": 1.0}
"""How finely a hand sets parallels off the jaws: a sixteenth of an inch or a millimetre (common practice)."""


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``cutter-hits-vise``, ``holder-hits-vise``, ``cutter-hits-parallels``, ``cutter-hits-stop``,
    ``cutter-hits-table``, ``low-clearance``.

    One finding for each tool and code. The holder in parallels, stop or table counts as its cutter's hit, since it is
    the tool that is too low.
    """
    setup = inspection.setup
    jaws, stop = setup.vise_bodies, (setup.stop,) if setup.stop else ()
    yield from _hits(inspection, inspection.near_vise, jaws, VISE_NAMES, "cutter-hits-vise", "holder-hits-vise")
    for found in _hits(inspection, inspection.near_parallels, setup.parallels, PARALLEL_NAMES, "cutter-hits-parallels"):
        advice = f"; {_inset_that_clears(inspection)}" if _is_through_hole(inspection) else ""
        yield replace(found, message=f"{found.message}{advice}")
    yield from _hits(inspection, inspection.near_stop, stop, STOP_NAMES, "cutter-hits-stop")
    yield from _hits(inspection, inspection.near_table, (setup.table,), TABLE_NAMES, "cutter-hits-table")
    for near, names in (
        (inspection.near_vise, VISE_NAMES),
        (inspection.near_parallels, PARALLEL_NAMES),
        (inspection.near_stop, STOP_NAMES),
    ):
        approach = near.approach
        if approach is None or near.hits or approach.gap >= LOW_CLEARANCE - CONTACT:
            continue
        yield inspection.finding(
            "low-clearance",
            f"{_part(approach.tool, approach.part)} passes the {names[approach.box]} with only "
            f"{inspection.size(approach.gap)} of air; leave at least {inspection.size(LOW_CLEARANCE)}",
            [approach.row],
        )


def _is_through_hole(inspection: Inspection) -> bool:
    """Whether what runs into the parallels comes straight down through the work."""
    raw, end = inspection.setup.raw, inspection.tip.end
    first = min(hit.first for hit in inspection.near_parallels.hits)
    over = all(raw.low[axis] <= end[first, axis] <= raw.high[axis] for axis in (0, 1))
    return bool(over and inspection.plunging[first])


def _inset_that_clears(inspection: Inspection) -> str:
    """What a hand does about a hole drilled into a parallel: it stands the parallels further off the jaws."""
    setup, job = inspection.setup, inspection.job
    front, back = setup.parallels
    deep = inspection.tip.rows(np.flatnonzero(inspection.tip.end[:, 2] < front.high[2] + LOW_CLEARANCE))
    between = Box(
        (front.low[0], setup.movable_jaw.high[1], front.low[2]), (back.high[0], setup.fixed_jaw.low[1], back.high[2])
    )
    step = INSET_STEP[job.units]
    most = (setup.raw.size[1] - 2.0 * setup.vise.parallel_thickness) / 2.0
    for count in range(int(most / step) + 1):
        boxes = parallels_at(setup, between, count * step)
        approach = nearest(deep, inspection.tools, boxes).approach
        if approach is None or approach.gap >= LOW_CLEARANCE - CONTACT:
            return f"parallel_inset = {shop_number(count * step, job.units)} stands the parallels clear of it"
    return "no parallel_inset clears it: take thinner parallels, or leave the drill short of them"


def _hits(
    inspection: Inspection,
    near: Nearest,
    boxes: Sequence[Box],
    names: Sequence[str],
    cutter_code: str,
    holder_code: str | None = None,
) -> Iterator[Finding]:
    groups: dict[tuple[int, str], list[Hit]] = {}
    for hit in near.hits:
        code = holder_code if holder_code and hit.part == "holder" else cutter_code
        groups.setdefault((hit.tool, code), []).append(hit)
    for (_, code), hits in groups.items():
        worst = max(hits, key=lambda hit: hit.lift)
        first = min(hit.first for hit in hits)
        parts = [hit.part for hit in hits if hit.first == first]
        found = inspection.finding(
            code,
            f"{_part(worst.tool, worst.part)} is {inspection.size(worst.lift)} too low over the {names[worst.box]}",
            [first],
            count=max(hit.rows for hit in hits),
        )
        yield replace(found, share=when_met(inspection.tip, first, inspection.tools, boxes, parts))


def _part(tool: int, part: str) -> str:
    return f"tool {tool}" if part == "flutes" else f"the {part} of tool {tool}"
