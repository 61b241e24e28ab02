"""Cutters and moves for the tests of the cut."""

from __future__ import annotations

import math
from collections.abc import Sequence

from handwheel.cut.part import Cut, Part
from handwheel.motion import Kind, Modal, Moves, MovesBuilder, Plane, Tool
from handwheel.path.box import Box

BLOCK = Box((0.0, 0.0, -40.0), (100.0, 60.0, 0.0))


def tool(shape: str = "end mill", diameter: float = 10.0, **sizes: float) -> Tool:
    """A tool with long flutes in a plain holder, number 1."""
    rest = {"flute_length": 30.0, "shank": diameter, "reach": 50.0, "holder_diameter": 40.0, "holder_length": 40.0}
    return Tool(number=1, shape=shape, diameter=diameter, flutes=2, **(rest | sizes))  # type: ignore[arg-type]


class Path:
    """Moves one after the other from a start; angles in radians."""

    def __init__(self, *start: float) -> None:
        self._builder = MovesBuilder()
        self._at = start
        self.modal = Modal(tool=1)

    def to(self, *end: float, kind: Kind = Kind.FEED) -> Path:
        """A straight move."""
        self._builder.add(kind, self._at, end, self.modal)
        self._at = end
        return self

    def round(self, centre: Sequence[float], turn: float, rise: float = 0.0, plane: Plane = Plane.XY) -> Path:
        """An arc about ``centre`` (its coordinate along the normal does not matter), or a helix."""
        first, second, normal = plane.axes
        u, v = self._at[first] - centre[first], self._at[second] - centre[second]
        end, middle = list(self._at), list(centre)
        end[first] = centre[first] + u * math.cos(turn) - v * math.sin(turn)
        end[second] = centre[second] + u * math.sin(turn) + v * math.cos(turn)
        end[normal] += rise
        middle[normal] = self._at[normal]
        self._builder.add(Kind.ARC, self._at, end, self.modal, centre=middle, turn=turn, plane=plane)
        self._at = tuple(end)
        return self

    @property
    def moves(self) -> Moves:
        """The frozen table."""
        return self._builder.build()


def cut(path: Path, cutter: Tool, stock: Box = BLOCK) -> Part:
    """A block cut along a path."""
    return Part(stock, (Cut(path.moves, {1: cutter}),))
