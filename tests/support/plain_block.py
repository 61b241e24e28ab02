"""Short ways to write moves and tools in the tests of the checks; mm."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from handwheel.check import Inspection
from handwheel.cut.part import Cut, Part
from handwheel.job import read_job_text
from handwheel.motion import Kind, Modal, Moves, MovesBuilder, Offset, Plane, Spindle, Tool
from handwheel.path.box import Box
from handwheel.path.meant import Meant
from handwheel.plan import Route
from handwheel.setup import set_up

Point = tuple[float, float, float]

END_MILL = Tool(1, "end mill", 20.0, 4, 30.0, 20.0, 40.0, 50.0, 60.0)
TURNING = Modal(tool=1, spindle=Spindle.CW, rpm=500.0, length_slot=1, length=100.0)


def moves(*points: Point, kind: Kind = Kind.FEED, modal: Modal = TURNING, feed: float = 100.0) -> Moves:
    """Straight moves from point to point, a line of the program each."""
    builder = MovesBuilder()
    for line, (start, end) in enumerate(pairwise(points), 1):
        builder.add(kind, start, end, modal, feed=feed if kind == Kind.FEED else math.nan, line=line)
    return builder.build()


def arc(start: Point, centre: tuple[float, float], turn: float, rise: float = 0.0, plane: Plane = Plane.XY) -> Moves:
    """One arc or helix; ``centre`` in the plane's two axes, ``turn`` in radians."""
    first, second, normal = plane.axes
    u, v = start[first] - centre[0], start[second] - centre[1]
    middle, end = list(start), list(start)
    middle[first], middle[second] = centre
    end[first] = centre[0] + u * math.cos(turn) - v * math.sin(turn)
    end[second] = centre[1] + u * math.sin(turn) + v * math.cos(turn)
    end[normal] += rise
    builder = MovesBuilder()
    builder.add(Kind.ARC, start, end, TURNING, feed=100.0, centre=middle, turn=turn, plane=plane, line=1)
    return builder.build()


def joined(*tables: Moves) -> Moves:
    """Tables one after another, lines counted through."""
    builder = MovesBuilder()
    for row in (row for table in tables for row in table):
        builder.add(
            row.kind,
            row.start,
            row.end,
            row.modal,
            feed=math.nan if row.feed is None else row.feed,
            centre=row.centre or (math.nan,) * 3,
            turn=row.turn,
            plane=row.plane,
            line=len(builder) + 1,
        )
    return builder.build()


JOB = """
handwheel = 1
title = "Plain block"
units = "mm"
material = "steel-s235"
[stock]
size = [80, 60, 40]
[vise]
like = "vise-125mm"
parallels = {parallels}
[[tool]]
number = 1
shape = "end mill"
diameter = 20
flutes = 4
flute_length = 30
reach = 40
holder = [50, 60]
"""


def inspection(
    of: Moves,
    tools: Sequence[Tool] = (END_MILL,),
    route: Route = Route.BY_PROGRAM,
    intended: tuple[Box, ...] = (),
    parallels: float = 22.0,
    travel: Box | None = None,
) -> Inspection:
    """These moves of the tip on a block 80 × 60 × 40 whose left front top corner is zero."""
    job = read_job_text(JOB.format(parallels=parallels), "plain-block")
    setup = set_up(job)[0]
    table = {tool.number: tool for tool in tools}
    return Inspection(
        setup=setup,
        route=route,
        moves=of,
        tip=of,
        tools=table,
        offsets={tool.number: Offset(tool.length, tool.diameter) for tool in tools},
        part=Part(setup.raw, (Cut(of, table),)),
        intended=tuple(Meant(box) for box in intended),
        travel=travel,
    )


def codes(of: Inspection) -> list[str]:
    """The codes found that are more than a note."""
    from handwheel.check import findings

    return [one.code for one in findings(of) if one.level != "note"]


def as_number(tool: Tool, number: int) -> Tool:
    """The same tool under another number."""
    return replace(tool, number=number)
