"""Statistics of measured sizes against reference data, tables and simulated parts."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from handwheel.learn.statistics import (
    chi_square_quantile,
    control_limits,
    deviation,
    mean,
    performance,
    trend,
)

NUM_ACC = {
    "NumAcc1": ([10000001.0, 10000003.0, 10000002.0], 10000002.0, 1.0),
    "NumAcc2": ([1.2, *[1.1, 1.3] * 500], 1.2, 0.1),
    "NumAcc3": ([1000000.2, *[1000000.1, 1000000.3] * 500], 1000000.2, 0.1),
    "NumAcc4": ([10000000.2, *[10000000.1, 10000000.3] * 500], 10000000.2, 0.1),
}
"""NIST Statistical Reference Datasets, univariate (from memory): values, mean, deviation."""


@pytest.mark.parametrize("name", NUM_ACC)
def test_mean_and_deviation_agree_with_the_reference_to_as_many_digits_as_the_data_have(name: str) -> None:
    values, middle, spread = NUM_ACC[name]
    assert mean(values) == pytest.approx(middle, rel=1e-14)
    # a value of ten millions holds its tenths to one in 10^8 of them: no method gives more digits of the deviation
    held = np.spacing(max(values)) / spread
    assert deviation(values) == pytest.approx(spread, rel=max(1e-10, held))


def test_a_sample_of_one_has_no_deviation() -> None:
    assert math.isnan(deviation([1.0]))


@pytest.mark.parametrize("degrees", [1, 2, 5, 24, 99, 999])
@pytest.mark.parametrize("share", [0.005, 0.025, 0.5, 0.975, 0.995])
def test_chi_square_agrees_with_a_reference_library(share: float, degrees: int) -> None:
    assert chi_square_quantile(share, degrees) == pytest.approx(float(stats.chi2.ppf(share, degrees)), rel=1e-10)


@pytest.mark.parametrize(("degrees", "value"), [(1, 3.841), (10, 18.307), (30, 43.773), (100, 124.342)])
def test_chi_square_agrees_with_the_handbook_s_table(degrees: int, value: float) -> None:
    # NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4, upper 0.05 (from memory)
    assert chi_square_quantile(0.95, degrees) == pytest.approx(value, abs=5e-4)


def test_an_individuals_chart_has_its_limits_from_the_moving_range() -> None:
    # ranges 2, 2, 2: mean 5 ∓ 2.660·2 (e-Handbook, 6.3.2.2, from memory)
    assert control_limits([4.0, 6.0, 4.0, 6.0]) == pytest.approx((5.0 - 5.32, 5.0 + 5.32))
    assert control_limits([4.0]) is None


def test_no_index_is_given_for_fewer_than_25_parts_or_for_parts_all_alike() -> None:
    parts = [10.0 + 0.01 * (index % 3) for index in range(25)]
    assert performance(parts[:24], 9.9, 10.1) is None
    assert performance([10.0] * 30, 9.9, 10.1) is None
    assert performance(parts, 9.9, 10.1) is not None


def test_the_indices_are_the_limits_in_deviations() -> None:
    parts = [10.0, 10.02] * 20
    found = performance(parts, 9.9, 10.1)
    assert found is not None
    spread = 0.01 * math.sqrt(40 / 39)
    assert found[0].value == pytest.approx(0.2 / (6 * spread))
    assert found[1].value == pytest.approx(0.09 / (3 * spread))


def test_the_intervals_hold_the_true_index_in_95_of_100_simulated_runs() -> None:
    chance = np.random.default_rng(20260101)
    true_pp, true_ppk, runs = 0.2 / 6.0 / 0.02, (0.1 - 0.01) / 3.0 / 0.02, 1500
    held = np.zeros(2)
    for _ in range(runs):
        found = performance((10.01 + 0.02 * chance.standard_normal(50)).tolist(), 9.9, 10.1)
        assert found is not None
        held += [one.low <= true <= one.high for one, true in zip(found, (true_pp, true_ppk), strict=True)]
    # of 1500 runs the share is known to within 1.7 in 100 (three deviations)
    assert held / runs == pytest.approx([0.95, 0.95], abs=0.02)


def test_a_trend_is_told_only_where_it_is_more_than_chance() -> None:
    chance = np.random.default_rng(7)
    noise = 0.001 * chance.standard_normal(30)
    assert trend((10.0 + noise).tolist()) is None
    steady = trend((10.0 + noise + 0.002 * np.arange(30)).tolist())
    assert steady == pytest.approx(0.002, abs=2e-4)
    # by the reference library's line
    assert steady == pytest.approx(stats.linregress(np.arange(30), 10.0 + noise + 0.002 * np.arange(30)).slope)
