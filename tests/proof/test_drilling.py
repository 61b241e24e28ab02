"""What an instructor watches at a drill: its feed a turn, and what is under the work where it comes through."""

from __future__ import annotations

import re

import pytest
from drilled import both, codes, plate

from handwheel.errors import JobError
from handwheel.job import read_job_text
from handwheel.proof import Program, prove, routes_of


@pytest.mark.parametrize(
    ("share", "code"), [(0.2, "feed-too-low"), (0.6, ""), (1.5, ""), (3.0, "feed-too-high"), (5.0, "feed-far-too-high")]
)
def test_a_drill_is_judged_by_its_feed_a_turn(share: float, code: str) -> None:
    """6 mm: .002 to .006 in a turn, 0.1 mm in the middle (Machinery's Handbook, drilling, from memory)."""
    (routes,) = routes_of(plate())
    speed = float(re.findall(r"S([\d.]+) M3", routes.text)[-1])
    text = re.sub(r"(G81 Z-19.*F)[\d.]+", rf"\g<1>{0.1 * speed * share:.1f}", routes.text)
    found = codes(prove([routes], {1: Program("other.nc", text)}, resolution=2.0))
    feeds = {one for one in found if one.startswith("feed")}
    assert feeds == ({code} if code else set())


THROUGH = "through = true\npeck = 6"


def inset(y: float) -> str:
    """The finding's message where a drill of 6 comes through ``y`` from the front side; parallels are 6 thick."""
    job = plate(f"at = [[40, {y}]]", drill=THROUGH)
    proof = both(job)[1]
    return next((one.message for one in proof.findings if one.code == "cutter-hits-parallels"), "")


def test_the_finding_says_which_inset_stands_the_parallels_clear() -> None:
    # a hole of 6 at 3.5 from the front side reaches to 6.5: half a millimetre of room, so 7
    assert "parallel_inset = 7 stands" in inset(3.5)
    # at 8 it begins at 5: the parallel would stand beyond it at 11 + 0.5, so 12
    assert "parallel_inset = 12 stands" in inset(8.0)
    assert inset(10.0) == ""


def test_an_inset_moves_the_parallels_off_the_jaws_and_clears_the_hole() -> None:
    job = plate("at = [[40, 3.5]]", drill=THROUGH, vise="parallel_inset = 7")
    front, back = routes_of(job)[0].setup.parallels
    assert (front.low[1], front.high[1], back.low[1], back.high[1]) == pytest.approx((7.0, 13.0, 29.0, 35.0))
    for proof in both(job):
        assert codes(proof) == set()


def test_parallels_that_do_not_fit_with_their_inset_are_refused() -> None:
    with pytest.raises(JobError, match=r"vise\.parallel_inset"):
        routes_of(plate("at = [[40, 21]]", drill=THROUGH, vise="parallel_inset = 16"))


TURNED = """handwheel = 1
title = "Turned over"
units = "mm"
material = "steel-s235"
[stock]
size = [80, 42, 20]
[[tool]]
number = 1
shape = "spot drill"
diameter = 12
flute_length = 20
reach = 50
[[tool]]
number = 2
shape = "drill"
diameter = 5
flute_length = 60
reach = 80
[[tool]]
number = 3
shape = "tap"
diameter = 6
pitch = 1
shank = 4.5
flute_length = 30
reach = 60
[[setup]]
name = "first"
[setup.vise]
parallel_inset = 8
[[setup.holes]]
name = "feet"
at = [[10, 5], [70, 19]]
[[setup.operation]]
do = "spot"
name = "spot"
tool = 1
holes = "feet"
diameter = 6
[[setup.operation]]
do = "drill"
name = "drill"
tool = 2
holes = "feet"
through = true
peck = 5
[[setup]]
name = "second"
up = "{up}"
[setup.vise]
parallel_inset = 8
[[setup.operation]]
do = "tap"
name = "tap"
tool = 3
holes = "feet"
thread = "M6"
depth = 14
"""


def test_a_pattern_drilled_from_above_is_found_again_and_tapped_from_below() -> None:
    job = read_job_text(TURNED.format(up="bottom"), "turned")
    # the back stays on the fixed jaw and the work is turned over end for end: X counts from the other end
    second = job.setups[1].operations[0]
    assert second.points == (pytest.approx((70.0, 5.0)), pytest.approx((10.0, 19.0)))  # type: ignore[union-attr]
    for proof in both(job):
        assert codes(proof) == set()


def test_a_pattern_that_would_not_stand_upright_is_not_found() -> None:
    with pytest.raises(JobError) as refused:
        read_job_text(TURNED.format(up="left"), "turned")
    assert "setup[2].operation[1].holes" in [problem.key for problem in refused.value.problems]
