"""Slots both ways: random ones prove without trouble and come to the same part; what makes no sense is refused."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, example, given, settings
from jobs import Draft
from slots import slotted

from handwheel.errors import JobError
from handwheel.motion import Offset
from handwheel.plan import Route, plan
from handwheel.program import write_program
from handwheel.proof import prove, prove_by_hand, prove_setup, routes_of
from handwheel.setup import set_up

ALLOWED = 0.0125 + 0.005
"""Of both routes together, mm: half a readout's step at each wall, and half a digit of the program."""


def troubles(proof: object) -> list[str]:
    return [
        f"{one.code}: {one.message}"
        for setup in proof.setups  # type: ignore[attr-defined]
        for one in setup.findings
        if one.level in ("stop", "reject")
    ]


# a slot hardly wider than its cutter: the run-up of the wall must come down where the slot is open already
NARROW = Draft(
    size=(70.0, 70.0, 40.0),
    allowance={},
    compensation="tool-path",
    tools=(
        {
            "number": 1,
            "shape": "end mill",
            "diameter": 6.0,
            "flutes": 3,
            "flute_length": 30.0,
            "reach": 40.0,
            "centre_cutting": True,
        },
    ),
    operations=(
        {
            "do": "slot",
            "name": "way",
            "tool": 1,
            "along": "x",
            "middle": 17.5,
            "width": 6.6,
            "depth": 2.6,
            "ends": [8.0, 36.1],
        },
    ),
)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(draft=slotted())
@example(draft=NARROW)
@example(draft=replace(NARROW, compensation="off"))
def test_random_slots_prove_by_both_ways_and_measure_the_same(draft: Draft) -> None:
    routes = routes_of(draft.job())
    by_program, by_hand = prove(routes), prove_by_hand(routes)
    assert not troubles(by_program)
    assert not troubles(by_hand)
    for one, other in zip(by_program.dimensions, by_hand.dimensions, strict=True):
        assert one.measured is not None
        assert other.measured is not None
        assert one.measured == pytest.approx(one.nominal, abs=1e-3)
        assert other.measured == pytest.approx(one.measured, abs=ALLOWED)


SLOT = {"do": "slot", "name": "way", "tool": 1, "along": "x", "middle": 20.0, "width": 14.0, "depth": 6.0}
TOOL = {
    "number": 1,
    "shape": "end mill",
    "diameter": 10.0,
    "flutes": 4,
    "flute_length": 22.0,
    "reach": 30.0,
    "centre_cutting": True,
}


def job_with(**changes: object) -> Draft:
    return Draft(tools=(TOOL,), operations=({**SLOT, **changes},), allowance={"top": 0.0})


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"width": 9.0}, "is less than the 10 mm of tool 1"),
        ({"middle": 5.0}, "leaves no wall"),
        ({"depth": 31.0}, "is below the work"),
        ({"ends": [90.0, 120.0]}, "lie beside the work"),
        ({"ends": [20.0, 30.0]}, "nearer together than the slot is wide"),
        ({"finish": 3.0}, "is more than the 2 mm that tool 1 leaves"),
        ({"entry": "fall"}, 'is no way in; write "plunge"'),
    ],
)
def test_a_slot_that_makes_no_sense_is_refused_at_its_key(changes: dict[str, object], said: str) -> None:
    with pytest.raises(JobError, match=said):
        job_with(**changes).job()


def test_the_second_wall_is_measured_for_and_corrected_by_twice_the_error() -> None:
    size = {
        "name": "way",
        "axis": "y",
        "of": "inside",
        "at": 20.0,
        "through": {"x": 40.0, "z": -3.0},
        "nominal": 14.0,
        "plus": 0.05,
        "minus": 0.05,
    }
    (setup,) = set_up(replace(job_with(), dimensions=(size,)).job())
    steps = plan(setup, Route.BY_PROGRAM).steps
    assert [step.kind for step in steps] == ["load", "rough", "finish", "measure", "finish"]
    (measuring,) = steps[3].measuring
    # 0.25 still on the second wall
    assert measuring.wanted == pytest.approx(13.75)
    text = routes_of(replace(job_with(), dimensions=(size,)).job())[0].text
    # read .08 too small, the second wall must move by .08, and D by twice that
    assert "13.67 -0.16" in text


def test_a_worn_cutter_corrected_to_the_letter_brings_the_slot_to_width() -> None:
    """A cutter .06 under what D says leaves .03 at each wall: the gap reads .06 too small at the stop, and twice that
    off D lets the second wall make up for both (geometry)."""
    size = {
        "name": "way",
        "axis": "y",
        "of": "inside",
        "at": 20.0,
        "through": {"x": 40.0, "z": -3.0},
        "nominal": 14.0,
        "plus": 0.02,
        "minus": 0.02,
    }
    (setup,) = set_up(replace(job_with(), dimensions=(size,)).job())
    text = write_program(setup, plan(setup, Route.BY_PROGRAM))
    worn = replace(setup.tools[1], diameter=9.94)
    held = setup.control.offsets[1]
    before, after = text.split(" M0\n")
    offsets = {**setup.control.offsets, 11: Offset(held.length, held.diameter - 0.12)}
    worn_setup = replace(setup, control=replace(setup.control, offsets=offsets), job=replace(setup.job, tools=(worn,)))
    found = prove_setup(worn_setup, text, "worn.nc").dimensions[0].measured
    assert found == pytest.approx(13.94, abs=1e-3)
    corrected = f"{before} M0\n{after.replace(' D1 ', ' D11 ')}"
    assert prove_setup(worn_setup, corrected, "corrected.nc").dimensions[0].measured == pytest.approx(14.0, abs=1e-3)
