"""The relative rate of yeast, against published values and by its properties."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import roots_legendre

from proofbell.dough import rate
from proofbell.dough.fermentation import relative_rate

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
    nodes, weights = roots_legendre(20)
    ours = sorted(rate._NODES)
    assert [node for node, _ in ours] == pytest.approx([(1 + node) / 2 for node in nodes], abs=1e-14)
    assert [weight for _, weight in ours] == pytest.approx([weight / 2 for weight in weights], abs=1e-14)


def test_a_dough_needs_a_time_constant() -> None:
    with pytest.raises(ValueError, match="time constant"):
        rate.Drift(25, 20, 0.0)


@pytest.mark.parametrize("count", [2, 5, 20, 33])
def test_any_number_of_points_is_worked_out_as_the_library_does(count: int) -> None:
    nodes, weights = roots_legendre(count)
    ours = sorted(rate._legendre(count))
    assert [node for node, _ in ours] == pytest.approx([(1 + node) / 2 for node in nodes], abs=1e-13)
    assert [weight for _, weight in ours] == pytest.approx([weight / 2 for weight in weights], abs=1e-13)


def test_a_moment_of_fermentation_takes_a_moment() -> None:
    assert rate.Drift(37, 37, 6000).seconds_for(0.5) == pytest.approx(0.5)
    assert rate.Drift(37, 37, 6000).seconds_for(0.0) == 0.0
    assert rate.Drift(37, 37, 6000).seconds_for(-5.0) == 0.0
