"""By hand the same checks are made, but for what only a control has; and backlash counts."""

from __future__ import annotations

from dataclasses import replace

import pytest
from jobs import sides

from handwheel.check import Inspection, findings
from handwheel.plan import Route
from handwheel.proof import prove_setup_by_hand
from handwheel.setup import set_up


@pytest.mark.parametrize(("edge", "slide"), [("front", "table"), ("left", "saddle")])
def test_a_climb_cut_by_hand_is_warned_of_where_the_screw_has_play(edge: str, slide: str) -> None:
    """Front and back are fed by the table, left and right by the saddle (geometry)."""
    found = prove_setup_by_hand(set_up(sides(edge, cut="climb").job())[0]).findings
    grave = [one for one in found if one.level != "note"]
    assert [one.code for one in grave] == ["climb-with-backlash"]
    assert slide in grave[0].message
    assert grave[0].line is not None


def test_a_conventional_cut_by_hand_gives_no_cause_to_step_in() -> None:
    found = prove_setup_by_hand(set_up(sides("front", "right", "back", "left").job())[0]).findings
    assert [one.code for one in found if one.level != "note"] == []


def test_screws_without_play_may_climb() -> None:
    job = sides("front", cut="climb").job()
    slides = job.by_hand.slides
    tight = slides.model_copy(
        update={
            name: getattr(slides, name).model_copy(update={"backlash": 0.0}) for name in ("x", "y", "knee", "quill")
        }
    )
    job = replace(job, by_hand=job.by_hand.model_copy(update={"slides": tight}))
    assert [one.code for one in prove_setup_by_hand(set_up(job)[0]).findings if one.level != "note"] == []


def test_what_a_control_holds_is_not_asked_for_by_hand() -> None:
    proof = prove_setup_by_hand(set_up(sides("front").job())[0])
    by_hand = Inspection(
        setup=set_up(sides("front").job())[0],
        route=Route.BY_HAND,
        moves=proof.moves,
        tip=proof.tip,
        tools={tool.number: tool for tool in sides("front").job().tools},
        offsets={},
        part=proof.part,
    )
    codes = {one.code for one in findings(by_hand)}
    assert not codes & {"no-length-offset", "wrong-length-offset", "wrong-diameter-offset", "beyond-travel", "dog-leg"}
