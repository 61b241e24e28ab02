"""The work as it comes into one set-up: how it lies, where its zero is, what is to be done to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from handwheel.cut.placement import Placement
from handwheel.job import Dimension, Job, SetupEntry, Work
from handwheel.job.face import Face, finished_top
from handwheel.job.side import Side
from handwheel.job.tables import TouchOff
from handwheel.job.work import Zero, boxes
from handwheel.motion import Tool
from handwheel.path.box import Box
from handwheel.shop.vises import Vise


@dataclass(frozen=True)
class Workpiece:
    """The work in one set-up's frame, before it is clamped; lengths in mm.

    Attributes
    ----------
    job : the part's job
    number : of the set-up, from 1
    entry : what the job asks for in this set-up
    placement : from the part's frame to this set-up's
    raw : the work as it is by then
    finished : the block between the finished faces
    """

    job: Job
    number: int
    entry: SetupEntry
    placement: Placement
    raw: Box
    finished: Box

    @property
    def name(self) -> str:
        """What the job calls the set-up."""
        return self.entry.name

    @property
    def vise(self) -> Vise:
        """The vise that it is clamped in."""
        return self.entry.vise

    @property
    def zero(self) -> Zero:
        """The faces that the zero is on."""
        return self.entry.zero

    @property
    def touch_off(self) -> TouchOff:
        """What X, Y and Z are touched off with."""
        return self.entry.touch_off

    @property
    def clear(self) -> float:
        """Height of the level for rapids above the raw top."""
        return self.entry.clear

    @property
    def operations(self) -> tuple[Face | Side, ...]:
        """What is done, in order."""
        return self.entry.operations

    @cached_property
    def tools(self) -> Mapping[int, Tool]:
        """The job's tools by number."""
        return {tool.number: tool for tool in self.job.tools}

    @property
    def dimensions(self) -> tuple[Dimension, ...]:
        """The drawing's sizes."""
        return self.job.dimensions

    @property
    def finished_top(self) -> float:
        """Z of the top that depths count from: the lowest that a face operation leaves."""
        return finished_top(self.operations, self.finished)

    @cached_property
    def work(self) -> Work:
        """What operations are asked about."""
        return Work(self.job.units, self.raw, self.finished, self.finished_top)

    @cached_property
    def intended(self) -> tuple[Box, ...]:
        """The solids that are meant to be gone at the end, one for each operation."""
        return tuple(one.removes(self.work) for one in self.operations)

    @cached_property
    def lowest(self) -> float | None:
        """Z of the lowest planned cut; ``None`` where nothing is cut."""
        return min((one.lowest(self.work) for one in self.operations), default=None)


def workpieces(job: Job) -> tuple[Workpiece, ...]:
    """The work in each set-up of a job, in order."""
    pieces = []
    for number, entry in enumerate(job.setups, start=1):
        raw, finished = boxes(job.stock, entry.zero)
        pieces.append(Workpiece(job, number, entry, Placement(), raw, finished))
    return tuple(pieces)
