"""What the control's offset table holds at the start: what the job says, and else what it should be."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from handwheel.job.operation import Compensation
from handwheel.job.operations import AnyOperation
from handwheel.job.side_milling import SideMilling
from handwheel.job.tables import OffsetEntry
from handwheel.motion.tables import Offset, Tool


def forms(operations: Iterable[AnyOperation], tool: int) -> set[Compensation]:
    """The forms of compensation that a tool's diameter offset must serve; a face is cut without."""
    return {one.compensation for one in operations if isinstance(one, SideMilling) and one.tool == tool} - {"off"}


def offset_table(
    entries: Iterable[OffsetEntry], tools: Sequence[Tool], operations: Sequence[AnyOperation], usual: Compensation
) -> Mapping[int, Offset]:
    """Slot by slot: a tool's own length; its whole diameter for ``material-edge``, nothing for ``tool-path``.

    Parameters
    ----------
    entries : what the job says itself
    usual : the job's form of compensation, for tools that no side is cut with
    """
    table = {}
    for tool in tools:
        form = next(iter(forms(operations, tool.number)), usual)
        table[tool.number] = Offset(tool.length, 0.0 if form == "tool-path" else tool.diameter)
    for entry in entries:
        ought = table.get(entry.number, Offset())
        table[entry.number] = Offset(
            ought.length if entry.length is None else entry.length,
            ought.diameter if entry.diameter is None else entry.diameter,
        )
    return table
