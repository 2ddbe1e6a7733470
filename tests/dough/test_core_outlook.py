"""Minutes that a core takes yet: against the published points, and the table of one low reading worked out apart.

The table is from the same simulated bakes as the curve, but made by carrying out each bake, not from the curve: rows a
core read, columns a core wanted, minutes more as a share of the minutes so far, and the 90 % range.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofbell.dough.core_outlook import LEAST_S, MOST_READINGS, CoreOutlook, core_outlook

TABLE = [
    (60, 90, 0.51, 0.30),
    (60, 94, 0.67, 0.33),
    (70, 90, 0.34, 0.18),
    (70, 94, 0.48, 0.20),
    (80, 90, 0.18, 0.09),
    (80, 94, 0.31, 0.10),
    (85, 90, 0.10, 0.05),
    (85, 94, 0.22, 0.06),
    (88, 90, 0.04, 0.03),
    (88, 94, 0.15, 0.03),
    (90, 94, 0.11, 0.02),
    (92, 94, 0.06, 0.02),
]
EXTRAPOLATED = [(60, 0.82), (70, 0.61), (80, 0.42), (85, 0.32), (88, 0.25), (90, 0.20), (92, 0.15)]
"""The column of 97 °C: beyond what the curve was fitted to."""


def told(*readings: tuple[float, float], wanted_c: float = 94.0, bake_s: float | None = None) -> CoreOutlook:
    found = core_outlook(readings, wanted_c, bake_s=bake_s)
    assert found is not None
    return found


@pytest.mark.parametrize(("core_c", "wanted_c", "share", "range_"), TABLE)
@pytest.mark.parametrize("elapsed_s", [720.0, 1800.0, 3600.0])
def test_one_low_reading_says_how_much_longer_as_the_table_does(
    core_c: float, wanted_c: float, share: float, range_: float, elapsed_s: float
) -> None:
    found = told((elapsed_s, core_c), wanted_c=wanted_c)
    # The table has two decimals.
    assert found.done_s / elapsed_s - 1 == pytest.approx(share, abs=0.008)
    assert found.high_s - found.done_s == pytest.approx(max(LEAST_S, range_ * elapsed_s), abs=0.03 * elapsed_s)
    assert found.low_s == pytest.approx(max(elapsed_s, 2 * found.done_s - found.high_s))


@pytest.mark.parametrize(("core_c", "share"), EXTRAPOLATED)
def test_beyond_its_table_the_curve_is_carried_on_and_the_range_holds_the_published_figure(
    core_c: float, share: float
) -> None:
    found = told((1800.0, core_c), wanted_c=97.0)
    assert found.low_s <= 1800 * (1 + share) <= found.done_s < found.high_s


def test_the_curve_has_the_points_published_for_real_bread() -> None:
    # American Society of Baking, thermal profiling: 56 to 60 °C at about half of the bake, arrival (93 °C) at 85 %; the
    # dough goes in at 35 °C.
    found = core_outlook([(0.5 * 3600, 58.0)], 93.3, dough_c=35.0)
    assert found is not None
    assert found.done_s == pytest.approx(0.85 * 3600, rel=0.06)
    assert found.low_s < 0.85 * 3600 < found.high_s
    # bread-bakers list: 185 to 200 °F "in a matter of minutes".
    assert 3 * 60 < told((1800.0, 85.0), wanted_c=93.3).done_s - 1800.0 < 7 * 60


@given(st.floats(40, 96), st.floats(300, 7200), st.floats(80, 98))
def test_the_range_is_two_minutes_at_least_and_lies_ahead_of_a_low_reading(
    core_c: float, at_s: float, wanted_c: float
) -> None:
    found = told((at_s, core_c), wanted_c=wanted_c)
    assert found.low_s <= found.done_s <= found.high_s
    if core_c < wanted_c:
        assert found.low_s >= at_s
        assert found.high_s >= found.done_s + LEAST_S
    else:
        assert found.high_s <= at_s


def bake(t90_s: float, shape: float, wanted_theta: float) -> float:
    """When a bake of that scale and shape is at a θ of the table, as the published formula says."""
    rows = {0.5: (0.644, -0.183), 0.6: (0.704, -0.134), 0.7: (0.772, -0.088), 0.8: (0.859, -0.043), 0.9: (1.0, 0.0)}
    share, bend = rows[wanted_theta]
    return t90_s * share * math.exp(shape * bend)


@pytest.mark.parametrize("shape", [-0.9, -0.4, 0.4, 0.9])
def test_several_readings_find_the_shape_of_the_loaf_that_one_cannot_see(shape: float) -> None:
    readings = [(bake(2400, shape, theta), 25 + 75 * theta) for theta in (0.5, 0.6, 0.7)]
    goal_c, true_s = 25 + 75 * 0.9, bake(2400, shape, 0.9)
    one = told(readings[-1], wanted_c=goal_c)
    several = told(*readings, wanted_c=goal_c, bake_s=2400 / 0.85)
    assert abs(several.done_s - true_s) < abs(one.done_s - true_s)
    assert several.low_s < true_s < several.high_s


def test_the_formulas_time_is_a_first_guess_that_readings_outweigh() -> None:
    readings = [(bake(2400, 0.0, theta), 25 + 75 * theta) for theta in (0.6, 0.7, 0.8)]
    found = told(*readings, wanted_c=92.5, bake_s=1.5 * 2400 / 0.85)
    assert found.done_s == pytest.approx(2400, rel=0.03)


def test_only_the_newest_readings_count() -> None:
    newest = [(1200.0 + 60 * n, 60.0 + 2 * n) for n in range(MOST_READINGS)]
    assert told((300.0, 59.0), *newest) == told(*newest)


def test_a_core_that_has_hardly_warmed_says_nothing() -> None:
    # Half of the simulated bakes were at θ 0.05 (28.75 °C) by 0.3 of their time, the others at quite other moments.
    assert core_outlook([(300.0, 28.7)], 94.0) is None
    assert core_outlook([(300.0, 28.8)], 94.0) is not None
    assert core_outlook([], 94.0) is None
    assert core_outlook([(0.0, 60.0)], 94.0) is None


def test_nothing_is_promised_at_or_above_boiling_water() -> None:
    # ISO 2533 and IAPWS-IF97: water boils at 93.3 °C at 2000 m.
    assert core_outlook([(1800.0, 85.0)], 93.5, boiling_c=93.3) is None
    high_up = core_outlook([(1800.0, 85.0)], 90.3, boiling_c=93.3)
    assert high_up is not None
    assert high_up.done_s > told((1800.0, 85.0), wanted_c=90.3).done_s


def test_a_dough_from_the_cold_takes_longer_than_one_of_the_room_with_the_same_core() -> None:
    cold = core_outlook([(1800.0, 70.0)], 94.0, dough_c=4.0)
    assert cold is not None
    assert cold.done_s < told((1800.0, 70.0)).done_s  # It has come further in the same time.
