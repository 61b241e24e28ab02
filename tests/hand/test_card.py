"""The machine card: short, complete, and true when followed to the letter."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from drilled import TAPPED
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jobs import Draft, drafts
from literal_card import LiteralCardOperator
from mills import DIALS_ONLY, MILLS, PROBES, touching
from shaped import shaped
from slots import slotted

from handwheel import hand
from handwheel.hand.actions import Feed, Lever, TurnTap
from handwheel.hand.card import Card
from handwheel.job import Job, read_job, read_job_text
from handwheel.plan import Route, plan
from handwheel.setup import Setup, set_up

EXAMPLES = sorted(Path(__file__).parents[2].glob("examples/*/job.toml"))


def cards(job: Job) -> list[tuple[Setup, Card]]:
    made = []
    for setup in set_up(job):
        steps = plan(setup, Route.BY_HAND)
        made.append((setup, hand.card(setup, steps, hand.actions(setup, steps))))
    return made


def agrees(job: Job) -> None:
    """Who follows the card cuts what the model cuts, from the same place to the same place."""
    for setup, card in cards(job):
        steps = plan(setup, Route.BY_HAND)
        execution = hand.execute(setup, hand.actions(setup, steps))
        operator = LiteralCardOperator(job, setup)
        operator.follow_card(hand.card_text(card))
        fed = [done for done in execution.done if isinstance(done.action, Feed)]
        assert len(operator.cuts) == len(fed)
        for cut, done in zip(operator.cuts, fed, strict=True):
            assert cut.start == pytest.approx(done.before.tip, abs=1e-6), (cut.row, done.number)
            assert cut.end == pytest.approx(done.after.tip, abs=1e-6), (cut.row, done.number)
        # a quill of the other system is told with the drawing's decimals
        digit = 0.0127 if job.units == "in" else 0.005
        made = [
            (done.after.tip, done.action.down) for done in execution.done if isinstance(done.action, (Lever, TurnTap))
        ]
        assert operator.holes == [pytest.approx((x, y, z - down), abs=digit) for (x, y, z), down in made]


@pytest.mark.parametrize("mill", ["readout", "dials alone"])
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_an_operator_who_follows_an_examples_card_to_the_letter_makes_the_part_of_the_sheet(
    path: Path, mill: str
) -> None:
    text = path.read_text(encoding="utf-8")
    if mill == "dials alone":
        head, first, rest = text.partition("\n[")
        text = f"{head}\n{DIALS_ONLY}{first}{rest}"
    agrees(read_job_text(text, path.parent.name))


@pytest.mark.parametrize("mill", sorted(MILLS))
def test_an_operator_who_follows_a_card_with_taps_to_the_letter_makes_the_threads(mill: str) -> None:
    agrees(read_job_text(f"{TAPPED}\n{MILLS[mill]}", "tapped"))


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(draft=drafts(), mill=st.sampled_from(sorted(MILLS)), probes=st.sampled_from(sorted(PROBES)))
def test_an_operator_who_follows_any_card_to_the_letter_makes_the_part_of_the_sheet(
    draft: Draft, mill: str, probes: str
) -> None:
    agrees(replace(draft, extra=MILLS[mill] + touching(probes, draft.units)).job())


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_a_card_is_plain_text_of_a_page_width_with_room_for_names(path: Path) -> None:
    for _, card in cards(read_job(path)):
        text = hand.card_text(card)
        assert text.isascii()
        assert max(map(len, text.splitlines())) <= 100
        for line in ("Name ___", "OK to start ___", "Signed off ___"):
            assert line in text


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_stick_out_is_measured_before_the_spindle_starts_and_the_air_before_the_first_cut_over_the_jaws(
    path: Path,
) -> None:
    """Common practice: the depth rod of a caliper; a drill shank as a feeler."""
    for setup, card in cards(read_job(path)):
        text = " ".join(hand.card_text(card).split())
        assert re.search(r"depth rod .*? reads _+", text)
        assert text.index("depth rod") < text.index("START")
        beside = any(step.sides for step in plan(setup, Route.BY_HAND).steps)
        assert ("drill shank" in text) == beside
        if beside:
            assert re.search(r"drill shank of [\d.]+ (in|mm) go between cutter and jaw; START \d+; ", text)


def test_a_preset_says_what_the_dial_shows_and_one_that_changes_nothing_is_left_out() -> None:
    """The card of the base: -.003 on a dial of 100 thousandths is graduation 97 (common practice)."""
    path = next(path for path in EXAMPLES if path.parent.name == "gauge-stand-base")
    text = " ".join(hand.card_text(cards(read_job(path))[0][1]).split())
    assert "knee dial to 97" in text
    assert text.count("key ") == 2  # at the touch-off; the finished sides change neither X nor Y
    assert text.count("mist on, aimed at the cut") == 1


def test_a_card_has_far_fewer_lines_than_the_sheet() -> None:
    for path in EXAMPLES:
        job = read_job(path)
        for setup, card in cards(job):
            steps = plan(setup, Route.BY_HAND)
            sheet = hand.sheet(setup, steps, hand.actions(setup, steps))
            assert 3 * len(hand.card_text(card).splitlines()) < len(sheet.splitlines())


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(draft=st.one_of(slotted(), shaped()), mill=st.sampled_from(["readout", "dials alone"]))
def test_slots_pockets_and_outlines_are_made_by_the_card_as_by_the_sheet_setting_by_setting(
    draft: Draft, mill: str
) -> None:
    agrees(replace(draft, extra=draft.extra + "\n" + MILLS[mill]).job())
