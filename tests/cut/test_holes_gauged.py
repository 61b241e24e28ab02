"""Holes under the gauge: how wide, how deep, where, and how far from one another; each to the hundredth of a micron."""

from __future__ import annotations

import pytest
from drilled import both, plate
from milling import Path, cut, tool

from handwheel.check.gauged import gauged
from handwheel.cut.gauge import measure
from handwheel.cut.part import Part
from handwheel.errors import JobError
from handwheel.job import Job
from handwheel.motion import Tool
from handwheel.path.box import Box

INCH = 25.4


def bored(diameter: float, places: tuple[tuple[float, float], ...], depth: float, shape: str = "end mill") -> Part:
    """The test block with blind holes of that diameter."""
    path = Path(*places[0], 5.0)
    for x, y in places:
        path.to(x, y, 5.0).to(x, y, -depth).to(x, y, 5.0)
    drill = Tool(1, shape, diameter, 2, 60.0, diameter, 80.0, 50.0, 60.0, point_angle=118.0)  # type: ignore[arg-type]
    return cut(path, drill)


def test_a_depth_gauge_s_rod_goes_into_a_quarter_inch_hole() -> None:
    """An anvil 1/4 in wide covers a 1/4 in hole and reads nothing; a rod of 3 mm goes in (common practice)."""
    part = bored(0.25 * INCH, ((50.0, 30.0),), 12.0)
    assert measure(part, "z", {"x": 50.0, "y": 30.0}, "step", anvil=6.35).value == pytest.approx(0.0, abs=1e-9)
    assert measure(part, "z", {"x": 50.0, "y": 30.0}, "step").value == pytest.approx(12.0, abs=1e-9)
    assert measure(part, "z", {"x": 50.0, "y": 30.0}, "step", start=(-2.0, 1)).value == pytest.approx(10.0, abs=1e-9)


@pytest.mark.parametrize("diameter", [2.5, 6.35, 13.5])
@pytest.mark.parametrize("axis", ["x", "y"])
def test_a_hole_is_as_wide_as_its_drill_and_where_it_was_drilled(diameter: float, axis: str) -> None:
    part = bored(diameter, ((50.0, 30.0),), 12.0, "drill")
    centre = {"x": 50.0, "y": 30.0}
    at = centre.pop(axis)
    level = {**centre, "z": -4.0}
    assert measure(part, axis, level, "inside", at=at + 0.3).value == pytest.approx(diameter, abs=1e-9)  # type: ignore[arg-type]
    middle = measure(part, axis, level, "middle", at=at + 0.3)  # type: ignore[arg-type]
    assert middle.value == pytest.approx(at, abs=1e-9)
    assert (middle.low, middle.high) == pytest.approx((at - diameter / 2, at + diameter / 2), abs=1e-9)


SIZES = """
[[dimension]]
name = "bore"
axis = "x"
through = {{ y = 12, z = -4 }}
of = "inside"
at = 15
nominal = 6
gauge = "gauge pin"
[[dimension]]
name = "place"
axis = "y"
through = {{ x = 15, z = -4 }}
of = "middle"
at = 12
nominal = {place}
plus = 0.05
minus = 0.05
[[dimension]]
name = "apart"
axis = "x"
through = {{ y = 12, z = -4 }}
of = "distance"
at = [{at}]
nominal = 45
plus = 0.05
minus = 0.05
[[dimension]]
name = "deep"
axis = "z"
through = {{ x = 15, y = 12 }}
of = "step"
{start}
nominal = {deep}
plus = 0.5
minus = 0.05
"""


def sized(place: str = "12", at: str = "60, 15", start: str = 'from = "top"', deep: float = 18.9) -> Job:
    return plate("at = [[15, 12], [60, 12]]", more=SIZES.format(place=place, at=at, start=start, deep=deep))


def test_the_sizes_of_a_drilled_plate_pass_both_ways() -> None:
    for proof in both(sized()):
        sizes = {one.name: one for one in proof.dimensions}
        assert all(one.ok for one in sizes.values())
        assert sizes["bore"].measured == pytest.approx(6.0, abs=1e-6)
        assert sizes["place"].measured == pytest.approx(12.0, abs=0.011)
        assert sizes["apart"].measured == pytest.approx(45.0, abs=0.011)
        # a rod of 3 mm stops on the cone of a 118 degree point, 1.5 from the axis (geometry)
        assert sizes["deep"].measured == pytest.approx(18.0 + (3.0 - 1.5) * 0.6009, abs=0.012)


def test_a_hole_that_is_not_there_has_no_size() -> None:
    job = sized()
    from handwheel.setup import set_up

    setup = set_up(job)[0]
    found = gauged(setup, Part(Box(setup.stock.low, setup.stock.high)))
    assert [one.measured for one in found[:3]] == [None, None, None]
    assert not any(one.ok for one in found)


@pytest.mark.parametrize(
    ("changed", "key"),
    [
        ({"at": "15"}, "dimension[3].at"),
        ({"at": "1, 2, 3"}, "dimension[3].at"),
        ({"place": "12\nplus = 1"}, ""),
        ({"start": 'from = "left"'}, "dimension[4].from"),
        ({"start": 'from = "sideways"'}, "dimension[4].from"),
        ({"start": "at = [1, 2]"}, "dimension[4].at"),
    ],
)
def test_a_size_of_a_hole_that_makes_no_sense_is_told_at_its_key(changed: dict[str, str], key: str) -> None:
    with pytest.raises(JobError) as refused:
        sized(**changed)  # type: ignore[arg-type]
    if key:
        assert any(problem.key.startswith(key) for problem in refused.value.problems)


def test_a_block_without_holes_is_still_measured_by_the_rod() -> None:
    part = cut(Path(-20.0, 30.0, -5.0).to(120.0, 30.0, -5.0), tool())
    assert measure(part, "z", {"x": 50.0, "y": 30.0}, "step").value == pytest.approx(5.0, abs=1e-9)
