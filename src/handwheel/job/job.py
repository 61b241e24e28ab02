"""A job, complete: everything the file leaves out is filled in, every length is in mm in the job's frame."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from handwheel.job.dimension import Dimension
from handwheel.job.face import Face
from handwheel.job.operation import Compensation
from handwheel.job.side import Side
from handwheel.job.tables import TouchOff
from handwheel.job.work import Stock, Zero, boxes
from handwheel.motion.tables import Offset, Tool
from handwheel.path.box import Box
from handwheel.shop.machines import CncMill, KneeMill
from handwheel.shop.materials import Coolant, Material
from handwheel.shop.vises import Vise
from handwheel.units import Units


@dataclass(frozen=True)
class Job:
    """One part and how it is to be made, twice.

    ``file`` is how the user named the file, for messages alone; ``name`` is what the output is called. ``clear`` is
    above the raw top, ``tolerance`` for gouge and left-uncut, both mm. ``offsets`` is the control's whole table.
    """

    file: str
    name: str
    title: str
    part_number: str
    units: Units
    material_name: str
    material: Material
    compensation: Compensation
    coolant: Coolant
    clear: float
    tolerance: float
    notes: str
    by_hand: KneeMill
    by_program: CncMill
    vise: Vise
    parallel_set: tuple[float, ...]
    stock: Stock
    zero: Zero
    touch_off: TouchOff
    tools: tuple[Tool, ...]
    offsets: Mapping[int, Offset]
    operations: tuple[Face | Side, ...]
    dimensions: tuple[Dimension, ...]
    times: Mapping[str, float]
    budget: Mapping[str, float]

    def tool(self, number: int) -> Tool:
        """The tool of that number; KeyError where the job has none."""
        for tool in self.tools:
            if tool.number == number:
                return tool
        raise KeyError(number)

    @cached_property
    def raw(self) -> Box:
        """The raw stock."""
        return boxes(self.stock, self.zero)[0]

    @cached_property
    def finished(self) -> Box:
        """The block between the finished faces."""
        return boxes(self.stock, self.zero)[1]

    @property
    def finished_top(self) -> float:
        """Z of the top that depths count from: the lowest that a face operation leaves."""
        return finished_top(self.operations, self.finished)


def finished_top(operations: tuple[Face | Side, ...], finished: Box) -> float:
    """Z of the top once all is faced, mm; the finished block's where nothing is."""
    return min((one.to for one in operations if isinstance(one, Face)), default=finished.high[2])
