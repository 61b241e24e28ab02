"""The manual clock against sums that anybody can do."""

from __future__ import annotations

from dataclasses import replace

import pytest
from jobs import sides

from handwheel import hand
from handwheel.hand.actions import Feed
from handwheel.job import Job
from handwheel.job.assumptions import TIMES
from handwheel.motion import Kind
from handwheel.plan import Route, plan
from handwheel.setup import set_up

NONE = "[times]\n" + "".join(f'"{name}" = 0\n' for name in TIMES)


def seconds(job: Job) -> dict[int, float]:
    setup = set_up(job)[0]
    actions = hand.actions(setup, plan(set_up(job)[0], Route.BY_HAND))
    return hand.clock(job, actions, hand.execute(setup, actions))


def test_with_every_allowance_nought_only_the_feeds_take_time() -> None:
    job = replace(sides("front"), extra=NONE).job()
    setup = set_up(job)[0]
    actions = hand.actions(setup, plan(set_up(job)[0], Route.BY_HAND))
    execution = hand.execute(setup, actions)
    fed = execution.moves.rows(execution.moves.kind == Kind.FEED)
    assert len(fed) == sum(isinstance(one, Feed) for one in actions)
    minutes = sum(length / feed for length, feed in zip(fed.length, fed.feed, strict=True))
    assert sum(hand.clock(job, actions, execution).values()) == pytest.approx(60 * minutes)


def test_a_pass_of_106_mm_at_its_feed_takes_length_over_feed() -> None:
    """80 mm of work, and 10 of cutter, 2.5 of gap and 0.5 of stock tolerance at either end."""
    job = replace(sides("front"), extra=NONE).job()
    steps = plan(set_up(job)[0], Route.BY_HAND).steps
    finish = next(step for step in steps if step.kind == "finish")
    assert seconds(job)[finish.number] == pytest.approx(60 * 106 / finish.speeds.feed_mm_min, rel=1e-9)


def test_a_jobs_own_allowance_is_counted_once_for_each_action_of_that_kind() -> None:
    plain = sides("front")
    slower = replace(plain, extra=f'[times]\n"a cutter change" = {TIMES["a cutter change"] + 100}\n')
    assert sum(seconds(slower.job()).values()) - sum(seconds(plain.job()).values()) == pytest.approx(100.0)


def test_winding_costs_its_turns() -> None:
    """Twice the seconds a turn less once: the turns themselves, the feeds not among them."""
    plain = replace(sides("front"), extra=NONE)
    winding = replace(plain, extra=NONE.replace('"a turn when winding" = 0', '"a turn when winding" = 1'))
    job = winding.job()
    setup = set_up(job)[0]
    actions = hand.actions(setup, plan(set_up(job)[0], Route.BY_HAND))
    execution = hand.execute(setup, actions)
    rapid = execution.moves.rows(execution.moves.kind == Kind.RAPID)
    along = abs(rapid.end - rapid.start)
    slides = job.by_hand.slides
    turns = along[:, 0] / slides.x.per_turn + along[:, 1] / slides.y.per_turn + along[:, 2] / slides.knee.per_turn
    assert sum(seconds(job).values()) - sum(seconds(plain.job()).values()) == pytest.approx(turns.sum(), rel=0.02)
