"""Prisms: rays through them agree with a general geometry library, turned by any quarter turns."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely.geometry import LineString, Point, Polygon

from handwheel.check.kernels.prism import across_prism, signed_distance
from handwheel.check.machinery.residue import off
from handwheel.cut.part import Part
from handwheel.cut.rays import Rays
from handwheel.job.lying import turned
from handwheel.path.arc import Arc
from handwheel.path.box import Box
from handwheel.path.chain import Chain
from handwheel.path.face import Face
from handwheel.path.line import Line
from handwheel.path.meant import Meant
from handwheel.path.outline import circle, rectangle
from handwheel.path.prism import Prism

ROUNDED: Chain = (
    Line((-10.0, -8.0), (12.0, -8.0)),
    Arc((12.0, -3.0), (12.0, -8.0), (17.0, -3.0), math.pi / 2),
    Line((17.0, -3.0), (5.0, 11.0)),
    Line((5.0, 11.0), (-10.0, 6.0)),
    Arc((-10.0, -1.0), (-10.0, 6.0), (-10.0, -8.0), math.pi),
)
"""A shape with a corner arc, a half circle, and two oblique sides."""


def polygon(chain: Chain, count: int = 500) -> Polygon:
    points: list[tuple[float, float]] = []
    for piece in chain:
        if isinstance(piece, Line):
            points.append(piece.start)
            continue
        start = math.atan2(piece.start[1] - piece.centre[1], piece.start[0] - piece.centre[0])
        points += [
            (piece.centre[0] + piece.radius * math.cos(a), piece.centre[1] + piece.radius * math.sin(a))
            for a in start + piece.turn * np.arange(count) / count
        ]
    return Polygon(points)


def with_hole() -> tuple[Prism, Polygon]:
    hole = circle((2.0, -1.0), 7.0).pieces
    return Prism(2, (ROUNDED, hole), -6.0, 0.0), polygon(ROUNDED).difference(polygon(hole))


def test_the_distance_from_a_region_agrees_with_shapely() -> None:
    prism, region = with_hole()
    pieces = prism.pieces()
    for x, y in np.random.default_rng(1).uniform((-22, -14), (22, 16), (400, 2)):
        found = signed_distance(pieces, x, y)
        assert abs(found) == pytest.approx(region.boundary.distance(Point(x, y)), abs=1e-4)
        if abs(found) > 1e-4:
            assert (found < 0) == region.contains(Point(x, y))


@pytest.mark.parametrize("grow", [0.0, 0.02, 1.3, 3.0, -0.02, -1.0, -2.2, -4.0])
@pytest.mark.parametrize("along_u", [True, False])
def test_a_line_through_a_grown_or_shrunk_region_agrees_with_shapely(grow: float, along_u: bool) -> None:
    prism, region = with_hole()
    pieces = prism.pieces()
    found = np.empty((4 * len(pieces) + 1, 2))
    for at in np.random.default_rng(2).uniform(-16, 16, 60):
        stretches = found[: across_prism(pieces, along_u, at, grow, found)]
        for along in np.linspace(-22.0, 22.0, 149):
            point = Point(along, at) if along_u else Point(at, along)
            # the library's buffers simplify their input by a share of the distance: points are asked instead
            away = region.distance(point) if not region.contains(point) else -region.boundary.distance(point)
            if abs(away - grow) > 1e-4:
                assert bool(((stretches[:, 0] < along) & (along < stretches[:, 1])).any()) == (away < grow)


@pytest.mark.parametrize("up", [Face.TOP, Face.BOTTOM, Face.LEFT, Face.FRONT])
def test_what_a_prism_takes_from_a_block_is_gone_however_it_is_turned(up: Face) -> None:
    jaw = Face.BACK if up in (Face.TOP, Face.BOTTOM) else Face.TOP if up is Face.FRONT else Face.BACK
    prism, region = with_hole()
    placement = turned(up, jaw)
    block = placement.box(Box((-20.0, -14.0, -10.0), (20.0, 14.0, 0.0)))
    solids = (Meant(prism).placed(placement),)
    part = Part(block, ())
    for axis in range(3):
        low, high = (np.delete(np.array(end), axis) for end in (block.low, block.high))
        at = np.random.default_rng(3).uniform(low, high, (300, 2))
        _, spare = off(part, Rays(axis, at), solids)
        back = placement.inverse()
        for (a, b), found in zip(at.tolist(), spare.thickness.tolist(), strict=True):
            ends = []
            for end in (block.low[axis], block.high[axis]):
                point = [a, b]
                point.insert(axis, end)
                ends.append(back.point((point[0], point[1], point[2])))
            first, last = ends
            if first[2] != last[2]:
                wanted = 6.0 if region.contains(Point(first[:2])) else 0.0
            elif not -6.0 < first[2] < 0.0:
                wanted = 0.0
            else:
                met = region.intersection(LineString([first[:2], last[:2]]))
                pieces = getattr(met, "geoms", [met])
                wanted = max((one.length for one in pieces), default=0.0)
            assert found == pytest.approx(wanted, abs=0.05)


def test_a_chamfer_is_a_prism_that_grows() -> None:
    """45 degrees, 2 mm, along the front edge of a block: as deep as wide, and nothing beside it."""
    strip = Prism(2, (rectangle((-100.0, -100.0), (100.0, 0.0)).pieces,), -2.0, 0.0, draft=1.0)
    part = Part(Box((0.0, 0.0, -10.0), (30.0, 20.0, 0.0)), ())
    at = np.array([[10.0, 0.5], [10.0, 1.5], [10.0, 2.5]])
    _, spare = off(part, Rays(2, at), (Meant(strip),))
    assert spare.thickness.tolist() == pytest.approx([1.5, 0.5, 0.0])
    _, spare = off(part, Rays(1, np.array([[10.0, -0.5], [10.0, -1.5], [10.0, -2.5]])), (Meant(strip),))
    assert spare.thickness.tolist() == pytest.approx([1.5, 0.5, 0.0])


def test_boxes_within_a_prism_reach_as_far_as_it_does_and_lie_in_it() -> None:
    outside = Prism(2, (rectangle((-30.0, -20.0), (30.0, 20.0)).pieces, ROUNDED), -5.0, 0.0)
    region = Polygon([(-30, -20), (30, -20), (30, 20), (-30, 20)]).difference(polygon(ROUNDED))
    boxes = outside.boxes_within
    assert sum(box.size[0] * box.size[1] for box in boxes) > 0.85 * region.area
    for box in boxes:
        flat = Polygon([box.low[:2], (box.high[0], box.low[1]), box.high[:2], (box.low[0], box.high[1])])
        assert flat.difference(region.buffer(1e-3)).area < 1e-6
    assert Prism(2, (rectangle((0.0, 0.0), (4.0, 3.0)).pieces,), 0.0, 1.0).boxes_within == (
        Box((0.0, 0.0, 0.0), (4.0, 3.0, 1.0)),
    )
