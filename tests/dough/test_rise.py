"""Rise from a jar or a volume, and how much longer a short one takes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofbell.dough.rise import rise_outlook, rise_percent_from_height, rise_percent_from_volume


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


@pytest.mark.parametrize(("first", "low", "high"), [(True, 0.62, 0.67), (False, 0.9, 1.0)])
def test_half_of_a_wanted_doubling_needs_less_than_as_long_again(*, first: bool, low: float, high: float) -> None:
    """Worked out from the solubility of carbon dioxide: 0.83 l in a litre of water at 25 °C (from memory).

    A first rise has to fill the dough with 25 to 30 % of its volume before it grows: 0.62 to 0.67 of the time so far.
    After shaping the dough is full: 0 to 10 %.
    """
    told = rise_outlook([(3600.0, 50.0)], 100.0, first=first)
    assert told is not None
    assert told.readings == 1
    assert low <= told.more_s / 3600 <= high + 0.001
    assert told.low_s < told.more_s < told.high_s


def test_two_readings_go_on_as_between_them() -> None:
    told = rise_outlook([(1800.0, 20.0), (3600.0, 50.0)], 100.0, first=True)
    assert told is not None
    # 30 % in half an hour: 50 % more take 50 minutes.
    assert told.readings == 2
    assert told.more_s == pytest.approx(3000)
    # Nine of ten true times lie between 1/1.5 and 1/0.7 of what two readings say.
    assert told.low_s == pytest.approx(2010)
    assert told.high_s == pytest.approx(4290)


@pytest.mark.parametrize("before", [(3300.0, 40.0), (1800.0, 47.0), (1800.0, 60.0)])
def test_a_reading_too_near_the_last_one_or_higher_is_no_pace(before: tuple[float, float]) -> None:
    assert rise_outlook([before, (3600.0, 50.0)], 100.0) == rise_outlook([(3600.0, 50.0)], 100.0)


def test_a_ready_dough_needs_no_more() -> None:
    for percent in (60.0, 75.0):
        told = rise_outlook([(2400.0, percent)], 60.0)
        assert told is not None
        assert told.more_s == 0


def test_a_dough_that_has_not_risen_or_was_never_judged_is_not_extrapolated() -> None:
    assert rise_outlook([], 60.0) is None
    assert rise_outlook([(2400.0, 0.0)], 60.0) is None
    assert rise_outlook([(2400.0, -5.0)], 60.0) is None
    assert rise_outlook([(0.0, 20.0)], 60.0) is None


@given(st.floats(1, 59), st.floats(1, 59), st.floats(60, 10000))
def test_the_more_it_has_risen_the_less_it_still_needs(one: float, other: float, elapsed_s: float) -> None:
    less, more = (rise_outlook([(elapsed_s, each)], 60, first=True) for each in sorted((one, other)))
    assert less is not None
    assert more is not None
    assert more.more_s <= less.more_s + 1e-6
