"""Is there a tool in the spindle, and does the control know its length and its diameter?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from handwheel.check.finding import Finding
from handwheel.check.inspection import Inspection
from handwheel.motion import Kind, Side
from handwheel.tolerances import CONTACT


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``no-tool``; by program ``no-length-offset``, ``wrong-length-offset``, ``wrong-diameter-offset``.

    An offset is wrong where it moves a cut face by more than the job's tolerance: a wear correction is none.
    """
    yield from _no_tool(inspection)
    if inspection.by_program:
        yield from _lengths(inspection)
        yield from _diameters(inspection)


def _no_tool(inspection: Inspection) -> Iterator[Finding]:
    feeding, tool = inspection.feeding, inspection.tool_number
    empty = np.flatnonzero(feeding & (tool == 0))
    if len(empty):
        yield inspection.finding("no-tool", "the table feeds with no tool in the spindle", empty)
    for number in sorted(set(np.unique(tool[feeding]).tolist()) - {0} - set(inspection.tools)):
        rows = np.flatnonzero(feeding & (tool == number))
        yield inspection.finding("no-tool", f"tool {number} is called, but the job has no tool {number}", rows)


def _lengths(inspection: Inspection) -> Iterator[Finding]:
    """A length counts where the tool feeds, and where it goes down: that is where a wrong one hurts."""
    moves = inspection.moves
    going_down = (moves.kind == Kind.RAPID) & (moves.end[:, 2] < moves.start[:, 2] - CONTACT)
    concerned = inspection.feeding | going_down
    missing: dict[int, list[int]] = {}
    wrong: dict[tuple[int, int | None, float], list[int]] = {}
    for index, modal in enumerate(moves.modals):
        tool = inspection.tools.get(modal.tool)
        if tool is None:
            continue
        rows = np.flatnonzero(concerned & (moves.modal == index)).tolist()
        if not rows:
            continue
        if not modal.length_slot:
            missing.setdefault(modal.tool, []).extend(rows)
        elif abs(modal.length - tool.length) > inspection.job.tolerance:
            wrong.setdefault((modal.tool, modal.length_slot, modal.length), []).extend(rows)
    for number, found in missing.items():
        yield inspection.finding(
            "no-length-offset",
            f"tool {number} goes down without its length offset (G43 H{number}): "
            f"its tip is {inspection.size(inspection.tools[number].length)} lower than the program thinks",
            sorted(found),
        )
    for (number, slot, length), found in wrong.items():
        real = inspection.tools[number].length
        lower = "lower" if real > length else "higher"
        yield inspection.finding(
            "wrong-length-offset",
            f"tool {number} runs on length offset H{slot} of {inspection.size(length)}, but it is "
            f"{inspection.size(real)} long: its tip is {inspection.size(abs(real - length))} {lower} than the program "
            "thinks",
            sorted(found),
        )


def _diameters(inspection: Inspection) -> Iterator[Finding]:
    moves, job = inspection.moves, inspection.job
    wrong: dict[tuple[int, int], list[int]] = {}
    for index, modal in enumerate(moves.modals):
        tool = inspection.tools.get(modal.tool)
        if tool is None or modal.side is Side.OFF:
            continue
        slot = modal.tool if modal.diameter_slot is None else modal.diameter_slot
        held = _held(inspection, slot)
        wanted = 0.0 if job.compensation == "tool-path" else tool.diameter
        rows = np.flatnonzero(inspection.feeding & (moves.modal == index)).tolist()
        if rows and abs(held - wanted) / 2.0 > job.tolerance:
            wrong.setdefault((modal.tool, slot), []).extend(rows)
    for (number, slot), found in wrong.items():
        held = _held(inspection, slot)
        tool = inspection.tools[number]
        should = (
            "the path is the cutter's own, so that it should hold the difference from the planned cutter only"
            if job.compensation == "tool-path"
            else f"but the cutter measures {inspection.size(tool.diameter)}"
        )
        yield inspection.finding(
            "wrong-diameter-offset",
            f"tool {number} is compensated by D{slot}, which holds a diameter of {inspection.size(held)}; {should}",
            sorted(found),
        )


def _held(inspection: Inspection, slot: int) -> float:
    return inspection.offsets[slot].diameter if slot in inspection.offsets else 0.0
