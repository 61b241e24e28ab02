"""The tables of a job file as far as each could be read by itself, before they are judged together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from handwheel.job.dimension import Dimension
from handwheel.job.facing import Facing
from handwheel.job.hole_making import HoleMaking
from handwheel.job.hole_pattern import HolePattern, Point2
from handwheel.job.lying import lying, placement_of
from handwheel.job.operations import AnyOperation
from handwheel.job.setup_table import SetupTable
from handwheel.job.tables import Header, OffsetEntry, Overrides, ToolEntry, TouchOff
from handwheel.job.tapping import Tap
from handwheel.job.work import Stock, Work, Zero, boxes
from handwheel.path.face import Face
from handwheel.shop import CncMill, KneeMill, Shop, Vise
from handwheel.shop.threads import called


@dataclass(frozen=True)
class SetupParts:
    """The tables of one set-up; ``None`` stands for one with a fault of its own.

    ``at`` is where they stand in the file: ``setup[2].``, nothing where the job has one set-up at its top level;
    ``content`` is the table that holds them.
    """

    at: str
    content: Mapping[str, Any]
    table: SetupTable | None
    vise: Vise | None
    zero: Zero | None
    touch_off: TouchOff | None
    operations: tuple[AnyOperation | None, ...]
    holes: tuple[HolePattern | None, ...] = ()


@dataclass(frozen=True)
class Lying:
    """How the part lies in a set-up that could be read so far."""

    up: Face
    fixed_jaw: Face
    zero: Zero
    operations: tuple[AnyOperation, ...] = ()


@dataclass(frozen=True)
class Parts:
    """``None`` stands for a table with a fault of its own; ``content`` is the file as it stands,
    ``folder`` where it is."""

    content: Mapping[str, Any]
    folder: Path
    shop: Shop
    header: Header | None
    overrides: Overrides | None
    by_hand: KneeMill | None
    by_program: CncMill | None
    stock: Stock | None
    zero: Zero | None
    tools: tuple[ToolEntry | None, ...]
    offsets: tuple[OffsetEntry | None, ...]
    setups: tuple[SetupParts, ...]
    dimensions: tuple[Dimension | None, ...]

    def completed(self, setup: SetupParts) -> tuple[AnyOperation | None, ...]:
        """A set-up's operations with what they leave out taken from the job."""
        lies = self._lies(setup)
        top = None
        if lies is not None and self.stock is not None and self.zero is not None:
            finished = boxes(self.stock, self.zero)[1]
            top = placement_of(lies, finished).box(finished).high[2]
        places = self.places(setup)
        return tuple(None if one is None else self._completed(one, top, places) for one in setup.operations)

    def places(self, setup: SetupParts) -> Mapping[str, tuple[Point2, ...]]:
        """Where the holes of each pattern are that a set-up can name: its own, and those of set-ups before it, carried
        along by the turns."""
        known: dict[str, tuple[Point2, ...]] = {}
        for one in self.setups:
            own = one is setup
            for pattern in one.holes:
                if pattern is not None:
                    known[pattern.name] = pattern.points if own else self.carried(pattern.points, one, setup)
            if own:
                break
        return {name: points for name, points in known.items() if points}

    def carried(self, points: tuple[Point2, ...], start: SetupParts, end: SetupParts) -> tuple[Point2, ...]:
        """Places of holes in another set-up's frame; none where they would not stand upright there."""
        lies, here = self._lies(start), self._lies(end)
        if lies is None or here is None or self.stock is None or self.zero is None:
            return ()
        finished = boxes(self.stock, self.zero)[1]
        way = placement_of(here, finished).after(placement_of(lies, finished).inverse())
        if way.axis(2)[0] != 2:
            return ()
        return tuple(way.point((x, y, 0.0))[:2] for x, y in points)

    @cached_property
    def works(self) -> tuple[Work | None, ...]:
        """The work in each set-up, as it is by then; ``None`` from the first on of which too little could be read.

        Where an operation has a fault, the top of its set-up is not known, nor what comes after it.
        """
        known: list[Lying] = []
        for setup in self.setups:
            lies, operations = self._lies(setup), self.completed(setup)
            if lies is None:
                break
            there = tuple(one for one in operations if one is not None)
            known.append(Lying(lies.up, lies.fixed_jaw, lies.zero, there))
            if len(there) < len(operations):
                break
        if self.header is None or self.stock is None or self.zero is None:
            known = []
        works: list[Work | None] = []
        if self.header is not None and self.stock is not None and self.zero is not None:
            tools = {one.number: one.tool(one.number) for one in self.tools if one is not None}
            works.extend(lying(self.header.units, self.stock, self.zero, known, tools, self.folder))
        for index, setup in enumerate(self.setups[: len(works)]):
            work = works[index]
            if work is not None and any(one is None for one in setup.operations):
                works[index] = Work(work.units, work.raw, work.finished, None, work.placement, work.folder)
        return (*works, *[None] * (len(self.setups) - len(works)))

    def _completed(
        self, operation: AnyOperation, top: float | None, places: Mapping[str, tuple[Point2, ...]]
    ) -> AnyOperation:
        left_out: dict[str, object] = {}
        if self.header and "compensation" not in operation.model_fields_set:
            left_out["compensation"] = self.header.compensation
        if isinstance(operation, Facing) and "to" not in operation.model_fields_set and top is not None:
            left_out["to"] = top
        if isinstance(operation, HoleMaking):
            left_out["points"] = places.get(operation.holes, ())
        if isinstance(operation, Tap):
            name = called(operation.thread, self.shop.thread)
            left_out |= {} if name is None else {"thread": name, "form": self.shop.thread[name]}
        return operation.model_copy(update=left_out)

    def _lies(self, setup: SetupParts) -> Lying | None:
        if setup.table is None or setup.zero is None:
            return None
        return Lying(setup.table.up, setup.table.fixed_jaw, setup.zero)
