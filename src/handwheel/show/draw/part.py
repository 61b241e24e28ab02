"""The drawing of the finished part: three views with the job's sizes, the zero faces as datums, a table of limits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from handwheel.path.blocks import Blocks, blocks
from handwheel.plan import Plan
from handwheel.plan.hole_table import hole_groups
from handwheel.show.draw.bores import draw_bores
from handwheel.show.draw.datums import datum_words, draw_datums
from handwheel.show.draw.dimensioning import FIRST, NEXT, Extent, clearance, dimension
from handwheel.show.draw.fixture import boxes_of, on_sheet
from handwheel.show.draw.hole_table import hole_table, hole_table_height
from handwheel.show.draw.labels import Floats, Rect
from handwheel.show.draw.lettering import LARGE, PITCH, SMALL, elided
from handwheel.show.draw.lines import HAIR, HIDDEN, VISIBLE
from handwheel.show.draw.prisms import boxes_drawn, draw_prisms, without_ghosts
from handwheel.show.draw.sheet import Sheet, plain_settings
from handwheel.show.draw.sizes import Measured, measured, reference_depths
from handwheel.show.draw.solids import Edges, edges
from handwheel.show.draw.titles import title_of
from handwheel.show.draw.views import AXES, ThirdAngle, ViewName, third_angle
from handwheel.tolerances import CONTACT
from handwheel.units import shop_number

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from handwheel.proof import SetupProof
    from handwheel.setup import Setup

Side = Literal["below", "above", "left", "right"]

PLACES: Final[dict[str, tuple[tuple[ViewName, Side], ...]]] = {
    "x": (("plan", "above"), ("front", "below")),
    "y": (("right", "below"), ("right", "above"), ("plan", "left")),
    "z": (("right", "right"), ("front", "left")),
}
"""Beside which views a size along each axis may stand, the usual place first."""
MARGIN: Final = FIRST + 2 * NEXT + 4
"""What is kept free round the views for sizes, mm on paper."""
MOST_OFFSET: Final = 60.0
"""No dimension line stands further from its view, mm on paper."""
GAP: Final = 17.0
"""Between the views, mm."""


@dataclass(frozen=True, slots=True)
class Option:
    """A place for a size: ``edge`` is where the view ends there on paper, ``outwards`` which way is away from it."""

    cost: float
    place: tuple[ViewName, Side]
    extent: Extent
    edge: float
    outwards: float


@plain_settings()
def part_drawing(setup: Setup, plan: Plan, proof: SetupProof) -> Figure:
    """The part as the job intends it: what is left of the stock without what its operations remove."""
    del plan, proof
    job = setup.job
    sheet = Sheet(job.units)
    solids = (*setup.intended, *setup.elsewhere)
    part = blocks(setup.stock, boxes_drawn(solids, setup.stock))
    groups = hole_groups(setup)
    views, beside = _layout(sheet, part, setup, sum(len(group.places) for group in groups))
    sheet.title_block(title_of(job, "part", views.scale))
    hole_table(sheet, _size_table(sheet, beside, setup), groups, job.units)
    sheet.notes(_notes(setup))
    seen = {view.name: without_ghosts(view, edges(part, view.name), solids, setup.stock) for view in views}
    for view in views:
        sheet.segments(on_sheet(view, seen[view.name].hidden), HIDDEN)
        sheet.segments(on_sheet(view, seen[view.name].visible), VISIBLE)
        sheet.room.take(view.window)
    draw_prisms(sheet, views, solids, part.box, job.units)
    draw_bores(sheet, views, solids, part.box, groups)
    draw_datums(sheet, views, setup)
    _sizes(sheet, views, blocks(setup.stock, boxes_of(solids)), seen, setup)
    return sheet.figure


def _layout(sheet: Sheet, part: Blocks, setup: Setup, holes: int) -> tuple[ThirdAngle, Rect]:
    """The views, and the place for the table: in the quarter that the views leave free, else in a column or a strip of
    its own, whichever lets the views be larger."""
    field, box = sheet.field, part.box
    whole = Rect(field.x0 + MARGIN, field.y0 + MARGIN, field.x1 - MARGIN, field.y1 - MARGIN)
    if not setup.dimensions and not holes:
        return third_angle(whole, box, setup.job.units, GAP), field
    height = (len(setup.dimensions) + 2) * PITCH * SMALL + LARGE + hole_table_height(holes)
    views = third_angle(whole, box, setup.job.units, GAP, to_left=True)
    quarter = Rect(views.plan.window.x1 + 8, views.right.window.y1 + GAP, field.x1, field.y1)
    if quarter.width >= _TABLE_WIDTH and quarter.height >= height:
        return views, quarter
    strip = min(height + 4, 0.4 * field.height)
    column = Rect(whole.x0, whole.y0, field.x1 - MARGIN - _TABLE_WIDTH - 4, whole.y1)
    below = Rect(whole.x0, whole.y0, whole.x1, whole.y1 - strip)
    beside_column = third_angle(column, box, setup.job.units, GAP, to_left=True)
    below_strip = third_angle(below, box, setup.job.units, GAP)
    if beside_column.scale >= below_strip.scale:
        return beside_column, Rect(field.x1 - _TABLE_WIDTH, field.y0, field.x1, field.y1)
    return below_strip, Rect(field.x1 - _TABLE_WIDTH, field.y1 - strip, field.x1, field.y1)


def _sizes(sheet: Sheet, views: ThirdAngle, part: Blocks, seen: dict[ViewName, Edges], setup: Setup) -> None:
    """Short sizes nearest the view; what finds no room stands in the table alone."""
    used: dict[tuple[ViewName, Side], float] = {}
    found = [one for size in setup.dimensions if (one := measured(size, part, setup)) is not None]
    found += reference_depths(found, part, setup)
    for one in sorted(found, key=lambda each: each.last - each.first):
        words = one.words
        options = [_option(views, seen, one, place, rank) for rank, place in enumerate(PLACES[one.axis])]
        tries = ((option, further) for option in sorted(options, key=lambda each: each.cost) for further in range(2))
        for option, further in tries:
            away, thickness = clearance(option.extent.axis, words, setup.job.units)
            offset = max(used.get(option.place, 0.0) + thickness, away) + further * thickness
            if offset <= MOST_OFFSET and dimension(sheet, option.extent, option.edge + option.outwards * offset, words):
                used[option.place] = offset + thickness - NEXT
                break


def _option(
    views: ThirdAngle, seen: dict[ViewName, Edges], one: Measured, place: tuple[ViewName, Side], rank: int
) -> Option:
    """A size beside a view, and what speaks against it: hidden faces, and extension lines across the view."""
    name, side = place
    view = next(view for view in views if view.name == name)
    axis: Literal[0, 1] = 1 if "xyz".index(one.axis) == AXES[name][1] else 0
    through = one.through["xyz"[AXES[name][1 - axis]]]
    towards_high = side in ("above", "right")
    window = view.window
    edge = {"below": window.y0, "above": window.y1, "left": window.x0, "right": window.x1}[side]
    cost, starts = float(rank), []
    for end in (one.first, one.last):
        start, penalty = _face(seen[name], axis, end, through, towards_high)
        starts.append(edge if start is None else view.origin[1 - axis] + view.scale * start)
        cost += penalty + 0.2 * abs(edge - starts[-1])
    first, last = (view.origin[axis] + view.scale * end for end in (one.first, one.last))
    return Option(cost, place, Extent(axis, first, last, *starts), edge, 1.0 if towards_high else -1.0)


def _face(seen: Edges, axis: int, at: float, through: float, towards_high: bool) -> tuple[float | None, float]:
    """Where the extension line of a face starts, and what it costs that the face is hidden or is not seen there."""
    for lines, penalty in ((seen.visible, 0.0), (seen.hidden, 40.0)):
        ranges = _ranges(lines, axis, at)
        holding = ranges[(ranges[:, 0] <= through + CONTACT) & (ranges[:, 1] >= through - CONTACT)]
        for chosen, extra in ((holding, 0.0), (ranges, 10.0)):
            if len(chosen):
                return float(chosen[:, 1].max() if towards_high else chosen[:, 0].min()), penalty + extra
    return None, 80.0


def _ranges(lines: Floats, axis: int, at: float) -> Floats:
    """The stretches, (n, 2), of edges that stand square to an axis at a coordinate of it."""
    on = (np.abs(lines[:, :, axis] - at) <= 1e-5).all(axis=1)
    return np.sort(lines[on][:, :, 1 - axis], axis=1)


_COLUMNS: Final = (("Size", 32.0), ("Nominal", 18.0), ("Least", 18.0), ("Most", 18.0), ("Gauge", 35.0))
_TABLE_WIDTH: Final = sum(width for _, width in _COLUMNS)


def _size_table(sheet: Sheet, place: Rect, setup: Setup) -> Rect:
    """Every size with its limits and its gauge; the room that is left below."""
    if not setup.dimensions:
        return place
    left, y = place.x1 - _TABLE_WIDTH, place.y1 - LARGE
    sheet.text((left, y), f"Sizes in {'inches' if setup.job.units == 'in' else 'millimeters'}", height=LARGE)
    y -= 1.4 * LARGE

    def row(cells: Sequence[str], bold: bool = False) -> None:
        x = left
        for index, (cell, (_, width)) in enumerate(zip(cells, _COLUMNS, strict=True)):
            number = 1 <= index <= 3
            at = (x + width - 3.0, y) if number else (x, y)
            sheet.text(at, elided(cell, width - 2.0, bold=bold), align="right" if number else "left", bold=bold)
            x += width

    row([name for name, _ in _COLUMNS], bold=True)
    sheet.line(((left, y - 1.3), (place.x1, y - 1.3)), HAIR)
    y -= 1.0
    for index, size in enumerate(setup.dimensions):
        y -= PITCH * SMALL
        if y - 2 * PITCH * SMALL < place.y0 and index + 1 < len(setup.dimensions):
            sheet.text((left, y), f"and {len(setup.dimensions) - index} more: see the inspection sheet")
            return Rect(left, place.y0, place.x1, y)
        lengths = [shop_number(length, setup.job.units) for length in (size.nominal, size.lower, size.upper)]
        row([size.name, *lengths, size.gauge])
    return Rect(left, place.y0, place.x1, y - PITCH * SMALL)


def _notes(setup: Setup) -> list[str]:
    """Which faces the zeros are, the general tolerance where it holds, the raw block, the job's own notes."""
    general = any(size.plus is None and size.minus is None for size in setup.dimensions)
    tolerance = ["No tolerance shown: ISO 2768-m."] if general else []
    raw = " x ".join(shop_number(length, setup.job.units) for length in setup.job.stock.size)
    return [*datum_words(setup), *tolerance, f"Raw block {raw}.", setup.job.notes or "Break sharp edges."]
