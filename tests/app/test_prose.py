"""Paragraphs on a screen: no number loses its unit, no word is lost, and what runs over is set in."""

from __future__ import annotations

import itertools
import re

from hypothesis import given
from hypothesis import strategies as st
from textual.content import Content

from proofbell.app.widgets.prose import set_in

WORDS = st.lists(st.sampled_from(["dough", "2.8 ml", "450 g", "cool", "25.0 °C", "of", "1 h 05 min"]), max_size=30)


@given(WORDS, st.integers(0, 4), st.integers(18, 80))
def test_every_word_is_there_once_in_its_order(words: list[str], indent: int, width: int) -> None:
    lines = [line.plain for line in set_in(Content(" " * indent + " ".join(words)), width)]

    assert " ".join(" ".join(lines).split()) == " ".join(words)
    assert all(len(line) <= width for line in lines)
    assert all(line.startswith(" " * (indent + 2)) for line in lines[1:])
    for line, after in itertools.pairwise(lines):
        assert not (re.search(r"\d$", line) and re.match(r" +(ml|g|°C|h|min)\b", after)), (line, after)


def test_what_is_bold_stays_bold_on_the_line_it_comes_to() -> None:
    paragraph = Content.assemble("some words before ", ("the bold ones", "bold"))
    first, second = set_in(paragraph, 18)

    assert first.plain == "some words before"
    assert second.plain == "  the bold ones"
    assert [(span.start, span.end) for span in second.spans] == [(2, 15)]
