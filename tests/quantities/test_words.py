"""How numbers are said."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell import words
from proofbell.quantities import Dimension, read_quantity


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (words.temperature(25), "25.0 °C"),
        (words.temperature(-18.04), "−18.0 °C"),
        (words.temperature(-0.01), "0.0 °C"),
        (words.temperature(None), "–"),
        (words.temperature(float("nan")), "–"),
        (words.difference(1.5, signed=True), "+1.5 °C"),
        (words.difference(-1.5, signed=True), "−1.5 °C"),
        (words.grams(75), "75 g"),
        (words.grams(2.5), "3 g"),
        (words.grams(7.25, 0.1), "7.3 g"),
        (words.grams(1.25, 0.05), "1.25 g"),
        (words.grams(1850, 5), "1850 g"),
        (words.percent(65.0), "65 %"),
        (words.percent(0.25, 2), "0.25 %"),
        (words.percent(100), "100 %"),
        (words.length(45), "45 s"),
        (words.length(90), "1 min 30 s"),
        (words.length(3000), "50 min"),
        (words.length(3599), "1 h"),
        (words.length(3900), "1 h 05 min"),
        (words.length(-300), "−5 min"),
        (words.length(51 * 3600), "2 d 3 h"),
        (words.told_length(479), "8 min"),
        (words.told_length(150), "3 min"),
        (words.told_length(119), "1 min 59 s"),
        (words.told_length(-479), "−8 min"),
        (words.told_length(3909), "1 h 05 min"),
        (words.told_length(float("nan")), "–"),
        (words.countdown(309), "05:09"),
        (words.countdown(308.2), "05:09"),
        (words.countdown(3909), "1:05:09"),
        (words.countdown(0), "00:00"),
        (words.countdown(-42.7), "+00:42"),
    ],
)
def test_a_number_is_said_as_a_baker_would(said: str, expected: str) -> None:
    assert said == expected


@given(st.integers(0, 14 * 24 * 3600))
@settings(max_examples=150)
def test_a_length_that_is_said_reads_back_to_nearly_the_same(seconds: int) -> None:
    back = read_quantity(words.length(seconds), Dimension.TIME)
    step = 1 if seconds < 600 else 60 if seconds < 48 * 3600 - 30 else 3600
    assert abs(back - seconds) <= step / 2 + 30 * (step == 3600)


@given(st.floats(-1e7, 1e7))
@settings(max_examples=100)
def test_a_countdown_never_says_that_nothing_is_left_while_something_is(seconds: float) -> None:
    assert (words.countdown(seconds) == "00:00") == (-1 < seconds <= 0)


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ("the disk is full", "The disk is full."),
        ("The disk is full.", "The disk is full."),
        ("is it yours to read?", "Is it yours to read?"),
        ("proofbell journal verify says more", "proofbell journal verify says more."),
        ("", ""),
    ],
)
def test_a_sentence_has_a_capital_and_a_stop_and_a_command_keeps_its_letters(given: str, said: str) -> None:
    assert words.sentence(given) == said


def test_pieces_are_said_where_their_number_and_weight_are_known() -> None:
    assert words.pieces(12, 75.0) == "12 × 75 g"
    assert words.pieces(None, 75.0) == words.pieces(12, None) == ""
