"""Outlines: closed chains of lines and arcs round a region, kept anticlockwise, so that the region is on the left."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from handwheel.path.arc import FULL, Arc, turn_between
from handwheel.path.chain import Chain, length, reversed_chain, straight
from handwheel.path.line import XY, Line
from handwheel.path.offset import Piece, turn_at_corner
from handwheel.path.pieces import Bools, Floats, Pieces, points_of, table
from handwheel.tolerances import CONTACT, FIT, SMOOTH_CORNER


class OutlineError(ValueError):
    """What is wrong with a chain that is no outline: a sentence with a ``{}`` for each of its points, mm.

    >>> print(OutlineError("crosses itself at {}", (1.25, -3.0)))
    crosses itself at (1.25, -3)
    """

    def __init__(self, sentence: str, *points: XY) -> None:
        self.sentence = sentence
        self.points = points
        super().__init__(self.said(lambda length: f"{length:.7g}"))

    def said(self, number: Callable[[float], str]) -> str:
        """The sentence with the coordinates as ``number`` writes lengths in mm."""
        return self.sentence.format(*(f"({number(x)}, {number(y)})" for x, y in self.points))


@dataclass(frozen=True)
class Outline:
    """Each piece starts where the one before it ends, the first one where the last one ends, mm.

    Gaps up to 1e-6 mm are closed, arcs made to fit their ends; a chain given clockwise is turned about.

    Raises
    ------
    OutlineError
        A ValueError: where the chain is open, has a piece without a length, or crosses, touches or turns back on
        itself.

    Examples
    --------
    >>> Outline(straight([(0, 0), (0, 3), (4, 0), (0, 0)])).area
    6.0
    """

    pieces: Chain

    def __post_init__(self) -> None:
        fitted = _fitted(self.pieces)
        if chain_area(fitted) < 0.0:
            fitted = reversed_chain(fitted)
        object.__setattr__(self, "pieces", fitted)
        _refuse_crossings(self)

    @cached_property
    def table(self) -> Pieces:
        """The pieces as a table."""
        return table(self.pieces)

    @cached_property
    def area(self) -> float:
        """mm², more than zero."""
        return chain_area(self.pieces)

    @property
    def length(self) -> float:
        """All the way round, mm."""
        return length(self.pieces)

    @property
    def clockwise(self) -> Chain:
        """The same way round the other way, the region on the right."""
        return reversed_chain(self.pieces)

    @property
    def corners(self) -> tuple[XY, ...]:
        """Where its pieces start."""
        return tuple(piece.start for piece in self.pieces)

    @cached_property
    def box2(self) -> tuple[XY, XY]:
        """Low and high corner of the rectangle that holds it.

        >>> circle((1.0, 2.0), 6.0).box2
        ((-2.0, -1.0), (4.0, 5.0))
        """
        low, high = self.table.boxes
        (a, b), (c, d) = low.min(axis=0).tolist(), high.max(axis=0).tolist()
        return (a, b), (c, d)

    def holds(self, points: Floats) -> Bools:
        """Whether points (n, 2) are in the region, (n,); on the outline itself either may be said.

        >>> rectangle((0.0, 0.0), (12.0, 4.0), 2.0).holds([[11.9, 2.0], [11.9, 3.0]])
        array([ True, False])
        """
        inside: Bools = np.abs(self.table.winding(points)) > 0.5
        return inside

    def distance(self, points: Floats) -> Floats:
        """How far points (n, 2) are from the outline, (n,) mm; negative inside.

        >>> rectangle((0.0, 0.0), (8.0, 6.0)).distance([[4.0, 1.0], [11.0, 10.0]])
        array([-1.,  5.])
        """
        away = self.table.distance(points)
        return np.where(self.holds(points), -away, away)

    def least_corner(self, *, inside: bool, within: tuple[XY, XY] | None = None) -> float:
        """The least radius of a corner as a cutter finds it, mm: 0 for a sharp one, infinite without any.

        Parameters
        ----------
        inside : whether the cutter is inside, or goes round outside
        within : low and high corner of a rectangle; corners beyond it do not count

        >>> rectangle((0.0, 0.0), (8.0, 6.0), 1.5).least_corner(inside=True)
        1.5
        >>> rectangle((0.0, 0.0), (8.0, 6.0)).least_corner(inside=False)
        inf
        """
        sense = 1.0 if inside else -1.0

        def counts(*points: XY) -> bool:
            if within is None:
                return True
            low, high = within
            return any(all(low[k] + CONTACT < one[k] < high[k] - CONTACT for k in (0, 1)) for one in points)

        for before, after in _round(self.pieces):
            turn = turn_at_corner(before.end_direction, after.start_direction)
            if turn * sense > SMOOTH_CORNER and counts(after.start):
                return 0.0
        arcs = (piece for piece in self.pieces if isinstance(piece, Arc) and piece.turn * sense > 0.0)
        return min((arc.radius for arc in arcs if counts(arc.start, _middle(arc), arc.end)), default=math.inf)

    def started_at(self, point: XY | None = None) -> Outline:
        """The same, its first piece starting where it is nearest to a point; left out, in the middle of the longest
        line (of the longest arc where it has none).

        >>> rectangle((0.0, 0.0), (8.0, 6.0)).started_at((3.0, -1.0)).corners[0]
        (3.0, 0.0)
        """
        index, share = self._longest() if point is None else self._nearest(point)
        piece = self.pieces[index]
        before, after = cut_piece(piece, 0.0, share), cut_piece(piece, share, 1.0)
        rest = self.pieces[index + 1 :] + self.pieces[:index]
        if before.length <= CONTACT:
            return trusted((piece, *rest))
        if after.length <= CONTACT:
            return trusted((*rest, piece))
        return trusted((after, *rest, before))

    def _longest(self) -> tuple[int, float]:
        lines = [index for index, piece in enumerate(self.pieces) if isinstance(piece, Line)]
        return max(lines or range(len(self.pieces)), key=lambda index: self.pieces[index].length), 0.5

    def _nearest(self, point: XY) -> tuple[int, float]:
        at = points_of([point])
        ways = [float(table([piece]).distance(at)[0]) for piece in self.pieces]
        index = int(np.argmin(ways))
        return index, float(np.clip(self.table.share(np.array([index]), at)[0], 0.0, 1.0))


def rectangle(low: XY, high: XY, corner_radius: float = 0.0) -> Outline:
    """A rectangle with its sides along X and Y, rounded or sharp; where the rounding takes all of a side there is none.

    >>> len(rectangle((0.0, 0.0), (8.0, 6.0), 3.0).pieces)
    6
    """
    (left, front), (right, back), r = low, high, corner_radius
    if not 0.0 <= 2.0 * r <= min(right - left, back - front) + FIT:
        raise ValueError(f"corners of radius {r:g} mm do not fit into {right - left:g} by {back - front:g} mm")
    if r == 0.0:
        return Outline(straight([low, (right, front), high, (left, back), low]))
    chain: list[Piece] = []
    middles = [(right - r, front + r), (right - r, back - r), (left + r, back - r), (left + r, front + r)]
    outs = [(0.0, -r), (r, 0.0), (0.0, r), (-r, 0.0)]
    for index, (x, y) in enumerate(middles):
        (a, b), (c, d) = outs[index], outs[(index + 1) % 4]
        chain.append(Arc((x, y), (x + a, y + b), (x + c, y + d), math.pi / 2))
    for index in (3, 2, 1, 0):
        before, after = chain[index - 1].end, chain[index].start
        if math.dist(before, after) > CONTACT:
            chain.insert(index, Line(before, after))
    return Outline(tuple(chain))


def circle(centre: XY, diameter: float) -> Outline:
    """A whole circle as two halves.

    >>> round(circle((0.0, 0.0), 2.0).area, 12) == round(math.pi, 12)
    True
    """
    (x, y), r = centre, diameter / 2
    right, left = (x + r, y), (x - r, y)
    return Outline((Arc(centre, right, left, math.pi), Arc(centre, left, right, math.pi)))


def chain(start: XY, steps: Sequence[XY | Piece]) -> Outline:
    """From a point along lines to further points, or along whole pieces; it closes itself by a line.

    >>> chain((0.0, 0.0), [(4.0, 0.0), (4.0, 3.0)]).area
    6.0
    """
    pieces: list[Piece] = []
    at = start
    for step in steps:
        pieces.append(step if isinstance(step, (Line, Arc)) else Line(at, step))
        at = pieces[-1].end
    if math.dist(at, start) > CONTACT:
        pieces.append(Line(at, start))
    return Outline(tuple(pieces))


def cut_piece(piece: Piece, start: float, end: float) -> Piece:
    """From one share of a piece to another.

    >>> cut_piece(Line((0.0, 0.0), (8.0, 0.0)), 0.25, 1.0)
    Line(start=(2.0, 0.0), end=(8.0, 0.0))
    """
    one = table([piece])
    ends = one.at(np.array([0, 0]), np.array([start, end])).tolist()
    a = piece.start if start == 0.0 else (ends[0][0], ends[0][1])
    b = piece.end if end == 1.0 else (ends[1][0], ends[1][1])
    if isinstance(piece, Arc):
        return Arc(piece.centre, a, b, piece.turn * (end - start))
    return Line(a, b)


def trusted(pieces: Chain) -> Outline:
    """An outline from pieces that are known to be one, anticlockwise: nothing is looked for again."""
    outline = object.__new__(Outline)
    object.__setattr__(outline, "pieces", pieces)
    return outline


def fitted_arc(arc: Arc, start: XY, end: XY) -> Arc:
    """The arc between two points that are nearly its ends; its centre moves as little as it must."""
    chord = math.dist(start, end)
    if chord <= CONTACT:
        raise OutlineError("an arc comes back to its start at {}: two halves make a circle", start)
    away = (math.dist(arc.centre, start) - math.dist(arc.centre, end)) * arc.radius
    x, y = (end[0] - start[0]) / chord, (end[1] - start[1]) / chord
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    off = (arc.centre[0] - middle[0]) * -y + (arc.centre[1] - middle[1]) * x
    if abs(away) <= FIT and (start, end) == (arc.start, arc.end):
        return arc
    centre = (middle[0] - y * off, middle[1] + x * off)
    turn = turn_between(start, end, centre, math.copysign(1.0, arc.turn))
    return Arc(centre, start, end, turn)


def _fitted(pieces: Chain) -> Chain:
    if len(pieces) < 2:
        raise OutlineError("has fewer than two pieces")
    for piece in pieces:
        if not all(map(math.isfinite, (*piece.start, *piece.end))):
            raise OutlineError("has a point that is no number")
        if piece.length <= CONTACT:
            raise OutlineError("has a piece without a length at {}", piece.start)
    for before, after in _round(pieces):
        if math.dist(before.end, after.start) > CONTACT:
            raise OutlineError("is open from {} to {}", before.end, after.start)
    fitted: list[Piece] = []
    for piece, after in _round(pieces):
        if isinstance(piece, Arc):
            if not CONTACT / piece.radius < abs(piece.turn) < FULL:
                raise OutlineError("has an arc through no angle, or more than a circle, at {}", piece.start)
            fitted.append(fitted_arc(piece, piece.start, after.start))
        else:
            fitted.append(Line(piece.start, after.start))
    return tuple(fitted)


def _middle(arc: Arc) -> XY:
    half = cut_piece(arc, 0.0, 0.5)
    return half.end


def _round(pieces: Chain) -> list[tuple[Piece, Piece]]:
    """Each piece with the one after it, the last one with the first."""
    return [*pairwise(pieces), (pieces[-1], pieces[0])]


def chain_area(pieces: Chain) -> float:
    """mm², positive for an anticlockwise chain: of the corners' polygon, and between each arc and its chord."""
    x, y = pieces[0].start
    total = 0.0
    for piece in pieces:
        (a, b), (c, d) = piece.start, piece.end
        total += (a - x) * (d - y) - (c - x) * (b - y)
        if isinstance(piece, Arc):
            total += piece.radius**2 * (piece.turn - math.sin(piece.turn))
    return total / 2.0


def _refuse_crossings(outline: Outline) -> None:
    pieces, count = outline.pieces, len(outline.pieces)
    for before, after in _round(pieces):
        if math.pi - abs(turn_at_corner(before.end_direction, after.start_direction)) < CONTACT:
            raise OutlineError("turns back on itself at {}", before.end)
    met = outline.table.meetings()
    for i, j, point in zip(met.first.tolist(), met.second.tolist(), met.points, strict=True):
        shared = [pieces[j].start] if (i + 1) % count == j else []
        shared += [pieces[i].start] if (j + 1) % count == i else []
        if not any(_same_corner(pieces[i], pieces[j], corner, point) for corner in shared):
            raise OutlineError("crosses or touches itself at {}", (float(point[0]), float(point[1])))


def _same_corner(one: Piece, other: Piece, corner: XY, point: Floats) -> bool:
    """Whether two pieces that follow on each other meet only at their corner: between it and the point where they were
    found to meet they are not apart (tangent pieces meet along a little way, as far as numbers can tell)."""
    if math.dist(corner, point) <= CONTACT:
        return True
    both, index = table([one]), np.zeros(2, dtype=np.intp)
    half = both.share(index, np.array([corner, point])).mean()
    return bool(table([other]).distance(both.at(index[:1], np.array([half])))[0] <= CONTACT)
