"""Text from outside, made harmless for a terminal."""

import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.visible import harmful_places, visible

# The bidirectional controls of Unicode Standard Annex #9, table 4, and of CVE-2021-42574.
BIDI = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
CONTROLS = "".join(map(chr, [*range(0x20), *range(0x7F, 0xA0)]))
HOSTILE = st.text(
    alphabet=st.one_of(
        st.characters(), st.sampled_from(CONTROLS + BIDI + "\u0301\u200d\u200c\ufeff\U000e0041\ue000\u2028[]\\")
    ),
    max_size=300,
)


@given(HOSTILE)
@settings(max_examples=200)
def test_no_control_or_bidirectional_character_is_ever_let_out(text: str) -> None:
    shown = visible(text)
    assert not set(shown) & set(CONTROLS + BIDI)
    assert not any(unicodedata.category(each) in {"Cc", "Cs", "Co", "Cn", "Zl", "Zp"} for each in shown)


@given(HOSTILE, st.integers(1, 80))
@settings(max_examples=100)
def test_what_is_shown_is_never_longer_than_asked(text: str, most: int) -> None:
    assert len(visible(text, most=most)) <= most


@given(HOSTILE)
@settings(max_examples=100)
def test_what_has_been_made_harmless_stays_as_it_is(text: str) -> None:
    once = visible(text, most=5000)
    assert visible(once, most=5000) == once
    assert not list(harmful_places(once))


@given(HOSTILE)
@settings(max_examples=100)
def test_marks_do_not_pile_up(text: str) -> None:
    run = 0
    for character in visible(text):
        run = run + 1 if unicodedata.category(character) in {"Mn", "Me"} else 0
        assert run <= 4


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("knots \x1b]0;x\x07", "knots \\x1b]0;x\\x07"),
        ("\x9b31m", "\\x9b31m"),
        ("\u202eabc", "\\u202eabc"),
        ("a\U000e0041", "a\\U000e0041"),
        ("one\ntwo", "one\\x0atwo"),
        ("a" + "\u0301" * 6, "a" + "\u0301" * 4 + "\\u0301" * 2),
        ("x\u200by", "x\\u200by"),
    ],
)
def test_what_could_do_something_is_spelled_out(text: str, shown: str) -> None:
    assert visible(text) == shown


@pytest.mark.parametrize(
    "text",
    [
        "Rúgbrauð, crème brûlée, Brötchen",
        "نان می\u200cپزم",  # Persian: a joiner between two letters
        "क्\u200dष",  # Devanagari: a joiner after the virama
        "パン 🍞",
        "e\u0301",
    ],
)
def test_letters_of_every_script_stay(text: str) -> None:
    assert visible(text) == text


def test_line_breaks_stay_only_where_they_are_wanted() -> None:
    assert visible("one\ntwo", breaks=True) == "one\ntwo"
