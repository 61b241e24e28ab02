"""The work as it comes into one set-up: how it lies, where its zero is, what is to be done to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from handwheel.job import Dimension, Job, SetupEntry, Work
from handwheel.job.lying import lying
from handwheel.job.operations import AnyOperation
from handwheel.job.tables import TouchOff
from handwheel.job.work import Zero
from handwheel.motion import Tool
from handwheel.path.blocks import Blocks, blocks
from handwheel.path.box import Box
from handwheel.path.face import Face, face_of
from handwheel.path.meant import Meant
from handwheel.path.placement import Placement
from handwheel.shop.vises import Vise
from handwheel.tolerances import CONTACT


@dataclass(frozen=True)
class Workpiece:
    """The work in one set-up's frame, before it is clamped; lengths in mm.

    Attributes
    ----------
    job : the part's job
    number : of the set-up, from 1
    entry : what the job asks for in this set-up
    work : how it lies, and the block that holds it as it is by then
    before, after : the solids that the set-ups before and after this one are meant to take
    is_last : whether the part is finished after it
    """

    job: Job
    number: int
    entry: SetupEntry
    work: Work
    before: tuple[Meant, ...] = ()
    after: tuple[Meant, ...] = ()
    is_last: bool = True

    @property
    def placement(self) -> Placement:
        """From the part's frame to this set-up's."""
        return self.work.placement

    @property
    def raw(self) -> Box:
        """The block that holds the work as it is by then."""
        return self.work.raw

    @property
    def finished(self) -> Box:
        """The block between the finished faces."""
        return self.work.finished

    @property
    def stock(self) -> Box:
        """The raw stock, before any set-up."""
        return self.placement.box(self.job.raw_block)

    @property
    def elsewhere(self) -> tuple[Meant, ...]:
        """The solids that the part's other set-ups are meant to take."""
        return (*self.before, *self.after)

    @cached_property
    def shape(self) -> Blocks:
        """What is left of the stock by then."""
        return blocks(self.stock, [box for one in self.before for box in one.boxes_within])

    def part_face(self, face: Face) -> Face:
        """What the part's own frame calls a face of the work as it lies here."""
        axis, sign = self.placement.inverse().axis(face.axis)
        return face_of(axis, sign * face.outwards)

    def is_raw(self, face: Face) -> bool:
        """Whether a face stands as it was sawn: it still has its allowance."""
        at, sawn = (box.high if face.outwards > 0 else box.low for box in (self.raw, self.stock))
        allowance: float = getattr(self.job.stock.allowance, self.part_face(face))
        return allowance > CONTACT and abs(at[face.axis] - sawn[face.axis]) <= CONTACT

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
    def operations(self) -> tuple[AnyOperation, ...]:
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
        return self.work.upper_face

    @cached_property
    def intended(self) -> tuple[Meant, ...]:
        """The solids that are meant to be gone at the end, operation by operation."""
        return tuple(solid for one in self.operations for solid in one.removes(self.work, self.job.tool(one.tool)))

    @cached_property
    def lowest(self) -> float | None:
        """Z of the lowest planned cut that passes over the jaws; ``None`` where none does."""
        each = (one.lowest_over_jaws(self.work, self.job.tool(one.tool)) for one in self.operations)
        return min((lowest for lowest in each if lowest is not None), default=None)


def workpieces(job: Job) -> tuple[Workpiece, ...]:
    """The work in each set-up of a job, in order."""
    tools = {tool.number: tool for tool in job.tools}
    works = tuple(lying(job.units, job.stock, job.zero, job.setups, tools, Path(job.file).parent))
    meant = [
        [
            solid.placed(work.placement.inverse())
            for one in entry.operations
            for solid in one.removes(work, tools[one.tool])
        ]
        for entry, work in zip(job.setups, works, strict=True)
    ]
    return tuple(
        Workpiece(
            job=job,
            number=index + 1,
            entry=entry,
            work=work,
            before=tuple(one.placed(work.placement) for solids in meant[:index] for one in solids),
            after=tuple(one.placed(work.placement) for solids in meant[index + 1 :] for one in solids),
            is_last=index + 1 == len(works),
        )
        for index, (entry, work) in enumerate(zip(job.setups, works, strict=True))
    )
