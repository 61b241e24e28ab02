"""Moves: straight, arc, dwell, home, probe; and cutter compensation on and off. Source: NISTIR 6556, section 3.5."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, Final

from handwheel.motion import Kind, Modal, Side
from handwheel.path.arc import Arc
from handwheel.path.line import XY
from handwheel.rs274.arcs import about_centre, of_radius, said
from handwheel.rs274.blocks import has_axes
from handwheel.rs274.compensation import Compensation, Course, keeps_left
from handwheel.rs274.faults import Fault
from handwheel.rs274.parameters import Point
from handwheel.rs274.reading import Happening
from handwheel.rs274.record import Record
from handwheel.rs274.shapes import Shape
from handwheel.rs274.state import State
from handwheel.rs274.straights import rows
from handwheel.rs274.vocabulary import AXES
from handwheel.tolerances import CONTACT, PROBE_LEAST

CENTRES: Final = ("I", "J", "K")
ARC_TRAVELS: Final = 1e5
"""An arc has at most a radius of this many times the machine's travel."""
_MOST_CHANGES: Final = 4096
LONG_DWELL: Final = 100.0
"""s; a longer dwell is asked about."""
_STATED: Final = {
    "units": "the program never says G20 (inches) or G21 (millimeters) before it moves",
    "distance": "the program never says G90 (absolute) or G91 (incremental) before it moves",
    "plane": "the program never says G17, G18 or G19 (the plane) before it moves",
    "compensation": "the program never says G40 (compensation off) before it moves",
}


class Mover:
    """Turns commanded moves into rows of the record, by way of cutter compensation where that is on."""

    def __init__(self, state: State, record: Record, strict: bool) -> None:
        self.state = state
        self.record = record
        self._strict = strict
        self._opened = False
        self._changed: dict[tuple[object, ...], tuple[Modal, Modal]] = {}
        self.compensation: Compensation | None = None
        self.checked = False
        """Whether the next move needs no look at what the program took for granted."""
        self.incremental_since = ""
        """What the machine did under G91, after which increments surprise; empty: nothing."""

    def straight(self, kind: Kind, words: Mapping[str, float], code: str) -> None:
        """G0 or G1 to the point that the axis words name."""
        if not has_axes(words):
            raise Fault(code, f"{code} needs an axis word: X, Y or Z", "write where to move to, or leave it out")
        state = self.state
        feed = math.nan if kind == Kind.RAPID else self.feed_of(words)
        if self.checked and self.compensation is None and not state.inverse_time:
            start = state.position
            state.position = end = state.target(words)
            self.record.moves.add_straight(kind, start, end, state.modal, feed, self.record.line)
            return
        self.check_distance()
        self._straight_to(kind, state.target(words), feed)

    def in_machine_frame(self, kind: Kind, words: Mapping[str, float]) -> None:
        """G53 with G0 or G1: to a point of the machine's frame."""
        if not has_axes(words):
            raise Fault("G53", "G53 needs an axis word: X, Y or Z")
        feed = math.nan if kind == Kind.RAPID else self.feed_of(words)
        self._straight_to(kind, self.state.machine_target(words), feed)

    def go_home(self, words: Mapping[str, float], first_parameter: int) -> None:
        """G28 or G30: by way of the point that the axis words name, to the stored position."""
        if has_axes(words):
            self.rapid(self.state.target(words))
        self.rapid(self.state.home(first_parameter))

    def go_home_along(self, words: Mapping[str, float], first_parameter: int) -> None:
        """G28 or G30 along the axes named alone, in one move."""
        home = self.state.home(first_parameter)
        self.rapid(tuple(home[n] if axis in words else self.state.position[n] for n, axis in enumerate(AXES)))  # type: ignore[arg-type]

    def probe(self, words: Mapping[str, float]) -> None:
        """G38.2: a feed to the point, as nothing is met here."""
        if self.compensation is not None:
            raise Fault("G38.2", "probing is not possible while cutter compensation is on", "write G40 before it")
        if self.state.inverse_time:
            raise Fault("G38.2", "probing is not possible in inverse time (G93)", "write G94 before it")
        if not has_axes(words):
            raise Fault("G38.2", "G38.2 needs an axis word: X, Y or Z")
        target = self.state.target(words)
        if math.dist(self.state.position, target) < PROBE_LEAST - CONTACT:
            raise Fault("G38.2", "the point is nearer than 0.01 in (0.254 mm): too near to probe")
        feed = self.feed_of(words)
        self.record.note("probe", "a probe was read as a feed move to its end: nothing is met here")
        self._straight_to(Kind.FEED, target, feed)

    def at_once(self, shape: Shape, numbers: list[float]) -> bool:
        """The commonest of blocks: coordinates, with the G0 or G1 that is in force anyway or without a motion word.

        ``False`` where there is anything more to it; then nothing is done.
        """
        state = self.state
        if (shape.motion or state.motion) != state.motion or not self.checked:
            return False
        if self.compensation is not None or state.inverse_time:
            return False
        x, y, z, feed = shape.pick([*numbers, math.nan])
        if state.motion == "G1":
            feed = feed * state.scale if shape.fed else state.feed
            if feed <= 0.0:
                return False
            kind, state.feed = Kind.FEED, feed
        elif state.motion == "G0" and not shape.fed:
            kind = Kind.RAPID
        else:
            return False
        start = state.position
        state.position = end = state.point(x, y, z)
        self.record.moves.add_straight(kind, start, end, state.modal, feed, self.record.line)
        return True

    def run(self, blocks: str, count: int) -> bool:
        """A run of plain straight blocks, which begins on the next line; ``False`` where nothing is done."""
        made = rows(blocks, count, self.state)
        if made is None:
            return False
        state, first = self.state, self.record.line + 1
        self.record.moves.add_straights(made.kinds, made.points, state.modal, made.feeds, first)
        x, y, z = made.points[-1].tolist()
        state.position, state.motion, state.feed = (x, y, z), made.motion, made.feed
        return True

    def rapid(self, target: Point) -> None:
        """A rapid to a point, compensation being off."""
        self._row(Kind.RAPID, target)

    def feed(self, target: Point) -> None:
        """A feed to a point at the feed in force, compensation being off."""
        self._row(Kind.FEED, target, feed=self.feed_of({}))

    def dwell(self, seconds: float) -> None:
        """Stand still."""
        z, line, modal = self.state.position[2], self.record.line, self.state.modal

        def stand(tool: XY) -> None:
            self.record.moves.add(Kind.DWELL, (*tool, z), (*tool, z), modal, seconds=seconds, line=line)

        self._when_there(stand)

    def ask_about_dwell(self, seconds: float) -> None:
        """P counts seconds here, and milliseconds on many controls."""
        if seconds > LONG_DWELL:
            self.record.note(
                "long-dwell",
                f"P{seconds:g} dwells {seconds:g} seconds here, by the standard; many controls count P in "
                f"milliseconds: if {seconds / 1000.0:g} seconds are meant, write P{seconds / 1000.0:g}; look up what "
                "your control counts",
            )

    def when_there(self, action: Callable[[], None]) -> None:
        """Do something once all moves so far have their rows."""
        self._when_there(lambda _: action())

    def event(self, what: Happening, text: str = "") -> None:
        """Something that happens between moves."""
        tool, line = self.state.modal.tool, self.record.line
        self._when_there(lambda _: self.record.event(what, tool, text, line))

    def modal(self, **changes: Any) -> None:
        """Bring other values into force; a change made before gives the same object again."""
        before = self.state.modal
        key = (id(before), *changes.items())
        known = self._changed.get(key)
        if known is None:
            if len(self._changed) >= _MOST_CHANGES:
                self._changed.clear()
            known = self._changed[key] = before, replace(before, **changes)
        self.state.modal = known[1]

    def arc(self, words: Mapping[str, float], code: str) -> None:
        """G2 or G3, centre or radius format."""
        state = self.state
        first, second, normal = state.axes
        if CENTRES[normal] in words or ("R" in words) == ("I" in words or "J" in words or "K" in words):
            self._check_form(words, code)
        sense = 1.0 if code == "G3" else -1.0
        start, end = state.position, state.target(words)
        flat_start, flat_end = (start[first], start[second]), (end[first], end[second])
        feed = self.feed_of(words)
        self.check_distance()
        if self.compensation is None:
            contour = self._contour(words, flat_start, flat_end, sense)
            if state.inverse_time:
                feed *= math.hypot(contour.length, end[normal] - start[normal])
            self._arc_row(contour, end, feed)
        elif self.compensation.started:
            contour = self._contour(words, flat_start, flat_end, sense)
            self.compensation.arc(contour, self._course(Kind.ARC, end[2], feed))
        else:
            self._first_arc(self.compensation, words, flat_start, end, sense, feed)
        state.position = end

    def _check_form(self, words: Mapping[str, float], code: str) -> None:
        """Refuse an arc with too few or the wrong words."""
        plane = self.state.plane
        first, second, normal = (CENTRES[axis] for axis in plane.axes)
        given = first in words or second in words or normal in words
        if "R" in words and given:
            raise Fault("R", "an arc has either a radius R or a center (I, J, K), not both")
        if normal in words:
            raise Fault(normal, f"an arc in the {plane.name} plane has no {normal}")
        if "R" not in words and not given:
            raise Fault(
                code,
                f"{code} has neither a center nor a radius",
                f"add {first} and {second} (from the start to the center), or R",
            )

    def compensate(self, side: Side, slot: int | None, diameter: float) -> None:
        """G41 or G42."""
        self.modal(side=side, diameter_slot=slot)
        x, y, _ = self.state.position
        self.compensation = Compensation(
            self.record, keeps_left(side, diameter), (x, y), self._strict, self.state.units
        )

    def uncompensate(self) -> None:
        """G40: moves nothing; the next move starts from where the cutter is."""
        if self.compensation is not None:
            self.compensation.finish()
            self.state.position = (*self.compensation.tool, self.state.position[2])
            self.compensation = None
        self.modal(side=Side.OFF, diameter_slot=None)

    def feed_of(self, words: Mapping[str, float]) -> float:
        """The feed of a move: mm/min, or moves a minute in inverse time. Raises :class:`Fault` where there is none."""
        if self.state.inverse_time:
            if "F" not in words:
                raise Fault("", "in inverse time (G93) every feed move has its own F", "add F, one over the minutes")
            if words["F"] <= 0.0:
                raise Fault("F", "a feed move needs a feed above zero")
            return words["F"]
        if self.state.feed <= 0.0:
            raise Fault("F" if "F" in words else "", "a feed move needs a feed above zero", "set F before it")
        return self.state.feed

    def _contour(self, words: Mapping[str, float], start: XY, end: XY, sense: float) -> Arc:
        if "R" in words:
            return of_radius(start, end, self._radius(words), sense, self.state.units)
        return about_centre(start, end, self._centre(words, start), sense, self.state.units)

    def _radius(self, words: Mapping[str, float]) -> float:
        radius = words["R"] * self.state.scale
        self._check_radius(radius)
        return radius

    def _check_radius(self, radius: float) -> None:
        """Refuse an arc that no machine could tell from a straight line."""
        if abs(radius) > ARC_TRAVELS * self.state.control.travel:
            raise Fault(
                "R",
                f"the radius of this arc is over {ARC_TRAVELS:,.0f} times the travel of the machine, "
                f"{said(self.state.control.travel, self.state.units)}",
                "write G1 for a straight line, or check R or I and J",
            )

    def _centre(self, words: Mapping[str, float], start: XY) -> XY:
        first, second, _ = self.state.axes
        scale = self.state.scale
        right, up = words.get(CENTRES[first], 0.0) * scale, words.get(CENTRES[second], 0.0) * scale
        self._check_radius(math.hypot(right, up))
        return (start[0] + right, start[1] + up)

    def _first_arc(
        self, on: Compensation, words: Mapping[str, float], start: XY, end: Point, sense: float, feed: float
    ) -> None:
        course = self._course(Kind.ARC, end[2], feed)
        if "R" in words:
            on.first_arc_of_radius(self._radius(words), end[:2], sense, course)
        else:
            on.first_arc(self._centre(words, start), end[:2], sense, course)

    def _straight_to(self, kind: Kind, end: Point, feed: float) -> None:
        on = self.compensation
        if on is None:
            self._row(kind, end, feed=self._paced(feed, math.dist(self.state.position, end)))
            return
        start = self.state.position
        if start[:2] == end[:2]:
            self._rise(on, kind, end[2], feed)
        else:
            on.line(start[:2], end[:2], self._course(kind, end[2], feed))
        self.state.position = end

    def _rise(self, on: Compensation, kind: Kind, high: float, feed: float) -> None:
        """A move along Z alone while compensation is on."""
        if not on.started:
            raise Fault("", "the first compensated move must move in X or Y", "move in Z before G41 or G42")
        low, modal, line = self.state.position[2], self.state.modal, self.record.line
        pace = self._paced(feed, abs(high - low))
        on.wait(lambda tool: self.record.moves.add(kind, (*tool, low), (*tool, high), modal, feed=pace, line=line))

    def _course(self, kind: Kind, high: float, feed: float) -> Course:
        state = self.state
        self._check_stated()
        return Course(
            kind,
            state.position[2],
            high,
            feed,
            state.inverse_time,
            state.control.feed_max,
            state.modal,
            self.record.line,
        )

    def _row(self, kind: Kind, end: Point, *, feed: float = math.nan) -> None:
        self._check_stated()
        state = self.state
        self.record.moves.add_straight(kind, state.position, end, state.modal, feed, self.record.line)
        state.position = end

    def _arc_row(self, contour: Arc, end: Point, feed: float) -> None:
        self._check_stated()
        state = self.state
        first, second, normal = state.axes
        centre = [0.0, 0.0, 0.0]
        centre[first], centre[second] = contour.centre
        centre[normal] = state.position[normal]
        self.record.moves.add_arc(
            state.position, end, centre, contour.turn, state.plane, state.modal, feed, self.record.line
        )

    def _when_there(self, action: Callable[[XY], None]) -> None:
        if self.compensation is None:
            action(self.state.position[:2])
        else:
            self.compensation.wait(action)

    def _paced(self, feed: float, length: float) -> float:
        return feed * length if self.state.inverse_time else feed

    def check_distance(self) -> None:
        """Increments that go on after the machine went home or changed its tool are a slip more often than not."""
        if self.incremental_since:
            if not self.state.absolute:
                self.record.note(
                    "increments-in-force",
                    f"G91 is still in force after {self.incremental_since}: this move is counted from where the cutter "
                    "is, not from zero; write G90 before it, or G91 once more where increments are meant",
                )
            self.incremental_since = ""

    def increments_from(self, what: str) -> None:
        """The machine has done ``what``: if that was under G91, the next move is looked at."""
        if not self.state.absolute:
            self.incremental_since, self.checked = what, False

    def _check_stated(self) -> None:
        """What a program takes for granted is said once, at its first move."""
        self.checked = not self.incremental_since
        if not self._opened:
            self._opened = True
            for group, message in _STATED.items():
                if group not in self.state.stated:
                    self.record.note("modes-not-set", message)
