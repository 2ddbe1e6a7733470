"""One kitchen for all screens: what is changed in it holds everywhere at once; what is typed for one bake does not."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from textual.pilot import Pilot

from proofbell.app.app import ProofbellApp
from proofbell.app.kitchen.kitchen_screen import KitchenScreen
from proofbell.app.start.start_screen import StartScreen
from proofbell.app.widgets.key_row import KeyRow
from proofbell.app.widgets.rows import Rows
from proofbell.bake import intents
from proofbell.bake.tasks import OvenTask
from proofbell.bench.board import board
from proofbell.journal.reviews.wording import event_words
from proofbell.kitchen.file import load_kitchen, save_values
from proofbell.kitchen.settings import setting_names
from tests.support.kitchen_scene import GUESTHOUSE, KNOTS, app_on, empty_bench, formula, of, proofing, put_on, say
from tests.support.stage import FORMULAS, seen


async def set_on_the_screen(pilot: Pilot[int], key: str, value: str) -> None:
    """Open the kitchen screen from the bench, and change one setting."""
    await pilot.press("K")
    await pilot.pause()
    pilot.app.screen.query_one(Rows).cursor = setting_names().index(key)
    await pilot.press("enter")
    pilot.app.screen.query_one("#value").value = value  # type: ignore[attr-defined]
    await pilot.press("enter")
    await pilot.app.workers.wait_for_complete()
    await pilot.pause()


def opened(path: Path, text: str = 'name = "Guesthouse"\nroom = "21.5 °C"\n') -> tuple[ProofbellApp, Path]:
    """The app on a kitchen file."""
    file = path / "kitchen.toml"
    file.write_text(text, encoding="utf-8")
    live, clock = empty_bench(kitchen=load_kitchen(file))
    return ProofbellApp(live, files=[FORMULAS / f"{KNOTS}.toml"], kitchen_file=file, real=clock, loud=True), file


async def planned(pilot: Pilot[int], app: ProofbellApp) -> None:
    """Wait until the planner has answered, and the bench has shown it."""
    for _ in range(400):
        app.tick()
        await pilot.pause(0.05)
        if app.replanning.at_rest:
            break
    app.tick()
    await pilot.pause()


async def test_a_second_tray_set_on_the_kitchen_screen_is_the_planners_and_the_strips_at_once(tmp_path: Path) -> None:
    app, file = opened(tmp_path, 'room = "21.5 °C"\nhands = 2\n')
    live = app.live
    first = await proofing(live, live.clock)  # type: ignore[arg-type]
    second = await put_on(live, KNOTS)
    await say(live, second, intents.Begin(), intents.Done(), intents.Done())
    for bake in (first, second):
        await say(live, bake, intents.Read("dough temperature", "26", raw=26.0))
    async with app.run_test(size=(120, 36)) as pilot:
        await planned(pilot, app)
        meant_before, strips_before = app.replanning.intends, seen(app)
        await set_on_the_screen(pilot, "oven.trays", "2")
        await pilot.press("escape")
        await planned(pilot, app)
        meant_after, strips_after = app.replanning.intends, seen(app)

    assert load_kitchen(file).oven.trays == live.kitchen.oven.trays == 2
    assert [one.words for one in meant_before if "oven" in one.words], "two batches want the one place at the same time"
    assert meant_after == (), "they go in together"
    assert "!!" not in strips_before, "the strips are as planned: one after the other"
    assert "!!" not in strips_after
    assert strips_before.splitlines()[2:6] != strips_after.splitlines()[2:6]


async def test_a_second_tray_set_while_bakes_are_on_lets_the_bench_load_two_together(tmp_path: Path) -> None:
    app, _ = opened(tmp_path)
    live, clock = app.live, app.live.clock
    first, second = await proofing(live, clock), await put_on(live, KNOTS)  # type: ignore[arg-type]
    await say(live, second, intents.Begin(), intents.Done(), intents.Done())
    for bake in (first, second):
        await say(live, bake, intents.Done(), intents.Done(), intents.Read("dough temperature", "25", raw=25.0))
    await say(live, first, intents.Done())
    clock.forward(60)  # type: ignore[attr-defined]
    async with app.run_test(size=(120, 36)) as pilot:
        await planned(pilot, app)
        asked_before = live.board().asks_first(of(live, second))
        await set_on_the_screen(pilot, "oven.trays", "2")
        await pilot.press("escape")
        await planned(pilot, app)
        asked_after = app.bench.board.asks_first(of(live, second))

    assert "A is in the oven, which has 1 place." in asked_before
    assert not any("A is in the oven" in words for words in asked_after), "the planner puts both in"


async def start_with_a_room(pilot: Pilot[int], room: str) -> None:
    """Open the start screen and type how warm the room is, without beginning."""
    await pilot.app.workers.wait_for_complete()
    await pilot.pause()
    pilot.app.screen.query_one("#room").value = room  # type: ignore[attr-defined]
    await pilot.pause()


@pytest.mark.parametrize("size", [(80, 50), (120, 50)])
async def test_a_room_typed_for_one_bake_is_that_bakes_and_not_the_kitchens(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    app, _ = opened(tmp_path)
    live = app.live
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, StartScreen)
        await start_with_a_room(pilot, "28 °C")
        await app.screen.action_begin()
        await pilot.pause()
        (state,) = live.states
        await pilot.press("K")
        await pilot.pause()
        assert isinstance(app.screen, KitchenScreen)
        shown = seen(app)
        await pilot.press("escape", "a")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert isinstance(app.screen, StartScreen)
        asked_again = seen(app)

    assert state.kitchen.room_c == 28.0
    assert live.kitchen.room_c == 21.5
    room = next(line for line in shown.splitlines() if " room " in line)
    assert "21.5 °C" in room
    assert "28" not in room
    assert "kitchen 21.5 °C" in asked_again


async def test_a_room_typed_for_a_bake_that_was_never_begun_leaves_no_trace(tmp_path: Path) -> None:
    app, file = opened(tmp_path, 'name = "Guesthouse"\n')
    before, kitchen = file.read_bytes(), app.live.kitchen
    async with app.run_test(size=(100, 40)) as pilot:
        await pilot.pause()
        await start_with_a_room(pilot, "28 °C")
        await pilot.press("escape", "escape")
        await pilot.pause()
        await pilot.press("K")
        await pilot.pause()
        shown = seen(app)

    assert app.live.states == ()
    assert app.live.kitchen == kitchen
    assert file.read_bytes() == before
    assert "28.0 °C" not in shown
    assert "default" in next(line for line in shown.splitlines() if " room " in line)


async def test_an_alarm_command_set_on_the_kitchen_screen_is_run_at_the_next_ring(tmp_path: Path) -> None:
    app, _ = opened(tmp_path)
    live = app.live
    await put_on(live, KNOTS, start_in_s=600)
    rung = tmp_path / "rung"
    async with app.run_test(size=(100, 40)) as pilot:
        await pilot.pause()
        await set_on_the_screen(pilot, "alarm", f"/bin/sh -c 'echo \"$@\" > {rung}' sh {{letter}} {{words}}")
        await pilot.press("escape")
        live.clock.forward(660)  # type: ignore[attr-defined]
        assert board(live.states, live.clock.stamp()).rings
        app.tick()
        for _ in range(200):
            await pilot.pause(0.02)
            if rung.exists() and rung.read_text():
                break

    assert rung.read_text().startswith("A ")


async def test_a_theme_set_on_the_kitchen_screen_is_seen_at_once_and_one_chosen_for_the_session_stays(
    tmp_path: Path,
) -> None:
    app, _ = opened(tmp_path)
    await put_on(app.live, KNOTS)
    async with app.run_test(size=(100, 40)) as pilot:
        await pilot.pause()
        await set_on_the_screen(pilot, "theme", "day")
        assert app.theme == "day"
        await pilot.press("escape")
        app.theme = "night"
        await set_on_the_screen(pilot, "hands", "2")
        assert app.theme == "night"


async def test_keys_of_the_kitchen_file_hold_as_soon_as_the_screen_has_read_them_and_go_with_it(
    tmp_path: Path,
) -> None:
    app, file = opened(tmp_path)
    await put_on(app.live, KNOTS)
    async with app.run_test(size=(160, 40)) as pilot:
        await pilot.pause()
        plain = file.read_text(encoding="utf-8")
        file.write_text(plain + '[keys]\n"bench.kitchen" = "f9"\n', encoding="utf-8")
        await set_on_the_screen(pilot, "hands", "2")
        await pilot.press("escape", "K")
        await pilot.pause()
        assert app.screen is app.bench, "K is no longer the key"
        assert "f9 kitchen" in str(app.bench.query_one(KeyRow).drawn(300, 1))
        await pilot.press("f9")
        await pilot.pause()
        assert isinstance(app.screen, KitchenScreen)

        file.write_text(plain + '[keys]\n"bench.no-such" = "f9"\n', encoding="utf-8")
        await pilot.press("escape")
        await set_through_the_owner(app, file)
        assert app.troubles.has("keys")
        file.write_text(plain, encoding="utf-8")
        await set_through_the_owner(app, file)
        assert not app.troubles.has("keys")
        await pilot.press("K")
        await pilot.pause()
        assert isinstance(app.screen, KitchenScreen)


async def set_through_the_owner(app: ProofbellApp, file: Path) -> None:
    """As the kitchen screen writes."""
    await app.live.kitchen_owner.write(file, [("hands", "3")])


async def test_another_kind_of_oven_set_on_the_kitchen_screen_reaches_the_bakes_that_are_on_and_is_said(
    tmp_path: Path,
) -> None:
    app, _ = opened(tmp_path)
    live = app.live
    bake = await proofing(live, live.clock)  # type: ignore[arg-type]
    read = intents.Read("dough temperature", "25", raw=25.0)
    await say(live, bake, read, intents.Done(), intents.Done(), read)
    async with app.run_test(size=(120, 36)) as pilot:
        await planned(pilot, app)
        before = seen(app)
        await set_on_the_screen(pilot, "oven.kind", "fan")
        await pilot.press("escape")
        await planned(pilot, app)
        after = seen(app)

    assert "oven on, 190 °C" in before
    assert "170 °C fan" not in before
    assert "oven on, 170 °C fan" in after
    assert "190 °C" not in after
    assert "heats of A are shown for it" in after
    assert "oven changed: fan; 200 °C on a card is 180 °C fan" in event_words(of(live, bake).last.body, formula(KNOTS))


@pytest.mark.parametrize(("quiet", "rung"), [((), 1), (("12:00", "18:00"), 0)])
async def test_a_bread_that_is_ready_in_the_quiet_hours_waits_without_a_bell(
    monkeypatch: pytest.MonkeyPatch, quiet: tuple[str, ...], rung: int
) -> None:
    live, clock = empty_bench(kitchen=replace(GUESTHOUSE, quiet=quiet))
    bake = await proofing(live, clock)
    while (state := of(live, bake)).stage(state.current or 0).kind != "cool":
        clock.forward(state.stages[state.current or 0].length_s)
        await say(live, bake, intents.Done())
    await say(live, bake, intents.Task(OvenTask("oven off", (of(live, bake).current or 0) - 1)))
    clock.forward(30 * 60)
    app = app_on(live, real=clock)
    heard: list[str] = []
    monkeypatch.setattr(app.sounding.bell, "ring", heard.append)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        app.tick()

    assert len(heard) == rung


async def test_hands_that_will_be_needed_in_the_quiet_hours_are_told_of_once() -> None:
    """Begun at half past nine, the knots are baked after noon."""
    live, clock = empty_bench(kitchen=replace(GUESTHOUSE, quiet=("12:00", "18:00")))
    bake = await proofing(live, clock)
    app = app_on(live, real=clock)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        told = [one.words for one in app.troubles.all]
        app.troubles.seen()
        app.tick()
        again = app.troubles.all
        await say(live, bake, intents.GiveUp("dropped"))
        app.tick()
        await put_on(live, KNOTS)
        app.tick()
        of_another = [one.words for one in app.troubles.all]

    assert told == ["Hands are needed in the quiet hours, 12:00 to 18:00, for A: the plan shows when, and what helps"]
    assert again == ()
    assert of_another == told


async def test_a_thirteenth_dough_is_refused_before_anything_is_chosen() -> None:
    live, _ = empty_bench()
    for _ in range(12):
        await put_on(live, KNOTS)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("a")
        shown, page = seen(app), app.screen

    assert not isinstance(page, StartScreen)
    assert "The bench holds twelve bakes." in shown


async def test_what_another_program_writes_into_the_kitchen_file_holds_within_seconds(tmp_path: Path) -> None:
    app, file = opened(tmp_path)
    live = app.live
    await proofing(live, live.clock)  # type: ignore[arg-type]
    async with app.run_test(size=(80, 24)) as pilot:
        await seconds_pass(pilot, app, 4)
        save_values(file, [("quiet", '["23:00", "05:00"]')])
        await seconds_pass(pilot, app, 4)
        await pilot.press("escape")
        shown = seen(app)

        assert live.kitchen.quiet == load_kitchen(file).quiet != ()
        assert "The kitchen file was changed" in shown


async def test_a_kitchen_file_that_somebody_breaks_is_told_of_and_changes_nothing(tmp_path: Path) -> None:
    app, file = opened(tmp_path)
    live = app.live
    async with app.run_test(size=(80, 24)) as pilot:
        await seconds_pass(pilot, app, 4)
        good = file.read_text(encoding="utf-8")
        file.write_text(good + 'room = "warm"\n', encoding="utf-8")
        await seconds_pass(pilot, app, 4)
        broken = [one.words for one in app.troubles.all]
        room_c = live.kitchen.room_c
        file.write_text(good + "# mended\n", encoding="utf-8")
        await seconds_pass(pilot, app, 4)

        assert room_c == 21.5
        (words,) = broken
        assert words.endswith("given twice. Keep one of the two. What it said before holds")
        assert not app.troubles.all


async def seconds_pass(pilot: Pilot[int], app: ProofbellApp, seconds: int) -> None:
    """So many ticks, each with what is looked at after it."""
    for _ in range(seconds):
        app.live.clock.forward(1)  # type: ignore[attr-defined]
        app.tick()
        await app.upkeep.looked_round()
    await pilot.pause()
