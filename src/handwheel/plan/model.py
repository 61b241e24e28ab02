"""Steps and strokes: the plan that both routes share.

A stroke runs along the *finished edge*; where the cutter's center runs follows from its radius and the side it is kept
on, so every compensation form, every readout preset and every dial turn comes from the same numbers.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from handwheel.motion import Side, Tool
from handwheel.path.chain import Chain, offset_chain
from handwheel.path.face import Face
from handwheel.path.line import Line
from handwheel.plan.speeds import Speeds
from handwheel.plan.which_route import Route

Point2 = tuple[float, float]
StepKind = Literal["load", "face", "rough", "measure", "finish", "hole"]
Cutting = Literal["conventional", "climb", "mixed"]
Axis = Literal["x", "y", "z"]
Purpose = Literal["round", "row", "rough", "finish", "spring"]


@dataclass(frozen=True, slots=True)
class Beside:
    """Down beside the work, then level into it."""


@dataclass(frozen=True, slots=True)
class Plunge:
    """Straight down into the work, where the stroke starts."""


@dataclass(frozen=True, slots=True)
class Ramp:
    """Down along a slope from ``top``, mm, to and fro along ``chain``, the centre's own path, ``times`` times one way;
    it ends where ``chain`` and the stroke start."""

    chain: Chain
    top: float
    times: int


@dataclass(frozen=True, slots=True)
class InHole:
    """Down a hole that is there already, where the stroke starts."""


Entry = Beside | Plunge | Ramp | InHole


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """One stroke of the cutter at one level; coordinates in the job's frame, mm.

    ``chain`` is where it goes, along the finished edge where there is one; ``side`` tells on which side of it the
    cutter is kept (``OFF``: it is the centre's own, and ``room`` tells on which side of it there is room, where that
    matters). ``lead_in`` comes before it, ``lead_out`` follows it; within the
    work ``run_up`` is the straight move before both on which the compensation of a whole cutter comes on. ``width`` and
    ``depth`` are the planned width and depth of cut.
    """

    purpose: Purpose
    chain: Chain
    level: float
    side: Side
    cutting: Cutting
    width: float
    depth: float
    room: Side = Side.OFF
    run_up: Chain = ()
    lead_in: Chain = ()
    lead_out: Chain = ()
    entry: Entry = Beside()

    def centre(self, radius: float) -> Chain:
        """Where the centre of a cutter of that radius runs along the chain, leads left out."""
        return self._kept(self.chain, radius)

    def followed_edge(self) -> Chain:
        """What a program writes that follows the edge: the leads too."""
        return (*self.run_up, *self.lead_in, *self.chain, *self.lead_out)

    def whole(self, radius: float) -> Chain:
        """Where the centre of a cutter of that radius runs, leads included: a run-up starts where there is room."""
        path = self._kept((*self.lead_in, *self.chain, *self.lead_out), radius)
        if not (self.run_up and self.lead_in):
            return path
        return (Line(self.run_up[0].start, path[0].start), *path)

    def _kept(self, chain: Chain, radius: float) -> Chain:
        if self.side is Side.OFF:
            return chain
        return offset_chain(chain, radius if self.side is Side.LEFT else -radius)


@dataclass(frozen=True, slots=True, kw_only=True)
class Skim(Stroke):
    """A stroke over the top of the work."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SideStroke(Stroke):
    """A straight stroke past a side: it leaves the face of ``edge`` at the coordinate ``to``."""

    edge: Face
    to: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Inner(Stroke):
    """A stroke within the work: along a slot, round a pocket, outside an outline.

    ``rim`` is the radius with which the cutter makes the wall, where that is not its own (0): a chamfer mill's is what
    its cone has there. ``cusp`` is what may stay between the settings of an arc by hand (0: the usual), mm.
    """

    rim: float = 0.0
    cusp: float = 0.0


@dataclass(frozen=True, slots=True)
class Hole:
    """One hole made along the spindle; mm, ``dwell`` in seconds.

    ``clear`` is Z of the level at which the feed begins, ``bottom`` of the tip at the end. ``stops`` are the depths at
    which the cutter is withdrawn before, highest first: none where it goes down in one. ``feeds_out``: a reamer comes
    out turning at its feed. ``pitch`` is that of a thread (0: none is cut), ``surface`` Z where it begins.
    """

    at: Point2
    clear: float
    bottom: float
    stops: tuple[float, ...] = ()
    dwell: float = 0.0
    feeds_out: bool = False
    pitch: float = 0.0
    surface: float = 0.0


@dataclass(frozen=True, slots=True)
class Measuring:
    """A size taken during the job: stop, clean, measure, correct.

    ``wanted`` is what the gauge should read at that moment (the drawing's nominal and what is still to come off),
    ``still_to_cut`` the planned last cut, both in mm. ``walls``: how many of its two ends that cut makes; ``is_gap``:
    it grows as metal comes off.
    """

    dimension: str
    gauge: str
    wanted: float
    still_to_cut: float
    lower: float
    upper: float
    walls: Literal[1, 2] = 1
    is_gap: bool = False


@dataclass(frozen=True, slots=True)
class Step:
    """One numbered step of the sheet and of the program.

    ``title`` is the sentence that both show; ``why`` and ``hazard`` are for the sheet. ``zeroes`` names the axes whose
    zero is made by this step's cut. ``cutting`` sums its strokes up; a step has ``strokes``, or ``holes``, or neither.
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
    strokes: tuple[Stroke, ...] = ()
    holes: tuple[Hole, ...] = ()
    compensation: Literal["material-edge", "tool-path", "off"] = "off"
    zeroes: tuple[Axis, ...] = ()
    measuring: tuple[Measuring, ...] = ()

    @property
    def sides(self) -> tuple[SideStroke, ...]:
        """Its strokes past a side."""
        return tuple(one for one in self.strokes if isinstance(one, SideStroke))

    @property
    def cuts(self) -> bool:
        """Whether anything is cut in it."""
        return bool(self.strokes or self.holes)


@dataclass(frozen=True, slots=True)
class Plan:
    """The steps of one route, in order; ``clear`` is the Z of the level for rapids and ``approach`` how far above a
    level a rapid ends, both in mm."""

    route: Route
    steps: tuple[Step, ...]
    clear: float
    approach: float
    tools: tuple[Tool, ...] = field(default=())
