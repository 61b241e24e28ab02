"""The control's own habits: what H and D hold, and where a correction goes, on every paper and read back."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from jobs import Draft, sides
from two_blocks import STAND, STOP

from handwheel import hand
from handwheel.motion import Control, Offset
from handwheel.plan import Route, plan
from handwheel.proof import Routes, routes_of, slip
from handwheel.proof.by_program import prove_setup
from handwheel.rs274 import read

WIDTH = {"name": "width", "axis": "y", "through": {"x": 38, "z": -6}, "nominal": 40.5, "plus": 0.02, "minus": 0.02}


def with_keys(draft: Draft, **keys: str) -> Draft:
    lines = "\n".join(f"{key} = {value}" for key, value in keys.items())
    return replace(draft, extra=f"{draft.extra}\n[machine.by_program]\n{lines}\n")


def printed_table(routes: Routes) -> dict[int, tuple[float, float]]:
    """What the head of the program tells to key in: H and D of each tool, in the job's units."""
    found = re.findall(
        r"\(OFFSET (\d+) AS PLANNED: LENGTH H\1 = (-?[\d.]+), (?:DIAMETER|RADIUS) D\1 = (-?[\d.]+)\)", routes.text
    )
    return {int(number): (float(length), float(diameter)) for number, length, diameter in found}


@pytest.mark.parametrize("draft", [STAND, STOP], ids=["inches", "millimeters"])
@pytest.mark.parametrize("lengths", ["gauge length", "touch to work"])
@pytest.mark.parametrize("holds", ["diameter", "radius"])
@pytest.mark.parametrize("form", ["material-edge", "tool-path"])
def test_the_printed_table_keyed_in_as_it_stands_makes_the_part(
    draft: Draft, lengths: str, holds: str, form: str
) -> None:
    """A control that keeps radii compensates by what D holds, one that keeps diameters by half of it; where each tool
    is touched to the work, Z of the zero table is 0 (geometry; NISTIR 6556, appendix B)."""
    job = replace(with_keys(draft, length_offsets=f'"{lengths}"', offset_holds=f'"{holds}"'), compensation=form).job()
    (routes,) = routes_of(job)
    setup, scale = routes.setup, 25.4 if job.units == "in" else 1.0
    table = printed_table(routes)
    assert set(table) == {tool.number for tool in routes.by_program.tools}
    assert all((length < 0) == (lengths == "touch to work") for length, _ in table.values())
    times = 2.0 if holds == "radius" else 1.0
    keyed = {number: Offset(length * scale, times * value * scale) for number, (length, value) in table.items()}
    zero = setup.control.origin if lengths == "gauge length" else (*setup.control.origin[:2], 0.0)
    held = replace(setup.control, offsets=keyed, origin=zero)
    proof = prove_setup(replace(setup, control=held), routes.text, "keyed.nc", resolution=2.0)
    assert not [one for one in proof.findings if one.level in ("stop", "reject")]
    assert all(one.ok for one in proof.dimensions)
    # the nose, in the machine's own frame, goes where the tool really is above the work
    machine = read(routes.text, Control(offsets=keyed, units=job.units, origin=zero)).moves
    plain = routes_of(replace(draft, compensation=form).job())[0]
    usual = read(plain.text, replace(plain.setup.control, report=(0.0, 0.0, 0.0))).moves
    at = machine.end[:, 2] + machine.of_modal("length")
    assert at == pytest.approx(usual.end[:, 2] + usual.of_modal("length"), abs=0.001 * scale)


def test_a_gauge_length_in_a_table_of_touched_tools_is_a_crash_and_is_told() -> None:
    job = with_keys(STAND, length_offsets='"touch to work"').job()
    (routes,) = routes_of(job)
    held = replace(routes.setup.control, offsets=job.offsets)
    found = prove_setup(replace(routes.setup, control=held), routes.text, "keyed.nc", resolution=2.0).findings
    assert "wrong-length-offset" in {one.code for one in found if one.level == "stop"}


@pytest.mark.parametrize("holds", ["diameter", "radius"])
@pytest.mark.parametrize("form", ["material-edge", "tool-path"])
def test_the_head_says_one_thing_about_d(holds: str, form: str) -> None:
    (routes,) = routes_of(replace(with_keys(STAND, offset_holds=f'"{holds}"'), compensation=form).job())
    head = routes.text.split("(STEP 1:")[0].replace(")\n(... ", " ")
    assert len(re.findall(r"\(D [^)]*\b(IS|HOLDS|AS PLANNED)\b", head)) == 1
    assert ("HALF" in head) == (holds == "radius")
    assert "HALVE" not in routes.text
    assert (f"{holds.upper()} D2 =") in head


def test_a_control_without_a_wear_column_is_not_told_of_one() -> None:
    (with_one,) = routes_of(STAND.job())
    (without,) = routes_of(with_keys(STAND, wear_column="false").job())
    assert "CLEAR IT TO 0 FOR A NEW" in with_one.text.replace(")\n(... ", " ")
    assert "WEAR" not in without.text
    assert plan(without.setup, Route.BY_PROGRAM).steps


@pytest.mark.parametrize(
    ("holds", "off", "one", "both"), [("diameter", "-0.20", "2e", "e"), ("radius", "-0.10", "e", "half of e")]
)
def test_every_correction_is_said_in_what_the_column_holds(holds: str, off: str, one: str, both: str) -> None:
    """A side that is .1 short takes .1 off the radius, which is .2 off the diameter (geometry)."""
    draft = replace(sides("front", "back", "left"), dimensions=(WIDTH,))
    (routes,) = routes_of(with_keys(draft, offset_holds=f'"{holds}"').job())
    assert f"40.85 {off}" in routes.text.replace(")\n(... ", " ")
    sheet = hand.sheet(routes.setup, routes.by_hand, routes.doing)
    assert f"D smaller by {one}; both sides by this D: smaller by {both}" in " ".join(sheet.split())
    result = slip([routes], "radius-keyed-for-diameter")
    assert (result.cannot is not None) == (holds == "radius")
