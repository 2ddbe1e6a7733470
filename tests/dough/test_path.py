"""The path through a stage's readings: it begins with the stage, meets every reading, and survives odd ones."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofbell.dough.fermenting.drift import Drift
from proofbell.dough.fermenting.fermentation import Estimate
from proofbell.dough.fermenting.path import follow
from tests.support.fermentation import equal_time

HOUR = 3600.0


@given(
    st.lists(st.tuples(st.integers(0, 600), st.integers(0, 40)), min_size=1, max_size=5),
    st.integers(0, 40),
    st.integers(0, 40),
)
def test_a_path_covers_the_stage_from_its_start_without_gap_or_empty_piece(
    minutes: list[tuple[int, int]], start_c: int, place_c: int
) -> None:
    readings = [(at_min * 60.0, float(temp_c)) for at_min, temp_c in minutes]
    pieces = follow(readings, start_c=start_c, place_c=place_c, tau_s=6000.0).pieces
    assert pieces[0].begin_s == 0.0
    assert math.isinf(pieces[-1].end_s)
    assert all(piece.begin_s < piece.end_s for piece in pieces)
    assert [piece.end_s for piece in pieces[:-1]] == [piece.begin_s for piece in pieces[1:]]
    for (begin_s, end_s), drift in (((piece.begin_s, piece.end_s), piece.drift) for piece in pieces[:-1]):
        temp_c = dict(sorted(readings, key=lambda reading: reading[0]))[end_s]
        assert drift.temp_c(end_s - begin_s) == pytest.approx(temp_c, abs=1e-6)


def test_a_late_reading_of_exactly_freezing_is_followed_back_to_the_start() -> None:
    path = follow([(HOUR, 0.0)], start_c=-8.0, place_c=4.0, tau_s=HOUR)
    # By the card it would be 4 − 12 ÷ e = −0.41 °C then: a little off, so it began a little off too, towards −6.87 °C.
    assert -8.0 < path.temp_c(0.0) < 4 - 4 * math.e


@pytest.mark.parametrize("second_c", [26.0, 24.0])
def test_a_reading_that_is_the_places_or_the_same_again_is_taken(second_c: float) -> None:
    path = follow([(0.0, 24.0), (1800.0, second_c)], start_c=24.0, place_c=26.0, tau_s=6000.0)
    assert path.temp_c(1800.0) == pytest.approx(second_c)
    assert path.pieces[0].drift.temp_c(1800.0) == pytest.approx(second_c)


def test_a_stage_of_no_time_is_as_cold_as_it_starts_and_ends_at_once() -> None:
    assert follow([(0.0, 9.0), (HOUR, 8.0)], start_c=9.0, place_c=4.0, tau_s=6000.0).coldest_c(0.0) == 9.0
    found = equal_time(nominal_s=0.0, at_c=9.0, nominal_place_c=4.0, readings=[(0.0, 9.0)], place_c=4.0, tau_s=6000.0)
    assert (found.seconds, found.low_s, found.high_s) == (0.0, 0.0, 0.0)


def test_the_probes_error_is_one_error_at_the_start_and_at_every_reading() -> None:
    # The range's ends, worked out from a dough whose every temperature is a degree off the same way.
    wanted_s = Drift(25.0, 22.0, 6000.0).amount_s(70 * 60)

    def off_by(error_k: float) -> float:
        readings = [(4 * HOUR, 24.0 + error_k)]
        path = follow(readings, start_c=25.0 + error_k, place_c=22.0, tau_s=6000.0, tau_doubt=0.0)
        return path.seconds_for(wanted_s)

    found = equal_time(
        nominal_s=70 * 60,
        at_c=25.0,
        nominal_place_c=22.0,
        readings=[(4 * HOUR, 24.0)],
        place_c=22.0,
        tau_s=6000.0,
        tolerance_k=1.0,
        uncertainty_k=0.0,
        tau_doubt=0.0,
    )
    assert (found.low_s, found.high_s) == pytest.approx((off_by(1.0), off_by(-1.0)))


def test_a_dough_that_is_never_below_ten_degrees_is_no_rough_guess() -> None:
    def found(temp_c: float) -> Estimate:
        asked = {"nominal_s": HOUR, "at_c": 25.0, "nominal_place_c": 22.0, "place_c": temp_c, "tau_s": 6000.0}
        return equal_time(readings=[(0.0, temp_c)], **asked)

    assert [found(temp_c).wide for temp_c in (10.001, 10.0, 9.999)] == [False, False, True]
    # At 10 °C the range is that of a hair more, not that of a hair less, which the doubt about cold yeast widens.
    assert found(10.0).high_s == pytest.approx(found(10.001).high_s, rel=1e-3)
    assert found(9.999).high_s > 1.005 * found(10.0).high_s
