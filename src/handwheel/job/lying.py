"""How the part lies in each set-up, and what is left of it by then."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Protocol

from handwheel.job.facing import finished_top
from handwheel.job.operations import AnyOperation
from handwheel.job.shape import ShapeError
from handwheel.job.work import Stock, Work, Zero, boxes, share_of
from handwheel.motion import Tool
from handwheel.path.blocks import blocks
from handwheel.path.box import Box
from handwheel.path.face import Face
from handwheel.path.placement import Placement, Row
from handwheel.units import Units


class Lies(Protocol):
    """What must be known of a set-up."""

    @property
    def up(self) -> Face:
        """The face of the part that looks up."""

    @property
    def fixed_jaw(self) -> Face:
        """The face of the part that is on the fixed jaw."""

    @property
    def zero(self) -> Zero:
        """Where the set-up's zero is."""

    @property
    def operations(self) -> Sequence[AnyOperation]:
        """What is done to it there."""


def turned(up: Face, fixed_jaw: Face) -> Placement:
    """The quarter turns that bring one face up and another to the back.

    >>> turned(Face.BOTTOM, Face.BACK).point((1.0, 2.0, 3.0))
    (-1.0, 2.0, -3.0)
    """
    z, y = up.normal, fixed_jaw.normal
    x: Row = (y[1] * z[2] - y[2] * z[1], y[2] * z[0] - y[0] * z[2], y[0] * z[1] - y[1] * z[0])
    return Placement((x, y, z))


def placement_of(entry: Lies, finished: Box) -> Placement:
    """From the part's frame to the set-up's: turned, and its zero on the faces that it names.

    Parameters
    ----------
    entry : the set-up
    finished : the finished block in the part's frame
    """
    quarter = turned(entry.up, entry.fixed_jaw)
    block = quarter.box(finished)
    faces = (entry.zero.x, entry.zero.y, entry.zero.z)
    x, y, z = (
        0.0 - (low + share_of(face) * (high - low))
        for face, low, high in zip(faces, block.low, block.high, strict=True)
    )
    return Placement(quarter.rotation, (x, y, z))


def lying(
    units: Units, stock: Stock, zero: Zero, entries: Sequence[Lies], tools: Mapping[int, Tool], folder: Path
) -> Iterator[Work]:
    """The work in each set-up, in order, as it is by then: the stock less what the set-ups before are meant to take.

    Parameters
    ----------
    stock, zero : of the part; its frame has its zero there
    entries : the set-ups
    folder : where drawing files are
    tools : the job's, by number; what an operation without its tool takes is not known
    """
    raw, finished = boxes(stock, zero)
    gone: list[Box] = []
    for entry in entries:
        placement = placement_of(entry, finished)
        block = placement.box(finished)
        left = blocks(raw, gone).box
        work = Work(units, placement.box(left), block, finished_top(entry.operations, block), placement, folder)
        yield work
        back = placement.inverse()
        for one in entry.operations:
            try:
                solids = one.removes(work, tools[one.tool]) if one.tool in tools else ()
            except ShapeError:  # told where the operation is judged
                solids = ()
            gone.extend(back.box(box) for solid in solids for box in solid.boxes_within)
