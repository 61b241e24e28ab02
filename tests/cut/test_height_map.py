import math

import numpy as np
import pytest
from milling import BLOCK, Path, cut, tool

from handwheel.cut.heightmap import CELLS, height_map
from handwheel.cut.part import Cut, Part
from handwheel.cut.rays import Rays, left
from handwheel.errors import HandwheelError
from handwheel.motion import Plane
from handwheel.path.box import Box
from handwheel.path.placement import Placement

CUTTERS = {
    "end mill": tool("end mill", 9.0),
    "ball": tool("ball end mill", 10.0),
    "corner radius": tool("corner-radius end mill", 12.0, corner_radius=2.5),
    "drill": tool("drill", 8.0, point_angle=118.0),
    "chamfer mill": tool("chamfer mill", 12.0, point_angle=90.0, tip_diameter=2.0),
}

SLOT = cut(Path(20.0, 30.0, 5.0).to(20.0, 30.0, -6.0).to(70.0, 30.0, -6.0), tool())
RING = cut(Path(70.0, 30.0, -4.0).round((50.0, 30.0, 0.0), 2.0 * math.pi), tool())
HOLE = cut(Path(50.0, 30.0, 5.0).to(50.0, 30.0, -20.0), tool("drill", 10.0, point_angle=118.0))
GROOVE = cut(Path(-10.0, 30.0, -4.0).to(110.0, 30.0, -4.0), tool("ball end mill", 10.0))
CLOSED_FORMS = {
    "a slot with round ends": (SLOT, 6.0 * (50.0 * 10.0 + math.pi * 25.0)),
    "a ring": (RING, 4.0 * math.pi * (25.0**2 - 15.0**2)),
    "a hole with its point": (
        HOLE,
        math.pi * 25.0 * (20.0 - 5.0 / math.tan(math.radians(59.0)) * 2.0 / 3.0),
    ),
    # 4 deep in a ball of 5: a segment of a circle, and nothing above it
    "a ball groove": (GROOVE, 100.0 * (25.0 * math.acos(1.0 / 5.0) - 1.0 * math.sqrt(24.0))),
}


@pytest.mark.parametrize("name", CLOSED_FORMS)
def test_the_stated_error_holds_the_volume_and_shrinks_with_the_cells(name: str) -> None:
    part, removed = CLOSED_FORMS[name]
    off, stated, cells = [], [], [1.3, 0.61, 0.29, 0.13]
    for cell in cells:
        volume = height_map(part, cell).volume
        assert abs(volume.removed - removed) <= volume.error
        assert volume.stock == pytest.approx(volume.removed + volume.left)
        off.append(abs(volume.removed - removed))
        stated.append(volume.error)
    # the stated error falls with the first power of the cells' size
    order = np.polyfit(np.log(cells), np.log(stated), 1)[0]
    assert 0.85 < order < 1.2
    assert max(off[-2:]) < stated[-1]


@pytest.mark.parametrize("where", np.random.default_rng(5).uniform(0.0, 1.0, (12, 3)).tolist())
def test_the_stated_error_holds_wherever_the_cut_falls_on_the_cells(where: list[float]) -> None:
    dx, dy, turn = where
    end = (30.0 + dx + 40.0 * math.cos(turn), 20.0 + dy + 30.0 * math.sin(turn))
    part = cut(Path(30.0 + dx, 20.0 + dy, -3.0).to(*end, -3.0), tool("end mill", 4.0))
    removed = 3.0 * (math.dist((30.0 + dx, 20.0 + dy), end) * 4.0 + math.pi * 4.0)
    volume = height_map(part, 0.5).volume
    assert abs(volume.removed - removed) <= volume.error


@pytest.mark.parametrize("name", CUTTERS)
def test_each_cell_is_the_top_of_its_own_vertical_ray(name: str) -> None:
    random = np.random.default_rng(len(name))
    path, mill, at = Path(50.0, 30.0, 3.0), CUTTERS[name], np.array([50.0, 30.0, 3.0])
    for sort in (0, 1, 2, 3, 4, 5, 0, 4):
        if sort < 3:
            end = np.array([*random.uniform((5.0, 5.0), (95.0, 55.0)), random.uniform(-12.0, -1.0)])
            end[2 if sort == 1 else slice(0, 2 if sort == 2 else 0)] = at[2 if sort == 1 else slice(0, 2 * (sort == 2))]
            path.to(*end)
        else:
            # cones and rounded noses stand on upright arcs as chords, whose error is not straight down
            plane = Plane.YZ if sort == 5 and name == "end mill" else Plane.XY
            centre = at + np.array([0.0, random.uniform(3.0, 8.0), 0.0])
            path.round(tuple(centre), random.uniform(-5.0, 5.0), rise=-3.0 if sort == 4 else 0.0, plane=plane)
        at = path.moves.end[-1]
    part = cut(path, mill)
    tall = height_map(part, 0.7)
    x, y = np.meshgrid(tall.x, tall.y)
    stretches = left(part, Rays(2, np.column_stack((x.ravel(), y.ravel()))))
    met = stretches.first[1:] > stretches.first[:-1]
    top = np.full(len(met), -np.inf)
    top[met] = stretches.high[stretches.first[1:][met] - 1]
    assert np.allclose(tall.z.ravel(), top, rtol=0.0, atol=1e-9)


@pytest.mark.parametrize("name", ["end mill", "ball", "drill", "chamfer mill"])
@pytest.mark.parametrize("turn", [5.0, -5.0, 16.0, -16.0])
@pytest.mark.parametrize("rise", [-9.0, 9.0])
@pytest.mark.parametrize("radius", [2.0, 12.0])
def test_each_cell_under_a_helix_is_the_top_of_its_own_ray(name: str, turn: float, rise: float, radius: float) -> None:
    start = (50.0 + radius, 30.0, min(-rise, 0.0) - 1.0)
    part = cut(Path(*start).round((50.0, 30.0, 0.0), turn, rise=rise), CUTTERS[name])
    tall = height_map(part, 0.9)
    x, y = np.meshgrid(tall.x, tall.y)
    tops = left(part, Rays(2, np.column_stack((x.ravel(), y.ravel()))))
    # a cell may be passed below and, a turn later, above: the map counts what is between as gone
    lowest = np.array([tops.of(ray)[0, 1] for ray in range(x.size)])
    assert np.allclose(tall.z.ravel(), lowest, rtol=0.0, atol=1e-9)


def test_a_cell_knows_the_move_that_made_it() -> None:
    tall = height_map(SLOT, 1.0)
    move = tall.move[30, [10, 15, 16, 45, 80]]
    assert move.tolist() == [-1, 0, 0, 1, -1]
    assert (tall.z[tall.move < 0] == 0.0).all()


def test_a_move_at_the_same_height_again_makes_nothing_new() -> None:
    part = cut(Path(-10.0, 30.0, -2.0).to(110.0, 30.0, -2.0).to(-10.0, 30.0, -2.0), tool())
    assert set(np.unique(height_map(part).move)) == {-1, 0}


def test_where_the_stock_is_cut_through_there_is_no_height() -> None:
    thin = Box((0.0, 0.0, -5.0), (100.0, 60.0, 0.0))
    tall = height_map(cut(Path(50.0, 30.0, 5.0).to(50.0, 30.0, -8.0), tool(), thin), 0.5)
    gone = np.isneginf(tall.z)
    assert gone.sum() * 0.25 == pytest.approx(math.pi * 25.0, rel=0.02)
    assert (tall.z[~gone] == 0.0).all()
    assert abs(tall.volume.removed - math.pi * 25.0 * 5.0) <= tall.volume.error


def test_a_resolution_that_would_eat_the_memory_is_refused_and_one_that_fits_is_named() -> None:
    with pytest.raises(HandwheelError, match=r"0.001 mm needs 6,000,000,000 cells.*take 0.0") as refused:
        height_map(SLOT, 0.001)
    assert refused.value.exit_status == 2
    with pytest.raises(HandwheelError, match="more than nothing"):
        height_map(SLOT, 0.0)


@pytest.mark.parametrize("size", [(100.0, 60.0), (3.0, 200.0), (12.7, 12.7)])
def test_without_a_resolution_the_cells_cover_the_stock_exactly(size: tuple[float, float]) -> None:
    tall = height_map(Part(Box((0.0, 0.0, -5.0), (*size, 0.0))))
    assert 0.8 * CELLS < tall.z.size <= CELLS
    width, length = tall.grid.cell
    assert width * len(tall.x) == pytest.approx(size[0])
    assert tall.y[0] - length / 2.0 == pytest.approx(0.0)
    assert tall.volume.left == pytest.approx(size[0] * size[1] * 5.0)


def test_progress_is_told_up_to_the_last_move() -> None:
    told: list[int] = []
    height_map(SLOT, 2.0, progress=told.append)
    assert told == [2]


TURNED_OVER = Placement(((1, 0, 0), (0, -1, 0), (0, 0, -1)), (0.0, 60.0, -40.0))


def test_a_part_turned_over_is_seen_from_its_other_side() -> None:
    above = Path(30.0, 20.0, 5.0).to(30.0, 20.0, -25.0)
    # from below a wider, shallower hole on the same axis: y = 20 is y = 40 there
    below = Path(30.0, 40.0, 5.0).to(30.0, 40.0, -20.0)
    part = Part(BLOCK, (Cut(above.moves, {1: tool()}), Cut(below.moves, {1: tool("end mill", 16.0)}, TURNED_OVER)))
    through = left(part, Rays(2, np.array([[30.0, 20.0], [36.0, 20.0], [50.0, 20.0]])))
    assert through.first.tolist() == [0, 0, 1, 2]
    assert (through.low[0], through.high[0]) == (-20.0, 0.0)
    level = left(part, Rays(0, np.array([[20.0, -22.0]]))).of(0)
    assert level == pytest.approx(np.array([[0.0, 22.0], [38.0, 100.0]]))
    # the last 5 mm of the first hole were gone already when the second one came there
    tall = height_map(part, 0.5, setup=1)
    assert abs(tall.volume.removed - math.pi * (64.0 * 20.0 - 25.0 * 5.0)) <= tall.volume.error


def test_a_second_set_up_starts_from_what_the_first_left() -> None:
    first = Path(-20.0, 20.0, -10.0).to(120.0, 20.0, -10.0)
    second = Path(50.0, -20.0, -15.0).to(50.0, 80.0, -15.0)
    part = Part(BLOCK, (Cut(first.moves, {1: tool()}), Cut(second.moves, {1: tool()})))
    volume = height_map(part, 0.25, setup=1).volume
    assert volume.stock == pytest.approx(100.0 * 60.0 * 40.0 - 100.0 * 10.0 * 10.0, rel=1e-3)
    assert abs(volume.removed - (60.0 * 10.0 * 15.0 - 10.0 * 10.0 * 10.0)) <= volume.error


def test_over_a_hollow_of_an_earlier_set_up_a_cut_falls_to_what_still_stands_there() -> None:
    """A slot 20 wide and 15 deep from above; turned over, it is a hollow 15 high. Cut 27 deep from there: through."""
    above = Path(-20.0, 20.0, -15.0).to(120.0, 20.0, -15.0)
    below = Path(-20.0, 40.0, -27.0).to(120.0, 40.0, -27.0)
    tools = {1: tool(diameter=20.0)}
    part = Part(BLOCK, (Cut(above.moves, tools), Cut(below.moves, tools, TURNED_OVER)))
    heights = height_map(part, 0.5, setup=1)
    middle = np.abs(heights.y - 40.0) < 9.0
    assert np.isneginf(heights.z[middle]).all()
    assert (heights.z[np.abs(heights.y - 40.0) > 11.0] == 0.0).all()
