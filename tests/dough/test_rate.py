"""The relative rate of yeast, against published values and by its properties."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.special import roots_legendre

from proofbell.dough.fermenting import drift, rate
from proofbell.dough.fermenting.drift import Drift
from proofbell.dough.fermenting.leaven import BakersYeast
from proofbell.dough.fermenting.rate import relative_rate

# Check values of T_lim in the manual of the R package macrogrow (drtreimer.com/macrogrow), which uses the model
# of Rosso et al. 1993 with the cardinal temperatures 5, 20 and 30 °C.
SEAWEED = [
    (5, 0),
    (6, 0.02),
    (7, 0.07215686),
    (10, 0.33333333),
    (14, 0.72),
    (15, 0.80),
    (18, 0.96571429),
    (20, 1),
    (22, 0.9633333),
    (25, 0.76190476),
    (28, 0.37122807),
    (29, 0.19692308),
    (30, 0),
]


@pytest.mark.parametrize(("temp_c", "published"), SEAWEED)
def test_the_model_gives_the_values_printed_in_an_independent_manual(temp_c: float, published: float) -> None:
    assert relative_rate(temp_c, least_c=5, best_c=20, most_c=30) == pytest.approx(published, abs=1e-6)


# Ours, worked out once from the published formula: they pin the choice of 0, 37 and 48 °C.
PINNED = [(4, 0.0211), (10, 0.1265), (13, 0.2084), (20, 0.4573), (24, 0.6206), (26, 0.7027), (30, 0.8552), (42, 0.8616)]


@pytest.mark.parametrize(("temp_c", "value"), PINNED)
def test_yeast_in_dough_has_its_own_cardinal_temperatures(temp_c: float, value: float) -> None:
    assert relative_rate(temp_c) == pytest.approx(value, abs=5e-5)


def test_two_hours_at_80_f_are_four_at_63_f() -> None:
    # Forno Bravo, article on controlling when dough doubles: the time doubles for 17 °F less (80 → 63 °F).
    warm_c, cool_c = (80 - 32) / 1.8, (63 - 32) / 1.8
    assert 2 * relative_rate(warm_c) / relative_rate(cool_c) == pytest.approx(4.0, rel=0.15)


def test_the_proof_to_one_height_takes_four_and_a_half_times_as_long_at_13_as_at_31() -> None:
    # Freilich 1949, in Siffring & Bruinsma 1993, Cereal Chemistry 70:351: 270 min at 13 °C against about an hour
    # in a box whose dough averages about 31 °C (BAKERpedia, "The importance of proofing").
    assert relative_rate(31) / relative_rate(13) == pytest.approx(4.5, rel=0.25)


def test_the_five_degree_rule_holds_in_the_cold() -> None:
    # Cookie & Co., glossary of bread baking, "Teigtemperatur": 5 °C warmer halves the time. True from 10 to 15 °C.
    assert relative_rate(15) / relative_rate(10) == pytest.approx(2.0, rel=0.10)


def test_dough_nearly_stops_at_40_f() -> None:
    # Forno Bravo, same article: at about 40 °F it nearly stops.
    assert relative_rate((40 - 32) / 1.8) < 0.05 * relative_rate((80 - 32) / 1.8)


@given(st.floats(-50, 100))
def test_the_rate_lies_between_nothing_and_one(temp_c: float) -> None:
    assert 0.0 <= relative_rate(temp_c) <= 1.0


@given(st.floats(-10, 55), st.floats(0, 1e-4))
def test_the_rate_has_no_jumps(temp_c: float, step_k: float) -> None:
    assert abs(relative_rate(temp_c + step_k) - relative_rate(temp_c)) <= 0.4 * step_k + 1e-12


@given(st.floats(0, 37), st.floats(0, 37))
def test_warmer_is_never_slower_up_to_the_best_temperature(one_c: float, other_c: float) -> None:
    cooler_c, warmer_c = sorted((one_c, other_c))
    assert relative_rate(cooler_c) <= relative_rate(warmer_c) + 1e-12


@given(st.floats(37, 48), st.floats(37, 48))
def test_warmer_is_never_faster_above_it(one_c: float, other_c: float) -> None:
    cooler_c, warmer_c = sorted((one_c, other_c))
    assert relative_rate(cooler_c) >= relative_rate(warmer_c) - 1e-12


@pytest.mark.parametrize("cardinals", [(5, 20, 20), (20, 5, 30), (0, 24, 48), (0, 20, 48)])
def test_cardinal_temperatures_without_a_single_peak_are_refused(cardinals: tuple[float, float, float]) -> None:
    least_c, best_c, most_c = cardinals
    with pytest.raises(ValueError, match="must rise"):
        relative_rate(20, least_c=least_c, best_c=best_c, most_c=most_c)


def test_the_integration_points_are_those_of_an_independent_library() -> None:
    nodes, weights = roots_legendre(len(drift.NODES))
    ours = sorted(drift.NODES)
    assert [node for node, _ in ours] == pytest.approx([(1 + node) / 2 for node in nodes], abs=1e-14)
    assert [weight for _, weight in ours] == pytest.approx([weight / 2 for weight in weights], abs=1e-14)


def test_a_dough_needs_a_time_constant() -> None:
    with pytest.raises(ValueError, match="time constant"):
        Drift(25, 20, 0.0)


@pytest.mark.parametrize("count", [2, 5, 20, 33])
def test_any_number_of_points_is_worked_out_as_the_library_does(count: int) -> None:
    nodes, weights = roots_legendre(count)
    ours = sorted(drift.legendre(count))
    assert [node for node, _ in ours] == pytest.approx([(1 + node) / 2 for node in nodes], abs=1e-13)
    assert [weight for _, weight in ours] == pytest.approx([weight / 2 for weight in weights], abs=1e-13)


def test_a_moment_of_fermentation_takes_a_moment() -> None:
    assert Drift(37, 37, 6000).seconds_for(0.5) == pytest.approx(0.5)
    assert Drift(37, 37, 6000).seconds_for(0.0) == 0.0
    assert Drift(37, 37, 6000).seconds_for(-5.0) == 0.0


def solved_amount(dough: Drift, seconds: float, least_c: float = rate.LEAST_C) -> float:
    """The sum of the rate by scipy, from the differential equation of the dough's temperature."""

    def change(_t: float, state: list[float]) -> list[float]:
        return [(dough.place_c - state[0]) / dough.tau_s, relative_rate(state[0], least_c=least_c)]

    answer = solve_ivp(change, (0, seconds), [dough.start_c, 0.0], method="DOP853", rtol=1e-11, atol=1e-9, max_step=300)
    return float(answer.y[1][-1])


# Doughs that freeze, or get too hot, a while after they have done what is asked; the last ones start out of bounds.
@pytest.mark.parametrize(
    ("start_c", "place_c", "tau_s", "hours"),
    [
        (24, -2, 3600, 1.3),
        (24, -18, 6000, 0.5),
        (32, -12, 20000, 3.8),
        (38, 2, 3600, 1.5),
        (31, 52, 20000, 4.4),
        (24, 50, 3600, 1.4),
        (20, 50, 900, 0.35),
        (-5, 30, 6000, 3),
        (55, 20, 5000, 5),
    ],
)
def test_the_time_for_an_amount_is_found_wherever_the_dough_goes_afterwards(
    start_c: float, place_c: float, tau_s: float, hours: float
) -> None:
    dough = Drift(start_c, place_c, tau_s)
    wanted_s = solved_amount(dough, hours * 3600)
    assert dough.seconds_for(wanted_s) == pytest.approx(hours * 3600, rel=1e-5)


def test_a_dough_in_the_freezer_does_only_so_much_and_more_is_never_done() -> None:
    dough = Drift(26, -18, 3600)
    all_s = dough.amount_s(math.inf)
    assert all_s == pytest.approx(solved_amount(dough, 48 * 3600), rel=1e-6)
    assert math.isfinite(dough.seconds_for(0.999 * all_s))
    assert math.isinf(dough.seconds_for(1.001 * all_s))


def test_gas_that_is_held_back_down_to_four_below_counts_where_it_is_assumed() -> None:
    # IREKS Compendium 6.2 and 6.3: gas is held back down to about −4 °C, where dough water freezes.
    dough = Drift(10, -6, 6000)
    all_s = solved_amount(dough, 48 * 3600, least_c=-4.0)
    assert all_s > 1.05 * dough.amount_s(math.inf)
    assert math.isfinite(dough.seconds_for(0.99 * all_s, curve=BakersYeast(-4.0)))
    assert math.isinf(dough.seconds_for(0.99 * all_s))


def test_nothing_takes_no_time_even_in_the_freezer() -> None:
    assert Drift(-5, -18, 6000).seconds_for(0.0) == 0.0


def test_a_probe_that_settles_in_half_a_second_is_a_drift_too() -> None:
    # Newton's law: after one time constant the difference is 1/e of what it was.
    assert Drift(20, 30, 0.5).temp_c(0.5) == pytest.approx(30 - 10 / math.e)
