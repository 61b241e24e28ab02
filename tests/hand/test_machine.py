"""The manual mill, and what happens at it when the operator slips."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest
from jobs import Draft, sides, with_setup
from mills import DIALS_ONLY, MILLS, touching
from two_blocks import STAND, STOP

from handwheel import hand
from handwheel.hand import Action, Done
from handwheel.hand.actions import Bring, Feed, Load, Lock, Preset, SetDial, Start, TakeAway, Touch, Wind
from handwheel.job import Job
from handwheel.motion import Kind, Tool
from handwheel.path.chain import corners
from handwheel.plan import Route, plan
from handwheel.setup import set_up

FACED = {"do": "face", "name": "top", "tool": 1}


def route(job: Job) -> list[Action]:
    return list(hand.actions(set_up(job)[0], plan(set_up(job)[0], Route.BY_HAND)))


def done(job: Job, actions: list[Action]) -> tuple[Done, ...]:
    return hand.execute(set_up(job)[0], actions).done


def last_feed(job: Job, actions: list[Action]) -> Done:
    return [one for one in done(job, actions) if isinstance(one.action, Feed)][-1]


def faced_front(**values: Any) -> Job:
    draft = replace(sides("front"), extra=touching("cutter", "mm"))
    return replace(draft, operations=(FACED, *draft.operations), **values).job()


def test_raising_the_knee_is_z_minus_and_its_dial_counts_up() -> None:
    job = faced_front()
    raised = [
        one
        for one in done(job, route(job))
        if isinstance(one.action, Wind) and one.action.slide == "knee" and one.action.ends
    ]
    assert raised
    for one in raised:
        assert one.after.tip[2] < one.before.tip[2]
        assert (one.after.shown("knee") or 0.0) > (one.before.shown("knee") or 0.0)


def test_the_front_is_cut_with_the_centre_a_radius_in_front_of_it_and_twelve_deep() -> None:
    job = faced_front()
    assert last_feed(job, route(job)).after.tip[1:] == pytest.approx((-10.0, -12.0))


@pytest.mark.parametrize(("draft", "shank"), [(STAND, 4 * 25.4), (STOP, 100.0)])
def test_a_hand_with_the_next_cutter_and_its_shank_goes_in_between_spindle_and_work(draft: Draft, shank: float) -> None:
    # the knee is lowered well clear for a cutter change: an R8 shank goes up 4 in (common practice)
    job = draft.job()
    changes = [
        one for one in done(job, route(job)) if isinstance(one.action, Load) and isinstance(one.action.tool, Tool)
    ]
    assert len(changes) == 2
    for one in changes:
        room = one.before.tip[2] - one.before.faces["top"]
        if isinstance(one.before.held, Tool):
            room += one.before.held.length
        assert room >= one.action.tool.length + shank - 1e-6  # type: ignore[union-attr]


@pytest.mark.parametrize("draft", [STAND, STOP])
def test_what_is_judged_by_eye_is_told_no_finer_than_an_eye_can_judge(draft: Draft) -> None:
    # a quarter of an inch, five millimeters (common practice); a cutter's own clearance of a tenth stays as it is
    job = draft.job()
    off = [one.action.off for one in done(job, route(job)) if isinstance(one.action, Bring) and one.action.off > 0]
    coarse = 6.35 if job.units == "in" else 5.0
    assert off
    assert all(one == job.setups[0].clear or one / coarse == pytest.approx(round(one / coarse)) for one in off)


def test_a_locked_slide_does_not_turn() -> None:
    job = faced_front()
    actions = route(job)
    feed = next(index for index, one in enumerate(actions) if isinstance(one, Feed))
    actions.insert(feed, Lock(step=actions[feed].step, slide=actions[feed].slide))  # type: ignore[union-attr]
    with pytest.raises(ValueError, match="table is locked"):
        done(job, actions)


def test_a_readout_that_was_never_preset_cannot_be_set_to() -> None:
    job = faced_front()
    with pytest.raises(ValueError, match="never preset"):
        done(job, [one for one in route(job) if not isinstance(one, Preset)])


def test_a_cutter_change_moves_the_tip_by_the_difference_of_the_lengths() -> None:
    """45 mm and 60 mm out of the spindle: 15 mm."""
    draft = sides("front")
    longer = {**draft.tools[0], "number": 2, "reach": 60.0}
    operations = (FACED, {**draft.operations[0], "tool": 2})
    job = replace(draft, tools=(*draft.tools, longer), operations=operations).job()
    change = [one for one in done(job, route(job)) if isinstance(one.action, Load) and one.action.tool.number][1]
    assert change.before.tip[2] - change.after.tip[2] == pytest.approx(15.0)


def test_the_z_zero_kept_after_a_cutter_change_cuts_deeper_by_the_difference_of_the_lengths() -> None:
    """45 mm and 48 mm out of the spindle: 3 mm too deep."""
    draft = sides("front")
    longer = {**draft.tools[0], "number": 2, "reach": 48.0}
    operations = (FACED, {**draft.operations[0], "tool": 2})
    job = replace(draft, tools=(*draft.tools, longer), operations=operations).job()
    actions = route(job)
    kept = [one for one in actions if not (one.step == 3 and isinstance(one, (Touch, SetDial)))]
    assert len(actions) - len(kept) == 2
    assert last_feed(job, kept).after.tip[2] - last_feed(job, actions).after.tip[2] == pytest.approx(-3.0)


def test_a_last_pass_skipped_leaves_the_finish_allowance_on() -> None:
    """0.25 mm is left for the finish where the job does not say."""
    job = faced_front()
    actions = route(job)
    last = last_feed(job, actions).action
    skipped = [one for one in actions if (one.step, one.stroke) != (last.step, last.stroke)]
    assert last_feed(job, skipped).after.faces["front"] == pytest.approx(-0.25)


def test_one_knee_turn_too_many_cuts_deeper_by_the_knees_travel_a_turn() -> None:
    job = faced_front()
    actions = route(job)
    right = last_feed(job, actions).after.tip
    deep = [
        replace(one, to=one.to + 2.0)
        if isinstance(one, Wind) and one.slide == "knee" and one.ends and one.step == 3
        else one
        for one in actions
    ]
    assert job.by_hand.slides.knee.per_turn == 2.0
    assert last_feed(job, deep).after.tip[2] - right[2] == pytest.approx(-2.0)


def test_the_cutter_side_chosen_wrong_at_a_touch_off_shifts_the_cut_by_a_diameter() -> None:
    """Raw front at -1.5, cutter 20: -11.5 is keyed as +8.5."""
    job = faced_front()
    actions = route(job)
    first = next(one for one in actions if isinstance(one, Preset) and one.slide == "y")
    assert first.reads == pytest.approx(-11.5)
    wrong = [replace(one, reads=8.5) if one is first else one for one in actions]
    shift = last_feed(job, wrong).after.tip[1] - last_feed(job, actions).after.tip[1]
    assert abs(shift) == pytest.approx(20.0)


def test_a_reground_cutter_entered_as_marked_makes_the_width_larger_by_marked_minus_actual() -> None:
    """Marked 20, really 19.6: the touch in front brings the centre 0.2 nearer, so the front comes out right; the back
    stays proud by 0.4."""
    job = replace(sides("front", "back"), extra=touching("cutter", "mm")).job()
    reground = replace(job.tool(1), diameter=19.6)
    slipped = [replace(one, tool=reground) if isinstance(one, Load) else one for one in route(job)]
    faces = done(job, slipped)[-1].after.faces
    assert faces["front"] == pytest.approx(0.0)
    assert faces["back"] == pytest.approx(40.5 + 0.4)


def test_the_top_not_zeroed_after_the_skim_leaves_the_side_short_by_what_was_skimmed() -> None:
    """1 mm of allowance on the top, touched with the cutter itself."""
    job = faced_front()
    actions = route(job)
    forgotten = [one for one in actions if not (isinstance(one, SetDial) and one.slide == "knee" and one.step == 2)]
    assert len(forgotten) == len(actions) - 1
    assert last_feed(job, forgotten).after.tip[2] - last_feed(job, actions).after.tip[2] == pytest.approx(1.0)


@pytest.mark.parametrize("edge", ["back", "right"])
def test_backlash_not_taken_up_leaves_the_far_side_proud_by_the_backlash(edge: str) -> None:
    """With dials alone; the back comes from behind, against the direction of the touch-off at the front."""
    job = replace(sides(edge), extra=DIALS_ONLY).job()
    actions = route(job)
    sloppy = [replace(one, ends=0) if isinstance(one, Wind) and one.slide != "knee" else one for one in actions]
    axis = 1 if edge == "back" else 0
    proud = last_feed(job, sloppy).after.tip[axis] - last_feed(job, actions).after.tip[axis]
    assert job.by_hand.slides.y.backlash == 0.25
    assert proud == pytest.approx(0.25)


@pytest.mark.parametrize(("zero", "way"), [("front", 1), ("back", -1)])
def test_with_dials_alone_every_setting_ends_as_the_touch_off_did(zero: str, way: int) -> None:
    job = replace(sides("front", "back"), zero={"y": zero}, extra=DIALS_ONLY, operations=()).job()
    width = 40.5
    front, back = (0.0, width) if zero == "front" else (-width, 0.0)
    draft = sides("front", "back", to={"front": front, "back": back})
    job = replace(draft, zero={"y": zero}, extra=DIALS_ONLY).job()
    feeds = [one for one in done(job, route(job)) if isinstance(one.action, Feed)]
    for one in feeds:
        screw = one.before.screws["y"]
        assert screw.at - screw.turned == pytest.approx(0.0 if way > 0 else 0.25)
    faces = feeds[-1].after.faces
    assert (faces["front"], faces["back"]) == pytest.approx((front, back), abs=1e-9)


def test_between_passes_the_knee_stays_where_the_depth_stays() -> None:
    job = sides("front").job()
    knees = {one.after.screws["knee"].at for one in done(job, route(job)) if isinstance(one.action, Feed)}
    assert len(knees) == 1
    assert sum(isinstance(one, Lock) and one.slide == "knee" for one in route(job)) == 1


def test_every_move_goes_along_one_slide_and_only_feeds_have_a_feed() -> None:
    draft = Draft(operations=(FACED,))
    job = draft.job()
    moves = hand.execute(set_up(job)[0], route(job)).moves
    assert ((moves.end != moves.start).sum(axis=1) == 1).all()
    assert ((moves.kind == Kind.FEED) == (moves.feed > 0)).all()
    assert (moves.line >= 1).all()
    assert (moves.step >= 1).all()


def test_facing_turns_its_corners_without_lifting() -> None:
    job = Draft(operations=(FACED,), size=(80.0, 30.0, 30.0)).job()
    feeds = [one for one in done(job, route(job)) if isinstance(one.action, Feed) and one.action.stroke == 1]
    assert len(feeds) == 4
    assert len({one.after.tip[2] for one in feeds}) == 1
    for before, after in pairwise(feeds):
        assert after.before.tip == pytest.approx(before.after.tip)


@pytest.mark.parametrize("mill", sorted(MILLS))
@pytest.mark.parametrize("path", ["perimeter", "rows"])
def test_a_feed_never_turns_back_in_the_cut_and_ends_where_it_was_meant_to(mill: str, path: str) -> None:
    """A cutter that comes back in its own cut marks the face, and climbs (common practice); to half a setting step."""
    job = replace(sides("front"), operations=({**FACED, "path": path},), extra=MILLS[mill]).job()
    (strokes,) = [step.strokes for step in plan(set_up(job)[0], Route.BY_HAND).steps if step.strokes]
    meant = [leg for stroke in strokes for leg in pairwise(corners(stroke.chain))]
    execution = hand.execute(set_up(job)[0], route(job))
    fed = [one for one in execution.done if isinstance(one.action, Feed)]
    assert len(fed) == len(meant)
    feeding = execution.moves.line[execution.moves.kind == Kind.FEED].tolist()
    assert feeding == [one.number for one in fed], "each feed is one stroke, one way"
    for one, (_, end) in zip(fed, meant, strict=True):
        assert isinstance(one.action, Feed)
        slide = getattr(job.by_hand.slides, one.action.slide)
        step = job.by_hand.readout_step or slide.graduation
        axis = "xy".index(one.action.slide)
        assert abs(one.after.tip[axis] - end[axis]) <= step / 2 + 1e-9


WIDE_AND_SHALLOW = replace(
    sides("front", "right"),
    allowance={"left": 2.0, "right": 2.0, "front": 1.5, "back": 3.0, "top": 1.0},
    operations=(
        FACED,
        {"do": "side", "name": "front", "tool": 1, "edge": "front", "to": 0.0, "depth": 12.0},
        {"do": "side", "name": "ledge", "tool": 1, "edge": "right", "to": 50.0, "depth": 6.0, "spring_passes": 1},
    ),
)
"""A front cut 12 deep, and a ledge 26 wide that lies 6 down."""


@pytest.mark.parametrize("mill", sorted(MILLS))
@pytest.mark.parametrize("draft", [STOP, WIDE_AND_SHALLOW, sides("front", "back", "right", "left")])
def test_no_turning_cutter_is_wound_back_over_a_floor_at_its_own_depth(draft: Draft, mill: str) -> None:
    """It rubs and marks the floor, and heats the teeth (common practice). A floor stands where a pass at that level or
    less deep left it; the work's raw outline is what else stands."""
    job = replace(draft, extra=draft.extra + MILLS[mill]).job()
    raw = job.raw_block
    cut_to = {"left": raw.low[0], "right": raw.high[0], "front": raw.low[1], "back": raw.high[1]}
    by_level: list[tuple[float, str, float]] = []
    passes = {step.number: step.strokes for step in plan(set_up(job)[0], Route.BY_HAND).steps}
    for one in done(job, route(job)):
        act = one.action
        if isinstance(act, Feed) and act.leaves != "top":
            stroke = passes[act.step][act.stroke - 1]
            assert stroke.to is not None
            by_level.append((stroke.level, act.leaves, stroke.to))
        if isinstance(act, Feed) or not (isinstance(act, Wind) and act.slide in ("x", "y") and act.stroke):
            continue
        if not (one.after.turning and one.after.tip[2] < one.after.faces["top"] + 0.5):
            continue
        stands = dict(cut_to)
        for level, face, to in by_level:
            if level < one.after.tip[2] - 1.0:
                outwards = face.outwards  # type: ignore[index]
                stands[face] = outwards * min(outwards * stands[face], outwards * to)
        radius = one.after.radius
        low = [min(one.before.tip[k], one.after.tip[k]) - radius for k in (0, 1)]
        high = [max(one.before.tip[k], one.after.tip[k]) + radius for k in (0, 1)]
        # off the faces by more than the stock may be larger
        room = job.stock.tolerance
        beside = (
            high[0] + room <= stands["left"]
            or low[0] - room >= stands["right"]
            or high[1] + room <= stands["front"]
            or low[1] - room >= stands["back"]
        )
        assert beside, f"step {act.step}, line {one.number}"


def test_an_ordinary_side_is_gone_back_along_with_the_knee_locked_at_its_depth() -> None:
    """3 mm off the back in two passes: it is nearer to step out beside the raw face than to go over the work."""
    operation = {"do": "side", "name": "back", "tool": 1, "edge": "back", "to": 40.5, "depth": 12.0}
    job = replace(sides("back"), operations=(FACED, {**operation, "rough_to": [42.0, 41.0]})).job()
    last = next(step for step in plan(set_up(job)[0], Route.BY_HAND).steps if step.kind == "finish").number
    raised = [
        one
        for one in route(job)
        if isinstance(one, Wind) and one.slide == "knee" and one.step > 2 and one.step <= last and one.stroke
    ]
    assert len(raised) == 1


@pytest.mark.parametrize("probes", ["paper", "edge finder"])
def test_paper_or_block_is_taken_away_before_the_spindle_starts(probes: str) -> None:
    """A turning cutter throws a block that lies under it (common practice). It comes out once there is room."""
    job = with_setup(
        faced_front(), touch_off=replace(sides("front"), extra=touching(probes, "mm")).job().setups[0].touch_off
    )
    lies: Done | None = None
    taken = 0
    for one in done(job, route(job)):
        if isinstance(one.action, Touch) and one.action.between:
            lies = one
        elif isinstance(one.action, TakeAway):
            assert lies is not None
            assert not one.before.turning
            assert one.before.tip != lies.after.tip
            lies, taken = None, taken + 1
        assert lies is None or not isinstance(one.action, Start)
    assert taken == {"paper": 3, "edge finder": 1}[probes]


@pytest.mark.parametrize("draft", [STAND, STOP, sides("front")])
def test_a_touch_of_the_top_begins_close_above_it(draft: Draft) -> None:
    """Fast by eye while there is room, gently only at the end (common practice): some 2 turns of the knee at most, and
    never so near that block or paper does not go in."""
    job = draft.job()
    touched = [one for one in done(job, route(job)) if isinstance(one.action, Touch) and one.action.face == "top"]
    assert touched
    for one in touched:
        assert isinstance(one.action, Touch)
        above = one.before.tip[2] - one.before.faces["top"]
        assert one.action.between + 2.0 < above <= one.action.between + 13.0
