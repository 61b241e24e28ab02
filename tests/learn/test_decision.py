"""What is said of a size near a limit."""

from __future__ import annotations

import pytest

from handwheel.learn.decision import SizeVerdict, decide


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (9.94, "out"),
        (9.945, "doubtful"),
        (9.95, "doubtful"),
        (9.956, "doubtful"),
        (9.96, "in"),
        (10.0, "in"),
        (10.04, "in"),
        (10.044, "doubtful"),
        (10.05, "doubtful"),
        (10.06, "out"),
    ],
)
def test_by_the_drawing_a_size_is_doubtful_within_the_gauge_s_uncertainty_of_a_limit(
    value: float, said: SizeVerdict
) -> None:
    assert decide(value, 9.95, 10.05, 0.01) == said


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (9.941, "out"),
        (9.942, "doubtful"),
        (9.958, "doubtful"),
        (9.9583, "in"),
        (10.0417, "in"),
        (10.042, "doubtful"),
        (10.058, "doubtful"),
        (10.0583, "out"),
    ],
)
def test_guarded_a_size_conforms_only_inside_the_limits_less_the_band(value: float, said: SizeVerdict) -> None:
    # ISO 14253-1:2017 (from memory): guard band 1.65 u; U = 0.01 is 2 u, so that the band is 0.00825
    assert decide(value, 9.95, 10.05, 0.01, guarded=True) == said


def test_a_gauge_coarser_than_the_tolerance_never_calls_a_part_good() -> None:
    assert decide(10.0, 9.99, 10.01, 0.04) == "doubtful"
    assert decide(10.0, 9.99, 10.01, 0.04, guarded=True) == "doubtful"
