"""Vise, parallels, table and work in a view: what stands round the work is drawn as adjacent parts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np

from handwheel.path.blocks import Blocks, blocks
from handwheel.path.box import Box
from handwheel.path.meant import Meant
from handwheel.setup import Setup
from handwheel.show.draw.labels import Floats, Rect, clipped_share
from handwheel.show.draw.lines import ADJACENT, HIDDEN, THIN, VISIBLE, LineKind
from handwheel.show.draw.sheet import Sheet
from handwheel.show.draw.solids import edges
from handwheel.show.draw.views import View, edges_of


def draw_vise(sheet: Sheet, view: View, setup: Setup, kind: LineKind = ADJACENT) -> None:
    """Jaws, bed, parallels and table, as far as this view shows them; cut off with a break line at its window."""
    work = view.rect(setup.raw)
    shown = [setup.fixed_jaw, setup.movable_jaw]
    if view.name == "right":
        shown += setup.parallels
    for box in shown:
        _box(sheet, view, view.rect(box), kind)
    _box(sheet, view, view.rect(setup.bed), kind, under=work if view.name == "plan" else None)
    if view.name == "plan":
        for box in setup.parallels:
            for rest in _beside(view.rect(box), work):
                _box(sheet, view, rest, kind)
    elif view.name == "front":
        jaw = view.rect(setup.movable_jaw)
        for box in setup.parallels[:1]:
            for rest in _beside(view.rect(box), jaw):
                _box(sheet, view, rest, kind)
    if view.name != "plan":
        top = float(view.on_paper((0.0, 0.0, setup.table.high[2]))[1])
        sheet.segments(view.clip([((view.window.x0, top), (view.window.x1, top))]), kind)


def work_lines(view: View, setup: Setup) -> Floats:
    """The edges of the work as it came in."""
    if not setup.before:
        return view.edges(setup.raw)
    return view.clip(on_sheet(view, edges(setup.shape, view.name).visible))


def as_left(setup: Setup) -> Blocks:
    """The work as this set-up is meant to leave it."""
    return blocks(setup.stock, boxes_of((*setup.before, *setup.intended)))


def boxes_of(solids: Iterable[Meant]) -> list[Box]:
    """As far as they are boxes: bores are drawn by themselves, and so are walls that do not stand along the axes."""
    return [box for one in solids for box in one.boxes_within]


def draw_work(sheet: Sheet, view: View, setup: Setup, part: Blocks) -> None:
    """The raw block, hidden where the movable jaw stands before it, and the finished edges within it."""
    raw = work_lines(view, setup) if setup.before else edges_of(view.rect(setup.raw))
    if view.name == "front":
        jaw = view.rect(setup.movable_jaw)
        before, behind = _split(raw, jaw)
        sheet.segments(view.clip(before), VISIBLE)
        sheet.segments(view.clip(behind), HIDDEN)
    else:
        sheet.segments(view.clip(raw), VISIBLE)
    finished = on_sheet(view, edges(part, view.name).visible)
    sheet.segments(view.clip(off_sides(finished, view.rect(setup.raw))), THIN)


def on_sheet(view: View, flat: Floats) -> Floats:
    """Lines in a view's own two coordinates, (n, 2, 2) mm, as lines on paper."""
    return np.asarray(view.origin) + view.scale * flat


def off_sides(lines: Floats, rect: Rect) -> Floats:
    """Without those that lie on the rectangle's own sides."""
    x, y = lines[..., 0], lines[..., 1]
    on = np.zeros(len(lines), dtype=bool)
    for values, sides in ((x, (rect.x0, rect.x1)), (y, (rect.y0, rect.y1))):
        for side in sides:
            on |= (np.abs(values - side) < 1e-3).all(axis=1)
    return lines[~on]


def _split(lines: Floats, rect: Rect) -> tuple[Floats, Floats]:
    """The stretches of lines outside and inside a rectangle."""
    first, last, inside = clipped_share(lines, rect)
    first, last = np.where(inside, first, 0.0), np.where(inside, last, 0.0)
    start, along = lines[:, :1], lines[:, 1:] - lines[:, :1]

    def part(low: Floats, high: Floats) -> Floats:
        ends = np.concatenate([start + low[:, None, None] * along, start + high[:, None, None] * along], axis=1)
        return ends[high - low > 1e-9]

    whole = np.ones(len(lines))
    return np.concatenate([part(0 * whole, first), part(last, whole)]), part(first, last)


def _beside(rect: Rect, block: Rect) -> Iterator[Rect]:
    """What of a rectangle stands left and right of a block in front of it."""
    if rect.x0 < block.x0:
        yield Rect(rect.x0, rect.y0, min(rect.x1, block.x0), rect.y1)
    if rect.x1 > block.x1:
        yield Rect(max(rect.x0, block.x1), rect.y0, rect.x1, rect.y1)


def _box(sheet: Sheet, view: View, rect: Rect, kind: LineKind, under: Rect | None = None) -> None:
    """A box as far as the window shows it and nothing lies on it, with break lines where the window cuts it off."""
    window = view.window
    if not rect.overlaps(window):
        return
    sides = edges_of(rect)
    sheet.segments(view.clip(sides if under is None else _split(sides, under)[0]), kind)
    for beyond, ends in (
        (rect.y0 < window.y0, ((rect.x0, window.y0), (rect.x1, window.y0))),
        (rect.y1 > window.y1, ((rect.x0, window.y1), (rect.x1, window.y1))),
        (rect.x0 < window.x0, ((window.x0, rect.y0), (window.x0, rect.y1))),
        (rect.x1 > window.x1, ((window.x1, rect.y0), (window.x1, rect.y1))),
    ):
        if beyond:
            _break_line(sheet, np.clip(ends, (window.x0, window.y0), (window.x1, window.y1)))


def _break_line(sheet: Sheet, ends: Floats) -> None:
    """A narrow line with one zigzag: the part goes on (ISO 128-2, from memory)."""
    start, end = ends
    length = float(np.hypot(*(end - start)))
    if length < 6.0:
        sheet.line(ends, THIN)
        return
    along = (end - start) / length
    across = np.array([-along[1], along[0]])
    middle = (start + end) / 2
    zigzag = [start, middle - 1.5 * along, middle - 0.6 * along + 1.6 * across, middle + 0.6 * along - 1.6 * across]
    sheet.line([*zigzag, middle + 1.5 * along, end], THIN)


def around_work(setup: Setup) -> Box:
    """The work with the jaws' whole width, and across them as much of each jaw as shows what it is."""
    work, low, high = setup.raw, setup.movable_jaw, setup.fixed_jaw
    half = high.size[1] / 2
    return Box(
        (min(work.low[0], low.low[0]), work.low[1] - half, work.low[2]),
        (max(work.high[0], low.high[0]), work.high[1] + half, max(work.high[2], setup.jaw_top)),
    )
