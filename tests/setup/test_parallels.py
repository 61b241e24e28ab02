"""Parallels, stick-out and grip."""

from __future__ import annotations

from dataclasses import replace

import pytest
from jobs import Draft, sides

from handwheel.errors import JobError
from handwheel.setup import set_up


def _set_up(height: float, depth: float = 12.0, **vise: object):  # type: ignore[no-untyped-def]
    draft = replace(sides("front", depth=depth), size=(80.0, 45.0, height), vise=vise)
    job = draft.job()
    return job, set_up(job)[0]


def test_the_lowest_parallels_that_clear_the_jaws_are_chosen() -> None:
    job, setup = _set_up(30.0, jaw_height=40.0)
    # by hand: 1 of top + 12 of depth + 2 of air = 15 out, so 15 in the jaws: parallels of at least 40 − 15 = 25
    assert setup.parallel_height >= 25.0
    assert not any(25.0 <= other < setup.parallel_height for other in job.parallel_set)
    assert setup.stick_out == pytest.approx(setup.parallel_height + 30.0 - 40.0)
    assert setup.grip == pytest.approx(40.0 - setup.parallel_height)
    assert setup.air is not None
    assert setup.air >= 2.0


def test_the_reason_shows_the_arithmetic() -> None:
    _, setup = _set_up(30.0, jaw_height=40.0)
    assert "15 mm" in setup.parallel_reason
    assert "25 mm" in setup.parallel_reason


def test_parallels_for_a_job_without_a_cut_say_that_its_depth_is_not_known() -> None:
    """Somebody else's program may go deeper than parallels that were chosen without it (common practice)."""
    job = replace(Draft(), vise={"jaw_height": 40.0}).job()
    assert "nothing is known here of how deep the program goes" in set_up(job)[0].parallel_reason
    _, planned = _set_up(30.0, jaw_height=40.0)
    assert "nothing is known" not in planned.parallel_reason
    given = replace(Draft(), vise={"jaw_height": 40.0, "parallels": 25.0}).job()
    assert "nothing is known" not in set_up(given)[0].parallel_reason


def test_where_none_fits_the_error_shows_the_arithmetic() -> None:
    # 13 of cut and 2 of air leave 3 of 18 in the jaws; a quarter of 18 is 4.5 (common practice)
    with pytest.raises(JobError, match=r"stick-out needed 15 mm.*grip needed 4\.5 mm"):
        _set_up(18.0, jaw_height=40.0)


def test_parallels_as_high_as_the_jaws_hold_nothing() -> None:
    with pytest.raises(JobError, match="nothing of the work is held"):
        _set_up(30.0, jaw_height=40.0, parallels=40.0)


def test_work_on_its_parallels_stands_between_the_jaws() -> None:
    _, setup = _set_up(30.0, jaw_height=40.0)
    assert setup.fixed_jaw.low[1] == setup.raw.high[1]
    assert setup.movable_jaw.high[1] == setup.raw.low[1]
    for parallel in setup.parallels:
        assert parallel.high[2] == setup.raw.low[2]
        assert parallel.low[2] == setup.bed.high[2]
    assert setup.bed.low[2] == setup.table.high[2]


def test_jaws_too_low_for_tall_work_are_told_without_a_word_of_parallels() -> None:
    # a quarter of 200 is 50 (common practice), and the jaws are 40 high
    with pytest.raises(JobError, match=r"200 mm high needs 50 mm of grip.*50 mm − 40 mm = 10 mm too low") as told:
        _set_up(200.0, jaw_height=40.0)
    assert "the set has" not in str(told.value)
