"""The tables of a job file as far as each could be read by itself, before they are judged together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from handwheel.job.dimension import Dimension
from handwheel.job.face import Face, finished_top
from handwheel.job.side import Side
from handwheel.job.tables import Header, OffsetEntry, Overrides, ToolEntry, TouchOff
from handwheel.job.work import Stock, Work, Zero, boxes
from handwheel.shop import CncMill, KneeMill, Shop, Vise


@dataclass(frozen=True)
class Parts:
    """``None`` stands for a table with a fault of its own; ``content`` is the file as it stands."""

    content: Mapping[str, Any]
    shop: Shop
    header: Header | None
    overrides: Overrides | None
    by_hand: KneeMill | None
    by_program: CncMill | None
    vise: Vise | None
    stock: Stock | None
    zero: Zero | None
    touch_off: TouchOff | None
    tools: tuple[ToolEntry | None, ...]
    offsets: tuple[OffsetEntry | None, ...]
    operations: tuple[Face | Side | None, ...]
    dimensions: tuple[Dimension | None, ...]

    def completed(self, operation: Face | Side) -> Face | Side:
        """An operation with what it leaves out taken from the job."""
        left_out: dict[str, object] = {}
        if self.header and "compensation" not in operation.model_fields_set:
            left_out["compensation"] = self.header.compensation
        if isinstance(operation, Face) and "to" not in operation.model_fields_set and self.stock and self.zero:
            left_out["to"] = boxes(self.stock, self.zero)[1].high[2]
        return operation.model_copy(update=left_out)

    def completed_operations(self) -> tuple[Face | Side, ...]:
        """Every operation that could be read, complete."""
        return tuple(self.completed(one) for one in self.operations if one is not None)

    def work(self) -> Work | None:
        """Raw and finished block; ``None`` where stock, zero or units could not be read.

        The finished top is not known while a face operation has a fault.
        """
        if self.header is None or self.stock is None or self.zero is None:
            return None
        raw, finished = boxes(self.stock, self.zero)
        known = all(one is not None for one in self.operations)
        top = finished_top(self.completed_operations(), finished) if known else None
        return Work(self.header.units, raw, finished, top)
