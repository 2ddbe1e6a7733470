"""Rise from a jar or a volume, and how much longer a short one takes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofbell.dough.rise import more_time_s, rise_percent_from_height, rise_percent_from_volume


def test_a_dough_that_doubles_has_risen_by_a_hundred_percent() -> None:
    assert rise_percent_from_volume(2000, 1000) == pytest.approx(100)
    assert rise_percent_from_height(80, 40) == pytest.approx(100)


def test_a_laminated_piece_is_proofed_to_between_half_and_three_quarters_more() -> None:
    # IREKS Compendium of Baking Technology, 11.5: by 50 to 75 percent, that is from 100 ml to 150 or 175 ml.
    assert rise_percent_from_volume(150, 100) == pytest.approx(50)
    assert rise_percent_from_volume(175, 100) == pytest.approx(75)


@given(st.floats(1, 500), st.floats(0, 400), st.floats(1, 20))
def test_the_size_of_the_jar_does_not_matter(start: float, percent: float, scale: float) -> None:
    now = start * (1 + percent / 100)
    assert rise_percent_from_volume(now * scale, start * scale) == pytest.approx(percent, abs=1e-6)


def test_sizes_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="start"):
        rise_percent_from_volume(100, 0)
    with pytest.raises(ValueError, match="smaller than nothing"):
        rise_percent_from_height(-1, 40)
    assert rise_percent_from_volume(0, 10) == -100


def test_a_rise_that_is_half_way_needs_as_long_again() -> None:
    assert more_time_s(30, 60, 2400, 480, 7200) == pytest.approx(2400)


def test_a_longer_time_stays_within_what_the_dough_forgives() -> None:
    assert more_time_s(30, 60, 2400, 480, 4200) == pytest.approx(1800)
    assert more_time_s(30, 60, 2400, 480, 2000) == 0
    assert more_time_s(10, 60, 2400, 480, None) == pytest.approx(2400)


def test_a_ready_dough_needs_no_more() -> None:
    assert more_time_s(60, 60, 2400, 480, 7200) == 0
    assert more_time_s(75, 60, 2400, 480, None) == 0


def test_by_eye_the_formulas_own_extension_counts() -> None:
    assert more_time_s(None, 60, 2400, 480, 2500) == 480


def test_a_dough_that_has_not_risen_at_all_is_not_extrapolated() -> None:
    assert more_time_s(0, 60, 2400, 480, 7200) == 480
    assert more_time_s(-5, 60, 2400, 480, 2500) == 100
    assert more_time_s(20, 60, 0, 480, 7200) == 480


@given(st.floats(1, 59), st.floats(1, 59), st.floats(60, 10000))
def test_the_more_it_has_risen_the_less_it_still_needs(one: float, other: float, elapsed_s: float) -> None:
    less, more = sorted((one, other))
    assert more_time_s(more, 60, elapsed_s, 480, 1e9) <= more_time_s(less, 60, elapsed_s, 480, 1e9) + 1e-6


def test_a_moment_after_the_start_a_rise_is_already_extrapolated() -> None:
    assert more_time_s(30, 60, 1.0, 480, 7200) == pytest.approx(1.0)


def test_at_the_very_start_the_formulas_extension_stands_whole() -> None:
    assert more_time_s(0, 60, 0, 480, None) == 480
    assert more_time_s(0, 60, 1.0, 480, None) == 1.0


def test_a_dough_at_its_lower_bound_is_ready_even_when_nobody_saw_it_start() -> None:
    assert more_time_s(100, 100, 0.0, 900, None) == 0.0


def test_a_rise_too_small_to_see_gets_the_longest_time_and_no_more() -> None:
    assert more_time_s(1e-320, 100, 3600, 900, 5400) == 1800
