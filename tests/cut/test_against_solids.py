"""Random programs, cut by rays and by two solid modellers: manifold3d in space, shapely in the plane.

The modellers' circles are polygons, so what is shown is that the difference is theirs: it shrinks as they are refined.
"""

from __future__ import annotations

import itertools
import math

import manifold3d as m3
import numpy as np
import pytest
import shapely
from milling import BLOCK, Path, cut, tool

from handwheel.cut.cutter import cutter
from handwheel.cut.heightmap import height_map
from handwheel.cut.part import Part
from handwheel.cut.rays import Rays, left
from handwheel.motion import Kind, Moves, Plane, Tool
from handwheel.path.profile import Rounded

CUTTERS = {
    "end mill": tool("end mill", 9.0),
    "ball": tool("ball end mill", 10.0),
    "corner radius": tool("corner-radius end mill", 12.0, corner_radius=2.5),
    "drill": tool("drill", 8.0, point_angle=118.0),
    "chamfer mill": tool("chamfer mill", 12.0, point_angle=90.0, tip_diameter=2.0),
}


def random_path(random: np.random.Generator, count: int) -> Path:
    """Level lines, ramps, plunges, level arcs, helices and arcs in upright planes, over the block and beside it."""
    at = np.array([*random.uniform(10.0, 50.0, 2), 4.0])
    path = Path(*at)
    for _ in range(count):
        sort = random.integers(6)
        if sort < 3:
            end = np.array([*random.uniform((0.0, 0.0), (100.0, 60.0)), random.uniform(-12.0, 1.0)])
            if sort == 1:
                end[2] = at[2]
            if sort == 2:
                end[:2] = at[:2]
            path.to(*end)
            at = end
            continue
        plane = Plane.XY if sort < 5 else Plane(int(random.integers(1, 3)))
        radius = random.uniform(4.0, 16.0) if plane == Plane.XY else random.uniform(3.0, 6.0)
        toward = random.uniform(-math.pi, math.pi)
        first, second, _ = plane.axes
        centre = at.copy()
        centre[first] -= radius * math.cos(toward)
        centre[second] -= radius * math.sin(toward)
        path.round(
            tuple(centre), random.uniform(-6.0, 6.0), rise=random.uniform(-5.0, 2.0) if sort == 4 else 0.0, plane=plane
        )
        at = path.moves.end[-1]
    return path


def outline(mill: Tool, arcs: int) -> list[tuple[float, float]]:
    """The flutes from the axis outwards as a polygon of (radius, height), rounded parts in so many chords."""
    points = [(0.0, 0.0)]
    for piece in cutter(mill).flutes.pieces:
        if isinstance(piece, Rounded):
            angles = np.linspace(-math.pi / 2.0, 0.0, arcs + 1)
            points += [(piece.flat + piece.ball * math.cos(a), piece.centre + piece.ball * math.sin(a)) for a in angles]
        else:
            points += [(piece.radius_low, piece.low), (piece.radius_high, piece.high)]
    return [*points, (0.0, cutter(mill).flutes.high)]


def swept(moves: Moves, mill: Tool, segments: int) -> m3.Manifold:
    """The block less the hulls of the cutter at both ends of each chord."""
    body = m3.CrossSection([outline(mill, segments // 4)]).revolve(segments)
    hulls = []
    for index in range(len(moves)):
        turn = abs(float(moves.turn[index]))
        chords = max(math.ceil(segments * turn / (2.0 * math.pi)), 1) if moves.kind[index] == Kind.ARC else 1
        places = [moves.at(index, share) for share in np.linspace(0.0, 1.0, chords + 1)]
        for a, b in itertools.pairwise(places):
            hulls.append(m3.Manifold.batch_hull([body.translate(a.tolist()), body.translate(b.tolist())]))
    block = m3.Manifold.cube(BLOCK.size).translate(BLOCK.low)
    return block - m3.Manifold.batch_boolean(hulls, m3.OpType.Add)


def section(solid: m3.Manifold, z: float) -> shapely.Geometry:
    """A level section of a solid as a shapely area."""
    area = shapely.Polygon()
    for ring in solid.slice(z).to_polygons():
        area = area.symmetric_difference(shapely.Polygon(ring).buffer(0))
    return area


@pytest.mark.parametrize("name", CUTTERS)
def test_level_sections_agree_with_a_solid_modeller_the_better_the_finer_it_is(name: str) -> None:
    random = np.random.default_rng(len(name))
    mill = CUTTERS[name]
    off = []
    for _ in range(2):
        path = random_path(random, 6)
        part = cut(path, mill)
        heights = random.uniform(-10.0, -0.5, 3)
        at = np.linspace(0.05, 59.95, 400)
        lengths = [left(part, Rays(0, np.column_stack((at, np.full(400, z))))).total() for z in heights]
        lines = shapely.linestrings([[(-1.0, y), (101.0, y)] for y in at])
        differences = []
        for segments in (16, 64):
            solid = swept(path.moves, mill, segments)
            theirs = [shapely.length(shapely.intersection(lines, section(solid, z))) for z in heights]
            differences.append(float(np.mean(np.abs(np.array(theirs) - np.array(lengths)))))
        off.append(differences)
    coarse, fine = np.mean(off, axis=0)
    # a polygon of n corners is off by r (1 − cos π/n) at most: four times as many corners, a sixteenth of the error
    assert fine < coarse / 8.0
    assert fine < 0.1


@pytest.mark.parametrize("name", CUTTERS)
def test_volumes_agree_with_a_solid_modeller_within_the_stated_error(name: str) -> None:
    random = np.random.default_rng(20 + len(name))
    mill = CUTTERS[name]
    path = random_path(random, 6)
    volume = height_map(cut(path, mill), 0.1).volume
    theirs = [swept(path.moves, mill, segments).volume() for segments in (16, 64)]
    # what the finer solid still lacks is a third of a sixteenth of the step, or so; allow all of the step's quarter
    doubt = abs(theirs[1] - theirs[0]) / 4.0
    assert abs(volume.left - theirs[1]) <= volume.error + doubt
    assert volume.error < 0.05 * volume.removed


def test_a_level_cut_is_the_plane_figure_that_shapely_grows_from_its_path() -> None:
    random = np.random.default_rng(3)
    points = random.uniform((5.0, 5.0), (95.0, 55.0), (12, 2))
    path = Path(*points[0], -5.0)
    for point in points[1:]:
        path.to(*point, -5.0)
    part = cut(path, tool("end mill", 9.0))
    at = random.uniform(0.1, 59.9, 300)
    ours = left(part, Rays(0, np.column_stack((at, np.full(300, -2.0))))).total()
    lines = shapely.linestrings([[(-1.0, y), (101.0, y)] for y in at])
    off = []
    for corners in (16, 64, 256):
        area = shapely.box(0.0, 0.0, 100.0, 60.0) - shapely.LineString(points).buffer(4.5, quad_segs=corners)
        off.append(float(np.mean(np.abs(shapely.length(shapely.intersection(lines, area)) - ours))))
    assert off[1] < off[0] / 8.0
    assert off[2] < off[1] / 8.0
    assert off[2] < 1e-4


def test_a_path_backwards_leaves_the_same_part() -> None:
    random = np.random.default_rng(8)
    for name, mill in CUTTERS.items():
        path = random_path(random, 8)
        moves = path.moves
        back = Path(*moves.end[-1])
        for index in range(len(moves) - 1, -1, -1):
            move = moves[index]
            if move.centre is None:
                back.to(*move.start)
            else:
                normal = move.plane.axes[2]
                back.round(move.centre, -move.turn, move.start[normal] - move.end[normal], move.plane)
        for axis in range(3):
            u, v = (k for k in range(3) if k != axis)
            at = random.uniform((BLOCK.low[u], BLOCK.low[v]), (BLOCK.high[u], BLOCK.high[v]), (2000, 2))
            there, again = (left(part, Rays(axis, at)).total() for part in (cut(path, mill), cut(back, mill)))
            # chords of the two ways may differ by their stated error
            assert np.quantile(np.abs(there - again), 0.99) < 1e-6, name


def test_many_rays_at_once_are_what_each_ray_is_alone() -> None:
    random = np.random.default_rng(2)
    part: Part = cut(random_path(random, 10), CUTTERS["corner radius"])
    for axis in range(3):
        u, v = (k for k in range(3) if k != axis)
        at = random.uniform((BLOCK.low[u], BLOCK.low[v]), (BLOCK.high[u], BLOCK.high[v]), (200, 2))
        together = left(part, Rays(axis, at))
        for ray in range(len(at)):
            assert (left(part, Rays(axis, at[ray : ray + 1])).of(0) == together.of(ray)).all()
