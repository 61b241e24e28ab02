"""What a control does with a block, in the order of NISTIR 6556, section 3.8, table 8."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final, Literal

from handwheel.motion import Control, Kind, Offset, PathMode, Plane, Side, Spindle
from handwheel.rs274 import parameters as numbers
from handwheel.rs274 import systems
from handwheel.rs274.blocks import check_motion_users, has_axes
from handwheel.rs274.cycles import Cycles
from handwheel.rs274.expressions import whole
from handwheel.rs274.faults import Fault
from handwheel.rs274.mover import CENTRES, Mover
from handwheel.rs274.reading import Happening
from handwheel.rs274.record import Record
from handwheel.rs274.shapes import Shape
from handwheel.rs274.state import State, system_name
from handwheel.rs274.vocabulary import (
    AXES,
    AXIS_USERS,
    BEYOND,
    CYCLE_END,
    CYCLES,
    OBEYED,
    RETURN_BESIDE,
    SYSTEMS,
)

Leaving = Literal["", "end", "call", "return"]

_SPINDLES: Final = {"M3": Spindle.CW, "M4": Spindle.CCW, "M5": Spindle.OFF, "M19": Spindle.OFF}
_PLANES: Final = {"G17": Plane.XY, "G18": Plane.ZX, "G19": Plane.YZ}
_PATHS: Final = {"G61": PathMode.EXACT_PATH, "G61.1": PathMode.EXACT_STOP, "G64": PathMode.CONTINUOUS}
_STOPS: Final[dict[str, Happening]] = {"M0": "stop", "M1": "optional stop", "M60": "pallet stop"}
_AFTER_DWELL: Final = frozenset(OBEYED[OBEYED.index("plane") :])
_ARC_WORDS: Final = (*CENTRES, "R")
_FURTHER: Final = 20.0
_BEYOND: Final = {beyond.word: beyond.what for beyond in BEYOND}
_NEVER_ON: Final = ("polar end", "scaling end", "mirror end", "rotation end", "speed mode")
_STILL_ON: Final = (
    "cutter compensation is still on {}: write G40 before it, with a move away from the part; else the next move "
    "starts beside its place by the cutter's radius"
)


@dataclass(frozen=True, slots=True)
class Call:
    """M98: a subprogram by its O number, and how often."""

    number: int
    times: int


class Controller:
    """Executes blocks one after another; ``leaving`` says where the program goes on when that is not the next line:
    nowhere after M2 or M30, in the subprogram that ``call`` names after M98, back at its call after M99."""

    def __init__(self, control: Control, record: Record, strict: bool) -> None:
        self.state = State(control)
        self.record = record
        self.mover = Mover(self.state, record, strict)
        self.cycles = Cycles(self.mover)
        self.leaving: Leaving = ""
        self.call = Call(0, 0)
        self._strict = strict
        self._offsets = control.offsets
        self._obey: dict[str, Callable[[str, Mapping[str, float]], None]] = {
            "tool change": self._change_tool,
            "spindle": self._turn_spindle,
            "coolant": self._coolant,
            "overrides": self._overrides,
            "plane": self._plane,
            "units": self._units,
            "compensation": self._compensation,
            "length offset": self._length_offset,
            "system": self._system,
            "path": self._path,
            "distance": self._distance,
            "return": self._return,
            "once": self._once,
            "exact stop": self._exact_stop,
            CYCLE_END: self._end_cycle,
            RETURN_BESIDE: self._return_beside,
            **dict.fromkeys(_NEVER_ON, self._end_what_never_was),
        }

    def execute(self, codes: Mapping[str, str], words: Mapping[str, float]) -> None:
        """Do what a block says: its codes by modal group, in order, and its words by letter. Raises :class:`Fault`."""
        if "feed mode" in codes:
            self.state.inverse_time = codes["feed mode"] == "G93"
        self._feed_speed_tool(words)
        dwells = codes.get("once") == "G4"
        if dwells:
            words = self._dwelling(codes, words)
        for group in codes:
            if dwells and group in _AFTER_DWELL:
                dwells = False
                self._dwell(words)
            if group in self._obey:
                self._obey[group](codes[group], words)
        stop = codes.get("stop")
        if stop == "M98":
            self._call(words)
            words = {letter: value for letter, value in words.items() if letter not in "PL"}
        path = self.state.modal.path_mode
        if "exact stop" in codes:
            self.mover.modal(path_mode=PathMode.EXACT_STOP)
        self._move(codes, words)
        if "exact stop" in codes:
            self.mover.modal(path_mode=path)
        if stop is not None:
            self._stop(stop)

    def execute_shape(self, shape: Shape, words: Mapping[str, float]) -> None:
        """:meth:`execute` for a block of a known shape."""
        if not shape.bare:
            self.execute(shape.codes, words)
            return
        if shape.fed:
            self._feed_speed_tool(words)
        motion = shape.motion
        if motion not in _MOVES:
            self._move(shape.codes, words)
            return
        if motion != self.state.motion:
            self.cycles.cancel()
            self.state.motion = motion
        _MOTIONS[motion](self, motion, words)

    def finish(self) -> None:
        """The program is over or broken off: what compensation holds back is given out."""
        if self.mover.compensation is not None:
            self.mover.compensation.finish()

    def _feed_speed_tool(self, words: Mapping[str, float]) -> None:
        state = self.state
        if "F" in words:
            if words["F"] < 0.0:
                raise Fault("F", "a feed cannot be negative")
            if not state.inverse_time:
                state.feed = words["F"] * state.scale
        if "S" in words:
            if words["S"] < 0.0:
                raise Fault("S", "a spindle speed cannot be negative", "turn the spindle round with M4")
            self.mover.modal(rpm=words["S"])
        if "T" in words:
            state.selected_tool = _count(words, "T", "a tool number")

    def _beyond(self, word: str, what: str) -> None:
        """A word that many controls take and the standard does not have: say so, or refuse it."""
        if self._strict:
            raise Fault(word, f"{word} ({what}) is beyond the standard", "leave out --strict to read it all the same")
        self.record.note(
            "beyond-standard",
            f"{word} ({what}) is beyond the standard: many controls take it; look up what yours makes of it",
        )

    def _change_tool(self, _: str, __: Mapping[str, float]) -> None:
        if self.mover.compensation is not None:
            self.record.note("compensation-left-on", _STILL_ON.format("at this tool change"))
        self.mover.increments_from("the tool change")
        self.mover.modal(tool=self.state.selected_tool, spindle=Spindle.OFF)
        self.mover.event("tool change")

    def _turn_spindle(self, code: str, _: Mapping[str, float]) -> None:
        if code in _BEYOND:
            self._beyond(code, _BEYOND[code])
        self.mover.modal(spindle=_SPINDLES[code])
        if _SPINDLES[code] == Spindle.OFF:
            self.mover.event("spindle off")
        else:
            way = "clockwise" if code == "M3" else "anticlockwise"
            self.mover.event("spindle on", f"{way}, {self.state.modal.rpm:g} rev/min")

    def _coolant(self, code: str, _: Mapping[str, float]) -> None:
        if code == "M9":
            self.mover.modal(mist=False, flood=False)
            self.mover.event("coolant off")
        elif code == "M7":
            self.mover.modal(mist=True)
            self.mover.event("coolant on", "mist")
        else:
            self.mover.modal(flood=True)
            self.mover.event("coolant on", "flood")

    def _overrides(self, code: str, _: Mapping[str, float]) -> None:
        self.state.overrides = code == "M48"

    def _dwelling(self, codes: Mapping[str, str], words: Mapping[str, float]) -> Mapping[str, float]:
        """The words of a block with G4, its seconds under P: X or U says them on many controls."""
        letter = "U" if "U" in words else "X"
        if "P" in words:
            if "U" in words:
                raise Fault("U", "G4 has its time twice, in P and in U", "leave one of them out")
            self.mover.ask_about_dwell(words["P"])
            return words
        if letter not in words or (letter == "X" and "motion" in codes):
            raise Fault("G4", "G4 needs P, the seconds to dwell", "write G4 P…")
        self._beyond("G4", f"a dwell of {letter} seconds")
        if words[letter] < 0.0:
            raise Fault(letter, "a dwell cannot last less than no time")
        return {**{other: value for other, value in words.items() if other != letter}, "P": words[letter]}

    def _dwell(self, words: Mapping[str, float]) -> None:
        if words["P"] < 0.0:
            raise Fault("P", "a dwell cannot last less than no time")
        self.mover.dwell(words["P"])

    def _exact_stop(self, code: str, _: Mapping[str, float]) -> None:
        self._beyond(code, _BEYOND[code])

    def _end_what_never_was(self, code: str, _: Mapping[str, float]) -> None:
        self._beyond(code, _BEYOND[code])

    def _end_cycle(self, code: str, _: Mapping[str, float]) -> None:
        self._beyond(code, "the end of a cycle, beside another motion word")
        self.cycles.cancel()

    def _return_beside(self, code: str, _: Mapping[str, float]) -> None:
        self._beyond(code, "a return to home, beside a motion word")

    def _plane(self, code: str, _: Mapping[str, float]) -> None:
        if self.mover.compensation is not None and _PLANES[code] != Plane.XY:
            raise Fault(code, "the plane cannot change while cutter compensation is on", "write G40 before it")
        self.state.set_plane(_PLANES[code])
        self.state.stated.add("plane")

    def _units(self, code: str, _: Mapping[str, float]) -> None:
        units = "in" if code == "G20" else "mm"
        if self.mover.compensation is not None and units != self.state.units:
            raise Fault(code, "the units cannot change while cutter compensation is on", "write G40 before it")
        self.state.set_units("in" if code == "G20" else "mm")
        self.state.stated.add("units")
        self.record.call(code)

    def _compensation(self, code: str, words: Mapping[str, float]) -> None:
        self.state.stated.add("compensation")
        if code == "G40":
            self.mover.uncompensate()
            return
        if self.mover.compensation is not None:
            raise Fault(code, "cutter compensation is already on", "write G40 before it")
        if self.state.plane != Plane.XY:
            raise Fault(code, "cutter compensation works in the XY plane alone", "write G17 before it")
        slot = _count(words, "D", "an offset's number") if "D" in words else None
        used = self.state.modal.tool if slot is None else slot
        diameter = self._slot(used, "D" if slot is not None else "T").diameter
        self.mover.compensate(Side.LEFT if code == "G41" else Side.RIGHT, slot, diameter)

    def _length_offset(self, code: str, words: Mapping[str, float]) -> None:
        if code == "G49":
            self._take_length(None, 0.0)
            return
        if "H" not in words:
            raise Fault("G43", "G43 needs H, the offset's number", "write G43 H…")
        slot = _count(words, "H", "an offset's number")
        self._take_length(slot, self._slot(slot, "H").length)

    def _take_length(self, slot: int | None, length: float) -> None:
        """Nothing moves, but another point is the controlled one."""
        x, y, z = self.state.position
        self.state.position = (x, y, z + self.state.modal.length - length)
        self.mover.modal(length_slot=slot, length=length)

    def _slot(self, number: int, letter: str) -> Offset:
        """A slot of the offset table; number 0 is none."""
        if number == 0:
            return Offset()
        if number not in self._offsets:
            self.record.note(
                "empty-slot",
                f"{letter}{number} has no entry in the offset table: its length and diameter count as zero",
            )
        return self._offsets.get(number, Offset())

    def _system(self, code: str, words: Mapping[str, float]) -> None:
        if code == "G54.1":
            number = systems.further(words, code)
            self._beyond(code, _BEYOND[code])
        else:
            number = SYSTEMS.index(code) + 1
        if self.mover.compensation is not None and number != self.state.system:
            raise Fault(
                code, "the coordinate system cannot change while cutter compensation is on", "write G40 before it"
            )
        systems.select(self.state, number)
        self.record.call(system_name(number))

    def _path(self, code: str, _: Mapping[str, float]) -> None:
        self.mover.modal(path_mode=_PATHS[code])

    def _distance(self, code: str, _: Mapping[str, float]) -> None:
        self.state.absolute = code == "G90"
        self.state.stated.add("distance")
        self.mover.incremental_since = ""

    def _return(self, code: str, _: Mapping[str, float]) -> None:
        self.state.return_to_start = code == "G98"

    def _once(self, code: str, words: Mapping[str, float]) -> None:
        if code in ("G4", "G53"):
            return
        further = len(SYSTEMS) if words.get("L") == _FURTHER else 0
        other_system = code == "G10" and (whole(words.get("P", 0.0)) or 0) + further != self.state.system
        if self.mover.compensation is not None and not other_system:
            raise Fault(code, f"{code} is not possible while cutter compensation is on", "write G40 before it")
        if code == "G10" and further:
            self._beyond(code, "the origins of G54.1, with L20")
            systems.define_further(self.state, words)
        elif code == "G10":
            systems.define(self.state, words)
        elif code == "G52":
            self._beyond(code, _BEYOND[code])
            systems.shift(self.state, words)
        elif code == "G92":
            systems.offset_axes(self.state, words)
        elif code in ("G92.1", "G92.2"):
            systems.clear_offset(self.state, forget=code == "G92.1")
        elif code == "G92.3":
            systems.restore_offset(self.state)
        else:
            self._go_home(code, words)

    def _go_home(self, code: str, words: Mapping[str, float]) -> None:
        """G28 or G30. By way of no increments at all, many controls send home the named axes alone, and the standard
        all three: the first is what such a block means wherever it is written."""
        home = numbers.HOME if code == "G28" else numbers.SECOND_HOME
        named = [axis for axis in AXES if axis in words]
        along = bool(named) and not self.state.absolute and not any(words[axis] for axis in named)
        if along and not self._strict:
            if len(named) < len(AXES):
                self._beyond(code, f"home along {' and '.join(named)} alone; by the standard all three axes go home")
            self.mover.go_home_along(words, home)
        else:
            self.mover.go_home(words, home)
        self.mover.increments_from("the return to home")

    def _move(self, codes: Mapping[str, str], words: Mapping[str, float]) -> None:
        """The motion of a block: of the word it has, or of the one in force where it has words for that."""
        state, named = self.state, codes.get("motion")
        if named is not None:
            if named != state.motion and named not in CYCLES:
                self.cycles.cancel()
            state.motion = named
        motion, once = state.motion, codes.get("once")
        if CYCLE_END in codes and motion in ("G0", "G1") and not has_axes(words) and once != "G53":
            check_motion_users(motion, codes, words)
            return
        if once in AXIS_USERS:
            check_motion_users("", codes, words)
            return
        if once == "G53":
            self._machine_move(motion, words)
        elif named is None and not self._continues(motion, words):
            check_motion_users("", codes, words)
        elif motion != "G80":
            if named is None:
                check_motion_users(motion, codes, words)
            _MOTIONS[motion](self, motion, words)
        elif has_axes(words):
            raise Fault(
                next(axis for axis in AXES if axis in words),
                "no motion word is in force that could use this axis word",
                "write G0 or G1 before it",
            )

    def _continues(self, motion: str, words: Mapping[str, float]) -> bool:
        """Whether a block without a motion word goes on with the motion in force."""
        if "X" in words or "Y" in words or "Z" in words:
            return True
        return motion in ("G2", "G3") and any(letter in words for letter in _ARC_WORDS)

    def _machine_move(self, motion: str, words: Mapping[str, float]) -> None:
        if self.mover.compensation is not None:
            raise Fault("G53", "G53 is not possible while cutter compensation is on", "write G40 before it")
        if motion not in ("G0", "G1"):
            raise Fault("G53", "G53 goes with G0 or G1", "write G0 G53 …")
        self.mover.in_machine_frame(Kind.RAPID if motion == "G0" else Kind.FEED, words)

    def _rapid(self, code: str, words: Mapping[str, float]) -> None:
        self.mover.straight(Kind.RAPID, words, code)

    def _feed(self, code: str, words: Mapping[str, float]) -> None:
        self.mover.straight(Kind.FEED, words, code)

    def _arc(self, code: str, words: Mapping[str, float]) -> None:
        self.mover.arc(words, code)

    def _probe(self, _: str, words: Mapping[str, float]) -> None:
        self.mover.probe(words)

    def _cycle(self, code: str, words: Mapping[str, float]) -> None:
        if code in _BEYOND:
            self._beyond(code, _BEYOND[code])
        self.mover.check_distance()
        self.cycles.run(code, words)

    def _call(self, words: Mapping[str, float]) -> None:
        """M98: what it calls; the block's own moves come first."""
        self._beyond("M98", _BEYOND["M98"])
        if "P" not in words:
            raise Fault("M98", "M98 needs P, the O number of the subprogram", "write M98 P…")
        times = whole(words.get("L", 1.0))
        if times is None or times < 1:
            raise Fault("L", "L is how often the subprogram is run: a whole number above zero")
        self.call = Call(_count(words, "P", "a subprogram by its O number"), times)

    def _stop(self, code: str) -> None:
        if code in _STOPS:
            self.mover.event(_STOPS[code])
            return
        if code == "M98":
            self.leaving = "call"
            return
        if code == "M99":
            self._beyond(code, _BEYOND[code])
            self.leaving = "return"
            return
        if self.mover.compensation is not None:
            self.record.note("compensation-left-on", _STILL_ON.format("at the end"))
        if not self.state.absolute:
            self.record.note(
                "increments-at-end",
                "G91 (increments) is in force at the end: the standard goes back to G90 there, not every control does; "
                "write G90 before the end",
            )
        self.mover.uncompensate()
        self.mover.event("end")
        state = self.state
        systems.select(state, 1)
        systems.clear_offset(state, forget=False)
        systems.unshift(state)
        state.set_plane(Plane.XY)
        state.absolute, state.inverse_time, state.overrides = True, False, True
        state.motion = "G1"
        self.mover.modal(spindle=Spindle.OFF, mist=False, flood=False)
        self.leaving = "end"


_MOVES: Final = ("G0", "G1", "G2", "G3")
_MOTIONS: Final[dict[str, Callable[[Controller, str, Mapping[str, float]], None]]] = {
    "G0": Controller._rapid,
    "G1": Controller._feed,
    "G2": Controller._arc,
    "G3": Controller._arc,
    "G38.2": Controller._probe,
    **dict.fromkeys(CYCLES, Controller._cycle),
}


def _count(words: Mapping[str, float], letter: str, what: str) -> int:
    number = whole(words[letter])
    if number is None or number < 0:
        raise Fault(
            letter,
            f"{letter} names {what}: a whole number from 0 up",
            "write the number; the size itself stands in the control's tool table" if letter in "DHT" else "",
        )
    return number
