"""Is there a tool in the spindle, and does the control know its length and its diameter?"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from handwheel.check.finding import Finding
from handwheel.check.inspection import Inspection
from handwheel.job.offsets import forms
from handwheel.motion import Kind, Side
from handwheel.tolerances import CONTACT


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``no-tool``; by program ``no-length-offset``, ``wrong-length-offset``, ``wrong-diameter-offset``.

    A tool that the job has not is told at the block that calls it. An offset is wrong where it moves a cut face by more
    than the job's tolerance: a wear correction is none.
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
    calls: dict[int, list[int]] = {}
    for event in inspection.events:
        if event.what == "tool change":
            calls.setdefault(event.tool, []).append(event.line)
    unknown = {*np.unique(tool[feeding]).tolist(), *calls} - {0} - set(inspection.tools)
    for number in sorted(unknown):
        message = f"tool {number} is called, but the job has no tool {number}"
        if number in calls:
            told = inspection.finding("no-tool", message, count=len(calls[number]))
            yield replace(told, line=calls[number][0])
        else:
            yield inspection.finding("no-tool", message, np.flatnonzero(feeding & (tool == number)))


def _lengths(inspection: Inspection) -> Iterator[Finding]:
    """A length counts where the tool feeds, and where it goes down: that is where a wrong one hurts."""
    moves, touched_at = inspection.moves, inspection.setup.control.touched_at
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
        elif abs(modal.length - touched_at - tool.length) > inspection.job.tolerance:
            wrong.setdefault((modal.tool, modal.length_slot, modal.length), []).extend(rows)
    for number, found in missing.items():
        low = inspection.tools[number].length + touched_at
        yield inspection.finding(
            "no-length-offset",
            f"tool {number} goes down without its length offset (G43 H{number}): "
            f"its tip is {inspection.size(abs(low))} {'lower' if low > 0 else 'higher'} than the program thinks",
            sorted(found),
        )
    for (number, slot, length), found in wrong.items():
        real = inspection.tools[number].length + touched_at
        lower = "lower" if real > length else "higher"
        should = (
            f"touched to the work it is {inspection.size(real)}"
            if touched_at
            else f"it is {inspection.size(real)} long"
        )
        yield inspection.finding(
            "wrong-length-offset",
            f"tool {number} runs on length offset H{slot} of {inspection.size(length)}, but {should}: its tip is "
            f"{inspection.size(abs(real - length))} {lower} than the program "
            "thinks",
            sorted(found),
        )


def _diameters(inspection: Inspection) -> Iterator[Finding]:
    moves = inspection.moves
    wrong: dict[tuple[int, int], list[int]] = {}
    for index, modal in enumerate(moves.modals):
        tool = inspection.tools.get(modal.tool)
        if tool is None or modal.side is Side.OFF:
            continue
        slot = modal.tool if modal.diameter_slot is None else modal.diameter_slot
        rows = np.flatnonzero(inspection.feeding & (moves.modal == index)).tolist()
        if rows and _is_wrong(inspection, modal.tool, slot):
            wrong.setdefault((modal.tool, slot), []).extend(rows)
    for (number, slot), found in wrong.items():
        yield inspection.finding("wrong-diameter-offset", _told(inspection, number, slot), sorted(found))
    if not wrong:
        yield from _refused_diameter(inspection)


def _refused_diameter(inspection: Inspection) -> Iterator[Finding]:
    """A wrong diameter that the control already refused, as when another tool's is too large for the way in."""
    error = inspection.error
    asked = re.search(r"G4[12]\s*D\s*(\d+)", error.words, re.IGNORECASE) if error else None
    number = int(inspection.tool_number[-1]) if len(inspection.moves) else 0
    if error is None or asked is None or number not in inspection.tools:
        return
    slot = int(asked[1])
    if _is_wrong(inspection, number, slot):
        told = inspection.finding("wrong-diameter-offset", _told(inspection, number, slot))
        yield replace(told, line=error.line)


def _is_wrong(inspection: Inspection, number: int, slot: int) -> bool:
    wanted = 0.0 if _follows_tool_path(inspection, number) else inspection.tools[number].diameter
    return abs(_held(inspection, slot) - wanted) / 2.0 > inspection.job.tolerance


def _follows_tool_path(inspection: Inspection, number: int) -> bool:
    """Whether the tool's sides are programmed as the cutter's own path, so that its offset is a difference only."""
    job = inspection.job
    return next(iter(forms(inspection.setup.operations, number)), job.compensation) == "tool-path"


def _told(inspection: Inspection, number: int, slot: int) -> str:
    should = (
        "the path is the cutter's own, so that it should hold the difference from the planned cutter only"
        if _follows_tool_path(inspection, number)
        else f"the cutter measures {inspection.size(inspection.tools[number].diameter)}"
    )
    held = inspection.size(_held(inspection, slot))
    return f"tool {number} is compensated by D{slot}, which holds a diameter of {held}; {should}"


def _held(inspection: Inspection, slot: int) -> float:
    return inspection.offsets[slot].diameter if slot in inspection.offsets else 0.0
