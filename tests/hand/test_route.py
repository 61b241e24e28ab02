"""Whole random jobs made by hand: proved, and gauged beside the program's part."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jobs import Draft, drafts, sides
from mills import DIALS_ONLY, MILLS, PROBES, touching

from handwheel.cut.rays import Rays, left
from handwheel.job import Facing, SideMilling
from handwheel.plan import Route, plan
from handwheel.program import write_program
from handwheel.proof import SetupProof, prove_setup, prove_setup_by_hand
from handwheel.setup import Setup, set_up

LAST_DIGIT = {"in": 0.0001 * 25.4, "mm": 0.001}
"""Of a program's coordinates, mm."""


def faces(setup: Setup, proof: SetupProof, operation: SideMilling) -> np.ndarray:  # type: ignore[type-arg]
    """Where level rays square to a side meet it, just above its foot, away from the corners."""
    job, axis = setup.job, operation.edge.axis
    run = 1 - axis
    along = np.linspace(job.finished_block.low[run], job.finished_block.high[run], 9)[1:-1]
    height = setup.finished_top - 0.9 * operation.depth
    stretches = left(proof.part, Rays(axis, np.column_stack([along, np.full(len(along), height)])))
    if operation.edge.outwards > 0:
        return np.maximum.reduceat(stretches.high, stretches.first[:-1])
    return np.minimum.reduceat(stretches.low, stretches.first[:-1])


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(draft=drafts(), mill=st.sampled_from(sorted(MILLS)), probes=st.sampled_from(sorted(PROBES)))
def test_by_hand_and_by_program_agree_to_half_a_setting_step_and_what_differs_is_metal_left(
    draft: Draft, mill: str, probes: str
) -> None:
    """The program adds half its last digit, whichever way it rounds."""
    setup = set_up(replace(draft, extra=MILLS[mill] + touching(probes, draft.units)).job())[0]
    job = setup.job
    by_hand = prove_setup_by_hand(setup)
    text = write_program(setup, plan(set_up(job)[0], Route.BY_PROGRAM))
    by_program = prove_setup(setup, text, "block.nc")
    assert not [one for one in by_hand.findings if one.level in ("stop", "reject")]
    slides = job.by_hand.slides
    half_digit = 0.5 * LAST_DIGIT[job.units]
    for operation in job.setups[0].operations:
        if isinstance(operation, SideMilling):
            slide = slides.x if operation.edge.axis == 0 else slides.y
            step = job.by_hand.readout_step or slide.graduation
            outwards = operation.edge.outwards
            proud = (faces(setup, by_hand, operation) - operation.to) * outwards
            apart = proud - (faces(setup, by_program, operation) - operation.to) * outwards
        elif isinstance(operation, Facing):
            step = slides.knee.graduation
            proud = np.array([np.nanmax(by_hand.heights.z) - operation.to])
            apart = proud - (np.nanmax(by_program.heights.z) - operation.to)
        assert (proud >= -1e-6).all()
        assert (proud <= step / 2 + 1e-6).all()
        assert (np.abs(apart) <= step / 2 + half_digit + 1e-6).all()


@cache
def _on_both_grids(dials: bool) -> tuple[SetupProof, SetupProof]:
    operations = (
        {"do": "face", "name": "top", "tool": 1},
        *(
            {"do": "side", "name": edge, "tool": 1, "edge": edge, "to": to, "depth": 12.0}
            for edge, to in (("front", 0.0), ("right", 76.0), ("back", 40.5), ("left", 0.0))
        ),
    )
    dimensions = (
        {"name": "width", "axis": "y", "through": {"x": 38.0, "z": -6.0}, "nominal": 40.5},
        {"name": "length", "axis": "x", "through": {"y": 20.0, "z": -6.0}, "nominal": 76.0},
        {"name": "height", "axis": "z", "through": {"x": 38.0, "y": 20.0}, "nominal": 29.0},
    )
    draft = Draft(operations=operations, dimensions=dimensions, extra=DIALS_ONLY if dials else "")
    setup = set_up(draft.job())[0]
    text = write_program(setup, plan(setup, Route.BY_PROGRAM))
    return prove_setup_by_hand(setup), prove_setup(setup, text, "block.nc")


@pytest.mark.parametrize("dials", [False, True], ids=["readout", "dials alone"])
def test_by_hand_and_by_program_make_the_same_part_where_all_settings_lie_on_both_grids(dials: bool) -> None:
    """To 1e-9 of the stock's greatest size, 80 mm; sizes as drawn."""
    by_hand, by_program = _on_both_grids(dials)
    assert [one.measured for one in by_hand.dimensions] == pytest.approx([40.5, 76.0, 29.0], abs=80e-9)
    for hand, program in zip(by_hand.dimensions, by_program.dimensions, strict=True):
        assert hand.measured == pytest.approx(program.measured, abs=80e-9)
    difference = np.abs(by_hand.heights.z - by_program.heights.z)
    assert np.nanmax(difference) <= 80e-9


def test_dials_coarser_than_the_tolerance_leave_half_a_line_and_nobody_calls_it_uncut() -> None:
    """Lines of 0.05, a face at 0.026 between two of them, a tolerance of 0.02: 0.024 stays, the least that can."""
    slide = "{ per_turn = 5, graduation = 0.05, backlash = 0.2 }"
    slides = "\n".join(f"{name} = {slide}" for name in ("x", "y", "knee", "quill"))
    extra = f"[machine.by_hand]\nreadout_step = 0\n[machine.by_hand.slides]\n{slides}\n"
    draft = replace(sides("front", "back", to={"front": -0.026, "back": 40.5}), extra=extra)
    setup = set_up(draft.job())[0]
    proof = prove_setup_by_hand(setup)
    assert not [one for one in proof.findings if one.level in ("stop", "reject")]
    front = next(one for one in setup.operations if isinstance(one, SideMilling))
    assert faces(setup, proof, front) == pytest.approx(-0.05, abs=1e-6)
