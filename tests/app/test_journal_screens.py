"""The journal on screen: the list, one bake, two bakes, and taking them away."""

from __future__ import annotations

import json
from collections.abc import AsyncIterator
from dataclasses import replace
from pathlib import Path

import pytest

from proofbell.app.journal.bake_lines import VIEWS
from proofbell.app.journal.bake_screen import BakeScreen
from proofbell.app.journal.compare_screen import CompareScreen
from proofbell.app.journal.journal_screen import JournalScreen
from proofbell.app.session.live import Live
from proofbell.app.session.saving.journal_access import look_back
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.bake import intents
from tests.support.bakes import baked, house, opened, said
from tests.support.settling import settled
from tests.support.stage import HandClock, StageApp, live_kitchen, seen


@pytest.fixture
async def kept(tmp_path: Path) -> AsyncIterator[tuple[Live, HandClock]]:
    """A bench whose bakes go into a journal."""
    keeper = JournalKeeper(tmp_path / "journal.sqlite")
    yield live_kitchen(keeper=keeper)
    keeper.close()


Kept = tuple[Live, HandClock]


async def test_an_empty_journal_says_how_to_begin(kept: Kept) -> None:
    app = StageApp(JournalScreen(kept[0]))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)

        assert "No bakes yet" in seen(app)


async def test_a_rehearsal_has_no_journal_and_says_so() -> None:
    live, _ = live_kitchen()
    app = StageApp(JournalScreen(live))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)

        assert "A rehearsal keeps no journal" in seen(app)


async def test_typing_narrows_the_list_and_escape_brings_all_back(kept: Kept) -> None:
    live, clock = kept
    await baked(live, clock)
    await opened(live, "flat", house("breakwater-flatbread"))
    app = StageApp(JournalScreen(live))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        both = seen(app)
        await pilot.press("slash", *"break")
        await settled(pilot)
        one = seen(app)
        await pilot.press("escape")
        await settled(pilot)
        again = seen(app)

    assert "Harbour knots" in both
    assert "Breakwater" in both
    assert "Harbour knots" not in one
    assert "1 of 2 bakes" in one
    assert "Harbour knots" in again


async def test_filters_go_by_outcome_and_sorting_by_column(kept: Kept) -> None:
    live, clock = kept
    await baked(live, clock)
    await opened(live, "flat", house("breakwater-flatbread"))
    app = StageApp(JournalScreen(live))
    async with app.run_test(size=(100, 24)) as pilot:
        await settled(pilot)
        await pilot.press("f")
        await settled(pilot)
        finished = seen(app)
        await pilot.press("f", "f", "f", "f", "s", "S")
        await settled(pilot)
        by_name = seen(app)

    assert "Breakwater" not in finished
    assert by_name.index("Breakwater") < by_name.index("Harbour knots")
    assert "by formula ↑" in by_name


async def test_one_key_takes_every_filter_and_the_search_away(kept: Kept) -> None:
    live, clock = kept
    await baked(live, clock)
    app = StageApp(JournalScreen(live))
    async with app.run_test(size=(100, 24)) as pilot:
        await settled(pilot)
        await pilot.press("f", "f", "t", "p", "slash", "r", "y", "enter")
        await settled(pilot)
        none = seen(app)
        await pilot.press("x")
        await settled(pilot)
        everything = seen(app)

    assert "No bake matches. x clears the filters." in none
    assert "Harbour knots" in everything
    assert "given up" not in everything.splitlines()[0]


@pytest.mark.parametrize("size", [(80, 24), (120, 36)])
async def test_every_view_of_a_bake_can_be_walked_through(kept: Kept, size: tuple[int, int]) -> None:
    live, clock = kept
    bake = await baked(live, clock)
    app = StageApp(BakeScreen(live, bake))
    shown = {}
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        for name in VIEWS:
            shown[name] = seen(app)
            await pilot.press("right")
            await settled(pilot)

    assert "First proof" in shown["times"]
    assert "plan" in shown["times"]
    assert "24 to 26 °C ✗" in shown["readings"]
    assert "70 → 55 min" in shown["changes"]
    assert "strong white flour" in shown["weights"]
    assert "Allergens: cereals containing gluten (wheat), egg, milk." in shown["weights"]
    assert "not scored yet" in shown["score"]
    assert "First proof began" in shown["log"]


async def test_points_and_a_note_are_given_to_a_bake_that_is_over(kept: Kept) -> None:
    live, clock = kept
    bake = await baked(live, clock)
    app = StageApp(BakeScreen(live, bake))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("s")
        await settled(pilot)
        await pilot.press("8")
        await settled(pilot)
        await pilot.press("0")
        await settled(pilot)
        await pilot.press("n", *"soft", "enter")
        await settled(pilot)
        await pilot.press("m")
        await settled(pilot)
        shown = seen(app)

    state = (await look_back(live, bake)).state
    assert [(score.line, score.points) for score in state.scores] == [("volume", 8), ("shape", 10)]
    assert [note.text for note in state.notes] == ["soft"]
    assert not state.typical
    assert "9.0 of 10" in shown


async def test_export_asks_before_it_replaces_a_file(kept: Kept, tmp_path: Path) -> None:
    live, clock = kept
    bake = await baked(live, clock)
    path = tmp_path / "taken.json"
    path.write_text("precious", encoding="utf-8")
    app = StageApp(BakeScreen(live, bake))
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(pilot)
        await pilot.press("e")
        app.screen.query_one("#export").value = str(path)  # type: ignore[attr-defined]
        await pilot.press("enter")
        await settled(pilot)
        asked, before = seen(app), path.read_text(encoding="utf-8")
        await pilot.press("enter")
        await settled(pilot)

    assert "already exists" in asked
    assert before == "precious"
    assert json.loads(path.read_text(encoding="utf-8"))


async def test_two_marked_bakes_are_set_side_by_side_and_what_differs_is_said(kept: Kept) -> None:
    live, clock = kept
    await baked(live, clock, "first", 25.0)
    clock.forward(86400)
    await baked(live, clock, "second", 27.5)
    app = StageApp(JournalScreen(live))
    async with app.run_test(size=(110, 36)) as pilot:
        await settled(pilot)
        await pilot.press("space", "space", "c")
        await settled(pilot)
        shown = seen(app)
        await pilot.press("d")
        await settled(pilot)
        only = seen(app)

    assert "2.5 °C warmer" in shown
    assert "25.0 °C" in shown
    assert "27.5 °C" in shown
    assert "strong white flour" in shown
    assert "strong white flour" not in only


@pytest.mark.parametrize("size", [(80, 24), (120, 36)])
async def test_a_comparison_cuts_no_word_short_and_says_how_many_sentences_are_left(
    kept: Kept, size: tuple[int, int]
) -> None:
    live, clock = kept
    await baked(live, clock, "first", 25.0)
    clock.forward(86400)
    bake = await opened(live, "second", house("harbour-knots"))
    await said(live, bake, intents.Begin())
    while (state := live.state(bake)) is not None and state.closed is None:
        clock.forward((state.stages[state.current or 0].due_s or 0.0) - state.now_s(clock.stamp()) + 1200)
        await said(live, bake, intents.Done())
    app = StageApp(CompareScreen(live, "first", bake))
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        everything = seen(app)
        for keys in (("d", "end"), ("up", "up")):
            await pilot.press(*keys)
            await settled(pilot)
            everything += seen(app)

    assert "…" not in everything
    assert ("and 2 more, marked ◆ below" in everything) == (size == (80, 24))
    assert "(planned" in everything


async def test_an_export_without_a_name_says_so_and_writes_nothing(kept: Kept) -> None:
    live, clock = kept
    bake = await baked(live, clock)
    app = StageApp(BakeScreen(live, bake))
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(pilot)
        await pilot.press("e", "ctrl+u", "enter")
        await settled(pilot)
        shown = seen(app)

    assert "type a name for the file" in shown


async def test_hostile_names_and_notes_stay_plain_text_in_every_view(kept: Kept) -> None:
    live, _ = kept
    formula = replace(house("harbour-knots"), name="Knots [/x] \x1b[31m\u202e", about="[bold]")
    bake = await opened(live, "odd", formula)
    await said(live, bake, intents.AddNote("[/] \x1b]0;title\x07 [link=x]"), intents.GiveUp("[/no]"))
    for screen in (JournalScreen(live), BakeScreen(live, bake), CompareScreen(live, bake, bake)):
        app = StageApp(screen)
        async with app.run_test(size=(100, 30)) as pilot:
            await settled(pilot)
            for _ in VIEWS:
                assert "\x1b" not in seen(app)
                assert "[/x]" in seen(app)
                await pilot.press("right")
                await settled(pilot)
                if screen is not app.screen:
                    break


async def test_a_journal_that_is_none_is_told_in_words_and_the_screen_stays(tmp_path: Path) -> None:
    path = tmp_path / "journal.sqlite"
    path.write_bytes(b"this is a shopping list, not a journal" * 100)
    keeper = JournalKeeper(path)
    live, _ = live_kitchen(keeper=keeper)
    app = StageApp(JournalScreen(live))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        shown = seen(app)
    keeper.close()

    assert "✗" in shown
    assert path.read_bytes().startswith(b"this is a shopping list")
