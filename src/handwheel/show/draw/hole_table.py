"""The table of holes on the part drawing: where each is, counted from the zero."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from handwheel.plan.hole_table import HoleGroup
from handwheel.show.draw.labels import Rect
from handwheel.show.draw.lettering import LARGE, PITCH, SMALL
from handwheel.show.draw.lines import HAIR
from handwheel.show.draw.sheet import Sheet
from handwheel.units import Units, shop_number

_COLUMNS: Final = (("Hole", 12.0), ("X", 18.0), ("Y", 18.0))
_WIDE: Final = sum(width for _, width in _COLUMNS)
_APART: Final = 8.0
"""Between two columns of the table side by side, mm."""
_ABREAST: Final = 2
LINE: Final = PITCH * SMALL


def hole_table_height(holes: int) -> float:
    """How high the table of so many holes wants to be, mm on paper."""
    return (-(-holes // _ABREAST) + 3) * LINE + LARGE if holes else 0.0


def hole_table(sheet: Sheet, place: Rect, groups: Sequence[HoleGroup], units: Units) -> None:
    """Draw as much of the table as there is room for, from the top of a place down."""
    rows = [row for group in groups for row in group.rows]
    if not rows or place.height < 5 * LINE + LARGE:
        return
    top = place.y1 - LARGE - LINE
    sheet.text((place.x0, top), "Holes, from zero", height=LARGE)
    top -= 1.4 * LARGE
    room = max(1, int((top - place.y0) / LINE) - 2)
    deep = min(room, -(-len(rows) // _ABREAST))
    for column in range(_ABREAST):
        left = place.x0 + column * (_WIDE + _APART)
        here = rows[column * deep : (column + 1) * deep]
        if not here:
            break
        _row(sheet, left, top, [name for name, _ in _COLUMNS], bold=True)
        sheet.line(((left, top - 1.3), (left + _WIDE, top - 1.3)), HAIR)
        for index, (name, at) in enumerate(here, start=1):
            _row(sheet, left, top - 1.0 - index * LINE, [name, *(shop_number(value, units) for value in at)])
    if len(rows) > _ABREAST * deep:
        more = f"and {len(rows) - _ABREAST * deep} more: see the set-up sheet"
        sheet.text((place.x0, top - 1.0 - (deep + 1) * LINE), more)


def _row(sheet: Sheet, left: float, y: float, cells: Sequence[str], *, bold: bool = False) -> None:
    x = left
    for index, (cell, (_, width)) in enumerate(zip(cells, _COLUMNS, strict=True)):
        at = (x + width - 3.0, y) if index else (x, y)
        sheet.text(at, cell, align="right" if index else "left", bold=bold)
        x += width
