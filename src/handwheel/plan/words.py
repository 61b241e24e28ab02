"""How a step names things, on the sheet and in the program alike."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from handwheel.motion import Tool
from handwheel.tolerances import CONTACT
from handwheel.units import Units, shop_number, to_units

Numbering = Iterator[int]


def counted(count: int, noun: str) -> str:
    """
    >>> counted(1, "pass"), counted(3, "row")
    ('1 pass', '3 rows')
    """
    if count == 1:
        return f"1 {noun}"
    return f"{count} {noun}{'es' if noun.endswith('s') else 's'}"


def coordinate(axis: str, value: float, units: Units) -> str:
    """
    >>> coordinate("Y", 38.1, "in"), coordinate("Z", 0.0, "in")
    ('Y 1.500', 'Z zero')
    """
    if abs(value) <= CONTACT:
        return f"{axis} zero"
    return f"{axis} {shop_number(value, units)}"


def size_name(length: float, units: Units) -> str:
    """A cutter's size as it is marked: a fraction of an inch where it is one, else a number.

    >>> size_name(19.05, "in"), size_name(12.0, "mm"), size_name(50.8, "in")
    ('3/4 in', '12 mm', '2 in')
    """
    if units == "mm":
        return f"{shop_number(length, units)} mm"
    inches = to_units(length, units)
    fraction = Fraction(round(inches * 64), 64)
    if abs(float(fraction) - inches) > 1e-9:
        return f"{shop_number(length, units)} in"
    whole, rest = divmod(fraction.numerator, fraction.denominator)
    text = "-".join(
        part for part in (str(whole) if whole else "", f"{rest}/{fraction.denominator}" if rest else "") if part
    )
    return f"{text} in"


def tool_name(tool: Tool, units: Units) -> str:
    """``3/4 in HSS end mill, 4 flutes``."""
    return f"{size_name(tool.diameter, units)} {tool.material} {tool.shape}, {counted(tool.flutes, 'flute')}"
