"""Slots, pockets, outlines and chamfers on the part drawing: their walls as they run, seen along them and from beside.

The solid of the drawing is made of boxes. As far as a wall does not stand along the axes, boxes only come near to it:
their edges there are ghosts, which go, and the wall itself is drawn instead.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from typing import Final

import numpy as np
from numpy.typing import NDArray

from handwheel.path.arc import Arc
from handwheel.path.box import Box
from handwheel.path.chain import Chain
from handwheel.path.line import XY, Line
from handwheel.path.meant import Meant
from handwheel.path.offset import turn_at_corner
from handwheel.path.outline import OutlineError, trusted
from handwheel.path.outline_offset import moved
from handwheel.path.prism import Prism
from handwheel.show.draw.fixture import on_sheet
from handwheel.show.draw.labels import Floats
from handwheel.show.draw.lines import HIDDEN, VISIBLE
from handwheel.show.draw.marks import draw_label
from handwheel.show.draw.sheet import Sheet
from handwheel.show.draw.solids import Edges
from handwheel.show.draw.views import AXES, TOWARDS, ThirdAngle, View
from handwheel.tolerances import CONTACT, SMOOTH_CORNER
from handwheel.units import Units, shop_number

CHORDS: Final = 48
"""Of the polygon that half a circle is drawn as."""


def boxes_drawn(solids: Iterable[Meant], part: Box) -> list[Box]:
    """The solids as far as the drawing takes them as boxes: of an outline all that is beside the shape, of a pocket
    that opens at a side its straight part, of one within the part nothing."""
    return [box for one in solids for box in _boxes(one, part)]


def _boxes(one: Meant, part: Box) -> Iterator[Box]:
    if isinstance(one.solid, Box):
        yield one.solid
    elif isinstance(one.solid, Prism) and not one.solid.draft:
        if len(one.solid.outlines) > 1:
            yield from _beside(one.solid)
        elif not _is_enclosed(one.solid, part):
            yield from one.solid.boxes_within


def _beside(prism: Prism) -> Iterator[Box]:
    """What of an outline's surroundings is beside the least box round the shape."""
    outer, inner = prism.box, Prism(prism.axis, prism.outlines[1:], prism.base, prism.end).box
    for axis in _plane(prism):
        for low, high in ((outer.low[axis], inner.low[axis]), (inner.high[axis], outer.high[axis])):
            if high - low > CONTACT:
                corners = [list(outer.low), list(outer.high)]
                corners[0][axis], corners[1][axis] = low, high
                yield Box(tuple(corners[0]), tuple(corners[1]))  # type: ignore[arg-type]


def without_ghosts(view: View, seen: Edges, solids: Iterable[Meant], part: Box) -> Edges:
    """The edges without those that only the boxes have."""
    visible, hidden = seen.visible, seen.hidden
    for one in solids:
        prism = one.solid
        if isinstance(prism, Prism) and not prism.draft and not _is_enclosed(prism, part):
            visible, hidden = (lines[~_ghosts(view, lines, prism)] for lines in (visible, hidden))
    return Edges(visible, hidden)


def _ghosts(view: View, lines: Floats, prism: Prism) -> NDArray[np.bool_]:
    if not len(lines):
        return np.zeros(0, dtype=bool)
    deep, _ = TOWARDS[view.name]
    middle = lines.mean(axis=1)
    if deep == prism.axis:
        swapped = AXES[view.name] != _plane(prism)
        points = middle[:, ::-1] if swapped else middle
        if len(prism.outlines) > 1:
            # the sides of the least box round the shape: the shape itself is drawn
            low, high = _flat_box(prism.outlines[1:])
            ends = lines[:, :, ::-1] if swapped else lines
            on = [
                np.abs(ends[:, :, axis] - at).max(axis=1) <= CONTACT
                for axis in (0, 1)
                for at in (low[axis], high[axis])
            ]
            return np.asarray(np.logical_or.reduce(on))
        inside = trusted(prism.outlines[0]).distance(points) < -CONTACT
        return np.asarray(inside)
    along = AXES[view.name].index(prism.axis)
    across = AXES[view.name][1 - along]
    upright = np.abs(lines[:, 0, 1 - along] - lines[:, 1, 1 - along]) <= CONTACT
    foot, head = min(prism.base, prism.end), max(prism.base, prism.end)
    within = (middle[:, along] > foot) & (middle[:, along] < head)
    marks = [value for box in _boxes(Meant(prism), prism.box) for value in (box.low[across], box.high[across])]
    own = _near(middle[:, 1 - along], marks)
    return np.asarray(upright & within & own & ~_near(middle[:, 1 - along], _seen_from_beside(prism, across)))


def _near(values: Floats, marks: Sequence[float]) -> NDArray[np.bool_]:
    if not marks:
        return np.zeros(len(values), dtype=bool)
    return np.asarray((np.abs(values[:, None] - np.array(marks)) <= CONTACT).any(axis=1))


def draw_prisms(sheet: Sheet, views: ThirdAngle, solids: Sequence[Meant], part: Box, units: Units) -> None:
    """Draw the walls of every prism in every view, and say its radii, its depth or its leg."""
    prisms = [one for one in solids if isinstance(one.solid, Prism)]
    for view in views:
        for one in prisms:
            assert isinstance(one.solid, Prism)
            if TOWARDS[view.name][0] == one.solid.axis:
                _draw_along(sheet, view, one.solid, part)
            else:
                _draw_beside(sheet, view, one.solid, part)
    for one in solids:
        if isinstance(one.solid, Box) and (depth := _slot_depth(one.solid, part)):
            x, y, _ = Box(tuple(map(max, one.solid.low, part.low)), tuple(map(min, one.solid.high, part.high))).centre  # type: ignore[arg-type]
            _label(sheet, views.plan, (x, y), f"↧{shop_number(depth, units)}")
    said: set[str] = set()
    for one in prisms:
        if one.solid.axis == 2:  # type: ignore[union-attr]
            for at, words in _callouts(one, part, units):
                # from above and from below the same corner is said once
                if words not in said:
                    _label(sheet, views.plan, at, words)
                said.add(words)


def _slot_depth(box: Box, part: Box) -> float:
    """How deep a slot from end to end is in the part, mm; 0 of what is no such slot."""
    through = [box.low[k] <= part.low[k] + CONTACT and box.high[k] >= part.high[k] - CONTACT for k in (0, 1, 2)]
    between = [box.low[k] > part.low[k] + CONTACT and box.high[k] < part.high[k] - CONTACT for k in (0, 1, 2)]
    if through[2] or not ((through[0] and between[1]) or (through[1] and between[0])):
        return 0.0
    return max(0.0, min(box.high[2], part.high[2]) - max(box.low[2], part.low[2]))


def _own(prism: Prism) -> tuple[Chain, ...]:
    """The walls themselves: of an outline's surroundings the shape."""
    return prism.outlines[1:] if len(prism.outlines) > 1 else prism.outlines


def _draw_along(sheet: Sheet, view: View, prism: Prism, part: Box) -> None:
    chains = list(_own(prism))
    # an outline is the part's own edge from either side
    opens = len(prism.outlines) > 1 or (prism.end - prism.base) * TOWARDS[view.name][1] > 0.0
    if prism.draft:
        grown = prism.draft * abs(prism.end - prism.base)
        with suppress(OutlineError, ValueError):
            chains += moved(_own(prism), -grown if len(prism.outlines) > 1 else grown)
    low, high = (np.array(corner)[list(_plane(prism))] for corner in (part.low, part.high))
    swapped = AXES[view.name] != _plane(prism)
    for chain in chains:
        points = np.array(list(_polygon(chain)))
        lines = np.stack([points[:-1], points[1:]], axis=1)
        within = ((lines > low - CONTACT) & (lines < high + CONTACT)).all(axis=(1, 2))
        lines = lines[within][:, :, ::-1] if swapped else lines[within]
        sheet.segments(view.clip(on_sheet(view, lines)), VISIBLE if opens else HIDDEN)


def _draw_beside(sheet: Sheet, view: View, prism: Prism, part: Box) -> None:
    """Walls that have an edge there or turn away, and the floor; within the work they are hidden."""
    if prism.draft:
        return
    along = AXES[view.name].index(prism.axis)
    across = AXES[view.name][1 - along]
    low, high = part.low[across], part.high[across]
    bottom, top = (min(max(value, part.low[prism.axis]), part.high[prism.axis]) for value in (prism.base, prism.end))
    marks = [value for value in _seen_from_beside(prism, across) if low + CONTACT < value < high - CONTACT]
    kind = VISIBLE if len(prism.outlines) > 1 else HIDDEN
    lines = [[[value, bottom], [value, top]] for value in marks]
    if len(prism.outlines) == 1 and _is_enclosed(prism, part):
        first, last = _flat_box(_own(prism))
        index = _plane(prism).index(across)
        lines.append([[first[index], bottom], [last[index], bottom]])
    if lines:
        flat = np.array(lines)
        sheet.segments(view.clip(on_sheet(view, flat if along == 1 else flat[:, :, ::-1])), kind)


def _seen_from_beside(prism: Prism, across: int) -> list[float]:
    """Where along an axis a wall has a sharp edge, or turns away from somebody who looks square to that axis."""
    index = _plane(prism).index(across)
    found = []
    for chain in _own(prism):
        for before, after in zip((chain[-1], *chain), chain, strict=False):
            if abs(turn_at_corner(before.end_direction, after.start_direction)) > SMOOTH_CORNER:
                found.append(after.start[index])
        low, high = _flat_box((chain,))
        found += [low[index], high[index]]
    return sorted(set(found))


def _callouts(one: Meant, part: Box, units: Units) -> Iterator[tuple[XY, str]]:
    """Where something is said of it, and what."""
    prism = one.solid
    assert isinstance(prism, Prism)
    if prism.draft:
        leg = prism.draft * abs(prism.end - prism.base)
        angle = math.degrees(math.atan(prism.draft))
        start = _own(prism)[0][0]
        at = (
            start.start
            if isinstance(start, Arc)
            else tuple((a + b) / 2 for a, b in zip(start.start, start.end, strict=True))
        )
        at = tuple(min(max(value, low), high) for value, low, high in zip(at, part.low, part.high, strict=False))
        yield (at[0], at[1]), f"{shop_number(leg, units)} X {angle:g}°"
        return
    arcs = [piece for chain in _own(prism) for piece in chain if isinstance(piece, Arc) and _touches(piece, part)]
    mouth = min(max(prism.end, part.low[2]), part.high[2])
    depth = "" if len(prism.outlines) > 1 else f" ↧{shop_number(abs(mouth - prism.base), units)}"
    counts = Counter(round(arc.radius, 6) for arc in arcs)
    for number, (radius, count) in enumerate(counts.items()):
        arc = next(one for one in arcs if round(one.radius, 6) == radius)
        times = f"{count}X " if count > 1 else ""
        whole = (
            sum(abs(one.turn) for one in arcs if round(one.radius, 6) == radius) > 2.0 * math.pi - 1e-6 and count == 2
        )
        size = f"∅{shop_number(2 * radius, units)}" if whole else f"{times}R{shop_number(radius, units)}"
        yield _middle_of(arc), size + ("" if number else depth)


def _label(sheet: Sheet, view: View, at: XY, words: str) -> None:
    x, y = view.on_paper((at[0], at[1], 0.0)).tolist()
    draw_label(sheet, (x, y), words)


def _middle_of(arc: Arc) -> XY:
    start = math.atan2(arc.start[1] - arc.centre[1], arc.start[0] - arc.centre[0]) + arc.turn / 2
    return (arc.centre[0] + arc.radius * math.cos(start), arc.centre[1] + arc.radius * math.sin(start))


def _touches(arc: Arc, part: Box) -> bool:
    return all(part.low[k] - CONTACT <= _middle_of(arc)[k] <= part.high[k] + CONTACT for k in (0, 1))


def _polygon(chain: Chain) -> Iterator[XY]:
    yield chain[0].start
    for piece in chain:
        if isinstance(piece, Line):
            yield piece.end
            continue
        count = max(2, math.ceil(CHORDS * abs(piece.turn) / math.pi))
        start = math.atan2(piece.start[1] - piece.centre[1], piece.start[0] - piece.centre[0])
        for index in range(1, count + 1):
            angle = start + piece.turn * index / count
            yield (piece.centre[0] + piece.radius * math.cos(angle), piece.centre[1] + piece.radius * math.sin(angle))


def _plane(prism: Prism) -> tuple[int, int]:
    first, second = (axis for axis in range(3) if axis != prism.axis)
    return (first, second)


def _flat_box(chains: Sequence[Chain]) -> tuple[XY, XY]:
    points = np.array([point for chain in chains for point in _polygon(chain)])
    (a, b), (c, d) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    return (a, b), (c, d)


def _is_enclosed(prism: Prism, part: Box) -> bool:
    """Whether its walls stand within the part all round."""
    box = prism.box
    return len(prism.outlines) == 1 and all(
        box.low[axis] > part.low[axis] + CONTACT and box.high[axis] < part.high[axis] - CONTACT
        for axis in _plane(prism)
    )
