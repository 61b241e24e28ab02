"""What a control has in force while it reads: modes, offsets, and where the controlled point stands.

Positions are in mm in the report frame. A coordinate in a program is a number times ``scale`` plus ``shift``.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Final

from handwheel.motion import Control, Modal, PathMode, Plane, Side, Spindle
from handwheel.rs274 import parameters as numbers
from handwheel.rs274.parameters import Parameters, Point
from handwheel.rs274.vocabulary import AXES, SYSTEMS
from handwheel.units import MM_PER_INCH, Units

_ZERO: Final[Point] = (0.0, 0.0, 0.0)
_MOTIONS: Final = {
    "G0": "rapid",
    "G1": "feed",
    "G2": "arc clockwise",
    "G3": "arc anticlockwise",
    "G38.2": "probe",
    "G80": "none",
}


class State:
    """Modes and position; everything that a block may change."""

    def __init__(self, control: Control) -> None:
        self.control = control
        self.units: Units = control.units
        self.scale = MM_PER_INCH if control.units == "in" else 1.0
        self.position: Point = _less(control.start, control.report)
        self.motion = "G80"
        self.plane = Plane.XY
        self.axes = Plane.XY.axes
        self.absolute = True
        self.inverse_time = False
        self.return_to_start = True
        self.feed = 0.0
        self.selected_tool = 0
        self.system = 1
        self.overrides = True
        self.stated: set[str] = set()
        self.axis_offset: Point = _ZERO
        self.modal = Modal()
        self.parameters = self._first_parameters()
        self.origin: Point = self.parameters.point(numbers.system_origin(1))
        self.further_origins: dict[int, Point] = {}
        self.local_shift: Point = _ZERO
        self.shift: Point = _ZERO
        self.update_shift()

    def _first_parameters(self) -> Parameters:
        stored = Parameters(self.scale)
        stored.store_point(numbers.HOME, self.control.home)
        stored.store_point(numbers.SECOND_HOME, self.control.second_home)
        stored.store_point(numbers.AXIS_OFFSET, _ZERO)
        stored[numbers.ACTIVE_SYSTEM] = 1.0
        for number in range(1, len(SYSTEMS) + 1):
            stored.store_point(numbers.system_origin(number), self.control.origin)
        return stored

    def update_shift(self) -> None:
        """Take over origin, axis offset and local shift into ``shift``."""
        base = _less(self.origin, self.control.report)
        moved = zip(base, self.axis_offset, self.local_shift, strict=True)
        self.shift = tuple(a + b + c for a, b, c in moved)  # type: ignore[assignment]

    def set_units(self, units: Units) -> None:
        """G20 or G21."""
        self.units = units
        self.scale = self.parameters.scale = MM_PER_INCH if units == "in" else 1.0

    def set_plane(self, plane: Plane) -> None:
        """G17, G18 or G19; ``axes`` are its first and second axis and its normal."""
        self.plane, self.axes = plane, plane.axes

    def target(self, words: Mapping[str, float]) -> Point:
        """The point that the axis words name, in absolute or incremental mode."""
        get = words.get
        return self.point(get("X", math.nan), get("Y", math.nan), get("Z", math.nan))

    def point(self, x: float, y: float, z: float) -> Point:
        """The point of three numbers, in absolute or incremental mode; NaN where an axis has none."""
        at_x, at_y, at_z = self.position
        scale = self.scale
        shift_x, shift_y, shift_z = self.shift if self.absolute else self.position
        # NaN is the one number that is not itself, and this is the reader's innermost line
        return (
            x * scale + shift_x if x == x else at_x,  # noqa: PLR0124
            y * scale + shift_y if y == y else at_y,  # noqa: PLR0124
            z * scale + shift_z if z == z else at_z,  # noqa: PLR0124
        )

    def machine_target(self, words: Mapping[str, float]) -> Point:
        """The point that the axis words name in the machine's frame: there the spindle nose is meant."""
        report = self.control.report
        length = (0.0, 0.0, self.modal.length)
        return tuple(
            words[axis] * self.scale - report[n] - length[n] if axis in words else self.position[n]
            for n, axis in enumerate(AXES)
        )  # type: ignore[return-value]

    def home(self, first: int) -> Point:
        """Where G28 or G30 ends: the nose at the position in parameters ``first`` and following."""
        x, y, z = _less(self.parameters.point(first), self.control.report)
        return x, y, z - self.modal.length

    def plain_words(self) -> dict[str, object]:
        """The modal state for people and for JSON; lengths and feed in the units in force."""
        modal = self.modal
        coolant = [name for name in ("mist", "flood") if getattr(modal, name)]
        return {
            "motion": _MOTIONS.get(self.motion, f"cycle {self.motion}"),
            "plane": self.plane.name,
            "distance": "absolute" if self.absolute else "incremental",
            "feed_mode": "inverse time" if self.inverse_time else "per minute",
            "units": self.units,
            "compensation": side_name(modal.side),
            "diameter_slot": modal.diameter_slot,
            "length_slot": modal.length_slot,
            "length": modal.length / self.scale,
            "system": system_name(self.system),
            "path": path_name(modal.path_mode),
            "return": "start" if self.return_to_start else "clear level",
            "feed": self.feed / self.scale,
            "rpm": modal.rpm,
            "spindle": spindle_name(modal.spindle),
            "coolant": " and ".join(coolant) or "off",
            "overrides": "on" if self.overrides else "off",
            "tool": modal.tool,
            "selected_tool": self.selected_tool,
            "position": [length / self.scale for length in self.position],
        }


def system_name(number: int) -> str:
    """The word for coordinate system 1, 2 …: ``"G54"``; after the ninth ``"G54.1 P1"`` and so on."""
    ninth = len(SYSTEMS)
    return SYSTEMS[number - 1] if number <= ninth else f"G54.1 P{number - ninth}"


def side_name(side: Side) -> str:
    """``"left"``, ``"right"`` or ``"off"``."""
    return side.name.lower()


def spindle_name(spindle: Spindle) -> str:
    """``"cw"``, ``"ccw"`` or ``"off"``."""
    return spindle.name.lower()


def path_name(mode: PathMode) -> str:
    """``"continuous"``, ``"exact path"`` or ``"exact stop"``."""
    return mode.name.lower().replace("_", " ")


def _less(point: Point, by: Point) -> Point:
    return (point[0] - by[0], point[1] - by[1], point[2] - by[2])
