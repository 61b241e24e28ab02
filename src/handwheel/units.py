"""Quantities in and out: text to millimeters and back; exact fractions until the one conversion.

pint knows the units and their dimensions; this room knows how a shop writes a number (``1-5/8 in``, ``.350``).
"""

from __future__ import annotations

import math
import re
import shutil
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import cache
from typing import Any, Final, Literal

from handwheel.tolerances import SNAP

Units = Literal["in", "mm"]

MM_PER_INCH: Final = 25.4
PROGRAM_DECIMALS: Final = {"in": 4, "mm": 3}

_NUMBER = re.compile(
    r"""(?P<sign>[+-])?\s*
        (?: (?:(?P<whole>\d+)(?:-|\s+))? (?P<top>\d+)\s*/\s*(?P<bottom>\d+)
          | (?P<decimal>\d+(?:\.\d*)?|\.\d+) (?P<exponent>[eE][+-]?\d{1,2})? )
        \s*(?P<unit>[^\d\s.].*)?""",
    re.VERBOSE,
)

_BARE: Final[dict[str, dict[Units, str]]] = {
    "length": {"in": "inch", "mm": "mm"},
    "feed": {"in": "inch/minute", "mm": "mm/minute"},
    "cutting speed": {"in": "foot/minute", "mm": "meter/minute"},
    "acceleration": {"in": "inch/second**2", "mm": "mm/second**2"},
    "power": {"in": "horsepower", "mm": "kilowatt"},
    "time": {"in": "second", "mm": "second"},
    "angle": {"in": "degree", "mm": "degree"},
    "pressure": {"in": "newton/mm**2", "mm": "newton/mm**2"},
    "density": {"in": "gram/cm**3", "mm": "gram/cm**3"},
    "force": {"in": "pound_force", "mm": "newton"},
}
_INSIDE: Final[dict[str, str]] = {
    "length": "mm",
    "feed": "mm/minute",
    "cutting speed": "meter/minute",
    "acceleration": "mm/second**2",
    "power": "watt",
    "time": "second",
    "angle": "degree",
    "pressure": "newton/mm**2",
    "density": "gram/cm**3",
    "force": "newton",
}
_EXAMPLE: Final[dict[str, str]] = {
    "length": '"12 mm", "0.875 in" or "1-5/8 in"',
    "feed": '"10 in/min" or "250 mm/min"',
    "cutting speed": '"100 ft/min" or "30 m/min"',
    "acceleration": '"20 in/s**2" or "500 mm/s**2"',
    "power": '"2 hp" or "1.5 kW"',
    "time": '"8 s" or "1.5 min"',
    "angle": '"118 deg"',
    "pressure": '"700 N/mm**2"',
    "density": '"2.7 g/cm**3"',
    "force": '"5 N" or "1 lbf"',
}


@cache
def _registry() -> Any:
    import pint
    from platformdirs import user_cache_path

    kept = user_cache_path("handwheel", appauthor=False) / "units"
    for _ in range(2):
        try:
            # reading the definitions is the greater part of reading a job, so pint keeps them between runs
            return pint.UnitRegistry(non_int_type=Fraction, cache_folder=kept)
        except Exception:
            # what is damaged, or was half written by another run, is made again
            shutil.rmtree(kept, ignore_errors=True)
    # a cache that cannot be written is done without
    return pint.UnitRegistry(non_int_type=Fraction)


@cache
def _factor(unit: str, kind: str) -> Fraction:
    """How many of the inside unit of ``kind`` one ``unit`` is; ValueError where it is no such unit."""
    import pint

    registry = _registry()
    try:
        one = registry.Quantity(Fraction(1), registry.parse_units(unit))
    except Exception as error:
        raise ValueError(f"{unit!r} is no unit that is known here; write {_EXAMPLE[kind]}") from error
    try:
        return Fraction(one.to(_INSIDE[kind]).magnitude)
    except (pint.DimensionalityError, pint.OffsetUnitCalculusError):
        article = "an" if kind[0] in "aeiou" else "a"
        raise ValueError(f"{unit!r} is no unit of {article} {kind}; write {_EXAMPLE[kind]}") from None


def quantity(value: object, kind: str, units: Units) -> float:
    """The inside value of a number or text from a job or shop file.

    Parameters
    ----------
    value : number in the job's units, or text such as ``"1-5/8 in"``
    kind : ``"length"``, ``"feed"``, ``"power"`` … (the keys of the tables above)
    units : ``"in"`` or ``"mm"``; what a bare number is in

    Returns
    -------
    float
        mm, mm/min, m/min, mm/s², W, s, degrees, N/mm², g/cm³ or N.

    Raises
    ------
    ValueError
        One sentence that says what is wrong.

    Source
    ------
    1 in = 25.4 mm exactly; 1 hp (550 ft·lbf/s) = 745.6999 W: NIST SP 811, appendix B.

    Examples
    --------
    >>> quantity("1-5/8 in", "length", "mm")
    41.275
    >>> quantity("7/16", "length", "in")
    11.1125
    """
    bare = _BARE[kind][units]
    if isinstance(value, bool) or not isinstance(value, (int, float, str)):
        raise ValueError(f"a {kind} is a number, or text such as {_EXAMPLE[kind]}")
    if isinstance(value, (int, float)):
        if isinstance(value, float) and not math.isfinite(value):
            raise ValueError("must be a finite number")
        number, unit = Fraction(str(value)), bare
    else:
        number, unit = _split(value, kind, bare)
    result = number * _factor(unit, kind)
    try:
        return float(result)
    except OverflowError:
        raise ValueError("is too large a number") from None


def quantity_text(value: float, kind: str) -> str:
    """An inside value as text that :func:`quantity` reads back to the same bits, whatever a job's units.

    >>> quantity_text(41.275, "length"), quantity(quantity_text(41.275, "length"), "length", "in")
    ('41.275 mm', 41.275)
    """
    return f"{value!r} {_INSIDE[kind]}"


def example(kind: str) -> str:
    """How a quantity of this kind is written.

    >>> example("angle")
    '"118 deg"'
    """
    return _EXAMPLE[kind]


def _split(text: str, kind: str, bare: str) -> tuple[Fraction, str]:
    match = _NUMBER.fullmatch(text.strip()) if len(text) <= 100 else None
    if match is None:
        raise ValueError(f"cannot be read as a {kind}; write {_EXAMPLE[kind]}")
    if match["bottom"] is not None:
        if int(match["bottom"]) == 0:
            raise ValueError("has a fraction with nothing below the line")
        number = Fraction(int(match["whole"] or 0)) + Fraction(int(match["top"]), int(match["bottom"]))
    else:
        number = Fraction(match["decimal"] + (match["exponent"] or ""))
    if match["sign"] == "-":
        number = -number
    unit = {'"': "inch", "°": "degree"}.get(match["unit"] or "", match["unit"] or bare)
    return number, unit


def to_units(length: float, units: Units) -> float:
    """A length in mm as a number in ``units``, unrounded."""
    return length / MM_PER_INCH if units == "in" else length


def from_units(number: float, units: Units) -> float:
    """A number in ``units`` as a length in mm."""
    return number * MM_PER_INCH if units == "in" else number


def rounded(length: float, units: Units, decimals: int) -> Decimal:
    """``length`` (mm) in ``units`` to so many decimals, half away from zero after a snap at 1e-9 mm, never −0.

    >>> str(rounded(25.4 * 0.12345, "in", 4))
    '0.1235'
    >>> str(rounded(-0.0000001, "mm", 3))
    '0.000'
    """
    step = Decimal(1).scaleb(-decimals)
    exact = Decimal(to_units(length, units))
    sharp = Decimal(SNAP) if units == "mm" else Decimal(SNAP) / Decimal("25.4")
    nudged = exact + (sharp if exact >= 0 else -sharp)
    result = nudged.quantize(step, rounding=ROUND_HALF_UP)
    return abs(result) if result == 0 else result


def program_number(length: float, units: Units) -> str:
    """A coordinate as a program's text has it: 4 decimals in inches, 3 in millimeters.

    >>> program_number(11.1125, "in")
    '0.4375'
    """
    return str(rounded(length, units, PROGRAM_DECIMALS[units]))


def on_program_grid(length: float, units: Units) -> float:
    """The length (mm) that a program really says once it is printed."""
    return from_units(float(rounded(length, units, PROGRAM_DECIMALS[units])), units)


def shop_number(length: float, units: Units, decimals: int | None = None) -> str:
    """A size as a drawing has it: ``.350`` in inches (no zero before the point), ``0.35`` in millimeters.

    Inches keep at least three decimals; four where the size needs them. Source: ASME Y14.5 (inch: no leading zero),
    ISO 129-1 (millimeters: no trailing zeros), from memory.

    >>> shop_number(8.89, "in"), shop_number(0.35, "mm"), shop_number(12.0, "mm"), shop_number(11.1125, "in")
    ('.350', '0.35', '12', '.4375')
    """
    if decimals is not None:
        text = str(rounded(length, units, decimals))
    elif units == "in":
        text = str(rounded(length, units, 4))
        text = text[:-1] if text.endswith("0") else text
    else:
        text = str(rounded(length, units, 3)).rstrip("0").rstrip(".")
    if units == "in":
        text = text.replace("-0.", "-.") if text.startswith("-0.") else text.removeprefix("0")
    return text
