"""The individuals chart against a published example, and against the same sums done otherwise."""

from __future__ import annotations

import statistics
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.journal.course.limits import ENOUGH, IN_A_ROW, Limits, Run, individuals, outside, runs

FLOW = (49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1)
"""Flow rates of ten batches, NIST/SEMATECH e-Handbook of Statistical Methods, section 6.3.2.2, from memory; there the
mean is 50.81, the mean moving range 1.8778, and the limits, with 3 / 1.128 for 2.66, are 45.8159 and 55.8041."""


def test_the_limits_of_the_handbooks_example() -> None:
    limits = individuals(FLOW)
    assert limits is not None
    assert limits.mean == pytest.approx(50.81, abs=1e-9)
    assert (limits.lower, limits.upper) == pytest.approx((45.8159, 55.8041), abs=0.002)
    assert outside(FLOW, limits) == ()


@settings(max_examples=60)
@given(st.lists(st.floats(-1e4, 1e4), min_size=ENOUGH, max_size=40))
def test_the_limits_are_those_of_the_same_sums_done_otherwise(values: list[float]) -> None:
    limits = individuals(values)
    steps = [abs(b - a) for a, b in pairwise(values)]
    sigma = statistics.fmean(steps) / 1.128
    assert limits is not None
    assert limits.mean == pytest.approx(statistics.fmean(values), abs=1e-6)
    # 2.66 is 3 / 1.128 to two decimals.
    assert limits.upper - limits.mean == pytest.approx(3 * sigma, rel=5e-4, abs=1e-6)
    assert limits.mean - limits.lower == pytest.approx(limits.upper - limits.mean, abs=1e-6)
    beyond = [n for n, v in enumerate(values) if abs(v - limits.mean) > (limits.upper - limits.mean) + 1e-5]
    assert set(beyond) <= set(outside(values, limits))


def test_nothing_is_said_of_too_few() -> None:
    assert individuals(FLOW[: ENOUGH - 1]) is None
    assert individuals(FLOW[:ENOUGH]) is not None


def test_values_that_are_all_the_same_are_inside_and_on_the_mean() -> None:
    same = [25.1] * 13
    limits = individuals(same)
    assert limits is not None
    assert outside(same, limits) == ()
    assert runs(same, limits) == ()


def test_eight_in_a_row_are_marked_and_seven_are_not() -> None:
    limits = Limits(0.0, -9.0, 9.0)
    assert runs([1.0] * (IN_A_ROW - 1) + [-1.0], limits) == ()
    assert runs([-1.0] + [1.0] * IN_A_ROW, limits) == (Run(1, IN_A_ROW, 1),)
    assert runs([-2.0] * 9 + [1.0] * 8, limits) == (Run(0, 8, -1), Run(9, 16, 1))


def test_a_value_on_the_mean_ends_a_run() -> None:
    assert runs([1.0] * 5 + [0.0] + [1.0] * 5, Limits(0.0, -9.0, 9.0)) == ()


def test_a_value_on_a_limit_is_inside() -> None:
    assert outside([9.0, -9.0, 9.1], Limits(0.0, -9.0, 9.0)) == (2,)
