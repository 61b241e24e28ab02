"""All that the checks look at, and how they say what they found."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from handwheel.check.finding import Finding, Point, level_of
from handwheel.check.gauged import Gauged, gauged
from handwheel.check.machinery.nearest import Nearest, nearest
from handwheel.check.machinery.standing_work import Standing, standing
from handwheel.check.machinery.thin_metal import rubbed, struck
from handwheel.cut.heightmap import HeightMap, height_map
from handwheel.cut.part import Part
from handwheel.errors import ProgramError
from handwheel.job import Job
from handwheel.motion import Kind, Moves, Offset, Spindle, Tool
from handwheel.path.box import Box
from handwheel.path.meant import Meant
from handwheel.plan import Route
from handwheel.setup import Setup
from handwheel.units import shop_number

if TYPE_CHECKING:
    from handwheel.rs274 import Event, Note

Rows = NDArray[np.int64]


@dataclass(frozen=True)
class Inspection:
    """One route of one set-up, ready to be judged; lengths in mm, the job's frame.

    Attributes
    ----------
    moves : the controlled point, as commanded, with all that is in force
    tip : the true tip of the cutter really in the spindle; its rows are those of ``moves``
    tools : the tools that really cut, by number
    offsets : what the control holds, by slot
    part : the stock and its cut
    notes, events, error, called : of the program's reader; empty, or ``None``, by hand
    intended : the solids that should be gone at the end; empty where the job plans nothing
    elsewhere : those that the part's other set-ups are meant to take
    is_last : whether the part is finished after this set-up, so that its sizes are judged
    travel : where the *nose* may stand; ``None`` where it is not checked
    resolution : of the height map; from the stock where left out
    """

    setup: Setup
    route: Route
    moves: Moves
    tip: Moves
    tools: Mapping[int, Tool]
    offsets: Mapping[int, Offset]
    part: Part
    notes: Sequence[Note] = ()
    events: Sequence[Event] = ()
    error: ProgramError | None = None
    called: Mapping[str, int] | None = None
    intended: tuple[Meant, ...] = ()
    elsewhere: tuple[Meant, ...] = ()
    is_last: bool = True
    travel: Box | None = None
    resolution: float | None = None

    @property
    def job(self) -> Job:
        """The part's job."""
        return self.setup.job

    @cached_property
    def before(self) -> Part:
        """The part as it came into this set-up, held by the block that it was by then."""
        return Part(self.setup.raw, self.part.cuts[:-1])

    @property
    def by_program(self) -> bool:
        """Whether a control runs it."""
        return self.route == Route.BY_PROGRAM

    @cached_property
    def proud(self) -> float:
        """How much a face may keep, mm: the job's tolerance; by hand no less than the half step a setting may leave."""
        if self.by_program:
            return self.job.tolerance
        mill = self.job.by_hand
        sides = [mill.readout_step] if mill.readout_step else [mill.slides.x.graduation, mill.slides.y.graduation]
        return max(self.job.tolerance, *(step / 2 for step in (*sides, mill.slides.knee.graduation)))

    @cached_property
    def feeding(self) -> NDArray[np.bool_]:
        """(n,) which rows are feed moves, straight or arc."""
        kind = self.moves.kind
        return np.asarray(((kind == Kind.FEED) | (kind == Kind.ARC)) & ~self.moves.at_rapid)

    @cached_property
    def tool_number(self) -> NDArray[np.int64]:
        """(n,) the tool in the spindle during each row; 0: none."""
        return self.moves.of_modal("tool").astype(np.int64) if len(self.moves) else np.zeros(0, dtype=np.int64)

    def has_tool(self, shape: str) -> NDArray[np.bool_]:
        """(n,) during which rows a tool of that shape is in the spindle."""
        return np.isin(self.tool_number, [number for number, tool in self.tools.items() if tool.shape == shape])

    @cached_property
    def cutting(self) -> NDArray[np.bool_]:
        """(n,) which rows feed a turning cutter of ours through metal."""
        moves = self.moves
        turning = (moves.of_modal("spindle") != Spindle.OFF) & (moves.of_modal("rpm") > 0.0)
        known = np.isin(self.tool_number, list(self.tools))
        fed = self.feeding & (moves.feed > 0.0)
        return np.asarray(fed & turning & known & (self.heights.engagement.volume > 0.0))

    @cached_property
    def plunging(self) -> NDArray[np.bool_]:
        """(n,) which rows are straight and along Z alone, or stand still."""
        moves = self.moves
        return np.asarray((moves.kind != Kind.ARC) & (moves.start[:, :2] == moves.end[:, :2]).all(axis=1))

    @cached_property
    def near_vise(self) -> Nearest:
        """How near the tools come to jaws and bed: fixed jaw, movable jaw, bed."""
        return nearest(self.tip, self.tools, self.setup.vise_bodies)

    @cached_property
    def near_parallels(self) -> Nearest:
        """How near the tools come to the parallels."""
        return nearest(self.tip, self.tools, self.setup.parallels)

    @cached_property
    def near_table(self) -> Nearest:
        """How near the tools come to the table."""
        return nearest(self.tip, self.tools, (self.setup.table,))

    @cached_property
    def near_stop(self) -> Nearest:
        """How near the tools come to the work stop, where one stands there while the work is cut."""
        return nearest(self.tip, self.tools, (self.setup.stop,) if self.setup.stop else ())

    @cached_property
    def standing(self) -> Standing:
        """What each move meets of the work that still stands."""
        return standing(
            self.tip,
            self.tools,
            self.before,
            self.setup.raw,
            (self.setup.finished, *(one.box for one in self.intended)),
        )

    @cached_property
    def depth(self) -> NDArray[np.float64]:
        """(n,) how far the flutes go below what stands, mm; of rapids and of a stopped cutter by exact rays too."""
        moves, depth = self.moves, self.standing.depth
        stopped = (moves.of_modal("spindle") == Spindle.OFF) | (moves.of_modal("rpm") <= 0.0)
        asked = (moves.at_rapid | (self.feeding & stopped)) & (depth == 0.0) & ~self._in_own_hole(stopped)
        return np.maximum(depth, struck(self.tip, self.tools, self.before, np.asarray(asked)))

    def _in_own_hole(self, stopped: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """(n,) which rows go up or down where the same cutter was fed as deep before: it has made its own room."""
        free = np.zeros(len(self.moves), dtype=np.bool_)
        fed = self.feeding & ~stopped & ~self.has_tool("tap")
        deepest: dict[tuple[int, float, float], float] = {}
        start, end = self.tip.start, self.tip.end
        for row in np.flatnonzero(self.plunging & np.isin(self.tool_number, list(self.tools))).tolist():
            place = (int(self.tool_number[row]), float(end[row, 0]), float(end[row, 1]))
            low = min(float(start[row, 2]), float(end[row, 2]))
            before = deepest.get(place, math.inf)
            free[row] = low >= before
            if fed[row]:
                deepest[place] = min(before, low)
        return free

    @cached_property
    def rubs(self) -> NDArray[np.float64]:
        """(n,) how far a shank is below the top of a wall that it rubs on while the flutes cut, mm."""
        return rubbed(self.tip, self.tools, self.before, np.asarray(self.feeding & (self.depth > 0.0)))

    @cached_property
    def heights(self) -> HeightMap:
        """The part as seen from above, and what each move had in the cut."""
        return height_map(self.part, self.resolution, setup=len(self.part.cuts) - 1)

    @cached_property
    def gauged(self) -> tuple[Gauged, ...]:
        """Every dimension as it came out; none before the part's last set-up."""
        return gauged(self.setup, self.part) if self.is_last else ()

    def size(self, length: float) -> str:
        """A length as a trainee reads it: ``.050 in``."""
        return f"{shop_number(length, self.job.units)} {self.job.units}"

    def finding(
        self, code: str, message: str, rows: Rows | Sequence[int] = (), *, at: Point | None = None, count: int = 0
    ) -> Finding:
        """A finding; its block, step and place are those of the first row, its count that of the rows, unless given."""
        first = int(rows[0]) if len(rows) else None
        if at is None and first is not None:
            at = tuple(map(float, self.tip.end[first]))  # type: ignore[assignment]
        line = int(self.moves.line[first]) if first is not None else 0
        step = int(self.moves.step[first]) if first is not None else 0
        return Finding(
            level=level_of(code),
            code=code,
            setup=self.setup.name,
            line=line or None,
            step=step or None,
            at=at,
            count=count or max(1, len(rows)),
            message=message,
        )
