"""Outlines moved outwards or inwards: exact lines and arcs, rolled round outside corners.

Every piece is moved by itself, corners get arcs about them, and all of these are cut where they meet. What is left of
them is what nothing else of the outline is nearer to.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from handwheel.path.arc import FULL, Arc
from handwheel.path.chain import Chain, reversed_chain
from handwheel.path.chain import length as length_of
from handwheel.path.line import Line
from handwheel.path.offset import Piece, turn_at_corner
from handwheel.path.outline import Outline, chain_area, cut_piece, fitted_arc, trusted
from handwheel.path.pieces import SHORTEST, Pieces, table
from handwheel.tolerances import CONTACT, FIT

BESIDE = SHORTEST
"""How far beside a moved piece it is looked for something nearer, mm: fronts that run into each other along a line
are both gone."""

LINKED = 4 * CONTACT
"""Ends nearer than this are the same point."""


def offset(outline: Outline, by: float) -> tuple[Outline, ...]:
    """The outline moved outwards (``by`` > 0) or inwards (``by`` < 0).

    Parameters
    ----------
    outline : what is moved
    by : how far, mm; outside corners are rolled round on arcs

    Returns
    -------
    tuple of Outline
        Outwards always one: what it comes to lie round is told by :func:`enclosed`. Inwards none where nothing is
        left, several where it falls apart.

    Examples
    --------
    >>> from handwheel.path.outline import rectangle
    >>> offset(rectangle((0.0, 0.0), (8.0, 6.0)), -1.0)[0].box2
    ((1.0, 1.0), (7.0, 5.0))
    >>> offset(rectangle((0.0, 0.0), (8.0, 6.0)), -3.0)
    ()
    """
    return tuple(trusted(loop) for loop in moved([outline.pieces], by) if chain_area(loop) > 0.0)


def enclosed(outline: Outline, by: float) -> tuple[Outline, ...]:
    """The gaps that an outline moved outwards leaves within it, such as the inside of a C whose mouth has closed."""
    loops = moved([outline.pieces], by)
    return tuple(trusted(reversed_chain(loop)) for loop in loops if chain_area(loop) < 0.0)


def moved(loops: Sequence[Chain], by: float) -> tuple[Chain, ...]:
    """The boundary of a region with holes, moved outwards by ``by`` mm (negative: inwards).

    Parameters
    ----------
    loops : closed chains with the region on their left: anticlockwise round it, clockwise round its holes
    """
    if by == 0.0:
        return tuple(loops)
    candidates = [piece for loop in loops for piece in _raw(loop, by)]
    if not candidates:
        return ()
    return tuple(_linked(_uncovered(candidates, table(piece for loop in loops for piece in loop), by), by))


def _raw(loop: Chain, by: float) -> Iterator[Piece]:
    """Every piece of a loop by itself, and arcs about the corners that are outside ones on that side."""
    for before, after in [*pairwise(loop), (loop[-1], loop[0])]:
        whole = before.offset(-by)
        if whole is not None:
            yield whole
        turn = turn_at_corner(before.end_direction, after.start_direction)
        if turn * by > FIT:
            (a, b), (c, d), (x, y) = before.end_direction, after.start_direction, after.start
            yield Arc((x, y), (x + b * by, y - a * by), (x + d * by, y - c * by), turn)


class _Part:
    """A stretch of a candidate, from one share of it to another."""

    __slots__ = ("end", "piece", "source", "start")

    def __init__(self, source: int, start: float, end: float, piece: Piece) -> None:
        self.source, self.start, self.end, self.piece = source, start, end, piece


def _uncovered(candidates: list[Piece], original: Pieces, by: float) -> list[_Part]:
    """The stretches between meetings to which nothing of the original is nearer."""
    whole = table(candidates)
    source, start, end = whole.stretches()
    middle = (start + end) / 2
    beside = whole.at(source, middle) - whole.left(source, middle) * math.copysign(BESIDE, by)
    good = original.distance(beside) >= abs(by) + BESIDE / 2
    ends = (whole.at(source[good], share[good]).tolist() for share in (start, end))
    return [
        _Part(one, s, e, _stretch(candidates[one], s, e, a, b))
        for one, s, e, a, b in zip(source[good].tolist(), start[good].tolist(), end[good].tolist(), *ends, strict=True)
    ]


def _stretch(piece: Piece, start: float, end: float, a: list[float], b: list[float]) -> Piece:
    first = piece.start if start == 0.0 else (a[0], a[1])
    last = piece.end if end == 1.0 else (b[0], b[1])
    return Arc(piece.centre, first, last, piece.turn * (end - start)) if isinstance(piece, Arc) else Line(first, last)


def _linked(parts: list[_Part], by: float) -> Iterator[Chain]:
    """Closed loops from stretches: at a point where several begin, fronts moved inwards part, and those moved outwards
    join."""
    ends = _Ends(parts)
    left = set(range(len(parts)))
    for first in range(len(parts)):
        if first not in left:
            continue
        path, places = [first], {first: 0}
        while True:
            after = _next(parts, ends, path[-1], left, by)
            if after is None:
                left.discard(path.pop())
                if not path:
                    break
                places = {one: place for place, one in enumerate(path)}
                continue
            if after in places:
                loop = path[places[after] :]
                left.difference_update(loop)
                closed = _closed([parts[one] for one in loop])
                if closed is not None:
                    yield closed
                del path[places[after] :]
                if not path:
                    break
                places = {one: place for place, one in enumerate(path)}
                continue
            places[after] = len(path)
            path.append(after)


class _Ends:
    """Finds the stretches that start at a point."""

    def __init__(self, parts: list[_Part]) -> None:
        self._cells: dict[tuple[int, int], list[int]] = {}
        for index, part in enumerate(parts):
            self._cells.setdefault(_cell(part.piece.start), []).append(index)

    def near(self, point: tuple[float, float]) -> Iterable[int]:
        x, y = _cell(point)
        for column in (x - 1, x, x + 1):
            for row in (y - 1, y, y + 1):
                yield from self._cells.get((column, row), ())


def _cell(point: tuple[float, float]) -> tuple[int, int]:
    return math.floor(point[0] / LINKED), math.floor(point[1] / LINKED)


def _next(parts: list[_Part], ends: _Ends, before: int, left: set[int], by: float) -> int | None:
    piece = parts[before].piece
    there = [
        one for one in ends.near(piece.end) if one in left and math.dist(parts[one].piece.start, piece.end) <= LINKED
    ]
    if len(there) <= 1:
        return there[0] if there else None
    turns = {one: turn_at_corner(piece.end_direction, parts[one].piece.start_direction) for one in there}
    return (min if by > 0.0 else max)(there, key=turns.__getitem__)


def _closed(loop: list[_Part]) -> Chain | None:
    """The stretches as one chain, those of one candidate put together again; ``None`` where it holds nothing."""
    joined: list[_Part] = []
    for part in loop:
        if joined and joined[-1].source == part.source and joined[-1].end == part.start:
            joined[-1] = _put_together(joined[-1], part)
        else:
            joined.append(part)
    if len(joined) > 1 and joined[-1].source == joined[0].source and joined[-1].end == joined[0].start:
        joined[0] = _put_together(joined.pop(), joined[0])
    pieces = [part.piece for part in joined if part.piece.length > LINKED]
    if len(pieces) == 1:
        only = pieces[0]
        if not isinstance(only, Arc) or abs(only.turn) < math.pi:
            return None
        pieces = [cut_piece(only, 0.0, 0.5), cut_piece(only, 0.5, 1.0)]
    if not pieces:
        return None
    fitted: list[Piece] = []
    for piece, after in [*pairwise(pieces), (pieces[-1], pieces[0])]:
        start = fitted[-1].end if fitted else piece.start
        if isinstance(piece, Arc):
            fitted.append(fitted_arc(piece, start, after.start))
        else:
            fitted.append(Line(start, after.start))
    chain = tuple(fitted)
    return chain if abs(chain_area(chain)) > CONTACT * length_of(chain) else None


def _put_together(first: _Part, second: _Part) -> _Part:
    a, b = first.piece, second.piece
    piece: Piece = Line(a.start, b.end)
    if isinstance(a, Arc) and isinstance(b, Arc):
        piece = Arc(a.centre, a.start, b.end, math.copysign(min(abs(a.turn + b.turn), FULL), a.turn))
    return _Part(first.source, first.start, second.end, piece)
