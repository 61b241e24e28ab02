"""Sizes as a drawing gives them: extension lines, a dimension line with arrows, the figure.

In millimeters the figure stands above its line and reads from below or from the right (ISO 129-1); in inches it breaks
its line and always reads from below (ASME Y14.5). Both from memory.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from handwheel.job import Dimension
from handwheel.show.draw.labels import Point2, Rect
from handwheel.show.draw.lettering import ASCENT, DESCENT, SMALL, width
from handwheel.show.draw.lines import THIN
from handwheel.show.draw.sheet import Sheet
from handwheel.tolerances import CONTACT
from handwheel.units import Units, shop_number

ARROW: Final = 2.5
"""Length of an arrow head, mm."""
PAST: Final = 1.5
"""How far an extension line runs past its dimension line, mm."""
FIRST: Final = 9.0
"""From a view to its first dimension line, mm."""
NEXT: Final = 7.0
"""From one dimension line to the next, mm."""
_GAP: Final = 0.8

Axis = Literal[0, 1]


@dataclass(frozen=True, slots=True)
class Extent:
    """What is measured on paper: from ``first`` to ``last`` along an axis (0 across the sheet, 1 up it); the extension
    lines start at ``first_from`` and ``last_from`` of the other axis; mm."""

    axis: Axis
    first: float
    last: float
    first_from: float
    last_from: float

    @property
    def ends(self) -> tuple[Point2, Point2]:
        """Both ends: where along the dimension, and where its extension line starts."""
        return (self.first, self.first_from), (self.last, self.last_from)

    def place(self, along: float, across: float) -> Point2:
        """A place on paper by its coordinate along the dimension and across it."""
        return (along, across) if self.axis == 0 else (across, along)


def figure(size: Dimension, units: Units) -> str:
    """A size with its tolerance, in one line; without one where the general tolerance holds.

    >>> figure(Dimension(name="a", axis="x", through={"y": 0, "z": 0}, nominal=8.89, plus=0.127, minus=0.127), "in")
    '.350 ±.005'
    """
    nominal = shop_number(size.nominal, units)
    if size.plus is None and size.minus is None:
        return nominal
    plus, minus = size.upper - size.nominal, size.nominal - size.lower
    if abs(plus - minus) <= CONTACT:
        return f"{nominal} ±{shop_number(plus, units)}"
    return f"{nominal} +{shop_number(plus, units)}/−{shop_number(minus, units)}"


def clearance(axis: Axis, text: str, units: Units) -> tuple[float, float]:
    """How far from a view its first dimension line stands, and how much further the next one, mm: a figure that lies
    across its line needs half its length on either side."""
    if axis == 0 or units == "mm":
        return FIRST, NEXT
    half = width(text) / 2 + _GAP
    return max(FIRST, half + 2.0), max(NEXT, half + 2.0)


def dimension(sheet: Sheet, extent: Extent, at: float, text: str) -> bool:
    """Draw a size with its dimension line ``at`` a coordinate across it; ``False``, and nothing drawn, where its figure
    finds no room or its lines would run through lettering."""
    upright = extent.axis == 1 and sheet.units == "mm"
    broken = sheet.units == "in"
    first, last = min(extent.first, extent.last), max(extent.first, extent.last)
    long, high = _figure_size(text, extent.axis, upright)
    within = last - first >= long + (2 * ARROW + 2 if broken else 1.0)
    lines = [(extent.place(first - 0.1, at), extent.place(last + 0.1, at))]
    lines += [(extent.place(along, start), extent.place(along, at)) for along, start in extent.ends]
    if any(True for line in lines for _ in sheet.room.in_the_way(*line)):
        return False
    place = sheet.room.place(_candidates(extent, at, first, last, long, high, broken, within), per_line=4.0)
    if place is None:
        return False
    _extension_lines(sheet, extent, at)
    low, high = (place.x0, place.x1) if extent.axis == 0 else (place.y0, place.y1)
    inside = first <= low and high <= last
    _dimension_line(sheet, extent, at, (first, last), (low, high), inside, broken)
    _lettering(sheet, place, text, upright)
    return True


def _figure_size(text: str, axis: Axis, upright: bool) -> tuple[float, float]:
    """How long a figure is along its dimension and across it, mm."""
    length, height = width(text) + 2 * _GAP, (ASCENT + DESCENT) * SMALL
    return (length, height) if axis == 0 or upright else (height, length)


def _candidates(
    extent: Extent, at: float, first: float, last: float, along: float, across: float, broken: bool, within: bool
) -> Iterator[tuple[Rect, float]]:
    """Where the figure may stand: on the line if it fits, else past either end."""
    # above a level line; left of an upright one, where a figure that reads from the right stands
    side = 1.0 if extent.axis == 0 else -1.0
    middle = at if broken else at + side * (across / 2 + 0.3)
    centre = (first + last) / 2
    stations: list[tuple[float, float]] = []
    if within:
        free = (last - first - along) / 2 - (ARROW + 1 if broken else 0.0)
        stations += [(centre + share * free, abs(share) * 4) for share in np.linspace(-1, 1, 9)]
    outside = ARROW + 2.5 + along / 2
    stations += [(last + outside, 6.0), (first - outside, 7.0)]
    for station, cost in stations:
        place = extent.place(station, middle)
        size = (along, across) if extent.axis == 0 else (across, along)
        yield Rect.about(place, *size), float(cost)


def _extension_lines(sheet: Sheet, extent: Extent, at: float) -> None:
    for along, start in extent.ends:
        towards = 1.0 if at >= start else -1.0
        if abs(at - start) > 2.0:
            ends = (extent.place(along, start + towards * 1.0), extent.place(along, at + towards * PAST))
            sheet.line(ends, THIN)


def _dimension_line(
    sheet: Sheet,
    extent: Extent,
    at: float,
    ends: tuple[float, float],
    figure_ends: tuple[float, float],
    inside: bool,
    broken: bool,
) -> None:
    first, last = ends
    low, high = figure_ends
    arrows_inside = last - first >= 2 * ARROW + 1
    stretches = [(first, last)] if arrows_inside or not broken else []
    if inside and broken:
        stretches = [(first, low), (high, last)]
    if not arrows_inside:
        stretches += [(first - ARROW - 1.5, first), (last, last + ARROW + 1.5)]
    if not inside:
        edge = low if broken else high
        back = high if broken else low
        stretches.append((last, edge) if low >= last else (back, first))
    for start, end in stretches:
        sheet.line((extent.place(start, at), extent.place(end, at)), THIN)
    out = 1.0 if arrows_inside else -1.0
    for tip, towards in ((first, -out), (last, out)):
        arrow(sheet, extent.place(tip, at), extent.place(towards, 0.0))


def arrow(sheet: Sheet, tip: Point2, way: Point2) -> None:
    """A filled head at ``tip`` that points along ``way``, a unit vector."""
    base = (tip[0] - ARROW * way[0], tip[1] - ARROW * way[1])
    half = (-0.42 * way[1], 0.42 * way[0])
    sheet.fill((tip, (base[0] - half[0], base[1] - half[1]), (base[0] + half[0], base[1] + half[1])), order=3)


def _lettering(sheet: Sheet, place: Rect, text: str, upright: bool) -> None:
    x, y = place.centre
    if upright:
        sheet.text((place.x0 + ASCENT * SMALL, y), text, align="centre", upright=True, reserve=False)
    else:
        sheet.text((x, place.y0 + DESCENT * SMALL), text, align="centre", reserve=False)
