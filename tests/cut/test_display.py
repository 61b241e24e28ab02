import math

import numpy as np
import pytest
from milling import Path, cut, tool

from handwheel.cut.display import DISPLAY_CELLS, display_grid
from handwheel.cut.heightmap import height_map
from handwheel.cut.part import Cut, Part
from handwheel.motion import Kind, Moves
from handwheel.motion.tables import Tool

JOB = (
    Path(20.0, 20.0, 5.0)
    .to(20.0, 20.0, -3.0)
    .to(70.0, 25.0, -3.0)
    .to(80.0, 40.0, -8.0)
    .round((60.0, 40.0, 0.0), 4.0)
    .round((50.0, 30.0, 0.0), -7.0, rise=-4.0)
    .to(30.0, 45.0, -2.0)
)


def stopped(moves: Moves, move: int, share: float) -> Moves:
    """The moves up to a moment."""
    path = Path(*moves.start[0])
    for index in range(move + 1):
        whole = share if index == move else 1.0
        one = moves[index]
        if one.kind == Kind.ARC and one.centre is not None:
            path.round(one.centre, whole * one.turn, rise=whole * (one.end[2] - one.start[2]), plane=one.plane)
        else:
            path.to(*moves.at(index, whole))
    return path.moves


def standing(moves: Moves, mill: Tool, cell: float) -> np.ndarray:
    """What a height map shows then, the underside where it is cut through."""
    z = height_map(Part(cut(JOB, mill).stock, (Cut(moves, {1: mill}),)), cell).z
    return np.where(np.isneginf(z), -40.0, z)


@pytest.mark.parametrize("move", range(6))
@pytest.mark.parametrize("share", [0.13, 0.5, 0.9])
def test_any_moment_of_a_flat_cutter_is_shown_as_it_was(move: int, share: float) -> None:
    shown = display_grid(cut(JOB, tool()), 6000)
    cell = shown.grid.cell[0] * (1.0 + 1e-9)
    expected = standing(stopped(JOB.moves, move, share), tool(), cell)
    off = np.abs(shown.at(move, share) - expected)
    # a cell whose centre stands on the cutter's very edge may fall on either side of it
    assert np.count_nonzero(off > 1e-9) <= 1


@pytest.mark.parametrize(
    "mill",
    [tool("ball end mill"), tool("drill", point_angle=118.0), tool("corner-radius end mill", corner_radius=2.0)],
    ids=lambda mill: mill.shape,
)
def test_any_cutter_is_shown_as_it_was_after_each_move(mill: Tool) -> None:
    shown = display_grid(cut(JOB, mill), 6000)
    cell = shown.grid.cell[0] * (1.0 + 1e-9)
    for move in range(6):
        expected = standing(stopped(JOB.moves, move, 1.0), mill, cell)
        assert np.allclose(shown.at(move), expected, rtol=0.0, atol=1e-9)
        # half-way through, nothing stands lower than before or after
        halfway = shown.at(move, 0.5)
        assert (halfway >= expected - 1e-9).all()


def test_a_slots_cells_drop_when_the_cutters_edge_comes_over_them() -> None:
    shown = display_grid(cut(Path(-10.0, 30.0, -4.0).to(110.0, 30.0, -4.0), tool()), 6000)
    x, y = shown.grid.x[shown.cell % len(shown.grid.x)], shown.grid.y[shown.cell // len(shown.grid.x)]
    edge = x - np.sqrt(25.0 - (y - 30.0) ** 2)
    assert shown.begins == pytest.approx((edge + 10.0) / 120.0, abs=1e-12)
    assert (shown.begins == shown.ends).all()
    assert (shown.height == -4.0).all()


def test_a_plunge_takes_its_cells_down_evenly() -> None:
    shown = display_grid(cut(Path(50.0, 30.0, 5.0).to(50.0, 30.0, -15.0), tool()), 6000)
    assert shown.begins == pytest.approx(0.25)
    assert shown.ends == pytest.approx(1.0)
    assert shown.at(0, 0.5).min() == pytest.approx(-5.0)
    assert shown.at(0, 0.25).min() == pytest.approx(0.0)


def test_a_picture_has_no_more_cells_than_it_may() -> None:
    shown = display_grid(cut(JOB, tool()))
    assert 0.9 * DISPLAY_CELLS < shown.grid.top.size <= DISPLAY_CELLS
    width, length = shown.grid.cell
    assert math.isclose(width, length, rel_tol=0.02)
