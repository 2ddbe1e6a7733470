"""Each message of the TOML parser that is known here, brought about by a text: words that changed show at once."""

from __future__ import annotations

import pytest
import tomli
from hypothesis import given
from hypothesis import strategies as st

from proofbell.formula.text.parse import parsed
from proofbell.formula.text.toml_advice import ADVICE, advice
from tests.support.stage import FORMULAS

# TOML 1.0.0 forbids each of these.
TEXTS = {
    "Expected '=' after a key": ("name\n", (1, 5)),
    "Invalid initial character for a key part": ("a.! = 1\n", (1, 3)),
    "Invalid value": ("time = 50 min\n".replace("50 ", ""), (1, 8)),
    "Invalid statement": ("! = 1\n", (1, 1)),
    "Expected newline or end of document": ("time = 50 min\n", (1, 11)),
    "Unterminated string": ('name = """no end\n', (2, 1)),
    "Illegal character '\\n'": ('name = "no end\n', (1, 15)),
    "Illegal character": ('name = "a\x01"\n', (1, 10)),
    "Found invalid character": ("# a\x01\n", (1, 4)),
    "Unescaped '\\'": ('name = "a\\q"\n', None),
    "Invalid hex value": ('name = "\\uZZZZ"\n', None),
    "Escaped character is not": ('name = "\\uD800"\n', None),
    "Unclosed array": ("list = [1 2]\n", (1, 11)),
    "Unclosed inline table": ("pair = {a = 1 b = 2}\n", None),
    "Expected ']' at the end of a table": ("[dough\n", (1, 7)),
    "Expected ']]'": ("[[dough]\n", (1, 8)),
    "Cannot declare": ("[a]\nx = 1\n  [a]\n", (3, 3)),
    "Cannot overwrite a value": ("a = 1\n  a = 2\n", (2, 3)),
    "Duplicate inline table key": ("pair = { a = 1, a = 2 }\n", (1, 17)),
    "Cannot mutate immutable namespace": ("a = {b = 1}\n  a.c = 2\n", (2, 3)),
    "Cannot redefine namespace": ("[a.b]\nx = 1\n[a]\n  b.y = 2\n", (4, 3)),
    "Invalid date or datetime": ("day = 2026-02-30\n", (1, 7)),
    "Expected": ("name = 'no end", None),
}
"""For each beginning of a message: a text, and the line and column where the fault is to be shown."""


def test_there_is_a_text_for_every_line_of_the_table() -> None:
    assert set(TEXTS) == {one.begins for one in ADVICE}


@pytest.mark.parametrize("begins", TEXTS)
def test_the_parser_still_says_what_the_advice_goes_by(begins: str) -> None:
    text, place = TEXTS[begins]
    with pytest.raises(tomli.TOMLDecodeError) as raised:
        tomli.loads(text)
    known = advice(raised.value.msg)
    assert known is not None, raised.value.msg
    assert known.begins == begins
    _, fault = parsed(text)
    assert fault is not None
    assert (fault.message, fault.remedy) == (known.said, known.remedy)
    if place is not None:
        assert (fault.line, fault.column) == place


KNOTS = (FORMULAS / "harbour-knots.toml").read_text(encoding="utf-8")


@given(st.integers(0, len(KNOTS)), st.integers(0, 30), st.text('="[]{}\\.,\n #\x01ux09', max_size=4))
def test_no_slip_of_the_hand_is_answered_in_the_parsers_own_words(at: int, out: int, put: str) -> None:
    _, fault = parsed(KNOTS[:at] + put + KNOTS[at + out :])
    assert fault is None or "not TOML" not in fault.message


def test_words_that_are_new_are_shown_as_they_are() -> None:
    assert advice("Something nobody has said yet") is None
