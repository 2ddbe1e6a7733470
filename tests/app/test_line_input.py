"""A line to type into keeps what came, and shows a mark in place of what a terminal would obey or hide."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from textual.app import App, ComposeResult
from textual.events import Paste
from textual.widgets import Input

from proofbell.app.bench.note_dialog import NoteDialog
from proofbell.app.fields.line_input import STANDS_FOR, LineInput, shown_as
from proofbell.bake.state import BakeState
from proofbell.visible import harmful_places
from tests.support.kitchen_scene import KNOTS, app_on, empty_bench, of, proofing, put_on
from tests.support.stage import seen

HOSTILE = "\u202eloaf\x9b2J\u200b \x1b]0;x"
SHOWN = f"{STANDS_FOR}loaf{STANDS_FOR}2J{STANDS_FOR} {STANDS_FOR}]0;x"


@given(st.text() | st.text(st.sampled_from("a \u0301\u202e\x9b\u200c面ن\ud800")))
def test_each_character_has_one_in_its_place_and_none_does_harm(value: str) -> None:
    shown = shown_as(value)
    assert len(shown) == len(value)
    assert [place for place in harmful_places(shown) if place[1] not in "\u200c\u200d"] == []
    assert all(now in (before, STANDS_FOR) for before, now in zip(value, shown, strict=True))


class OneLine(App[None]):
    """Nothing but a line."""

    def compose(self) -> ComposeResult:
        yield LineInput(compact=True)


async def test_the_value_is_what_was_pasted_and_the_cursor_stands_where_it_is_shown() -> None:
    app = OneLine()
    async with app.run_test(size=(40, 3)) as pilot:
        line = app.query_one(Input)
        line.post_message(Paste(HOSTILE))
        await pilot.pause()
        assert line.value == HOSTILE
        assert seen(app).splitlines()[0].strip() == SHOWN
        before = line.cursor_screen_offset.x
        await pilot.press("home")
        # One cell for each character, and the one behind the end that the cursor stands on there.
        assert before - line.cursor_screen_offset.x == len(HOSTILE) + 1
        await pilot.click(line, offset=(6, 0))
        assert line.value[line.cursor_position :] == HOSTILE[6:]


@pytest.mark.parametrize("text", [HOSTILE, "e" + "\u0301" * 30])
async def test_a_note_is_shown_harmless_while_it_is_written_and_stays_in_the_log_as_it_was(text: str) -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        while app.screen is not app.bench:
            app.pop_screen()
            await pilot.pause()
        await app.bench.run_action("note")
        await pilot.pause()
        assert isinstance(app.screen, NoteDialog)
        app.screen.query_one(Input).post_message(Paste(text))
        await pilot.pause()
        shown = seen(app)
        await pilot.press("enter")
        await pilot.pause()
    assert not list(harmful_places(shown, breaks=True))
    assert STANDS_FOR in shown
    assert notes(of(live, bake)) == [text]


def notes(state: BakeState) -> list[str]:
    """The notes of a bake."""
    return [note.text for note in state.notes]


async def test_what_is_pasted_into_the_palette_is_shown_harmless() -> None:
    live, _clock = empty_bench()
    await put_on(live, KNOTS)
    app = app_on(live)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("ctrl+p")
        await pilot.pause()
        app.post_message(Paste("a\u202eb\x9bc\u200bd"))
        await pilot.pause()
        text = seen(app)
    assert not list(harmful_places(text, breaks=True)), text
    assert "a\\u202eb\\x9bc\\u200bd" in text


async def test_a_line_that_is_longer_than_its_field_shows_where_one_types() -> None:
    live, _clock = empty_bench()
    await put_on(live, KNOTS)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("n")
        await pilot.pause()
        app.post_message(Paste("the dough was sticky so I added a bit more flour and then it was quite all right"))
        await pilot.press("s", "o")
        await pilot.pause()
        assert "quite all rightso" in seen(app)
