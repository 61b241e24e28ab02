"""How a stroke within the work is entered: as the job says, within what the cutter can do."""

from __future__ import annotations

import math
from typing import Final

from handwheel.job.entry import Entry
from handwheel.motion import Tool
from handwheel.path.chain import Chain, length
from handwheel.path.line import Line
from handwheel.plan.model import Entry as Way
from handwheel.plan.model import InHole, Plunge, Ramp
from handwheel.plan.which_route import Route

RAMP_ANGLE: Final = 3.0
"""Degrees: end mills are led down no steeper (common practice)."""


def entering(entry: Entry, route: Route, tool: Tool, along: Chain, top: float, level: float) -> Way:
    """The way in, at the start of ``along``, the centre's own path, from ``top`` down to ``level``, mm.

    A ramp goes to and fro over the start of that path, and ends where it starts.
    """
    word = entry.by_hand if route is Route.BY_HAND else entry.by_program
    if word == "hole":
        return InHole()
    if word == "plunge" or route is Route.BY_HAND or top - level <= 0.0:
        return Plunge()
    way = _first(along, 2.0 * tool.diameter)
    times = max(1, math.ceil((top - level) / (length(way) * math.tan(math.radians(RAMP_ANGLE))) - 1e-9))
    return Ramp(way, top, times + times % 2)


def _first(chain: Chain, reach: float) -> Chain:
    """The first straight stretch of a chain, no longer than ``reach``; all of an arc."""
    piece = chain[0]
    if isinstance(piece, Line) and piece.length > reach:
        share = reach / piece.length
        end = tuple(a + (b - a) * share for a, b in zip(piece.start, piece.end, strict=True))
        return (Line(piece.start, (end[0], end[1])),)
    return (piece,)
