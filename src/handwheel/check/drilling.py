"""Are drills, reamers and their like fed as they should be? Their feed is so much a turn, by the diameter."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from handwheel.check.finding import Finding
from handwheel.check.inspection import Inspection
from handwheel.motion import Tool
from handwheel.plan.speeds import SHARE_OF_FEED, drill_feed
from handwheel.units import shop_number

HOLE_CUTTERS: Final = ("drill", "spot drill", "reamer", "counterbore", "countersink")
"""What is fed by the turn; a tap is fed by its pitch."""

TOO_MUCH, FAR_TOO_MUCH = 2.0, 4.0
"""The feed a turn, as so many times the table's (common practice)."""

TOO_LITTLE: Final = 0.25
"""The same as a share of the table's: the edges rub, and some materials harden (common practice)."""


def feed_a_turn(tool: Tool) -> float:
    """The table's feed a turn, mm."""
    return drill_feed(tool.diameter) * SHARE_OF_FEED.get(tool.shape, 1.0)


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``feed-far-too-high``, ``feed-too-high`` and ``feed-too-low``: one for each tool, for its worst block."""
    moves = inspection.moves
    down = inspection.cutting & inspection.plunging
    for number in np.unique(inspection.tool_number[down]).tolist():
        tool = inspection.tools[number]
        if tool.shape not in HOLE_CUTTERS:
            continue
        rows = np.flatnonzero(down & (inspection.tool_number == number))
        table = feed_a_turn(tool)
        share = moves.feed[rows] / moves.of_modal("rpm")[rows] / table
        for code, wrong, worst in (
            ("feed-far-too-high", share > FAR_TOO_MUCH, share.argmax()),
            ("feed-too-high", share > TOO_MUCH, share.argmax()),
            ("feed-too-low", share < TOO_LITTLE, share.argmin()),
        ):
            if wrong.any():
                row, units = int(rows[int(worst)]), inspection.job.units
                rpm = float(moves.of_modal("rpm")[row])
                yield inspection.finding(
                    code,
                    f"tool {number}, a {tool.shape}, is fed {shop_number(float(moves.feed[row]), units)} {units}/min "
                    f"at {rpm:g} rev/min, which is {inspection.size(float(moves.feed[row]) / rpm)} a turn, "
                    f"{share[int(worst)]:.2g} times the {inspection.size(table)} that the shop's table has for it",
                    rows[wrong],
                )
                break
