"""Many lines and arcs as one table: how far points are from them, how often they go round a point, where they meet."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from handwheel.path.arc import FULL, Arc
from handwheel.path.line import XY
from handwheel.path.offset import Piece
from handwheel.tolerances import SNAP

Floats: TypeAlias = NDArray[np.float64]
Bools: TypeAlias = NDArray[np.bool_]
Index: TypeAlias = NDArray[np.intp]

AT_ONCE = 1_000_000
"""So many pairs are looked at in one go: tens of megabytes."""


SHORTEST = 1e-7
"""A piece is never cut shorter than this, mm."""


class Meetings(NamedTuple):
    """Where pieces meet: (k,) the two of each pair, (k, 2) the point, mm."""

    first: Index
    second: Index
    points: Floats


@dataclass(frozen=True)
class Pieces:
    """``start``, ``end`` and ``centre`` are (n, 2), mm; ``radius`` (n,) mm and ``turn`` (n,) rad are 0 for a line."""

    start: Floats
    end: Floats
    centre: Floats
    radius: Floats
    turn: Floats

    @cached_property
    def is_arc(self) -> Bools:
        """(n,)."""
        arcs: Bools = self.turn != 0.0
        return arcs

    @cached_property
    def lengths(self) -> Floats:
        """(n,), mm."""
        straight = np.hypot(*(self.end - self.start).T)
        return np.where(self.is_arc, self.radius * np.abs(self.turn), straight)

    @cached_property
    def boxes(self) -> tuple[Floats, Floats]:
        """Low and high corners of the boxes that hold each, (n, 2) each."""
        low, high = np.minimum(self.start, self.end), np.maximum(self.start, self.end)
        arc = np.flatnonzero(self.is_arc)
        for axis, way in ((0, 1.0), (1, 1.0), (0, -1.0), (1, -1.0)):
            extreme = self.centre[arc].copy()
            extreme[:, axis] += way * self.radius[arc]
            there = arc[self._within_turn(arc, extreme)]
            edge = self.centre[there, axis] + way * self.radius[there]
            low[there, axis] = np.minimum(low[there, axis], edge)
            high[there, axis] = np.maximum(high[there, axis], edge)
        return low, high

    def at(self, index: Index, share: Floats) -> Floats:
        """The points (k, 2) at which so much of each of the pieces ``index`` is done."""
        start, share = self.start[index], np.asarray(share)[:, None]
        straight = start + (self.end[index] - start) * share
        out = start - self.centre[index]
        angle = self.turn[index][:, None] * share
        turned = np.column_stack([-out[:, 1], out[:, 0]])
        round_about = self.centre[index] + out * np.cos(angle) + turned * np.sin(angle)
        return np.where(self.is_arc[index][:, None], round_about, straight)

    def left(self, index: Index, share: Floats) -> Floats:
        """Unit vectors (k, 2) to the left of the motion there."""
        way = (self.end[index] - self.start[index]) / self.lengths[index][:, None]
        inward = self.centre[index] - self.at(index, share)
        with np.errstate(invalid="ignore", divide="ignore"):
            inward *= (np.sign(self.turn[index]) / self.radius[index])[:, None]
        return np.where(self.is_arc[index][:, None], inward, np.column_stack([-way[:, 1], way[:, 0]]))

    def share(self, index: Index, points: Floats) -> Floats:
        """How much of the pieces ``index`` is done at points (k, 2) on them; before the start of an arc a little below
        0, as far as half of what it leaves of the circle."""
        way = self.end[index] - self.start[index]
        out, there = self.start[index] - self.centre[index], points - self.centre[index]
        with np.errstate(invalid="ignore", divide="ignore"):
            straight = np.sum((points - self.start[index]) * way, axis=1) / np.sum(way * way, axis=1)
            turned = (np.arctan2(_cross(out, there), np.sum(out * there, axis=1)) * np.sign(self.turn[index])) % FULL
            whole = np.abs(self.turn[index])
            turned = np.where(turned > (whole + FULL) / 2, turned - FULL, turned) / whole
        shares: Floats = np.where(self.is_arc[index], turned, straight)
        return shares

    def distance(self, points: Floats) -> Floats:
        """How far the nearest of the pieces is from each of points (m, 2), (m,) mm.

        >>> table([Arc((0.0, 0.0), (2.0, 0.0), (-2.0, 0.0), math.pi)]).distance(np.array([[0.0, 5.0], [5.0, -4.0]]))
        array([3., 5.])
        """
        points = np.asarray(points, dtype=np.float64)
        step = max(1, AT_ONCE // max(1, len(self.start)))
        parts = [self._nearest(points[first : first + step]) for first in range(0, len(points), step)]
        return np.concatenate(parts) if parts else np.empty(0)

    def _nearest(self, points: Floats) -> Floats:
        best = np.full(len(points), np.inf)
        line, arc = np.flatnonzero(~self.is_arc), np.flatnonzero(self.is_arc)
        if len(line):
            start, way = self.start[line], self.end[line] - self.start[line]
            x, y = (points[:, None, axis] - start[None, :, axis] for axis in (0, 1))
            share = np.clip((x * way[:, 0] + y * way[:, 1]) / np.sum(way * way, axis=1), 0.0, 1.0)
            best = np.min(np.hypot(x - share * way[:, 0], y - share * way[:, 1]), axis=1)
        if len(arc):
            x, y = (points[:, None, axis] - self.centre[None, arc, axis] for axis in (0, 1))
            radial = np.abs(np.hypot(x, y) - self.radius[arc])
            to_ends = np.minimum(
                *(
                    np.hypot(points[:, None, 0] - end[arc, 0], points[:, None, 1] - end[arc, 1])
                    for end in (self.start, self.end)
                )
            )
            away = np.where(self._in_sector(arc, x, y), np.minimum(radial, to_ends), to_ends)
            best = np.minimum(best, np.min(away, axis=1))
        return best

    def _in_sector(self, arc: Index, x: Floats, y: Floats) -> Bools:
        """Whether points at (x, y) from the centres of arcs lie in the angle that each of them turns through."""
        sense = np.sign(self.turn[arc])
        start, end = self.start[arc] - self.centre[arc], self.end[arc] - self.centre[arc]
        after = (start[:, 0] * y - start[:, 1] * x) * sense >= 0.0
        before = (x * end[:, 1] - y * end[:, 0]) * sense >= 0.0
        return np.where(np.abs(self.turn[arc]) <= math.pi, after & before, after | before)

    def _within_turn(self, arc: Index, points: Floats) -> Bools:
        off = points - self.centre[arc]
        return self._in_sector(arc, off[:, 0], off[:, 1])

    def winding(self, points: Floats) -> Floats:
        """How often the pieces together go round each of points (m, 2) anticlockwise, (m,); whole for closed ones."""
        points = np.asarray(points, dtype=np.float64)
        step = max(1, AT_ONCE // max(1, len(self.start)))
        parts = [self._turned(points[first : first + step]) for first in range(0, len(points), step)]
        return np.concatenate(parts) / FULL if parts else np.empty(0)

    def _turned(self, points: Floats) -> Floats:
        """Along the chord, and once round more where the point is between chord and arc; a point on a chord counts as
        on its left."""
        a, b = (end[None] - points[:, None] for end in (self.start, self.end))
        cross = a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
        turned = np.arctan2(cross + 0.0, np.sum(a * b, axis=-1))
        arc = np.flatnonzero(self.is_arc)
        sense = np.sign(self.turn[arc])
        within = np.hypot(*(points[:, None, axis] - self.centre[arc, axis] for axis in (0, 1))) < self.radius[arc]
        beyond = np.where(sense > 0.0, cross[:, arc] < 0.0, cross[:, arc] >= 0.0)
        turned[:, arc] += np.where(within & beyond, FULL * sense, 0.0)
        total: Floats = np.sum(turned, axis=1)
        return total

    def close_pairs(self, slack: float) -> Iterator[tuple[Index, Index]]:
        """Pairs, each once, whose boxes are not further apart than ``slack``, a million or so at a time."""
        low, high = self.boxes
        orders = [np.argsort(low[:, axis], kind="stable") for axis in (0, 1)]
        counts = [
            np.searchsorted(low[order, axis], high[order, axis] + slack, side="right") - np.arange(1, len(order) + 1)
            for axis, order in enumerate(orders)
        ]
        axis = 0 if counts[0].sum() <= counts[1].sum() else 1
        order, count = orders[axis], counts[axis]
        upto = np.concatenate([[0], np.cumsum(count)])
        first = 0
        while first < len(order):
            last = max(first + 1, int(np.searchsorted(upto, upto[first] + AT_ONCE, side="right")) - 1)
            one = np.repeat(np.arange(first, last), count[first:last])
            other = one + 1 + np.arange(len(one)) - np.repeat(upto[first:last] - upto[first], count[first:last])
            i, j = order[one], order[other]
            near = np.all((low[i] <= high[j] + slack) & (low[j] <= high[i] + slack), axis=1)
            yield i[near], j[near]
            first = last

    def meetings(self) -> Meetings:
        """Where any two of them meet, ends counted; pieces that run along each other meet at the ends of these."""
        found: list[tuple[Index, Index, Floats]] = []
        for one, other in self.close_pairs(SNAP):
            arcs = self.is_arc[one].astype(int) + self.is_arc[other]
            swap = (arcs == 1) & self.is_arc[one]
            i, j = np.where(swap, other, one), np.where(swap, one, other)
            for meet, which in (
                (self._lines, arcs == 0),
                (self._line_and_circle, arcs == 1),
                (self._circles, arcs == 2),
            ):
                if which.any():
                    a, b = i[which], j[which]
                    found += [(a, b, points) for points in meet(a, b)]
            found += [(i, j, end[j]) for end in (self.start, self.end)]
            found += [(i, j, end[i]) for end in (self.start, self.end)]
        kept = [self._on_both(*one) for one in found]
        if not kept:
            none = np.empty(0, dtype=np.intp)
            return Meetings(none, none, np.empty((0, 2)))
        first, second, points = (np.concatenate(column) for column in zip(*kept, strict=True))
        return Meetings(first, second, points)

    def stretches(self) -> tuple[Index, Floats, Floats]:
        """Every piece cut wherever it meets another: which one it is, and from which share of it to which, (k,) each;
        in order, nothing shorter than 1e-7 mm.

        >>> from handwheel.path.line import Line
        >>> cross = table([Line((0.0, 0.0), (4.0, 0.0)), Line((1.0, -1.0), (1.0, 1.0))])
        >>> [part.tolist() for part in cross.stretches()]
        [[0, 0, 1, 1], [0.0, 0.25, 0.0, 0.5], [0.25, 1.0, 0.5, 1.0]]
        """
        met = self.meetings()
        count = len(self.start)
        every = np.arange(count)
        source = np.concatenate([every, every, met.first, met.second])
        shares = [self.share(index, met.points) for index in (met.first, met.second)]
        share = np.clip(np.concatenate([np.zeros(count), np.ones(count), *shares]), 0.0, 1.0)
        order = np.lexsort((share, source))
        source, share = source[order], share[order]
        new = np.concatenate([[True], source[1:] != source[:-1]])
        way = np.concatenate([[0.0], (share[1:] - share[:-1]) * self.lengths[source[1:]]])
        kept = new | (way > SHORTEST)
        # A cut just before the end of a piece would leave nothing behind it: the end itself takes its place.
        last = np.flatnonzero(np.concatenate([new[1:], [True]]))
        keepers = np.maximum.accumulate(np.where(kept, np.arange(len(kept)), -1))[last]
        share[keepers] = np.where(share[keepers] > 0.0, 1.0, share[keepers])
        source, share = source[kept], share[kept]
        same = source[1:] == source[:-1]
        return source[1:][same], share[:-1][same], share[1:][same]

    def _on_both(self, i: Index, j: Index, points: Floats) -> tuple[Index, Index, Floats]:
        good = np.flatnonzero(np.all(np.isfinite(points), axis=1))
        i, j, points = i[good], j[good], points[good]
        on = np.ones(len(i), dtype=bool)
        for piece in (i, j):
            share = self.share(piece, points)
            slack = SNAP / self.lengths[piece]
            on &= (share >= -slack) & (share <= 1.0 + slack)
            way = np.hypot(*(points - self.at(piece, np.clip(share, 0.0, 1.0))).T)
            on &= way <= 10.0 * SNAP
        return i[on], j[on], points[on]

    def _lines(self, i: Index, j: Index) -> tuple[Floats, ...]:
        a, b = self.end[i] - self.start[i], self.end[j] - self.start[j]
        with np.errstate(divide="ignore", invalid="ignore"):
            along = _cross(self.start[j] - self.start[i], b) / _cross(a, b)
            return (self.start[i] + a * along[:, None],)

    def _line_and_circle(self, i: Index, j: Index) -> tuple[Floats, ...]:
        way = (self.end[i] - self.start[i]) / self.lengths[i][:, None]
        to = self.centre[j] - self.start[i]
        foot = self.start[i] + way * np.sum(to * way, axis=1)[:, None]
        half = _half_chord(self.radius[j], np.abs(_cross(to, way)))
        return (foot - way * half[:, None], foot + way * half[:, None])

    def _circles(self, i: Index, j: Index) -> tuple[Floats, ...]:
        to = self.centre[j] - self.centre[i]
        distance = np.hypot(*to.T)
        with np.errstate(divide="ignore", invalid="ignore"):
            way = to / distance[:, None]
            r, s = self.radius[i], self.radius[j]
            along = (distance + (r - s) * (r + s) / distance) / 2.0
            half = _half_chord(r, np.abs(along))
            foot = self.centre[i] + way * along[:, None]
            across = np.column_stack([-way[:, 1], way[:, 0]]) * half[:, None]
        return (foot - across, foot + across)


def table(chain: Iterable[Piece]) -> Pieces:
    """Lines and arcs as a table.

    >>> table([Arc((0.0, 0.0), (2.0, 0.0), (-2.0, 0.0), math.pi)]).boxes[1]
    array([[2., 2.]])
    """
    rows = [(*one.start, *one.end, *_roundness(one)) for one in chain]
    numbers = np.array(rows, dtype=np.float64).reshape(-1, 8)
    return Pieces(numbers[:, 0:2], numbers[:, 2:4], numbers[:, 4:6], numbers[:, 6], numbers[:, 7])


def _roundness(piece: Piece) -> tuple[float, float, float, float]:
    """Centre, radius and turn; of a line the start and two zeros."""
    if isinstance(piece, Arc):
        return (*piece.centre, piece.radius, piece.turn)
    return (*piece.start, 0.0, 0.0)


def points_of(corners: Iterable[XY]) -> Floats:
    """(n, 2)."""
    return np.array(list(corners), dtype=np.float64).reshape(-1, 2)


def _half_chord(radius: Floats, away: Floats) -> Floats:
    """Half of what a line so far from the centre has within the circle; 0 where it touches, NaN beyond."""
    square = (radius - away) * (radius + away)
    half: Floats = np.sqrt(np.where(square < 0.0, np.where(away - radius <= SNAP, 0.0, np.nan), square))
    return half


def _cross(a: Floats, b: Floats) -> Floats:
    result: Floats = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    return result
