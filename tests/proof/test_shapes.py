"""Pockets, outlines and chamfers both ways: random ones prove without trouble and come to the same part."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from jobs import Draft
from shaped import shaped, tools
from shapely.geometry import Point, box

from handwheel.cut.rays import Rays, left
from handwheel.errors import JobError
from handwheel.motion import Offset
from handwheel.plan import Route, plan
from handwheel.program import write_program
from handwheel.proof import Program, Proof, prove, prove_by_hand, prove_setup, routes_of
from handwheel.setup import set_up


def troubles(proof: object) -> list[str]:
    return [
        f"{one.code}: {one.message}"
        for setup in proof.setups  # type: ignore[attr-defined]
        for one in setup.findings
        if one.level in ("stop", "reject")
    ]


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(draft=shaped())
def test_random_pockets_outlines_and_chamfers_prove_by_both_ways(draft: Draft) -> None:
    routes = routes_of(draft.job())
    assert not troubles(prove(routes))
    assert not troubles(prove_by_hand(routes))


WELL = {"rectangle": [20.0, 12.0, 62.0, 36.0], "corner_radius": 6.0}
RIM = {"block": True, "corner_radius": 9.0}


def plate(*operations: dict[str, object], **changes: object) -> Draft:
    draft = Draft(size=(84.0, 52.0, 30.0), allowance=dict.fromkeys(("left", "right", "front", "back"), 2.0))
    return replace(draft, tools=tools(10.0), operations=operations, material="aluminium-6082", **changes)


def rim(**changes: object) -> dict[str, object]:
    return {"do": "outline", "name": "rim", "tool": 1, "shape": RIM, "depth": 10.0, **changes}


def well(**changes: object) -> dict[str, object]:
    return {"do": "pocket", "name": "well", "tool": 1, "shape": WELL, "depth": 6.0, **changes}


def bevel(**changes: object) -> dict[str, object]:
    return {"do": "chamfer", "name": "bevel", "tool": 2, "shape": RIM, "size": 1.0, **changes}


@pytest.mark.parametrize("by", [prove, prove_by_hand], ids=["by program", "by hand"])
def test_a_rim_and_a_well_stand_where_a_geometry_library_has_them(by: Callable[..., Proof]) -> None:
    """Rounded rectangles as shapely draws them: a smaller one, grown by its corner radius."""
    proof = by(routes_of(plate(rim(), well()).job()))
    assert not troubles(proof)
    block = box(9.0, 9.0, 71.0, 39.0).buffer(9.0, quad_segs=256)
    hollow = box(26.0, 18.0, 56.0, 30.0).buffer(6.0, quad_segs=256)
    at = np.random.default_rng(5).uniform((-2.0, -2.0), (82.0, 50.0), (3000, 2))
    met = left(proof.setups[0].part, Rays(2, at))
    for index, (x, y) in enumerate(at.tolist()):
        point = Point(x, y)
        # by hand a readout's half step may stay, and on an arc what is between two settings
        if min(block.boundary.distance(point), hollow.boundary.distance(point)) < 0.06:
            continue
        top = met.high[met.first[index + 1] - 1]
        wanted = -6.0 if hollow.contains(point) else 0.0 if block.contains(point) else -10.0
        assert top == pytest.approx(wanted, abs=0.011), (x, y)


def test_a_chamfer_is_as_wide_as_it_is_asked_for_and_runs_round_the_corners() -> None:
    """Level rays 0.4 under the top meet the part 0.6 inside the wall of a 1 mm chamfer of 45 degrees (geometry)."""
    proof = prove(routes_of(plate(rim(), bevel()).job()))
    assert not troubles(proof)
    met = left(proof.setups[0].part, Rays(0, np.array([[24.0, -0.4], [24.0, -0.999], [24.0, -1.5]])))
    assert met.low.tolist() == pytest.approx([0.6, 0.001, 0.0], abs=2e-3)
    assert met.high.tolist() == pytest.approx([79.4, 79.999, 80.0], abs=2e-3)
    diagonal = left(proof.setups[0].part, Rays(2, np.array([[9.0 - 8.5 / 2**0.5, 9.0 - 8.5 / 2**0.5]])))
    assert diagonal.high.tolist() == pytest.approx([-0.5], abs=2e-3)


@pytest.mark.parametrize(
    ("operations", "said"),
    [
        ((well(shape={**WELL, "corner_radius": 4.0}),), "has a corner of radius 4 mm, and tool 1 one of 5 mm"),
        ((well(shape={**WELL, "corner_radius": 5.0}),), "round it by more than the cutter's radius"),
        ((well(shape={"rectangle": [20.0, 12.0, 62.0, 36.0]}),), "has a corner of radius 0 mm"),
        ((well(shape={"circle": [40.0, 24.0], "diameter": 10.3}),), "is too narrow for tool 1"),
        ((well(depth=31.0),), "is below the work"),
        ((well(floor=6.0),), "is as much as the pocket is deep"),
        ((well(shape={"circle": [40.0, 24.0]}),), "stands without diameter"),
        (
            (well(shape={"start": [0, 0], "path": [{"to": [9, 9]}, {"to": [9, 0]}, {"to": [0, 9]}]}),),
            "crosses or touches itself",
        ),
        ((well(shape={"dxf": "nowhere.dxf", "layer": "WELL"}),), "nowhere.dxf"),
        ((rim(shape={"block": True, "corner_radius": 60.0}),), "does not fit into"),
        ((bevel(size=9.0),), "is more than the cone of tool 2 reaches"),
        ((bevel(edges=["front"]),), "is one of two ways to say where the chamfer is"),
        ((bevel(tool=1),), "takes one of: chamfer mill"),
    ],
)
def test_a_shape_that_makes_no_sense_is_refused_at_its_key(
    operations: tuple[dict[str, object], ...], said: str
) -> None:
    with pytest.raises(JobError, match=re.escape(said)):
        plate(*operations).job()


def test_a_corner_arc_turned_the_other_way_round_is_found() -> None:
    """The rounded corner becomes a bite out of the part, or its compensated path an inside corner that cannot be."""
    routes = routes_of(plate(rim(compensation="off")).job())
    head, finish = routes[0].text.split("FINISH THE WALL", 1)
    lead, *others = re.split(r"(?=G[23] X)", finish)
    # the first arc is the lead-in, the second the first corner
    others[1] = re.sub(r"^G[23]", "G2" if others[1].startswith("G3") else "G3", others[1])
    wrong = f"{head}FINISH THE WALL{lead}{''.join(others)}"
    assert wrong != routes[0].text
    codes = {one.code for one in prove(routes, {1: Program("wrong.nc", wrong)}).setups[0].findings}
    assert "gouge" in codes


@pytest.mark.parametrize(("off", "found"), [(0.016, False), (0.024, True)])
@pytest.mark.parametrize("code", ["gouge", "left-uncut"])
def test_a_round_wall_is_out_exactly_where_it_is_off_by_more_than_the_tolerance(
    off: float, found: bool, code: str
) -> None:
    """Tolerance 0.02 mm; D too small by twice ``off`` lets the cutter so far into the wall, too large keeps it off."""
    round_well = well(shape={"circle": [40.0, 24.0], "diameter": 31.0})
    draft = plate(round_well, extra="tolerance = 0.02")
    (setup,) = set_up(draft.job())
    held = setup.control.offsets[1]
    wrong = held.diameter + (-2 * off if code == "gouge" else 2 * off)
    control = replace(setup.control, offsets={**setup.control.offsets, 1: Offset(held.length, wrong)})
    text = write_program(setup, plan(setup, Route.BY_PROGRAM))
    codes = {one.code for one in prove_setup(replace(setup, control=control), text, "off.nc").findings}
    assert (code in codes) == found
