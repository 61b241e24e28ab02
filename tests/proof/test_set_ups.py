"""Whole parts: turned over between set-ups, both ways, proved as one."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from whole_parts import Part, turned_over

from handwheel.cut.rays import Rays, left
from handwheel.errors import JobError
from handwheel.job import read_job_text
from handwheel.proof import Program, Proof, compare, prove, prove_by_hand, routes_of
from handwheel.setup import on_parallels, set_up

STEP = 0.005
"""Of the readout, mm."""


def grave(proof: Proof) -> dict[str, str]:
    """What is more than a note, by its code: the set-up it was first found in."""
    found: dict[str, str] = {}
    for one in proof.findings:
        if one.level != "note":
            found.setdefault(one.code, one.setup)
    return found


def test_a_part_turned_over_for_its_foot_comes_out_to_size_both_ways() -> None:
    both = compare(routes_of(Part().job()), resolution=2.0)
    for proof in (both.by_hand, both.by_program):
        assert proof.verdict == "pass"
        assert grave(proof) == {}
        assert [one.measured for one in proof.dimensions] == pytest.approx([43.0, 80.0, 25.0, 43.0], abs=1e-6)
    assert both.difference.largest < 1e-6


def test_what_the_set_ups_take_is_the_stock_less_the_finished_block() -> None:
    """84 x 46 x 32 of stock, 80 x 43 x 25 of part: the rest is chips, whichever set-up made them."""
    part = Part(side=1.5)
    proof = prove(routes_of(part.job()), resolution=0.25)
    stock, finished = 83.0 * 46.0 * 32.0, 80.0 * 43.0 * 25.0
    removed = [one.volume for one in proof.setups]
    assert removed[0].stock == pytest.approx(stock)
    assert removed[1].stock == pytest.approx(removed[0].left, rel=2e-3)
    assert sum(one.removed for one in removed) == pytest.approx(stock - finished, rel=5e-3)


@given(part=turned_over())
@settings(max_examples=15, deadline=None)
def test_random_parts_of_two_set_ups_prove_both_ways_and_differ_by_half_a_step(part: Part) -> None:
    routes = routes_of(part.job())
    by_program, by_hand = prove(routes, resolution=6.0), prove_by_hand(routes, resolution=6.0)
    for proof in (by_program, by_hand):
        assert [one.code for one in proof.findings if one.level in ("stop", "reject")] == []
    x, y, z = part.finished
    assert [one.measured for one in by_program.dimensions] == pytest.approx([y, x, z, y], abs=1e-6)
    for one, other in zip(by_hand.dimensions, by_program.dimensions, strict=True):
        assert one.measured == pytest.approx(other.measured, abs=2 * STEP + 0.02)


@given(part=turned_over())
@settings(max_examples=15, deadline=None)
def test_every_ray_through_a_random_part_passes_the_finished_block_and_no_more(part: Part) -> None:
    proof = prove(routes_of(part.job()), resolution=6.0)
    x, y, z = part.finished
    share = np.array([0.03, 0.35, 0.5, 0.8, 0.97])
    for axis, (first, second), (low, high) in (
        (0, (share * y, -share * z), (0.0, x)),
        (1, (share * x, -share * z), (0.0, y)),
        (2, (share * x, share * y), (-z, 0.0)),
    ):
        at = np.column_stack([one.ravel() for one in np.meshgrid(first, second)])
        met = left(proof.part, Rays(axis, at))
        assert len(met.low) == len(at)
        assert met.low == pytest.approx(np.full(len(at), low), abs=1e-6)
        assert met.high == pytest.approx(np.full(len(at), high), abs=1e-6)


def test_the_program_of_the_second_set_up_run_in_the_first_is_found() -> None:
    routes = routes_of(Part(second=("bottom", "front")).job())
    swapped = prove(routes, {1: Program("foot.nc", routes[1].text)}, resolution=2.0)
    assert swapped.verdict == "fail"


def test_a_part_put_in_the_wrong_way_up_is_found() -> None:
    """The body's program, run once more on the foot: its sides go 17 deep where 8 were to be cut."""
    routes = routes_of(Part().job())
    wrong = prove(routes, {2: Program("body.nc", routes[0].text)}, resolution=2.0)
    assert wrong.verdict == "fail"
    assert {one.setup for one in wrong.findings if one.level in ("stop", "reject")} == {"foot"}


def test_parallels_forgotten_in_the_second_set_up_bring_the_cutter_into_the_jaws() -> None:
    routes = routes_of(Part().job())
    low = on_parallels(routes[1].setup, 2.0)
    found = grave(prove([routes[0], replace(routes[1], setup=low)], {2: Program("foot.nc", routes[1].text)}))
    assert found["cutter-hits-vise"] == "foot"


def test_a_foot_left_uncut_is_the_second_set_ups_and_not_the_firsts() -> None:
    routes = routes_of(Part().job())
    nothing = prove(routes, {2: Program("none.nc", "%\nG17 G21 G40 G49 G54 G80 G90 G94\nM30\n%\n")}, resolution=2.0)
    found = grave(nothing)
    assert found["left-uncut"] == "foot"
    assert found["dimension-out"] == "foot"


def test_a_gouge_in_the_first_set_up_is_told_there_alone() -> None:
    routes = routes_of(Part().job())
    deeper = routes[0].text.replace("Z-17.000", "Z-17.500")
    assert deeper != routes[0].text
    found = prove(routes, {1: Program("deep.nc", deeper)}, resolution=2.0).findings
    # 17.5 deep there leaves .5 of what the second set-up was to cut: nothing of the finished part is missing
    assert "gouge" not in {one.code for one in found}
    narrow = routes[0].text.replace("Y43.000", "Y42.700")
    assert narrow != routes[0].text
    gouged = prove(routes, {1: Program("narrow.nc", narrow)}, resolution=2.0).findings
    assert {one.setup for one in gouged if one.code == "gouge"} == {"body"}


def test_a_raw_face_at_the_movable_jaw_wants_a_rod_and_on_the_fixed_jaw_it_is_wrong() -> None:
    """Stood on its side after the body: the finished top on the fixed jaw, the sawn bottom at the movable one."""
    text = Part().text()
    text = text[: text.index('[[setup]]\nname = "foot"')]
    side = '[[setup]]\nname = "side"\nup = "front"\nfixed_jaw = "{}"\n{}'
    found = grave(prove(routes_of(read_job_text(text + side.format("top", ""), "rod")), resolution=2.0))
    assert found["no-rod"] == "side"
    found = grave(prove(routes_of(read_job_text(text + side.format("top", "rod = true"), "rod")), resolution=2.0))
    assert "no-rod" not in found
    found = grave(prove(routes_of(read_job_text(text + side.format("bottom", ""), "rod")), resolution=2.0))
    assert found["raw-in-jaws"] == "side"


def test_a_finished_face_is_touched_without_allowance_and_a_raw_one_with_it() -> None:
    from handwheel.setup import touches

    first, second = set_up(Part(second=("bottom", "back")).job())
    # an edge finder or a cutter of 10: half of it outside the face; the raw one stands 1.5 further out
    assert [one.spindle_at for one in touches(first, 10.0)[:2]] == pytest.approx([-6.5, -6.5])
    assert all(one.is_raw for one in touches(first, 10.0))
    # turned over, the lower half of the sides is still raw, and so is the foot that looks up
    assert touches(second, 10.0)[2].is_raw
    assert touches(second, 10.0)[2].face_at == pytest.approx(6.0)


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        ('up = "bottom"', 'up = "back"', "setup[2].fixed_jaw"),
        ('up = "bottom"', 'up = "underside"', "setup[2].up"),
        ('name = "foot"', 'name = "body"', "setup[2].name"),
        ('name = "foot"', 'name = "foot"\ncolour = "red"', "setup[2].colour"),
        ("[stock]", '[[operation]]\ndo = "face"\nname = "x"\ntool = 2\n[stock]', "operation"),
        ('name = "foot"', 'name = "foot"\nrod = "thick"', "setup[2].rod"),
        ('name = "foot"', 'name = "foot"\nat = { past = "up", by = 3 }', "setup[2].at"),
        ('name = "foot"', 'name = "foot"\nzero = { z = "front" }', "setup[2].zero.z"),
        ('name = "foot"', 'name = "foot"\norigin = "G60"', "setup[2].origin"),
    ],
)
def test_a_set_up_that_makes_no_sense_is_one_message_at_its_key(before: str, after: str, said: str) -> None:
    text = Part().text()
    assert before in text
    with pytest.raises(JobError) as refused:
        read_job_text(text.replace(before, after), "bad")
    assert said in str(refused.value)
    assert len(refused.value.problems) == 1


def test_a_set_up_without_operations_and_fifty_set_ups_are_allowed() -> None:
    text = Part().text()
    more = "".join(f'[[setup]]\nname = "again {number}"\nup = "bottom"\n' for number in range(48))
    job = read_job_text(text.replace("[[dimension]]", more + "[[dimension]]", 1), "many")
    assert len(set_up(job)) == 50


def test_a_vise_given_for_one_set_up_is_that_set_ups_alone() -> None:
    text = Part().text().replace('name = "foot"', 'name = "foot"\nvise = { air = "4 mm" }')
    first, second = read_job_text(text, "two vises").setups
    assert (first.vise.air, second.vise.air) == (2.0, 4.0)
    assert first.vise.jaw_width == second.vise.jaw_width
