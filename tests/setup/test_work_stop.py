"""How high the work stop may stand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from jobs import Draft, sides

from handwheel import hand
from handwheel.plan import Route, plan
from handwheel.program import write_program
from handwheel.proof import prove_setup, prove_setup_by_hand
from handwheel.setup import set_up


def _room(draft: Draft) -> float | None:
    job = replace(draft, vise={"stop": "left", **draft.vise}).job()
    setup = set_up(job)[0]
    return None if setup.stop is None else setup.stop.high[2] - setup.jaw_top


def test_the_stop_stays_below_the_lowest_cut_by_the_vises_air() -> None:
    # by hand: jaws 40, parallels 30, work 30: 20 out; 1 of top + 12 of depth = 13 cut, 7 left, less 2 of air = 5
    draft = replace(sides("left", depth=12.0), vise={"jaw_height": 40.0, "parallels": 30.0, "air": 2.0})
    assert _room(draft) == pytest.approx(5.0)


def test_the_stops_height_is_rounded_down_to_what_a_rule_sets() -> None:
    # 7 left less 2.37 of air = 4.63: to the tenth below
    draft = replace(sides("left", depth=12.0), vise={"jaw_height": 40.0, "parallels": 30.0, "air": 2.37})
    assert _room(draft) == pytest.approx(4.6)


@pytest.mark.parametrize("air", [7.0, 6.95, 9.0])
def test_a_stop_with_no_room_above_the_jaws_is_swung_away(air: float) -> None:
    draft = replace(sides("left", depth=12.0), vise={"jaw_height": 40.0, "parallels": 30.0, "air": air})
    assert _room(draft) is None


def test_where_no_cut_is_known_the_stop_is_swung_away() -> None:
    assert _room(replace(Draft(), vise={"jaw_height": 40.0, "parallels": 30.0})) is None


@pytest.mark.parametrize(
    ("vise", "said", "unsaid"),
    [
        # jaws 40, parallels 30, work 30: 20 out; 13 of them cut, 2 of the 7 left are air
        ({"stop": "left"}, "its top at most 5 above the jaws", "Swing"),
        ({"stop": "right", "air": 7.0}, "Swing the stop away after clamping", "at most"),
        ({"stop": "none"}, "Work in the middle of the jaws, no stop", "Stop at"),
    ],
)
def test_the_set_up_sheet_says_how_high_the_stop_may_be(vise: dict[str, object], said: str, unsaid: str) -> None:
    draft = replace(sides("left", depth=12.0), vise={"jaw_height": 40.0, "parallels": 30.0, "air": 2.0, **vise})
    set_up_part = _sheet(draft).split(" Stick-out ")[0]
    assert said in set_up_part
    assert unsaid not in set_up_part


def test_the_stop_is_set_so_that_the_work_comes_to_its_place_in_the_jaws() -> None:
    told = _sheet(replace(sides("left"), vise={"stop": "left"}))
    assert "Stop at the left end of the work, set so that the work is in the middle of the jaws" in told


def _sheet(draft: Draft) -> str:
    job = draft.job()
    setup, steps = set_up(job)[0], plan(set_up(job)[0], Route.BY_HAND)
    return " ".join(hand.sheet(setup, steps, hand.actions(setup, steps)).split())


def test_a_stop_of_a_stated_size_stands_against_the_end_of_the_work() -> None:
    stop = {"side": "right", "height": 9.0, "width": 25.0, "thickness": 10.0}
    job = replace(sides("left", depth=12.0), vise={"jaw_height": 40.0, "parallels": 30.0, "stop": stop}).job()
    setup = set_up(job)[0]
    assert setup.stop is not None
    assert setup.stop.low[0] == setup.raw.high[0]
    assert setup.stop.size[:2] == pytest.approx((10.0, 25.0))
    assert setup.stop.high[2] == pytest.approx(setup.jaw_top + 9.0)


def test_a_cutter_that_runs_into_the_stop_is_found() -> None:
    """The left side is cut 13 below the raw top, 7 over the jaws: a stop 9 over them is 2 too high, one of 6 is not."""

    def proof_with(height: float) -> list[tuple[str, str, str]]:
        stop = {"side": "left", "height": height}
        draft = replace(sides("left", depth=12.0), vise={"jaw_height": 40.0, "parallels": 30.0, "stop": stop})
        setup = set_up(draft.job())[0]
        text = write_program(setup, plan(setup, Route.BY_PROGRAM))
        proofs = (prove_setup(setup, text, "stop.nc"), prove_setup_by_hand(setup))
        # at the machine the job ends there, by either way
        assert all((one.struck is not None) == (height > 7.0) for one in proofs)
        return [(one.level, one.code, one.message) for proof in proofs for one in proof.findings if "stop" in one.code]

    found = proof_with(9.0)
    assert [(level, code) for level, code, _ in found] == [("stop", "cutter-hits-stop")] * 2
    assert all("2 mm too low over the work stop" in message for _, _, message in found)
    assert proof_with(6.0) == []
