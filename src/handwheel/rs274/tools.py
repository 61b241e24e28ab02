"""Tools named beside a program instead of by a job: ``2=0.5`` or ``2=12 mm,85 mm``."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from handwheel.errors import HandwheelError
from handwheel.motion import Control, Offset
from handwheel.rs274.reader import read
from handwheel.rs274.reading import Reading
from handwheel.units import Units, quantity


def read_with_tools(
    source: str, control: Control, tools: Sequence[str], *, strict: bool = False, block_delete: bool = False
) -> tuple[Reading, Control]:
    """Read a program with an offset table made of ``tools``; and the control that had it.

    Bare numbers are in the units in force at the program's end, which the program itself has to tell: where they are
    not the control's, it is read once more.

    Raises
    ------
    HandwheelError
        Where a tool cannot be understood.
    """
    chosen = replace(control, offsets=offset_table(tools, control.units))
    reading = read(source, chosen, strict=strict, block_delete=block_delete)
    if tools and reading.units != control.units:
        chosen = replace(control, offsets=offset_table(tools, reading.units))
        reading = read(source, chosen, strict=strict, block_delete=block_delete)
    return reading, chosen


def offset_table(tools: Iterable[str], units: Units) -> Mapping[int, Offset]:
    """The slots of an offset table from ``N=DIAMETER[,LENGTH]``.

    >>> offset_table(["2=10,60.5"], "mm")
    {2: Offset(length=60.5, diameter=10.0)}
    """
    table: dict[int, Offset] = {}
    for text in tools:
        number, offset = _slot(text, units)
        if number in table:
            raise HandwheelError(f"--tool {text}: tool {number} is there already; give each tool once")
        table[number] = offset
    return table


def _slot(text: str, units: Units) -> tuple[int, Offset]:
    number, _, sizes = text.partition("=")
    diameter, comma, length = sizes.partition(",")
    try:
        if not (number.strip().isascii() and number.strip().isdigit()):
            raise ValueError("begins with no tool number")
        return int(number), Offset(
            length=quantity(length, "length", units) if comma else 0.0, diameter=quantity(diameter, "length", units)
        )
    except ValueError as error:
        raise HandwheelError(
            f'--tool {text}: {error}; write N=DIAMETER,LENGTH, such as 2=0.5 or "2=12 mm,85 mm"'
        ) from None
