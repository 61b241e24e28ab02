"""Outlines for tests: random ones, and what shapely makes of them."""

from __future__ import annotations

import math
import random
from collections.abc import Iterable

import numpy as np
import shapely

from handwheel.path.arc import Arc
from handwheel.path.chain import Chain, straight
from handwheel.path.line import XY, Line
from handwheel.path.outline import Outline, circle, rectangle
from handwheel.tolerances import CONTACT


def rounded(corners: list[XY], radii: list[float]) -> Outline:
    """A polygon, each corner of it rounded by an arc that is tangent to both sides (0: sharp)."""
    count = len(corners)
    ends = []
    for index, (x, y) in enumerate(corners):
        before, after = corners[index - 1], corners[(index + 1) % count]
        a = np.array(before) - (x, y)
        b = np.array(after) - (x, y)
        a, b = a / np.hypot(*a), b / np.hypot(*b)
        turn = math.atan2(-a[0] * b[1] + a[1] * b[0], -float(a @ b))
        away = radii[index] * math.tan(abs(turn) / 2) if abs(turn) > 1e-3 else 0.0
        start, end = (x, y) + a * away, (x, y) + b * away
        normal = np.array([a[1], -a[0]]) * math.copysign(1.0, turn)
        ends.append((tuple(start.tolist()), tuple(end.tolist()), tuple((start + normal * radii[index]).tolist()), turn))
    pieces: list[Line | Arc] = []
    for index, (start, end, centre, turn) in enumerate(ends):
        if radii[index] > 0.0 and abs(turn) > 1e-3:
            pieces.append(Arc(centre, start, end, turn))
        following = ends[(index + 1) % count][0]
        if math.dist(end, following) > 1e-6:
            pieces.append(Line(end, following))
    return Outline(tuple(pieces))


def star(dice: random.Random, most: int = 12) -> Outline:
    """A polygon round the middle with its corners near and far, some of them rounded."""
    count = dice.randint(3, most)
    corners = []
    for index in range(count):
        turn = 2.0 * math.pi * (index + dice.uniform(-0.3, 0.3)) / count
        away = dice.uniform(8.0, 40.0)
        corners.append((away * math.cos(turn), away * math.sin(turn)))
    radii = []
    for index, corner in enumerate(corners):
        sides = [math.dist(corner, corners[index - 1]), math.dist(corner, corners[(index + 1) % count])]
        a = np.subtract(corners[index - 1], corner)
        b = np.subtract(corners[(index + 1) % count], corner)
        turn = math.pi - math.acos(np.clip(a @ b / (sides[0] * sides[1]), -1, 1))
        most_radius = 0.45 * min(sides) / max(math.tan(turn / 2), 1e-6)
        radii.append(dice.choice([0.0, 1.0, 1.0]) * min(dice.choice([2.0, 3.175, 6.0, 10.0]), most_radius))
    return rounded(corners, radii)


def stairs(dice: random.Random) -> Outline:
    """A right-angled outline on a grid: many fronts meet at the same time."""
    heights = [dice.randint(1, 5) * 5.0 for _ in range(dice.randint(2, 6))]
    corners: list[XY] = [(0.0, 0.0), (10.0 * len(heights), 0.0)]
    for index in range(len(heights) - 1, -1, -1):
        corners += [(10.0 * (index + 1), heights[index]), (10.0 * index, heights[index])]
    kept = [one for one in corners if corners.count(one) == 1]
    return Outline(straight([*kept, kept[0]]))


def random_outline(dice: random.Random) -> Outline:
    """One of all kinds."""
    kind = dice.randint(0, 5)
    if kind == 0:
        size = (dice.uniform(5.0, 60.0), dice.uniform(5.0, 60.0))
        return rectangle((0.0, 0.0), size, dice.choice([0.0, 1.0, 0.5 * min(size), dice.uniform(0.0, 0.5) * min(size)]))
    if kind == 1:
        return stadium((0.0, 0.0), (dice.uniform(0.0, 40.0), dice.uniform(0.0, 40.0)), dice.uniform(1.0, 20.0))
    return stairs(dice) if kind == 2 else star(dice)


def points_along(chain: Chain, apart: float) -> np.ndarray:
    """Points along lines and arcs, (n, 2)."""
    points = []
    for piece in chain:
        count = max(2, math.ceil(piece.length / apart) + 1)
        share = np.linspace(0.0, 1.0, count)
        if isinstance(piece, Arc):
            x, y = piece.start[0] - piece.centre[0], piece.start[1] - piece.centre[1]
            angle = math.atan2(y, x) + share * piece.turn
            points.append(np.column_stack([np.cos(angle), np.sin(angle)]) * piece.radius + piece.centre)
        else:
            points.append(np.array(piece.start) + share[:, None] * np.subtract(piece.end, piece.start))
    return np.concatenate(points)


def polygon(outline: Outline, sag: float = 1e-5) -> shapely.Polygon:
    """The outline for shapely, arcs as chords that are nowhere further from them than ``sag``."""
    return shapely.Polygon(_chords(outline.pieces, sag))


def path_line(chain: Chain, sag: float = 1e-5) -> shapely.LineString:
    """A chain for shapely."""
    return shapely.LineString(_chords(chain, sag))


def polygons(outlines: Iterable[Outline], sag: float = 1e-5) -> shapely.Geometry:
    """All of them together."""
    return shapely.union_all([polygon(one, sag) for one in outlines])


def _chords(chain: Chain, sag: float) -> np.ndarray:
    points = [np.array([chain[0].start])]
    for piece in chain:
        if isinstance(piece, Arc):
            step = 2.0 * math.sqrt(2.0 * sag / piece.radius) if piece.radius > sag else math.pi / 4
            share = np.linspace(0.0, 1.0, max(3, math.ceil(abs(piece.turn) / step) + 1))[1:]
            x, y = piece.start[0] - piece.centre[0], piece.start[1] - piece.centre[1]
            angle = math.atan2(y, x) + share * piece.turn
            points.append(np.column_stack([np.cos(angle), np.sin(angle)]) * piece.radius + piece.centre)
        else:
            points.append(np.array([piece.end]))
    return np.concatenate(points)


def stadium(a: XY, b: XY, width: float) -> Outline:
    """A slot with round ends about two points."""
    if math.dist(a, b) <= CONTACT:
        return circle(a, width)
    middle, r = Line(a, b), width / 2
    right, left = middle.offset(-r), middle.offset(r)
    there, back = Arc(b, right.end, left.end, math.pi), Arc(a, left.start, right.start, math.pi)
    return Outline((right, there, Line(left.end, left.start), back))
