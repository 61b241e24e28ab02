"""Holes by hand and by program: spotted, drilled, reamed, counterbored, proved like faces and sides."""

from __future__ import annotations

import math

import numpy as np
import pytest
from drilled import both, codes, plate
from hypothesis import given, settings
from hypothesis import strategies as st

from handwheel.cut.rays import Rays, left
from handwheel.errors import JobError
from handwheel.job import Job
from handwheel.job.hole_pattern import HolePattern
from handwheel.proof import Program, prove, routes_of

REAMED = '[[operation]]\ndo = "ream"\nname = "ream"\ntool = 3\nholes = "row"\ndepth = 14\n'
BORED = '[[operation]]\ndo = "counterbore"\nname = "seat"\ntool = 4\nholes = "row"\ndepth = 6\n'


def test_a_spotted_drilled_reamed_and_counterbored_hole_is_as_meant_both_ways() -> None:
    for proof in both(plate(more=REAMED + BORED)):
        assert codes(proof) == set()
        down = left(proof.part, Rays(2, np.array([[15.0, 12.0], [15.0 + 3.05, 12.0], [15.0 + 5.0, 12.0]])))
        # in the axis: 18 of full diameter and a point of .3004 diameters (118 degrees, geometry) below the top
        assert down.high[0] == pytest.approx(-18.0 - 0.3004 * 6.0, abs=0.011)
        assert down.high[1] == pytest.approx(-14.0, abs=0.011)
        assert down.high[2] == pytest.approx(-6.0, abs=0.011)


def test_a_through_hole_takes_the_whole_point_and_a_millimetre_below() -> None:
    """Common practice: the whole point and about 1 mm more."""
    for proof in both(plate(drill="through = true\npeck = 6")):
        met = left(proof.part, Rays(2, np.array([[15.0, 12.0], [15.0 + 2.9, 12.0]])))
        assert len(met.low) == 0
        lowest = min(float(one.tip.end[:, 2].min()) for one in proof.setups)
        assert lowest == pytest.approx(-30.0 - 1.0 - 0.3004 * 6.0, abs=0.011)


@given(
    count=st.integers(1, 6),
    across=st.integers(100, 300),
    first=st.integers(-180, 180),
    drill=st.sampled_from([3.0, 4.2, 5.0, 6.8, 8.5]),
    depth=st.integers(40, 240),
    peck=st.sampled_from([0.0, 2.0, 5.0]),
)
@settings(max_examples=15, deadline=None)
def test_random_bolt_circles_are_drilled_as_meant_both_ways(
    count: int, across: int, first: int, drill: float, depth: int, peck: float
) -> None:
    peck = peck or (0.0 if depth / 10 < 3 * drill else 4.0)
    places = f"circle = {{ centre = [40, 21], diameter = {across / 10}, count = {count}, first = {first} }}"
    job = plate(places, drill=f"depth = {depth / 10}" + (f"\npeck = {peck}" if peck else ""), sizes=(drill, 9.0, 12.0))
    for proof in both(job):
        assert {one.code for one in proof.findings if one.level in ("stop", "reject")} == set()
        for index in range(count):
            turn = math.radians(first + 360.0 * index / count)
            x, y = 40.0 + across / 20 * math.cos(turn), 21.0 + across / 20 * math.sin(turn)
            met = left(proof.part, Rays(2, np.array([[x, y]])))
            assert met.high[0] == pytest.approx(-depth / 10 - drill / 2 / math.tan(math.radians(59.0)), abs=0.015)


def test_a_bolt_circle_of_six_on_two_inches() -> None:
    """x = r cos, y = r sin from 0 degrees: (1, 0), (.5, .8660), (-.5, .8660) … (geometry)."""
    pattern = HolePattern.model_validate(
        {"name": "rim", "circle": {"centre": ["0 in", "0 in"], "diameter": "2 in", "count": 6}}
    )
    points = np.array(pattern.points) / 25.4
    root = 0.8660254
    wanted = [[1, 0], [0.5, root], [-0.5, root], [-1, 0], [-0.5, -root], [0.5, -root]]
    assert points == pytest.approx(np.array(wanted), abs=1e-7)


def test_a_grid_goes_row_by_row() -> None:
    pattern = HolePattern.model_validate({"name": "g", "grid": {"first": [5, 6], "pitch": [10, 20], "count": [3, 2]}})
    assert pattern.points == ((5, 6), (15, 6), (25, 6), (5, 26), (15, 26), (25, 26))


@pytest.mark.parametrize(
    ("job", "code"),
    [
        (plate(spot=False), "unspotted-hole"),
        (plate(drill="depth = 20"), "deep-without-pecks"),
        (plate(spot=False, drill="", more=REAMED), "no-hole"),
    ],
    ids=["not spotted", "too deep in one", "nothing to ream"],
)
def test_what_an_instructor_would_stop_is_found_both_ways(job: Job, code: str) -> None:
    for proof in both(job):
        assert code in codes(proof)


@pytest.mark.parametrize(
    ("before", "after", "code"),
    [
        ("Z-19.803", "Z-21.000", "gouge"),
        ("Z-19.803", "Z-15.000", "left-uncut"),
        ("X60.000 Y30.000", "X60.000 Y31.000", "gouge"),
        ("G83", "G83", ""),
    ],
)
def test_a_hole_too_deep_too_shallow_or_beside_its_place_is_found(before: str, after: str, code: str) -> None:
    (routes,) = routes_of(plate(drill="depth = 18\npeck = 6"))
    assert before in routes.text
    proof = prove([routes], {1: Program("other.nc", routes.text.replace(before, after))}, resolution=2.0)
    found = {one.code for one in proof.findings if one.level in ("stop", "reject")}
    assert (code in found) if code else not found


def test_a_hole_that_was_forgotten_is_left_uncut() -> None:
    (routes,) = routes_of(plate())
    text = routes.text.replace("N", "N").replace("X60.000 Y30.000\n", "(FORGOTTEN)\n")
    lines = [line if line != line.split(" ")[0] + " (FORGOTTEN)" else "(FORGOTTEN)" for line in text.splitlines()]
    proof = prove([routes], {1: Program("other.nc", "\n".join(lines) + "\n")}, resolution=2.0)
    assert "left-uncut" in codes(proof)


@pytest.mark.parametrize(
    ("places", "more", "key"),
    [
        ("at = [[15, 12], [90, 30]]", "", "operation[1].holes"),
        ("circle = { centre = [40, 21], diameter = 20, count = 0 }", "", "holes[1].circle.count"),
        ("at = [[15, 12]]\ngrid = { first = [0, 0], pitch = [1, 1], count = [2, 2] }", "", "holes[1].grid"),
        ("at = [[15, 12]]", REAMED.replace('"row"', '"rwo"'), "operation[3].holes"),
        ("at = [[15, 12]]", REAMED.replace("tool = 3", "tool = 2"), "operation[3].tool"),
        ("at = [[15, 12]]", REAMED.replace("depth = 14", "depth = 44"), "operation[3].depth"),
        ("at = [[15, 12]]", REAMED.replace("depth = 14", "depth = 14\nthrough = true"), "operation[3].depth"),
        ("at = [[15, 12]]", REAMED.replace("depth = 14", ""), "operation[3].depth"),
    ],
)
def test_a_hole_that_makes_no_sense_is_told_at_its_key(places: str, more: str, key: str) -> None:
    with pytest.raises(JobError) as refused:
        plate(places, more=more)
    assert key in [problem.key for problem in refused.value.problems]


def test_a_hole_drilled_through_into_a_parallel_is_found() -> None:
    """Parallels 6 thick stand at the jaws: 3 from the front side a drill that comes through meets one."""
    for proof in both(plate("at = [[40, 3.5]]", drill="through = true\npeck = 6")):
        assert "cutter-hits-parallels" in codes(proof)
