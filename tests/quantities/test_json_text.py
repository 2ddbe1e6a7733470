"""JSON that can be shown: the same document, and nothing in it that a terminal obeys, hides or turns round."""

from __future__ import annotations

import json

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from proofbell.json_text import json_text
from proofbell.visible import harmful_places

ODD = "a\x85\u202e\u200b\u0301\U000e0001"
# Half of a pair beside the other half is read back as one letter by every reader of JSON: so never two in a row.
TEXTS = st.text() | st.text().map(lambda text: text + "\udc80") | st.text(st.sampled_from(ODD))
DOCUMENTS = st.recursive(
    TEXTS | st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXTS, inner, max_size=4),
    max_leaves=12,
)


@given(DOCUMENTS, st.sampled_from([1, 2]))
@example("\x9b31m\u202eevil\u200b", 2)
@example("e" + "\u0301" * 40, 2)
@example({"\U000e0041": "\ud800"}, 1)
def test_it_is_the_same_document_and_shows_nothing_harmful(document: object, indent: int) -> None:
    for ascii_only in (False, True):
        text = json_text(document, indent=indent, ascii_only=ascii_only)
        assert json.loads(text) == document
        assert list(harmful_places(text, breaks=True)) == []
        assert "\t" not in text
        assert text.isascii() or not ascii_only


def test_a_character_beyond_the_first_65536_goes_as_a_pair() -> None:
    # RFC 8259, section 7: "a string containing only the G clef character (U+1D11E) may be represented as".
    assert json_text("\U0001d11e", ascii_only=True) == r'"\ud834\udd1e"'
    # The tag character U+E0041, of the sort that hides words, by the same rule: 0xE0041 - 0x10000 = 0xD0041.
    assert json_text("\U000e0041") == r'"\udb40\udc41"'


def test_letters_of_every_script_stay_as_they_are() -> None:
    assert json_text("Brötchen, 面包, نان, 26 °C 🥖") == '"Brötchen, 面包, نان, 26 °C 🥖"'


def test_a_number_that_json_does_not_have_is_never_written() -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        json_text([float("nan")])
