"""Only cells that changed are painted and sent, and with them the screen is as if all had been."""

from __future__ import annotations

import pyte
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.console import Console
from rich.segment import Segment
from rich.style import Style
from textual._compositor import ChopsUpdate
from textual.content import Content
from textual.geometry import Region
from textual.strip import Strip

from proofbell.app.drawing.changed import changed
from proofbell.app.terminal.textual_private import send_only_what_changed

WIDTH = 12
words = st.text("ab █\n", max_size=30)
styled = st.tuples(words, st.integers(0, 30), st.sampled_from(["", "bold", "red"])).map(
    lambda drawn: Content.assemble(drawn[0][: drawn[1]], (drawn[0][drawn[1] :], drawn[2]))
)


def cells(content: Content) -> dict[tuple[int, int], tuple[str, tuple[object, ...]]]:
    """What stands in each cell, blanks included where a line is short."""
    found: dict[tuple[int, int], tuple[str, tuple[object, ...]]] = {
        (x, y): (" ", ()) for x in range(40) for y in range(32)
    }
    for y, line in enumerate(content.split("\n", allow_blank=True)):
        for x, character in enumerate(line.plain):
            styles = tuple(span.style for span in line.spans if span.start <= x < span.end)
            found[x, y] = character, styles
    return found


@settings(max_examples=100)
@given(styled, styled)
def test_what_is_outside_the_regions_is_the_same(before: Content, after: Content) -> None:
    regions = changed(before, after, 40)
    assert regions is not None
    old, new = cells(before), cells(after)
    inside = {(x, y) for region in regions for y in region.line_range for x in region.column_range}
    assert all(old[at] == new[at] for at in old.keys() - inside)


def test_only_the_digit_that_changes_is_painted() -> None:
    before, after = Content("12:41:47  oven off\nsame"), Content("12:41:48  oven off\nsame")
    assert changed(before, after, 20) == [Region(7, 0, 1, 1)]
    assert changed(before, Content.assemble("12:41:47  oven off\n", ("same", "bold")), 20) == [Region(0, 1, 4, 1)]
    assert changed(before, before, 20) == []


def test_wide_characters_are_painted_with_their_line_and_wrapped_lines_with_their_page() -> None:
    assert changed(Content("🥖 loaf"), Content("🥖 leaf"), 20) == [Region(0, 0, 20, 1)]
    assert changed(Content("a long line"), Content("a"), 5) is None


segments = st.lists(
    st.tuples(
        st.text("ab █", min_size=1, max_size=4),
        st.sampled_from(["on black", "red on black", "bold blue on black", "on red", "reverse", "underline on black"]),
    ),
    min_size=1,
    max_size=8,
).map(lambda drawn: Strip([Segment(text, Style.parse(style)) for text, style in drawn]))


def shown(sent: str) -> list[tuple[str, ...]]:
    """The first line of a screen, each cell as it is seen: of a blank only its ground and its lines."""
    screen = pyte.Screen(40, 1)
    pyte.Stream(screen).feed(sent)
    return [
        (one.data, one.bg, str(one.reverse), str(one.underscore))
        + (() if one.data == " " and not (one.reverse or one.underscore) else (one.fg, str(one.bold)))
        for one in (screen.buffer[0][x] for x in range(40))
    ]


@settings(max_examples=150)
@given(segments, st.integers(0, 31), st.integers(1, 31))
def test_an_update_shows_the_cells_of_its_span_and_leaves_the_others(strip: Strip, begin: int, length: int) -> None:
    send_only_what_changed()
    whole, end = strip.cell_length, min(begin + length, strip.cell_length)
    update = ChopsUpdate([{0: strip}], [(0, begin, end)], [[whole]])
    sent = update.render_segments(Console(color_system="truecolor"))
    all_of_it = shown(strip.render(Console(color_system="truecolor")))
    nothing = shown("")
    expected = [all_of_it[x] if begin <= x < end else nothing[x] for x in range(40)]
    assert shown(sent) == expected
