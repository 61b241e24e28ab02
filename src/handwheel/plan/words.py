"""How a step names things, on the sheet and in the program alike."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from handwheel.motion import Tool
from handwheel.tolerances import CONTACT, SNAP
from handwheel.units import Units, on_program_grid, shop_number, to_units

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
    """A cutter's size as it is marked: a fraction of an inch where it is one, else a number; in the other system's
    units where it is a whole figure only there.

    >>> size_name(19.05, "in"), size_name(12.0, "mm"), size_name(50.8, "in"), size_name(6.0, "in")
    ('3/4 in', '12 mm', '2 in', '6 mm')
    """
    others: Units = "mm" if units == "in" else "in"
    if not _is_whole_figure(length, units) and _is_whole_figure(length, others):
        units = others
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


def _is_whole_figure(length: float, units: Units) -> bool:
    """Whether a size is a fraction of an inch, or shows whole with the decimals that a program has."""
    sixty_fourths = to_units(length, "in") * 64
    is_fraction = units == "in" and abs(sixty_fourths - round(sixty_fourths)) < SNAP
    return is_fraction or abs(on_program_grid(length, units) - length) < SNAP


def tool_name(tool: Tool, units: Units) -> str:
    """``3/4 in HSS end mill, 4 flutes``."""
    return f"{size_name(tool.diameter, units)} {tool.material} {tool.shape}, {counted(tool.flutes, 'flute')}"
