"""Closed outlines of lines and arcs for the compensation tests, their text, and plain geometry to judge the result."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely

from handwheel.motion import Kind, Moves

XY = tuple[float, float]
QUARTER = 200
"""Chords in a quarter of a circle: they stay within 1e-5 of its radius."""


@dataclass(frozen=True)
class Edge:
    """From ``start`` to ``end``; an arc where ``centre`` is given, turning by ``turn`` rad (+ anticlockwise)."""

    start: XY
    end: XY
    centre: XY | None = None
    turn: float = 0.0

    def points(self, sagitta: float) -> list[XY]:
        """Points along it, the last left out, so dense that the chords are within ``sagitta``."""
        return self.at(self.shares(sagitta))[:-1]

    def at(self, shares: Sequence[float]) -> list[XY]:
        """The points at shares 0…1 of it."""
        if self.centre is None:
            return [
                (self.start[0] + t * (self.end[0] - self.start[0]), self.start[1] + t * (self.end[1] - self.start[1]))
                for t in shares
            ]
        radius, angle = self.radius, math.atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0])
        return [
            (
                self.centre[0] + radius * math.cos(angle + t * self.turn),
                self.centre[1] + radius * math.sin(angle + t * self.turn),
            )
            for t in shares
        ]

    def normal(self, share: float) -> XY:
        """The unit vector to the left of the motion."""
        if self.centre is None:
            x, y = self.end[0] - self.start[0], self.end[1] - self.start[1]
            length = math.hypot(x, y)
            return (-y / length, x / length)
        ((x, y),) = self.at([share])
        inwards = math.copysign(1.0, self.turn) / self.radius
        return ((self.centre[0] - x) * inwards, (self.centre[1] - y) * inwards)

    def distance(self, point: XY) -> float:
        """Exact distance from a point."""
        ends = min(math.dist(point, self.start), math.dist(point, self.end))
        if self.centre is None:
            x, y = self.end[0] - self.start[0], self.end[1] - self.start[1]
            share = ((point[0] - self.start[0]) * x + (point[1] - self.start[1]) * y) / (x * x + y * y)
            return math.dist(point, self.at([share])[0]) if 0.0 <= share <= 1.0 else ends
        first = math.atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0])
        angle = math.atan2(point[1] - self.centre[1], point[0] - self.centre[0])
        turned = ((angle - first) * math.copysign(1.0, self.turn)) % (2 * math.pi)
        beside = abs(math.dist(point, self.centre) - self.radius)
        return beside if turned <= abs(self.turn) else ends

    @property
    def radius(self) -> float:
        assert self.centre is not None
        return math.dist(self.start, self.centre)

    def shares(self, sagitta: float) -> list[float]:
        if self.centre is None:
            return [0.0, 1.0]
        step = math.sqrt(8 * sagitta / self.radius)
        return np.linspace(0.0, 1.0, max(2, math.ceil(abs(self.turn) / step) + 1)).tolist()

    def grown(self, by: float) -> Edge:
        """The arc about the same centre with a radius so much larger."""
        assert self.centre is not None
        x, y = self.centre
        share = (self.radius + by) / self.radius
        first, last = ((x + (end[0] - x) * share, y + (end[1] - y) * share) for end in (self.start, self.end))
        return Edge(first, last, self.centre, self.turn)

    def halves(self) -> tuple[Edge, Edge]:
        """Both halves of it."""
        (middle,) = self.at([0.5])
        middle = rounded(middle)
        return (
            Edge(self.start, middle, self.centre, self.turn / 2),
            Edge(middle, self.end, self.centre, self.turn / 2),
        )

    def block(self) -> str:
        """The block that makes it."""
        end = f"X{self.end[0]:.10f} Y{self.end[1]:.10f}"
        if self.centre is None:
            return f"G1 {end}"
        code = "G3" if self.turn > 0 else "G2"
        return f"{code} {end} I{self.centre[0] - self.start[0]:.10f} J{self.centre[1] - self.start[1]:.10f}"


def rounded(point: XY) -> XY:
    """The point as a program of ten decimals says it."""
    return (round(point[0], 10), round(point[1], 10))


def outline(corners: Sequence[XY], bulges: Sequence[float]) -> list[Edge]:
    """A closed outline through ``corners``; an edge with a bulge is an arc whose sagitta is that share of its chord
    (+: it stands out to the right of the motion)."""
    edges = []
    for (start, end), bulge in zip(pairwise([*corners, corners[0]]), bulges, strict=True):
        if not bulge:
            edges.append(Edge(start, end))
            continue
        chord = math.dist(start, end)
        turn = 4 * math.atan(2 * bulge)
        height = chord / 2 / math.tan(turn / 2)
        x, y = (end[0] - start[0]) / chord, (end[1] - start[1]) / chord
        centre = ((start[0] + end[0]) / 2 - y * height, (start[1] + end[1]) / 2 + x * height)
        edges.append(Edge(start, end, centre, turn))
    return edges


def from_the_middle(edges: Sequence[Edge]) -> list[Edge]:
    """The outline begun in the middle of its first edge, so that entry and exit are away from every corner."""
    first, second = edges[0].halves()
    return [second, *edges[1:], first]


def program(edges: Sequence[Edge], left: bool, radius: float, entry: float) -> str:
    """Along the outline with compensation, coming in beside its first edge and along it."""
    normal = edges[0].normal(0.0)
    side = radius if left else -radius
    along = (normal[1], -normal[0])
    start = edges[0].start
    point = (start[0] + normal[0] * side - along[0] * entry, start[1] + normal[1] * side - along[1] * entry)
    blocks = [edge.block() for edge in edges]
    return "\n".join(
        [
            "G21 G17 G40 G90 G94 F100",
            f"G0 X{point[0]:.10f} Y{point[1]:.10f}",
            f"G{41 if left else 42} D1",
            f"G1 X{start[0]:.10f} Y{start[1]:.10f}",
            *blocks,
            "G40 G1 X0 Y0",
            "M2",
            "",
        ]
    )


def native_edges(moves: Moves, first: int, last: int) -> list[Edge]:
    """Rows of the cutter's own path as edges."""
    return [
        Edge(
            (move.start[0], move.start[1]),
            (move.end[0], move.end[1]),
            None if move.kind != Kind.ARC or move.centre is None else (move.centre[0], move.centre[1]),
            move.turn,
        )
        for move in (moves[index] for index in range(first, last))
    ]


def ring(edges: Sequence[Edge], sagitta: float) -> list[XY]:
    """The outline's points."""
    return [point for edge in edges for point in edge.points(sagitta)]


def samples(edges: Sequence[Edge], each: int) -> Iterator[XY]:
    """Points all along."""
    for edge in edges:
        yield from edge.at(np.linspace(0.0, 1.0, each).tolist())


def swept(edge: Edge, radius: float, sagitta: float) -> shapely.Geometry:
    """All that is within ``radius`` of an edge.

    Built edge by edge: shapely simplifies what it buffers by up to a hundredth of the distance.
    """
    discs = [shapely.Point(end).buffer(radius, quad_segs=QUARTER) for end in (edge.start, edge.end)]
    if edge.centre is None:
        return shapely.LineString([edge.start, edge.end]).buffer(radius, quad_segs=QUARTER)
    outer = edge.grown(radius).at(edge.shares(sagitta))
    inner = edge.grown(-radius).at(edge.shares(sagitta)) if edge.radius > radius else [edge.centre]
    return shapely.union_all([*discs, shapely.Polygon([*outer, *reversed(inner)])])


def expected(edges: Sequence[Edge], left: bool, radius: float) -> shapely.LinearRing | None:
    """The offset of an outline that runs anticlockwise, by shapely, where that is one ring and shows every edge; else
    ``None``."""
    # at a sharper point two arcs may cross nearer to it than chords can tell
    if any(_doubles_back(*pair) for pair in pairwise([*edges, edges[0]])):
        return None
    sagitta = 1e-5 * radius
    area = shapely.Polygon(ring(edges, sagitta))
    if not area.is_valid or area.area < 1e-3:
        return None
    band = shapely.union_all([swept(edge, radius, sagitta) for edge in edges])
    rest = shapely.difference(area, band) if left else shapely.union(area, band)
    if rest.geom_type != "Polygon" or rest.is_empty or rest.interiors:
        return None
    border = rest.exterior
    side = radius if left else -radius
    for edge in edges:
        shown = 0
        for share in np.linspace(0.05, 0.95, 40).tolist():
            ((x, y),) = edge.at([share])
            nx, ny = edge.normal(share)
            shown += border.distance(shapely.Point(x + nx * side, y + ny * side)) < 1e-3 * radius
        if shown < 4:
            return None
    return border


def _doubles_back(before: Edge, after: Edge) -> bool:
    first, second = before.normal(1.0), after.normal(0.0)
    return first[0] * second[0] + first[1] * second[1] < -0.98
