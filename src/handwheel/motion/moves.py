"""The table of moves: what the cutter does, block by block or handwheel by handwheel.

A row is one move. What changes rarely (tool, spindle, offsets in force) stands once in :class:`Modal` and is pointed
at, so a million moves stay in about a hundred megabytes. Nothing here changes after it is built.
"""

from __future__ import annotations

import math
import struct
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, fields, replace
from enum import IntEnum
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


class Kind(IntEnum):
    """What sort of move a row is; ``DWELL`` stands still for ``seconds``."""

    RAPID = 0
    FEED = 1
    ARC = 2
    DWELL = 3


class Plane(IntEnum):
    """The plane an arc lies in (G17, G18, G19)."""

    XY = 0
    ZX = 1
    YZ = 2

    @property
    def axes(self) -> tuple[int, int, int]:
        """First axis, second axis and normal as indices into X, Y, Z; right-handed in that order."""
        return ((0, 1, 2), (2, 0, 1), (1, 2, 0))[self]


class Spindle(IntEnum):
    """How the spindle turns, seen from above (M5, M3, M4)."""

    OFF = 0
    CW = 1
    CCW = 2


class Side(IntEnum):
    """On which side of the programmed path the cutter is kept (G40, G41, G42)."""

    OFF = 0
    LEFT = 1
    RIGHT = 2


class PathMode(IntEnum):
    """How corners are taken (G64, G61, G61.1)."""

    CONTINUOUS = 0
    EXACT_PATH = 1
    EXACT_STOP = 2


@dataclass(frozen=True, slots=True)
class Modal:
    """What is in force during a move.

    ``tool`` is the number in the spindle (0: none); ``length_slot`` the H number in force (``None``: G49) and
    ``length`` its length in mm; ``diameter_slot`` the D number in force while ``side`` is not off (``None``: the
    tool's own); ``rpm`` in rev/min.
    """

    tool: int = 0
    spindle: Spindle = Spindle.OFF
    rpm: float = 0.0
    side: Side = Side.OFF
    diameter_slot: int | None = None
    length_slot: int | None = None
    length: float = 0.0
    mist: bool = False
    flood: bool = False
    path_mode: PathMode = PathMode.CONTINUOUS


@dataclass(frozen=True, slots=True)
class Move:
    """One row of :class:`Moves`, for people; lengths in mm, ``feed`` in mm/min (``None`` at rapid and dwell)."""

    kind: Kind
    start: tuple[float, float, float]
    end: tuple[float, float, float]
    centre: tuple[float, float, float] | None
    turn: float
    plane: Plane
    feed: float | None
    seconds: float
    line: int
    step: int
    modal: Modal


@dataclass(frozen=True)
class Moves:
    """The frozen table.

    Attributes
    ----------
    kind : (n,) int8, :class:`Kind`
    start, end : (n, 3) float64, mm; the controlled point (the tip, when the right length offset is on). ``start`` may
        differ from the ``end`` before it where a length offset came on or went off: the machine stood still
    centre : (n, 3) float64, mm; NaN but for arcs; along the plane's normal it is the start's own coordinate
    turn : (n,) float64, rad; how far an arc turns, + anticlockwise seen from the + end of the plane's normal
    plane : (n,) int8, :class:`Plane`
    feed : (n,) float64, mm/min; NaN at rapid and dwell
    seconds : (n,) float64; the time of a dwell, else 0
    line : (n,) int32; the program's line (by hand: the action's number), from 1
    step : (n,) int32; the plan's step, from 1; 0 where none is known
    modal : (n,) int32; index into ``modals``
    modals : tuple of :class:`Modal`
    """

    kind: NDArray[np.int8]
    start: Floats
    end: Floats
    centre: Floats
    turn: Floats
    plane: NDArray[np.int8]
    feed: Floats
    seconds: Floats
    line: NDArray[np.int32]
    step: NDArray[np.int32]
    modal: NDArray[np.int32]
    modals: tuple[Modal, ...] = field(default=())

    def __post_init__(self) -> None:
        for column in fields(self):
            if column.name != "modals":
                getattr(self, column.name).flags.writeable = False

    def __len__(self) -> int:
        return len(self.kind)

    def __getitem__(self, index: int) -> Move:
        arc = self.kind[index] == Kind.ARC
        feed = float(self.feed[index])
        return Move(
            kind=Kind(self.kind[index]),
            start=_point(self.start[index]),
            end=_point(self.end[index]),
            centre=_point(self.centre[index]) if arc else None,
            turn=float(self.turn[index]),
            plane=Plane(self.plane[index]),
            feed=None if math.isnan(feed) else feed,
            seconds=float(self.seconds[index]),
            line=int(self.line[index]),
            step=int(self.step[index]),
            modal=self.modals[self.modal[index]],
        )

    def __iter__(self) -> Iterator[Move]:
        return (self[index] for index in range(len(self)))

    def of_modal(self, name: str) -> NDArray[Any]:
        """One field of what is in force, a value for each move: ``moves.of_modal("rpm")``; ``None`` becomes −1."""
        values = [getattr(modal, name) for modal in self.modals]
        return np.array([-1 if value is None else value for value in values])[self.modal]

    @cached_property
    def at_rapid(self) -> NDArray[np.bool_]:
        """(n,) which rows are made at rapid: also the roll round a corner that compensation puts before a rapid."""
        rapid = self.kind == Kind.RAPID
        rolled = (self.kind[:-1] == Kind.ARC) & rapid[1:] & (self.line[:-1] == self.line[1:])
        return np.asarray(rapid | np.append(rolled, np.zeros(len(rapid) - len(rolled), dtype=bool)))

    @cached_property
    def radius(self) -> Floats:
        """(n,) mm; the radius of each arc, NaN elsewhere."""
        first, second = self._in_plane(self.start - self.centre)
        return np.hypot(first, second)

    @cached_property
    def length(self) -> Floats:
        """(n,) mm; how far the controlled point travels."""
        straight = np.sqrt(((self.end - self.start) ** 2).sum(axis=1))
        rise = self._along_normal(self.end - self.start)
        return np.where(self.kind == Kind.ARC, np.hypot(self.radius * self.turn, rise), straight)

    def at(self, index: int, share: float) -> Floats:
        """(3,) mm; where the controlled point is when ``share`` (0…1) of a move is done."""
        start, end = self.start[index], self.end[index]
        if self.kind[index] != Kind.ARC:
            return np.asarray(start + share * (end - start))
        if share >= 1.0:
            return np.asarray(end)
        first, second, normal = Plane(self.plane[index]).axes
        centre = self.centre[index]
        cosine, sine = math.cos(share * self.turn[index]), math.sin(share * self.turn[index])
        u, v = start[first] - centre[first], start[second] - centre[second]
        point = np.empty(3)
        point[first] = centre[first] + u * cosine - v * sine
        point[second] = centre[second] + u * sine + v * cosine
        point[normal] = start[normal] + share * (end[normal] - start[normal])
        return point

    def rows(self, chosen: slice | Ints | NDArray[np.bool_]) -> Moves:
        """The chosen rows as a table of their own."""
        columns = {c.name: getattr(self, c.name)[chosen].copy() for c in fields(self) if c.name != "modals"}
        return Moves(**columns, modals=self.modals)

    def with_steps(self, step: NDArray[np.int32]) -> Moves:
        """The same moves, each with its step of the plan."""
        return replace(self, step=np.asarray(step, dtype=np.int32))

    def shifted(self, offset: Floats) -> Moves:
        """The same moves, displaced by ``offset``: (3,) or (n, 3) mm."""
        return replace(self, start=self.start + offset, end=self.end + offset, centre=self.centre + offset)

    def _in_plane(self, vectors: Floats) -> tuple[Floats, Floats]:
        axes = np.array([plane.axes for plane in Plane])[self.plane]
        row = np.arange(len(self))
        return vectors[row, axes[:, 0]], vectors[row, axes[:, 1]]

    def _along_normal(self, vectors: Floats) -> Floats:
        axes = np.array([plane.axes for plane in Plane])[self.plane]
        return np.asarray(vectors[np.arange(len(self)), axes[:, 2]])


def _point(values: Floats) -> tuple[float, float, float]:
    return float(values[0]), float(values[1]), float(values[2])


_NOWHERE = (math.nan, math.nan, math.nan)
_ROW = struct.Struct("=12d5i")
_ROW_TYPE = np.dtype([("points", "f8", (3, 3)), ("numbers", "f8", (3,)), ("marks", "i4", (5,))])


class MovesBuilder:
    """Collects moves one by one and gives the frozen table at the end; 116 bytes a move."""

    def __init__(self) -> None:
        self._rows = bytearray()
        self._modals: dict[Modal, int] = {}
        self._last: Modal | None = None
        self._last_index = 0

    def __len__(self) -> int:
        return len(self._rows) // _ROW.size

    def add(
        self,
        kind: Kind,
        start: Sequence[float],
        end: Sequence[float],
        modal: Modal,
        *,
        feed: float = math.nan,
        seconds: float = 0.0,
        centre: Sequence[float] = _NOWHERE,
        turn: float = 0.0,
        plane: Plane = Plane.XY,
        line: int = 0,
        step: int = 0,
    ) -> None:
        """Add a move; units as in :class:`Moves`."""
        if modal is not self._last:
            self._last, self._last_index = modal, self._modals.setdefault(modal, len(self._modals))
        self._rows += _ROW.pack(*start, *end, *centre, turn, feed, seconds, kind, plane, line, step, self._last_index)

    def add_straight(
        self, kind: Kind, start: Sequence[float], end: Sequence[float], modal: Modal, feed: float, line: int
    ) -> None:
        """:meth:`add` for the commonest of moves, in half the time."""
        if modal is not self._last:
            self._last, self._last_index = modal, self._modals.setdefault(modal, len(self._modals))
        self._rows += _ROW.pack(
            *start, *end, math.nan, math.nan, math.nan, 0.0, feed, 0.0, kind, 0, line, 0, self._last_index
        )

    def add_arc(
        self,
        start: Sequence[float],
        end: Sequence[float],
        centre: Sequence[float],
        turn: float,
        plane: Plane,
        modal: Modal,
        feed: float,
        line: int,
    ) -> None:
        """:meth:`add` for an arc, in half the time."""
        if modal is not self._last:
            self._last, self._last_index = modal, self._modals.setdefault(modal, len(self._modals))
        self._rows += _ROW.pack(*start, *end, *centre, turn, feed, 0.0, Kind.ARC, plane, line, 0, self._last_index)

    def add_straights(self, kinds: NDArray[np.int8], points: Floats, modal: Modal, feeds: Floats, line: int) -> None:
        """:meth:`add_straight` for a chain of them on lines that follow each other: (n,) kinds and feeds, (n + 1, 3)
        points from the start on, the first move's line."""
        if modal is not self._last:
            self._last, self._last_index = modal, self._modals.setdefault(modal, len(self._modals))
        rows = np.zeros(len(kinds), dtype=_ROW_TYPE)
        rows["points"][:, 0], rows["points"][:, 1], rows["points"][:, 2] = points[:-1], points[1:], math.nan
        rows["numbers"][:, 1] = feeds
        marks = rows["marks"]
        marks[:, 0], marks[:, 2], marks[:, 4] = kinds, np.arange(line, line + len(kinds)), self._last_index
        self._rows += rows.tobytes()

    def build(self) -> Moves:
        """The table of all that was added."""
        rows = np.frombuffer(self._rows, dtype=_ROW_TYPE)
        points, numbers, marks = rows["points"], rows["numbers"], rows["marks"]
        return Moves(
            kind=marks[:, 0].astype(np.int8),
            start=points[:, 0].copy(),
            end=points[:, 1].copy(),
            centre=points[:, 2].copy(),
            turn=numbers[:, 0].copy(),
            plane=marks[:, 1].astype(np.int8),
            feed=numbers[:, 1].copy(),
            seconds=numbers[:, 2].copy(),
            line=marks[:, 2].copy(),
            step=marks[:, 3].copy(),
            modal=marks[:, 4].copy(),
            modals=tuple(self._modals),
        )
