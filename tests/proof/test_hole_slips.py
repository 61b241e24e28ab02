"""Slips at holes: each is found by its own code, as large as pencil arithmetic says, and blames nothing else."""

from __future__ import annotations

import re
from functools import cache

import numpy as np
import pytest

from handwheel.cut.rays import Rays, left
from handwheel.job import Job, read_job_text
from handwheel.proof import SLIPS, Proof, SlipResult, prove, prove_by_hand, routes_of, slip
from handwheel.proof.slips import drilling

PLATE = """handwheel = 1
title = "Plate"
units = "in"
material = "aluminium-6061"
[stock]
size = [4, 2, 1]
[vise]
parallel_inset = "1/4"
[[tool]]
number = 1
like = "spot-drill-1/2in-hss"
[[tool]]
number = 2
like = "drill-#7-hss"
[[tool]]
number = 3
like = "tap-1/4-20-UNC-hss"
[[tool]]
number = 4
like = "drill-23/64in-hss"
[[tool]]
number = 5
like = "reamer-3/8in-hss"
[[holes]]
name = "screws"
at = [[0.75, 0.5], [3, 1.5]]
[[holes]]
name = "pins"
at = [[2, 1], [1.25, 1.625]]
[[operation]]
do = "spot"
name = "spot"
tool = 1
holes = "screws"
diameter = 0.27
[[operation]]
do = "spot"
name = "spot the pins"
tool = 1
holes = "pins"
diameter = 0.4
[[operation]]
do = "drill"
name = "pin holes"
tool = 4
holes = "pins"
depth = 0.7
[[operation]]
do = "ream"
name = "ream"
tool = 5
holes = "pins"
depth = 0.6
[[operation]]
do = "drill"
name = "tap drill"
tool = 2
holes = "screws"
depth = 0.75
peck = 0.2
[[operation]]
do = "tap"
name = "threads"
tool = 3
holes = "screws"
thread = "1/4-20"
depth = 0.7
"""


@cache
def job(reamed: bool = True) -> Job:
    text = PLATE if reamed else re.sub(r'\[\[operation\]\]\ndo = "(?:drill|ream)"[^[]*holes = "pins"[^[]*', "", PLATE)
    return read_job_text(text, "plate")


@cache
def made(name: str, reamed: bool = True) -> SlipResult:
    return slip(routes_of(job(reamed)), name, resolution=2.0)


def codes(proof: Proof) -> set[str]:
    return {one.code for one in proof.findings if one.level != "note"}


def test_without_a_slip_nothing_is_found() -> None:
    for reamed in (True, False):
        routes = routes_of(job(reamed))
        assert codes(prove(routes, resolution=2.0)) == codes(prove_by_hand(routes, resolution=2.0)) == set()


@pytest.mark.parametrize(
    ("name", "found"),
    [
        # a turn of .200 beside its place: what is drilled there, and what is not; the tap goes where no hole is
        ("turn-too-many-between-holes", {"left-uncut", "gouge", "unspotted-hole", "no-hole"}),
        # .100 of air: .650 deep, where the tap wants .700
        ("stop-from-wrong-surface", {"left-uncut", "tap-bottoms"}),
        ("tap-drill-too-small", set()),  # #8 is .199: .001 on each side, the job's tolerance
        ("tap-drill-too-large", {"gouge"}),  # 13/64 is .2031: .00105 a side
        # the core of a 1/4-28 tap is .2113 (ASME B1.1, from memory): it does not go into a #7 hole either
        ("other-thread-series", {"left-uncut", "no-hole"}),
        ("tap-under-power", {"tap-feed-not-pitch"}),
        ("swapped-coordinates", {"left-uncut", "gouge", "unspotted-hole", "no-hole"}),
        ("mirrored-pattern", {"left-uncut", "gouge", "unspotted-hole", "no-hole"}),
        ("pecks-forgotten", {"deep-without-pecks"}),  # .75 / .201 = 3.7 diameters
        ("drill-point-forgotten", {"left-uncut"}),  # .060 of point: .690 deep, the tap's core reaches .700
        ("drill-feed-kept-for-tap", {"tap-feed-not-pitch"}),
    ],
)
def test_a_slip_at_holes_is_found_by_its_code_and_blames_nothing_else(name: str, found: set[str]) -> None:
    result = made(name, reamed=False)
    assert result.proof is not None
    assert result.expected is not None
    assert set(result.expected.codes) <= codes(result.proof)
    extra = {"tap-bottoms"} if name == "drill-point-forgotten" else set()
    assert codes(result.proof) - extra == found


def test_a_table_bumped_before_reaming_gouges_by_as_much_as_it_stands_off() -> None:
    result = made("table-moved-before-reaming")
    assert result.proof is not None
    assert "gouge" in codes(result.proof)
    met = left(result.proof.part, Rays(0, np.array([[1.625 * 25.4, -10.0]])))
    middle = 1.25 * 25.4
    walls = [float(met.high[met.high < middle].max()) / 25.4, float(met.low[met.low > middle].min()) / 25.4]
    # the reamer's 3/8 about 1.260 reaches to 1.4475, the drill's 23/64 about 1.250 to 1.0703
    assert walls == pytest.approx([1.25 - 23 / 128, 1.4475], abs=6e-4)


def test_a_stop_set_from_the_tip_makes_every_hole_shallower_by_the_air_over_it() -> None:
    result = made("stop-from-wrong-surface", reamed=False)
    assert result.proof is not None
    met = left(result.proof.part, Rays(2, np.array([[0.75 * 25.4, 0.5 * 25.4]])))
    # .750 of full diameter, a point of .3004 x .201 (geometry), less the .100 over the work
    assert float(met.high[-1]) / 25.4 == pytest.approx(-(0.75 + 0.3004 * 0.201 - 0.1), abs=6e-4)


@pytest.mark.parametrize("name", [one.name for one in drilling.SLIPS])
def test_a_slip_at_holes_says_what_is_done_what_comes_of_it_and_how_one_notices(name: str) -> None:
    assert re.fullmatch(r"[a-z]+(-[a-z]+)*", name)
    result = made(name)
    assert result.route is SLIPS[name].route
    assert result.cannot is None
    assert result.what.endswith(".")
    assert result.notice.endswith((".", "?"))
    assert result.expected is not None
    assert result.proof is not None
    assert set(result.expected.codes) <= codes(result.proof)
