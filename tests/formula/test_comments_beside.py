"""Comments that give a figure, beside one that is changed."""

from __future__ import annotations

import pytest

from proofbell.formula.editing.comments import comments_beside
from proofbell.formula.editing.figures import figures

TEXT = """\
name = "Gate # 7 bread"  # as of 2024
# 500 g makes 8
# rolls of the small sort
batch = { pieces = 8, piece = "105 g" }  # 840 g in all

# two lines further up: 3

[[ingredients]]
name = "flour # 2"
percent = 100  # strong
kind = "flour"
[[ingredients]]
name = "water"
percent = 66 # 330 g
kind = "water"
[[stages]]
name = "Bake"
kind = "bake"
time = "35 min"
"""


@pytest.mark.parametrize(
    ("owner", "words", "told"),
    [
        ("batch", "pieces", ("500 g makes 8", "840 g in all")),
        ("batch", "piece", ("500 g makes 8", "840 g in all")),
        ("flour # 2", "percent", ()),
        ("water", "percent", ("330 g",)),
        ("Bake", "time", ()),
    ],
)
def test_those_right_above_and_behind_that_give_a_figure(owner: str, words: str, told: tuple[str, ...]) -> None:
    figure = next(one for one in figures(TEXT.encode()) if (one.owner, one.words) == (owner, words))
    assert comments_beside(TEXT, figure) == told


def test_a_sign_inside_a_text_begins_no_comment() -> None:
    line = TEXT.replace('piece = "105 g" }  # 840 g in all', 'piece = "105 g", loss = "2 %" } # \'9\'')
    figure = next(one for one in figures(line.encode()) if one.words == "pieces")
    assert comments_beside(line, figure) == ("500 g makes 8", "'9'")
