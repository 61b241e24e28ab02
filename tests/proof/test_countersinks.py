"""Countersinks both ways: the size is across the surface, the depth follows from the cutter's angle."""

from __future__ import annotations

import math

import numpy as np
import pytest

from handwheel.cut.rays import Rays, left
from handwheel.errors import JobError
from handwheel.job import Job, read_job_text
from handwheel.proof import Program, Proof, prove, prove_by_hand, routes_of


def sunk(angle: float = 90.0, diameter: float = 10.0, cutter: str = "", more: str = "", drilled: bool = True) -> Job:
    """A plate 80 x 42 x 20 with 5.5 mm holes through it, countersunk."""
    text = f"""handwheel = 1
title = "Plate"
units = "mm"
material = "steel-s235"
[stock]
size = [80, 42, 20]
[vise]
parallels = 26
[[tool]]
number = 1
shape = "spot drill"
diameter = 12
flute_length = 20
reach = 50
[[tool]]
number = 2
shape = "drill"
diameter = 5.5
flute_length = 60
reach = 80
[[tool]]
number = 3
{cutter or f'shape = "countersink"{chr(10)}point_angle = {angle}'}
diameter = 16
flute_length = 12
reach = 40
[[holes]]
name = "row"
at = [[20, 21], [60, 21]]
"""
    if drilled:
        text += """[[operation]]
do = "spot"
name = "spot"
tool = 1
holes = "row"
diameter = 5
[[operation]]
do = "drill"
name = "drill"
tool = 2
holes = "row"
through = true
peck = 5
"""
    text += f'[[operation]]\ndo = "countersink"\nname = "sink"\ntool = 3\nholes = "row"\ndiameter = {diameter}\n{more}'
    return read_job_text(text, "plate")


def both(job: Job) -> tuple[Proof, Proof]:
    routes = routes_of(job)
    return prove_by_hand(routes, resolution=2.0), prove(routes, resolution=2.0)


def codes(proof: Proof) -> set[str]:
    return {one.code for one in proof.findings if one.level != "note"}


@pytest.mark.parametrize("angle", [60.0, 82.0, 90.0, 100.0])
def test_a_countersink_is_as_wide_at_the_surface_as_the_drawing_says(angle: float) -> None:
    """Depth at a radius r: (D/2 − r) / tan(half the angle) (geometry)."""
    for proof in both(sunk(angle)):
        assert codes(proof) == set()
        met = left(proof.part, Rays(2, np.array([[20.0 + 4.0, 21.0], [20.0 + 5.1, 21.0]])))
        # 4 mm from the axis: 1 mm within the rim
        assert met.high[0] == pytest.approx(-1.0 / math.tan(math.radians(angle / 2)), abs=0.011)
        assert met.high[1] == pytest.approx(0.0, abs=1e-9)


def test_a_chamfer_mill_with_a_flat_tip_countersinks_to_the_same_size() -> None:
    job = sunk(cutter='shape = "chamfer mill"\ntip_diameter = 2\nflutes = 4\ncentre_cutting = true')
    assert "G81 Z-4.000" in routes_of(job)[0].text  # (10 − 2) / 2 at 90 degrees
    for proof in both(job):
        assert codes(proof) == set()
        met = left(proof.part, Rays(2, np.array([[20.0 + 4.0, 21.0]])))
        assert met.high[0] == pytest.approx(-1.0, abs=0.011)


@pytest.mark.parametrize(("to", "code"), [("Z-5.050", "gouge"), ("Z-4.900", "left-uncut"), ("Z-5.010", "")])
def test_a_countersink_too_deep_or_too_shallow_is_found(to: str, code: str) -> None:
    """A 90 degree cone is wider by twice what it is deeper (geometry); the job's tolerance is 0.02 mm."""
    (routes,) = routes_of(sunk())
    assert "G81 Z-5.000" in routes.text
    text = routes.text.replace("G81 Z-5.000", f"G81 {to}")
    found = codes(prove([routes], {1: Program("other.nc", text)}, resolution=2.0))
    assert (code in found) if code else not found


def test_a_countersink_where_no_hole_is_is_found() -> None:
    for proof in both(sunk(drilled=False)):
        assert "no-hole" in codes(proof)


@pytest.mark.parametrize(
    ("cutter", "diameter", "key"),
    [
        ('shape = "countersink"\npoint_angle = 90', 17.0, "operation[3].diameter"),
        ('shape = "chamfer mill"\ntip_diameter = 4', 4.0, "operation[3].diameter"),
        ('shape = "countersink"', 10.0, "tool[3].point_angle"),
    ],
)
def test_a_countersink_that_makes_no_sense_is_told_at_its_key(cutter: str, diameter: float, key: str) -> None:
    with pytest.raises(JobError) as refused:
        sunk(diameter=diameter, cutter=cutter)
    assert key in [problem.key for problem in refused.value.problems]
