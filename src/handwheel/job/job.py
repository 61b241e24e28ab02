"""A job, complete: everything the file leaves out is filled in, every length is in mm in the job's frame."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from handwheel.job.dimension import Dimension
from handwheel.job.operation import Compensation
from handwheel.job.setup_entry import SetupEntry
from handwheel.job.work import Stock, Zero, boxes
from handwheel.motion.tables import Offset, Tool
from handwheel.path.box import Box
from handwheel.shop.machines import CncMill, KneeMill
from handwheel.shop.materials import Coolant, Material
from handwheel.units import Units


@dataclass(frozen=True)
class Job:
    """One part and how it is to be made, twice.

    ``file`` is how the user named the file, for messages alone; ``name`` is what the output is called. ``tolerance`` is
    for gouge and left-uncut, mm. ``offsets`` is the control's whole table. ``zero`` is where the part's own frame has
    its zero: stock, allowances and drawing sizes are in that frame, whatever the set-ups make of it.
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
    tolerance: float
    notes: str
    by_hand: KneeMill
    by_program: CncMill
    parallel_set: tuple[float, ...]
    stock: Stock
    zero: Zero
    tools: tuple[Tool, ...]
    offsets: Mapping[int, Offset]
    setups: tuple[SetupEntry, ...]
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
    def raw_block(self) -> Box:
        """The raw stock, in the part's frame."""
        return boxes(self.stock, self.zero)[0]

    @cached_property
    def finished_block(self) -> Box:
        """The block between the finished faces, in the part's frame."""
        return boxes(self.stock, self.zero)[1]
