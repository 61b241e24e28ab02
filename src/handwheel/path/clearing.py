"""Ways of a cutter's center that clear a pocket, or all that stands round an outline, by even offsets.

Rings run at even distances from the wall. A ring clears its own radius on either side; where rings as far apart as
asked for would leave a ridge in a corner or in the middle, they come nearer, at the nearest by the cutter's radius:
from there nothing can be left.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from handwheel.path.arc import Arc
from handwheel.path.chain import Chain, length, reversed_chain
from handwheel.path.line import XY, Line
from handwheel.path.offset import Piece
from handwheel.path.outline import Outline, chain_area, cut_piece, rectangle, trusted
from handwheel.path.outline_offset import moved
from handwheel.path.pieces import Floats, Pieces, points_of, table
from handwheel.tolerances import CONTACT

Level = tuple[Chain, ...]

NEARER = 5
"""Distances of rings that are tried, from the width asked for down to the cutter's radius."""

LOOKED_AT = 40
"""Points in a cutter's radius at which it is looked for a ridge."""


@dataclass(frozen=True)
class Clearing:
    """A way of the cutter's center; ``full_metal`` tells whether it starts where nothing has been cut yet."""

    chain: Chain
    full_metal: bool


def clear_inside(
    outline: Outline,
    cutter_radius: float,
    width: float,
    finish: float = 0.0,
    *,
    climb: bool = True,
    inwards: bool = False,
) -> tuple[Clearing, ...]:
    """Clear the inside of an outline.

    Parameters
    ----------
    outline : the finished wall
    cutter_radius : mm
    width : greatest distance of one ring from the next, mm; under the cutter's diameter
    finish : what stays on the wall, mm
    climb : whether the cutter climbs at the wall (it turns clockwise seen from above)
    inwards : from the wall to the middle, instead of from the middle to the wall

    Returns
    -------
    tuple of Clearing
        In the order in which they are cut. Where the cutter does not fit at all there is none. Steps from ring to
        ring are straight, and never leave the region of the centre.

    Examples
    --------
    >>> from handwheel.path.chain import corners
    >>> (way,) = clear_inside(rectangle((0.0, 0.0), (20.0, 12.0)), 4.0, 3.0)
    >>> corners(way.chain)
    ((10.0, 4.0), (16.0, 4.0), (16.0, 8.0), (4.0, 8.0), (4.0, 4.0), (10.0, 4.0))
    """
    _refuse_odd(cutter_radius, width, finish)
    levels = list(_levels([outline.pieces], cutter_radius, width, finish))
    return _nested(levels, climb, inwards)


def clear_outside(
    outline: Outline,
    raw: tuple[XY, XY],
    cutter_radius: float,
    width: float,
    finish: float = 0.0,
    *,
    climb: bool = True,
    run_off: float = 0.0,
) -> tuple[Clearing, ...]:
    """Clear everything of a raw block that stands outside an outline, from its sides to the outline.

    Parameters
    ----------
    outline, cutter_radius, width, finish, climb : as for :func:`clear_inside`
    raw : low and high corner of the raw block seen from above, mm
    run_off : how far the cutter's edge runs clear of the raw sides at both ends of a way, mm

    Returns
    -------
    tuple of Clearing
        Ways that begin and end beside the block; last those within a bay of the outline that the cutter cannot get
        into from beside, which start in full metal.
    """
    _refuse_odd(cutter_radius, width, finish)
    reach = cutter_radius + run_off
    (left, front), (right, back) = raw
    low, high = (left - reach, front - reach), (right + reach, back + reach)
    bays: list[Level] = []
    ways: list[Clearing] = []
    for level in _levels([outline.clockwise], cutter_radius, width, finish):
        clips = [_clipped(loop, low, high) for loop in level]
        if not any(clips):
            break
        open_to_it = [chain_area(loop) < 0.0 for loop in level]
        bays.append(tuple(loop for loop, cut, is_open in zip(level, clips, open_to_it, strict=True) if is_open or cut))
        round_about = [one for cut, is_open in zip(clips, open_to_it, strict=True) if is_open for one in cut]
        ways[:0] = [Clearing(_led_in(one, low, high, climb), False) for one in round_about]
    return (*ways, *_nested(bays, climb, inwards=False))


def _refuse_odd(cutter_radius: float, width: float, finish: float) -> None:
    if not 0.0 < width < 2.0 * cutter_radius:
        raise ValueError(f"rings {width:g} mm apart leave ridges behind a cutter of radius {cutter_radius:g} mm")
    if finish < 0.0:
        raise ValueError(f"{finish:g} mm is nothing to leave on a wall")


def _levels(loops: Sequence[Chain], radius: float, width: float, finish: float) -> Iterator[Level]:
    """Rings from the wall on; a region has its walls on the right."""
    depth = radius + finish
    level = moved(loops, -depth)
    while level:
        yield level
        depth, level = _next_level(loops, depth, radius, width)


def _next_level(loops: Sequence[Chain], depth: float, radius: float, width: float) -> tuple[float, Level]:
    """The next ring inwards, as far from the last one as leaves nothing between."""
    if width > radius:
        beyond = moved(loops, -depth - radius)
        for step in np.linspace(width, radius, NEARER)[:-1].tolist():
            level = moved(loops, -depth - step)
            if not _ridge(beyond, level, radius):
                return depth + step, level
        return depth + radius, beyond
    return depth + width, moved(loops, -depth - width)


def _ridge(beyond: Level, level: Level, radius: float) -> bool:
    """Whether of what the last ring has left (``beyond``) the next one leaves anything."""
    if not beyond or not level:
        return bool(beyond)
    edge = np.concatenate([_points(loop, radius / LOOKED_AT) for loop in beyond])
    return bool(_table(level).distance(edge).max() > radius + CONTACT)


def _points(loop: Chain, apart: float) -> Floats:
    pieces = table(loop)
    counts = np.maximum(2, np.ceil(pieces.lengths / apart)).astype(int)
    index = np.repeat(np.arange(len(counts)), counts)
    place = np.arange(len(index)) - np.repeat(np.cumsum(counts) - counts, counts)
    return pieces.at(index, place / counts[index])


def _table(level: Level) -> Pieces:
    return table(piece for loop in level for piece in loop)


def _nested(levels: Sequence[Level], climb: bool, inwards: bool) -> tuple[Clearing, ...]:
    """Ring after ring, from the innermost one of each part outwards; where parts meet, the longest way goes on."""
    done: list[Clearing] = []
    inner: dict[int, list[Chain]] = {}
    for number in range(len(levels) - 1, -1, -1):
        outer: dict[int, list[Chain]] = {}
        for index, loop in enumerate(levels[number]):
            if chain_area(loop) < 0.0:
                continue
            ring = trusted(loop if climb != inwards else reversed_chain(loop))
            *others, way = sorted(inner.get(index, [()]), key=length)
            done += [Clearing(_stepped(other, ring) if inwards else other, not inwards) for other in others]
            chain = (*_stepped(way, ring), *ring.started_at(way[-1].end).pieces) if way else ring.started_at().pieces
            parent = _around(chain[-1].end, levels[number - 1]) if number else None
            if parent is None:
                done.append(Clearing(chain, True))
            else:
                outer.setdefault(parent, []).append(chain)
        inner = outer
    return (
        tuple(Clearing(reversed_chain(one.chain), one.full_metal) for one in reversed(done)) if inwards else tuple(done)
    )


def _stepped(chain: Chain, ring: Outline) -> Chain:
    """The chain, and the straight step from its end to the nearest point of the next ring outwards."""
    start, end = chain[-1].end, ring.started_at(chain[-1].end).corners[0]
    return (*chain, Line(start, end)) if math.dist(start, end) > CONTACT else chain


def _around(point: XY, level: Level) -> int | None:
    """Which ring of the next level outwards is round a point; ``None`` where the point is open to the outside."""
    ways = [float(table(loop).distance(points_of([point]))[0]) for loop in level]
    nearest = int(np.argmin(ways))
    return nearest if chain_area(level[nearest]) > 0.0 else None


def _clipped(loop: Chain, low: XY, high: XY) -> list[Chain]:
    """What of a closed chain is within a rectangle: all of it, or every stretch."""
    cut = table([*loop, *rectangle(low, high).pieces])
    source, start, end = cut.stretches()
    own = source < len(loop)
    source, start, end = source[own], start[own], end[own]
    middle = cut.at(source, (start + end) / 2)
    within = np.all((middle > low) & (middle < high), axis=1)
    if within.all():
        return [loop]
    chains: list[list[Piece]] = []
    first = int(np.flatnonzero(~within)[0])
    inside = False
    for index in np.roll(np.arange(len(source)), -first).tolist():
        if within[index]:
            if not inside:
                chains.append([])
            chains[-1].append(cut_piece(loop[source[index]], float(start[index]), float(end[index])))
        inside = bool(within[index])
    return [tuple(chain) for chain in chains]


def _led_in(chain: Chain, low: XY, high: XY, climb: bool) -> Chain:
    """A stretch as it is; a whole ring with the straight way to it from beside the block, where that is shortest."""
    way = chain if climb else reversed_chain(chain)
    if math.dist(way[0].start, way[-1].end) > CONTACT:
        return way
    ring = trusted(way)
    (left, front), (right, back) = ring.box2
    room = {
        (-1.0, 0.0): left - low[0],
        (1.0, 0.0): high[0] - right,
        (0.0, -1.0): front - low[1],
        (0.0, 1.0): high[1] - back,
    }
    (x, y), away = min(room.items(), key=lambda one: one[1])
    started = ring.started_at(_outermost(ring, (x, y)))
    start = started.corners[0]
    beside = (start[0] + x * away, start[1] + y * away)
    return (Line(beside, start), *started.pieces, Line(start, beside)) if away > CONTACT else started.pieces


def _outermost(ring: Outline, way: XY) -> XY:
    """The point of a ring that is furthest in a direction along an axis."""
    arcs = [piece for piece in ring.pieces if isinstance(piece, Arc)]
    tops = points_of([(arc.centre[0] + arc.radius * way[0], arc.centre[1] + arc.radius * way[1]) for arc in arcs])
    points = np.concatenate([points_of(ring.corners), tops[ring.table.distance(tops) <= CONTACT]])
    x, y = points[int(np.argmax(points @ np.array(way)))].tolist()
    return (x, y)
