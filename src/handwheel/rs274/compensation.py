"""Cutter radius compensation: the programmed contour in, the path of the cutter's center out.

One moving block is held back until the next is known, because the next decides where it ends: at an outside corner the
cutter rolls round the programmed corner, at an inside corner both moves stop where their offset paths cross. What does
not move in X or Y waits with it. Source: NISTIR 6556, section 3.5.10 and appendix B (from memory); inside corners:
common practice.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, NamedTuple

from handwheel.motion import Kind, Modal, Side
from handwheel.path.arc import FULL, Arc, tangent_point, turn_between
from handwheel.path.line import XY, Line
from handwheel.path.offset import Piece, crossings, turn_at_corner
from handwheel.rs274.arcs import ALLOWANCE, beside, entry_of_radius, said
from handwheel.rs274.faults import Fault
from handwheel.rs274.parameters import Point
from handwheel.rs274.record import Record
from handwheel.tolerances import CONTACT, SMOOTH_CORNER, SNAP
from handwheel.units import Units

GOUGE: Final = "the cutter would gouge the contour: "
_NEAR: Final = 2.0
INSIDE_CORNER: Final = (
    "the cutter cannot reach into an inside corner: both moves stop where their offset paths cross; if the corner is "
    "an outside one, the side is wrong: look along the travel, G41 keeps the cutter to the left, G42 to the right"
)


class Course(NamedTuple):
    """All of a move but its path in X and Y: Z goes from ``low`` to ``high`` (mm), at ``feed`` in mm/min or, where
    ``inverse``, in moves a minute; ``roll`` is the feed round a corner before a rapid, mm/min."""

    kind: Kind
    low: float
    high: float
    feed: float
    inverse: bool
    roll: float
    modal: Modal
    line: int

    def along(self, length: float) -> float:
        """mm/min over a path of ``length``."""
        return self.feed * length if self.inverse else self.feed


@dataclass(slots=True)
class _Held:
    """A move whose end is not known yet: ``piece`` is the cutter's path, which begins at the share ``begin`` of it;
    ``length`` is that of the whole path, corner before it included; ``entry``: it is the first compensated move."""

    piece: Piece
    course: Course
    length: float
    begin: float = 0.0
    entry: bool = False


class Compensation:
    """Compensation while it is on.

    ``left`` is how far the cutter's center keeps to the left of the contour, mm (G42: negative); ``tool`` where it
    stands. Coordinates are XY in the report frame.
    """

    def __init__(self, record: Record, left: float, tool: XY, strict: bool, units: Units) -> None:
        self.left = left
        self.tool = tool
        self._record = record
        self._strict = strict
        self._units = units
        self._held: _Held | None = None
        self._corner: XY = tool
        self._waiting: list[Callable[[XY], None]] = []

    @property
    def started(self) -> bool:
        """Whether the first move is known."""
        return self._held is not None

    def wait(self, action: Callable[[XY], None]) -> None:
        """Do something that moves neither X nor Y once the cutter stands at the end of the moves so far."""
        if self._held is None:
            action(self.tool)
        else:
            self._waiting.append(action)

    def line(self, start: XY, end: XY, course: Course) -> None:
        """A straight move along the contour from ``start`` to ``end``, Z from ``low`` to ``high``."""
        if self._held is None:
            self._enter(self._first_line(end), end, course)
        else:
            self._join(Line(start, end), Line(start, end).offset(self.left), course)

    def arc(self, contour: Arc, course: Course) -> None:
        """An arc of the contour (not the first move)."""
        piece = contour.offset(self.left)
        if piece is None:
            raise Fault(
                "",
                GOUGE + "this arc is too tight for its radius",
                f"use a cutter smaller than {said(2 * contour.radius, self._units)} across, or a wider arc"
                f"{self._side()}",
            )
        self._join(contour, piece, course)

    def first_arc(self, centre: XY, end: XY, sense: float, course: Course) -> None:
        """The first move, an arc in centre format."""
        own = math.dist(end, centre) - self.left * sense
        if own <= CONTACT or abs(math.dist(self.tool, centre) - own) > ALLOWANCE[self._units]:
            raise self._first_arc_fault()
        turn = turn_between(self.tool, end, centre, sense) or sense * FULL
        self._enter(Arc(centre, self.tool, beside(end, centre, own), turn), end, course)

    def first_arc_of_radius(self, radius: float, end: XY, sense: float, course: Course) -> None:
        """The first move, an arc in radius format."""
        piece = entry_of_radius(self.tool, end, radius, sense, self.left)
        if piece is None:
            raise self._first_arc_fault()
        self._enter(piece, end, course)

    def _first_arc_fault(self) -> Fault:
        radius = said(abs(self.left), self._units)
        return Fault(
            "",
            f"the first compensated move is an arc: it must start with the cutter's center {radius} beside that arc",
            f"lead in on a straight line longer than {radius} first",
        )

    def _side(self) -> str:
        """The other thing that may be wrong: the side."""
        now, other = ("G41", "G42") if self.left > 0.0 else ("G42", "G41")
        way, back = ("left", "right") if self.left > 0.0 else ("right", "left")
        return (
            f"; or is the cutter on the wrong side? Look along the travel: {now} keeps it to the {way}, {other} to the "
            f"{back}"
        )

    def finish(self) -> None:
        """Come to the end of the last move: compensation goes off, or reading stops."""
        if self._held is not None:
            self._release(1.0)
            self._held = None

    def _first_line(self, end: XY) -> Piece:
        if self.left == 0.0:
            return Line(self.tool, end)
        touch = tangent_point(self.tool, end, self.left)
        if touch is None:
            raise Fault(
                "",
                GOUGE + "the first compensated move starts within one cutter radius of its end",
                f"make this lead-in longer than the cutter's radius, {said(abs(self.left), self._units)}, "
                "or correct the diameter in D",
            )
        return Line(self.tool, touch)

    def _enter(self, piece: Piece, corner: XY, course: Course) -> None:
        self._held = _Held(piece, course, piece.length, entry=True)
        self._corner = corner

    def _join(self, contour: Piece, piece: Piece, course: Course) -> None:
        """Bring the held move to its end and hold the new one."""
        held = self._held
        assert held is not None
        new = _Held(piece, course, piece.length)
        turn = turn_at_corner(held.piece.end_direction, piece.start_direction)
        gap = math.dist(held.piece.end, piece.start)
        towards = turn * self.left > 0.0 and math.pi - abs(turn) > SNAP
        if gap <= SNAP:
            self._release(1.0)
        elif towards:
            self._inside(held, new, abs(turn), gap)
        else:
            self._release(1.0)
            self._roll(new, turn)
        self._held = new
        self._corner = contour.end

    def _inside(self, held: _Held, new: _Held, turn: float, gap: float) -> None:
        """Stop both moves at their crossing. Nearly smooth corners may cross next to the corner or not at all: then a
        line as short as the gap joins them."""
        found = crossings(held.piece, new.piece)
        if turn <= SMOOTH_CORNER:
            found = [crossing for crossing in found if math.dist(crossing.point, new.piece.start) <= _NEAR * gap]
            if not found:
                self._release(1.0)
                straight = Kind.RAPID if new.course.kind == Kind.RAPID else Kind.FEED
                self._row(new, straight, new.piece.start, new.course.low, new.course.low)
                return
        if (
            not found
            or (found[0].first - held.begin) * held.piece.length <= SNAP
            or (1.0 - found[0].second) * new.piece.length <= SNAP
        ):
            self._held = None
            raise Fault(
                "",
                GOUGE + "it does not fit into the inside corner before this move",
                "use a smaller cutter, or make the moves there longer than its radius, "
                f"{said(abs(self.left), self._units)}{self._side()}",
            )
        if turn > SMOOTH_CORNER:
            if self._strict:
                self._held = None
                raise Fault("", "the corner before this move turns towards the cutter", "round it with an arc")
            if not held.entry:
                self._record.note("inside-corner", INSIDE_CORNER)
        self._release(found[0].first, found[0].point)
        new.begin = found[0].second

    def _roll(self, new: _Held, turn: float) -> None:
        """Round the programmed corner."""
        if abs(turn) > math.pi - SNAP:
            turn = -math.copysign(math.pi, self.left)
        new.length += abs(self.left * turn)
        self._turn(new, new.piece.start, new.course.low, new.course.low, self._corner, turn)

    def _release(self, until: float, point: XY | None = None) -> None:
        """Give out the held move, as far as the share ``until``, and all that waits for it."""
        held = self._held
        assert held is not None
        piece, course = held.piece, held.course
        end = point or piece.end
        if isinstance(piece, Line):
            self._row(held, course.kind, end, course.low, course.high)
        else:
            turn = piece.turn * (until - held.begin)
            self._turn(held, end, course.low, course.high, piece.centre, turn)
        for action in self._waiting:
            action(self.tool)
        self._waiting.clear()

    def _row(self, move: _Held, kind: Kind, end: XY, low: float, high: float) -> None:
        self._add(move, kind, end, low, high, (math.nan, math.nan, math.nan), 0.0)

    def _turn(self, move: _Held, end: XY, low: float, high: float, centre: XY, turn: float) -> None:
        self._add(move, Kind.ARC, end, low, high, (*centre, low), turn)

    def _add(self, move: _Held, kind: Kind, end: XY, low: float, high: float, centre: Point, turn: float) -> None:
        course = move.course
        feed = course.roll if course.kind == Kind.RAPID else course.along(move.length)
        self._record.moves.add(
            kind,
            (*self.tool, low),
            (*end, high),
            course.modal,
            feed=math.nan if kind == Kind.RAPID else feed,
            centre=centre,
            turn=turn,
            line=course.line,
        )
        self.tool = end


def keeps_left(side: Side, diameter: float) -> float:
    """How far the cutter's center keeps to the left of the contour, mm."""
    return diameter / 2 if side == Side.LEFT else -diameter / 2
