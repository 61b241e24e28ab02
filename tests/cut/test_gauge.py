import math

import numpy as np
import pytest
from milling import BLOCK, Path, cut, tool

from handwheel.cut.gauge import measure
from handwheel.cut.part import Cut, Part
from handwheel.path.box import Box

ALL = 1e-9 * 100.0
"""Of the stock's size."""


def squared() -> Part:
    """A block milled on front and back to 60 − 1.3 − 0.7 mm over a depth of 9 mm, with a slot 12 wide and 5 deep."""
    path = Path(-20.0, 1.3 - 5.0, -9.0).to(120.0, 1.3 - 5.0, -9.0)
    path.to(120.0, 60.0 - 0.7 + 5.0, -9.0).to(-20.0, 60.0 - 0.7 + 5.0, -9.0).to(-20.0, 31.0, -5.0)
    return cut(path.to(120.0, 31.0, -5.0).to(120.0, 33.0, -5.0).to(-20.0, 33.0, -5.0), tool())


def test_a_micrometer_reads_the_width_over_both_finished_sides() -> None:
    read = measure(squared(), "y", {"x": 50.0, "z": -7.0}, "outside", anvil=3.0)
    assert read.value == pytest.approx(58.0, abs=ALL)
    assert (read.low, read.high) == pytest.approx((1.3, 59.3), abs=ALL)
    assert read.ridge < ALL
    assert read.taper == pytest.approx((0.0, 0.0), abs=ALL)


def test_an_anvil_is_laid_clear_of_the_raw_ledge_below_the_finished_side() -> None:
    # 6.35 wide about 7 mm down would reach to 10.175, where the raw side stands out
    assert measure(squared(), "y", {"x": 50.0, "z": -7.0}).value == pytest.approx(58.0, abs=ALL)
    assert measure(squared(), "y", {"x": 50.0, "z": -20.0}).value == pytest.approx(60.0, abs=ALL)


def test_a_slot_is_measured_inside_and_the_walls_beside_it_outside() -> None:
    part = squared()
    gap = measure(part, "y", {"x": 50.0, "z": -2.5}, "inside", at=32.0)
    assert gap.value == pytest.approx(12.0, abs=ALL)
    assert (gap.low, gap.high) == pytest.approx((26.0, 38.0), abs=ALL)
    wall = measure(part, "y", {"x": 50.0, "z": -2.5}, "outside", at=10.0, anvil=4.0)
    assert wall.value == pytest.approx(26.0 - 1.3, abs=ALL)
    over_all = measure(part, "y", {"x": 50.0, "z": -2.5}, "outside", anvil=4.0)
    assert over_all.value == pytest.approx(58.0, abs=ALL)


@pytest.mark.parametrize("axis", ["x", "y"])
@pytest.mark.parametrize("bore", [12.0, 30.0])
def test_a_round_bore_is_measured_inside_at_its_full_diameter(axis: str, bore: float) -> None:
    """A bore gauge touches at two points; flat anvils 6.35 wide would stop √(D² − 6.35²) apart (geometry)."""
    radius = bore / 2.0 - 5.0
    path = Path(50.0, 30.0, 5.0).to(50.0, 30.0, -12.0).to(50.0 + radius, 30.0, -12.0)
    part = cut(path.round((50.0, 30.0, -12.0), 2.0 * math.pi), tool())
    centre = {"x": 50.0, "y": 30.0}
    at = centre.pop(axis)
    read = measure(part, axis, {**centre, "z": -6.0}, "inside", at=at)  # type: ignore[arg-type]
    assert read.value == pytest.approx(bore, abs=ALL)
    assert (read.taper, read.ridge) == ((0.0, 0.0), 0.0)


def test_a_step_is_from_the_zero_face_down_to_the_floor() -> None:
    part = squared()
    assert measure(part, "z", {"x": 50.0, "y": 32.0}, "step").value == pytest.approx(5.0, abs=ALL)
    assert measure(part, "z", {"x": 50.0, "y": 0.6}, "step", anvil=1.0).value == pytest.approx(9.0, abs=ALL)
    assert measure(part, "z", {"x": 50.0, "y": 15.0}, "step").value == pytest.approx(0.0, abs=ALL)
    assert measure(part, "z", {"x": 50.0, "y": 32.0}).value == pytest.approx(35.0, abs=ALL)


@pytest.mark.parametrize(
    ("low", "shift", "at"),
    [(0.0, 0.0, None), (-100.0, -100.0, None), (-50.0, -50.0, -10.0)],
    ids=["zero left", "zero right", "zero in the middle"],
)
def test_a_step_along_the_jaws_is_seen_from_the_open_zero_face(low: float, shift: float, at: float | None) -> None:
    stock = Box((low, 0.0, -40.0), (low + 100.0, 60.0, 0.0))
    path = Path(shift + 7.0, -20.0, -6.0).to(shift + 7.0, 80.0, -6.0)  # left end milled 12 mm wide
    path.to(shift + 5.0, -20.0, -6.0).to(shift + 5.0, 80.0, -6.0)
    path.to(shift + 96.0, -20.0, -6.0).to(shift + 96.0, 80.0, -6.0)  # right end, 9 mm wide
    part = cut(path, tool(), stock)
    value = measure(part, "x", {"y": 30.0, "z": -3.0}, "step", at=at, anvil=2.0).value
    expected = {0.0: 12.0, -100.0: 9.0, -50.0: 38.0}[low]
    assert value == pytest.approx(expected, abs=ALL)


def test_a_step_above_a_zero_at_the_bottom_is_its_height() -> None:
    stock = Box((0.0, 0.0, 0.0), (100.0, 60.0, 40.0))
    part = cut(Path(-20.0, 30.0, 33.0).to(120.0, 30.0, 33.0), tool(), stock)
    assert measure(part, "z", {"x": 50.0, "y": 30.0}, "step").value == pytest.approx(33.0, abs=ALL)


def test_what_is_left_uncut_above_the_zero_face_reads_as_less_than_nothing() -> None:
    stock = Box((0.0, 0.0, -40.0), (100.0, 60.0, 1.5))
    assert measure(Part(stock), "z", {"x": 50.0, "y": 30.0}, "step").value == pytest.approx(-1.5, abs=ALL)


@pytest.mark.parametrize("of", ["outside", "inside", "step"])
def test_where_nothing_is_met_there_is_no_reading(of: str) -> None:
    beside = measure(Part(BLOCK), "y", {"x": 150.0, "z": -3.0}, of, at=30.0)  # type: ignore[arg-type]
    assert beside.value is None
    if of == "inside":
        assert measure(Part(BLOCK), "y", {"x": 50.0, "z": -3.0}, "inside", at=30.0).value is None


def test_an_anvil_over_the_edge_of_the_work_reads_what_is_there() -> None:
    assert measure(squared(), "y", {"x": 99.0, "z": -1.0}, anvil=6.35).value == pytest.approx(58.0, abs=ALL)
    assert measure(Part(BLOCK), "x", {"y": 0.5, "z": -0.5}).value == pytest.approx(100.0, abs=ALL)


def test_the_ridge_between_two_ball_passes_is_what_a_micrometer_feels() -> None:
    # cusp of a ball of radius R at stepover s: R − √(R² − s²/4) (geometry)
    path = Path(-20.0, 0.0, -4.0)
    for row in range(16):
        path.to(-20.0, 4.0 * row, -4.0).to(120.0, 4.0 * row, -4.0).to(120.0, 4.0 * row, 9.0).to(-20.0, 4.0 * row, 9.0)
    part = cut(path, tool("ball end mill"))
    cusp = 5.0 - math.sqrt(25.0 - 4.0)
    read = measure(part, "z", {"x": 50.0, "y": 30.0})
    assert read.value == pytest.approx(36.0 + cusp, abs=1e-9)
    assert read.ridge == pytest.approx(cusp, rel=0.35)
    point = measure(part, "z", {"x": 50.0, "y": 32.0}, anvil=0.0)
    assert point.value == pytest.approx(36.0, abs=ALL)
    assert point.ridge == 0.0


def test_a_wall_cut_by_a_cone_is_read_with_its_taper() -> None:
    mill = tool("chamfer mill", 20.0, point_angle=20.0, tip_diameter=2.0, flute_length=40.0)
    part = cut(Path(-20.0, -1.0, -30.0).to(120.0, -1.0, -30.0), mill)
    read = measure(part, "y", {"x": 50.0, "z": -15.0})
    assert read.taper == pytest.approx((0.0, -math.tan(math.radians(10.0))), abs=1e-9)
    assert read.ridge < 1e-9


@pytest.mark.parametrize("turned", [1.0, -1.0])
def test_a_size_is_exact_to_a_billionth_of_the_stock_in_inches_too(turned: float) -> None:
    inch = 25.4
    stock = Box((0.0, 0.0, -2.0 * inch), (4.0 * inch, 3.0 * inch, 0.0))
    mill = tool("end mill", 0.75 * inch, flute_length=1.5 * inch)
    y = 0.125 * inch - 0.375 * inch
    start, end = (-1.0 * inch, 5.0 * inch)[:: int(turned)]
    part = Part(stock, (Cut(Path(start, y, -0.35 * inch).to(end, y, -0.35 * inch).moves, {1: mill}),))
    read = measure(part, "y", {"x": 2.0 * inch, "z": -0.175 * inch})
    assert read.value == pytest.approx(2.875 * inch, abs=1e-9 * 4.0 * inch)
    depth = measure(part, "z", {"x": 2.0 * inch, "y": 0.05 * inch}, "step", anvil=1.0)
    assert depth.value == pytest.approx(0.35 * inch, abs=1e-9 * 4.0 * inch)
    assert np.isfinite(read.taper).all()
