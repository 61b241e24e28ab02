"""Is a hole spotted before it is drilled, drilled before it is reamed or counterbored, and pecked where it is deep?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from handwheel.check.finding import Finding
from handwheel.check.inspection import Inspection
from handwheel.job.hole_making import point_of
from handwheel.tolerances import CONTACT

SAME_PLACE: Final = 0.1
"""Two holes nearer than this stand at one place, mm."""

PECKED_FROM: Final = 3.0
"""A drill goes so many diameters deep in one; deeper, its chips no longer come out (common practice)."""

FOLLOWS: Final = ("reamer", "counterbore", "countersink")
"""Cutters that cannot make a hole, but need one; taps are judged for themselves."""


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``no-hole``, ``unspotted-hole``, ``deep-without-pecks``: one each."""
    down = _going_down(inspection)
    if not len(down):
        return
    shapes = [inspection.tools[number].shape for number in inspection.tool_number[down].tolist()]
    yield from _first_of_all(inspection, down, shapes)
    yield from _deep(inspection, down, shapes)


def _going_down(inspection: Inspection) -> NDArray[np.int64]:
    """The feeds straight down that cut, by a tool of the job."""
    moves = inspection.tip
    if not len(moves):
        return np.zeros(0, dtype=np.int64)
    down = inspection.plunging & inspection.feeding & (moves.end[:, 2] < moves.start[:, 2] - CONTACT)
    known = np.isin(inspection.tool_number, list(inspection.tools))
    return np.flatnonzero(down & known & (inspection.depth > 0.0))


def _first_of_all(inspection: Inspection, down: NDArray[np.int64], shapes: Sequence[str]) -> Iterator[Finding]:
    """What a cutter finds at a place where nothing went down before it."""
    at = inspection.tip.end[down, :2]
    first = [index for index in range(len(down)) if not (np.hypot(*(at[:index] - at[index]).T) < SAME_PLACE).any()]
    for code, wanted, said in (
        ("no-hole", FOLLOWS, "a {} is sent down where there is no hole: it cannot make one, and breaks"),
        ("unspotted-hole", ("drill",), "a {} starts on a face that was not spotted: it walks off its place"),
    ):
        rows = [int(down[index]) for index in first if shapes[index] in wanted]
        if rows:
            shape = inspection.tools[int(inspection.tool_number[rows[0]])].shape
            yield inspection.finding(code, said.format(shape), rows)


def _deep(inspection: Inspection, down: NDArray[np.int64], shapes: Sequence[str]) -> Iterator[Finding]:
    rows = []
    for index, row in enumerate(down.tolist()):
        tool = inspection.tools[int(inspection.tool_number[row])]
        run = float(inspection.tip.start[row, 2] - inspection.tip.end[row, 2])
        deep = min(run, float(inspection.depth[row])) - point_of(tool)
        if shapes[index] == "drill" and deep > PECKED_FROM * tool.diameter + CONTACT:
            rows.append(row)
    if rows:
        diameter = inspection.tools[int(inspection.tool_number[rows[0]])].diameter
        yield inspection.finding(
            "deep-without-pecks",
            f"a drill of {inspection.size(diameter)} goes more than {PECKED_FROM:g} diameters deep in one: its chips "
            "jam; peck",
            rows,
        )
