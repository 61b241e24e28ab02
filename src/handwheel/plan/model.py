"""Steps and passes: the plan that both routes share.

A pass is a stroke along the *finished edge*; where the cutter's centre runs follows from its radius and the side it is
kept on, so every compensation form, every readout preset and every dial turn comes from the same numbers.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Literal

from handwheel.motion import Side, Tool
from handwheel.path.face import Face
from handwheel.plan.speeds import Speeds

Point2 = tuple[float, float]
StepKind = Literal["load", "face", "rough", "measure", "finish", "hole"]
Cutting = Literal["conventional", "climb", "mixed"]
Axis = Literal["x", "y", "z"]
Purpose = Literal["round", "row", "rough", "finish", "spring"]


class Route(StrEnum):
    """The two ways of making the part."""

    BY_HAND = "by hand"
    BY_PROGRAM = "by program"


@dataclass(frozen=True, slots=True)
class Pass:
    """One stroke of the cutter at one level; coordinates in the job's frame, mm.

    ``path`` starts at the entry point, off the work; for a compensated pass its first stretch is the lead-in, on the
    extended line of the edge. ``side`` tells on which side of ``path`` the cutter is kept; ``OFF``: the path is the
    centre's own. ``edge`` and ``to`` name the face that a side pass leaves. ``width`` and ``depth`` are the planned
    width and depth of cut.
    """

    purpose: Purpose
    path: tuple[Point2, ...]
    level: float
    side: Side
    cutting: Cutting
    width: float
    depth: float
    edge: Face | None = None
    to: float | None = None

    def centre_path(self, radius: float) -> tuple[Point2, ...]:
        """Where the centre of a cutter of that radius runs; the straight pass stays straight, lead-in included."""
        if self.side is Side.OFF:
            return self.path
        (x0, y0), (x1, y1) = self.path[0], self.path[-1]
        length = math.hypot(x1 - x0, y1 - y0)
        towards = 1.0 if self.side is Side.LEFT else -1.0
        dx, dy = -(y1 - y0) / length * radius * towards, (x1 - x0) / length * radius * towards
        return tuple((x + dx, y + dy) for x, y in self.path)


@dataclass(frozen=True, slots=True)
class Hole:
    """One hole made along the spindle; mm, ``dwell`` in seconds.

    ``clear`` is Z of the level at which the feed begins, ``bottom`` of the tip at the end. ``stops`` are the depths at
    which the cutter is withdrawn before, highest first: none where it goes down in one. ``feeds_out``: a reamer comes
    out turning at its feed.
    """

    at: Point2
    clear: float
    bottom: float
    stops: tuple[float, ...] = ()
    dwell: float = 0.0
    feeds_out: bool = False


@dataclass(frozen=True, slots=True)
class Measuring:
    """A size taken during the job: stop, clean, measure, correct.

    ``wanted`` is what the gauge ought to read at that moment (the drawing's nominal plus what is still to come off),
    ``still_to_cut`` the planned last cut, both in mm.
    """

    dimension: str
    gauge: str
    wanted: float
    still_to_cut: float
    lower: float
    upper: float


@dataclass(frozen=True, slots=True)
class Step:
    """One numbered step of the sheet and of the program.

    ``title`` is the sentence that both show; ``why`` and ``hazard`` are for the sheet. ``zeroes`` names the axes whose
    zero is made by this step's cut. ``cutting`` sums its passes up; a step has passes, or ``holes``, or neither.
    """

    number: int
    kind: StepKind
    operation: str
    title: str
    why: str
    hazard: str
    tool: Tool
    speeds: Speeds
    cutting: Cutting | None = None
    passes: tuple[Pass, ...] = ()
    holes: tuple[Hole, ...] = ()
    compensation: Literal["material-edge", "tool-path", "off"] = "off"
    zeroes: tuple[Axis, ...] = ()
    measuring: tuple[Measuring, ...] = ()


@dataclass(frozen=True, slots=True)
class Plan:
    """The steps of one route, in order; ``clear`` is the Z of the level for rapids and ``approach`` how far above a
    level a rapid ends, both in mm."""

    route: Route
    steps: tuple[Step, ...]
    clear: float
    approach: float
    tools: tuple[Tool, ...] = field(default=())
