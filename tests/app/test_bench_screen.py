"""The bench as a baker uses it, with a clock that is set by hand."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Sequence
from dataclasses import replace

import pytest
from textual.pilot import Pilot

from proofbell.app.app import ProofbellApp
from proofbell.app.bench.far.far_view import FarView
from proofbell.app.bench.picture.header_line import HeaderLine
from proofbell.app.bench.picture.strips import Strips
from proofbell.app.drawing.canvas import Canvas
from proofbell.app.drawing.digits import columns, draw_blocks, lines
from proofbell.app.reading.reading_dialog import ReadingDialog
from proofbell.app.session.live import Live, Nobody
from proofbell.app.session.local_time import hour_minute
from proofbell.bake import intents
from proofbell.bake.events import Event
from proofbell.bake.tasks import OvenTask
from proofbell.bench.plan.proposals import Proposal
from proofbell.errors import Failure
from proofbell.words import temperature
from tests.support.kitchen_scene import (
    KNOTS,
    LOAF,
    app_on,
    crowd,
    empty_bench,
    in_the_oven,
    of,
    proofing,
    put_on,
    say,
    unjudged,
)
from tests.support.settling import settle, to_bench
from tests.support.stage import seen


async def test_a_reading_moves_the_countdown_and_the_strip_and_gives_its_reason() -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        assert app.screen.__class__.__name__ == "ReadingDialog", "the check that is due opens by itself"
        await pilot.press("2", "7")
        await pilot.pause()
        assert "First proof 70 → 55 min, due 10:41" in seen(app)
        assert of(live, bake).readings == (), "nothing is taken before enter"
        await pilot.press("enter")
        shown = await settle(pilot, app)

    assert "left, until 10:41" in shown
    assert "70 → 55 min by" in shown


async def test_space_ends_a_hands_stage_at_once_and_asks_before_it_cuts_a_proof_short() -> None:
    live, clock = empty_bench()
    bake = await put_on(live, KNOTS)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("space")
        await settle(pilot, app)
        for _ in range(2):
            clock.forward(360)
            await pilot.press("space")
            await settle(pilot, app)
        assert of(live, bake).current == 2
        await pilot.press("escape")
        clock.forward(60)
        await pilot.press("space")
        shown = await settle(pilot, app)
        assert "End first proof now?" in shown
        await pilot.press("escape")
        await settle(pilot, app)
        assert of(live, bake).current == 2
        await pilot.press("space")
        await pilot.pause()
        await pilot.press("enter")
        await settle(pilot, app)

    assert of(live, bake).current == 3


async def test_a_bake_is_not_begun_long_before_its_planned_start_without_a_question() -> None:
    live, clock = empty_bench()
    bake = await put_on(live, KNOTS, start_in_s=3600)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("space")
        await pilot.pause()
        assert "Its start is planned for 10:30. Begin now?" in seen(app)
        await pilot.press("escape")
        await settle(pilot, app)
        assert not of(live, bake).begun
        clock.forward(3400)
        await settle(pilot, app)
        await pilot.press("space")
        await settle(pilot, app)

    assert of(live, bake).begun


async def test_the_question_about_an_early_start_goes_as_the_start_comes() -> None:
    live, clock = empty_bench()
    await put_on(live, KNOTS, start_in_s=3600)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("space")
        await settle(pilot, app)
        clock.forward(3500)
        before = await settle(pilot, app)
        clock.forward(120)
        after = await settle(pilot, app)

    assert "Its start is planned for" in before
    assert "Its start is planned for" not in after


async def test_a_finished_dough_gives_way_to_what_is_on_once_nobody_is_at_the_keys() -> None:
    live, clock = empty_bench()
    done, on = await put_on(live, KNOTS), await put_on(live, KNOTS)
    for bake in (done, on):
        await say(live, bake, intents.Begin())
    await say(live, done, intents.GiveUp())
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        app.bench.take(done)
        clock.forward(50)
        await settle(pilot, app)
        assert app.bench.in_hand == done
        clock.forward(11)
        await settle(pilot, app)
        assert app.bench.in_hand == on


async def test_yes_is_not_said_to_a_question_that_a_ring_hides() -> None:
    live, clock = empty_bench()
    first = await proofing(live, clock)
    second = await put_on(live, KNOTS)
    await say(live, second, intents.Begin(), intents.Done(), intents.Done())
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await until_the_plan_asks(app, pilot)
        lengths = [run.length_s for bake in (first, second) for run in of(live, bake).stages]
        assert app.bench.board.rings
        await pilot.press("Y")
        shown = await settle(pilot, app)

    assert "Answer the alarm first" in shown
    assert lengths == [run.length_s for bake in (first, second) for run in of(live, bake).stages]


async def until_the_plan_asks(app: ProofbellApp, pilot: Pilot[int]) -> None:
    await to_bench(pilot, app)
    for _ in range(400):
        if app.replanning.proposals:
            break
        await pilot.pause(0.05)
        app.tick()


async def two_that_meet(app: ProofbellApp, pilot: Pilot[int]) -> Proposal:
    """Two doughs of known warmth that would go into the one place of the oven together: what the plan asks."""
    await until_the_plan_asks(app, pilot)
    assert not app.bench.board.rings
    return app.replanning.proposals[0]


async def read_at_their_first_proof() -> Live:
    live, _clock = empty_bench()
    for _ in range(2):
        bake = await put_on(live, KNOTS)
        read = intents.Read("dough temperature", "25", 25.0)
        await say(live, bake, intents.Begin(), intents.Done(), intents.Done(), read)
    return live


async def test_the_answer_to_yes_says_what_was_done() -> None:
    app = app_on(await read_at_their_first_proof())
    async with app.run_test(size=(80, 24)) as pilot:
        asked = await two_that_meet(app, pilot)
        await pilot.press("Y")
        shown = await settle(pilot, app)

    assert asked.done in shown
    assert asked.done.startswith(f"{asked.letter}: first proof ")


@pytest.mark.parametrize("key", ["Y", "N"])
async def test_a_question_that_took_anothers_place_under_the_finger_is_not_answered(key: str) -> None:
    live = await read_at_their_first_proof()
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        asked = await two_that_meet(app, pilot)
        lengths = [run.length_s for state in live.states for run in state.stages]
        other = next(state for state in live.states if state.id != asked.bake)
        app.replanning.proposals = (replace(asked, bake=other.id, letter=other.letter),)
        await pilot.press(key)
        shown = await settle(pilot, app)

    assert "The plan's question has just changed" in shown
    assert [run.length_s for state in live.states for run in state.stages] == lengths


async def test_a_key_that_bounces_ends_one_stage_only() -> None:
    live, clock = empty_bench()
    bake = await put_on(live, KNOTS)
    await say(live, bake, intents.Begin())
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        clock.forward(300)
        await pilot.press("space", "space", "space")
        await settle(pilot, app)

    assert of(live, bake).current == 1


class SlowDisk(Nobody):
    """A disk that stores nothing while ``go`` is not set."""

    def __init__(self) -> None:
        self.go = asyncio.Event()
        self.go.set()

    async def append(self, events: Sequence[Event], expected_last: int) -> None:  # noqa: ARG002 - as a keeper's
        await self.go.wait()


async def test_a_stage_that_is_being_ended_is_not_asked_about_again() -> None:
    keeper = SlowDisk()
    live, clock = empty_bench(keeper)
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_bench(pilot, app)
        keeper.go.clear()
        await pilot.press("space", "enter")
        assert "End first proof now?" not in seen(app)
        clock.forward(2)
        await pilot.press("space")
        await pilot.pause()
        assert "End first proof now?" not in seen(app)
        keeper.go.set()
        await settle(pilot, app)
        assert app.screen is app.bench

    assert of(live, bake).current == 3


async def test_a_dialog_that_is_open_is_not_opened_a_second_time() -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        assert app.screen_stack[-1].__class__ is ReadingDialog, "the check that is due opens it"
        app.bench.readings.open(bake, None)
        await settle(pilot, app)
        await pilot.press("escape")
        await settle(pilot, app)
        assert app.screen is app.bench


async def test_a_question_about_what_is_over_goes_by_itself() -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_bench(pilot, app)
        await pilot.press("space")
        await pilot.pause()
        assert "End first proof now?" in seen(app)
        await say(live, bake, intents.Done())  # As another window says it.
        await settle(pilot, app)
        assert app.screen is app.bench

    assert of(live, bake).current == 3


async def test_space_says_yes_to_no_question() -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_bench(pilot, app)
        await pilot.press("space")
        assert "End first proof now?" in await settle(pilot, app)
        await pilot.press("space")
        assert "End first proof now?" in await settle(pilot, app)

    assert of(live, bake).current == 2


async def test_a_question_about_an_early_end_goes_when_the_bake_calls_and_space_answers_that() -> None:
    live, clock = empty_bench()
    bake = await in_the_oven(live, clock, minutes=7)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("space")
        assert "End bake now?" in await settle(pilot, app)
        clock.forward(2 * 60)
        shown = await settle(pilot, app)
        assert app.screen is app.bench
        assert "▶ Turn the tray" in shown
        await pilot.press("space")
        await settle(pilot, app)

    state = of(live, bake)
    assert (state.current, state.done(OvenTask("turn", 0))) == (0, True)


async def test_a_check_of_a_stage_that_is_ended_by_a_key_is_not_asked_for_meanwhile() -> None:
    keeper = SlowDisk()
    live, clock = empty_bench(keeper)
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_bench(pilot, app)
        keeper.go.clear()
        await pilot.press("space")
        await pilot.pause()
        clock.forward(10 * 60)  # "later" is over
        await pilot.press("enter")
        await pilot.pause()
        app.tick()
        await pilot.pause()
        assert app.screen is app.bench
        keeper.go.set()
        assert "elsewhere" not in await settle(pilot, app)

    assert of(live, bake).current == 3


async def test_no_reading_of_another_dough_opens_while_somebody_is_at_the_keys() -> None:
    live, clock = empty_bench()
    mine = await put_on(live, LOAF)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        app.bench.take(mine)
        clock.forward(60)
        await pilot.press("h")  # No key of the bench.
        await proofing(live, clock)
        await pilot.press("h")
        await settle(pilot, app)
        clock.forward(9)
        await settle(pilot, app)
        assert (app.bench.in_hand, app.screen is app.bench) == (mine, True)
        clock.forward(1)
        await settle(pilot, app)
        assert isinstance(app.screen, ReadingDialog)


async def test_an_answer_to_a_reading_that_opened_by_itself_leaves_the_dough_in_hand() -> None:
    live, clock = empty_bench()
    mine = await proofing(live, clock)
    await say(live, mine, intents.Read("dough temperature", "25", 25.0))
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_bench(pilot, app)
        other = await proofing(live, clock)
        app.bench.take(mine)
        clock.forward(15)
        await settle(pilot, app)
        assert isinstance(app.screen, ReadingDialog)
        await pilot.press("2", "5", "enter")
        shown = await settle(pilot, app)
        assert app.bench.in_hand == mine

    assert [each.value for each in of(live, other).readings] == [25.0]
    assert "B: dough temperature 25 °C: in the log." in shown


async def test_a_tick_that_comes_while_the_program_closes_does_nothing() -> None:
    live, clock = empty_bench()
    await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)

    app.tick()


async def test_what_cannot_be_stored_is_said_and_nothing_is_lost() -> None:
    class FullDisk(Nobody):
        full = True

        async def append(self, events: Sequence[Event], expected_last: int) -> None:  # noqa: ARG002 - as a keeper's
            self.look(expected_last)

        async def complete(self, events: Sequence[Event]) -> int:
            self.look(1)
            return events[-1].number

        def look(self, expected_last: int) -> None:
            if self.full and expected_last:
                raise Failure("there is no room left on the disk", "free some room there")

    keeper = FullDisk()
    live, clock = empty_bench(keeper)
    keeper.full = False
    bake = await proofing(live, clock)
    keeper.full = True
    app = app_on(live)
    async with app.run_test(size=(100, 30)) as pilot:
        await settle(pilot, app)
        await pilot.press("2", "7", "enter")
        shown = await settle(pilot, app)
        words = " ".join(shown.split())
        assert "There is no room left on the disk. Free some room there. 2 lines of the log in memory until" in words
        assert "70 → 55 min" in shown, "the bake goes on by what was typed"
        keeper.full = False
        await settle(pilot, app)
        clock.forward(6)
        shown = await settle(pilot, app)
        assert "All is saved again." in shown, "once the reading's own answer is gone"

    assert "no room left" not in shown
    assert [reading.value for reading in of(live, bake).readings] == [27.0]
    assert not live.unsaved


async def test_a_slow_disk_shows_saving_until_the_event_is_there_and_keys_go_on_working() -> None:
    keeper = SlowDisk()
    live, _clock = empty_bench(keeper)
    first, second = await put_on(live, KNOTS), await put_on(live, LOAF)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        app.bench.take(first)
        keeper.go.clear()
        await pilot.press("space")
        await pilot.press("j")
        app.tick()
        await pilot.pause()
        assert "saving" in seen(app)
        assert app.bench.in_hand == second
        assert not of(live, first).begun
        keeper.go.set()
        shown = await settle(pilot, app)

    assert "saving" not in shown
    assert of(live, first).begun


@pytest.mark.parametrize("size", [(80, 24), (120, 36), (200, 60)])
async def test_twelve_doughs_are_all_on_the_bench_and_the_most_urgent_is_in_hand(size: tuple[int, int]) -> None:
    live, clock = empty_bench()
    await crowd(live, clock, 12)
    app = app_on(live)
    async with app.run_test(size=size) as pilot:
        shown = await to_bench(pilot, app)
        lines = shown.splitlines()
        urgent = live.board().urgent

    assert app.bench.in_hand == urgent
    assert [line[1] for line in lines[2:14]] == list("ABCDEFGHIJKL")
    assert lines[14][3:7] == "oven"
    assert lines[15][3:8] == "hands"
    assert all(len(line) <= size[0] for line in lines)
    view = live.board().of(urgent or "")
    assert view is not None
    # Others ring too, so the key names the dough that it acts on.
    assert f"space {view.letter} done" in lines[-1]
    assert f" {view.letter}  " in lines[17]


async def test_a_click_on_a_strip_takes_that_dough_in_hand() -> None:
    live, _clock = empty_bench()
    first, second = await put_on(live, KNOTS), await put_on(live, LOAF)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.click(Strips, offset=(20, 2))
        await pilot.pause()
        assert app.bench.in_hand == second
        await pilot.click(Strips, offset=(20, 1))
        await pilot.pause()
        assert app.bench.in_hand == first


async def test_a_click_on_the_row_of_keys_does_what_the_key_does() -> None:
    live, _clock = empty_bench()
    bake = await put_on(live, KNOTS)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.click("KeyRow", offset=(3, 0))
        await settle(pilot, app)

    assert of(live, bake).begun


async def test_overdue_is_counted_up_with_the_word_and_the_bell_names_dough_and_deed() -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    await say(live, bake, intents.Read("dough temperature", "27", 27.0))
    await unjudged(live, bake)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        clock.forward(55 * 60 + 130)
        shown = await settle(pilot, app)
        assert "over since 10:41" in shown
        assert "A  divide and tie: 12 × 75 g" in shown
        assert "min 10 s over" not in shown, "the digits say how late"
        await pilot.press("q")
        shown = await settle(pilot, app)

    assert "◆" not in shown
    assert "over since 10:41" in shown, "silenced, the task stays due"


async def test_after_the_last_stage_the_bake_stays_with_its_log_until_it_is_put_away() -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("space", "x", "x")
        await settle(pilot, app)
        assert app.screen is app.bench, "the check is skipped, whatever was hit before"
        while (state := live.state(bake)) is not None and state.closed is None:
            clock.forward(3600)
            await say(live, bake, intents.Done())
        shown = await to_bench(pilot, app)
        assert "Finished" in shown
        await pilot.press("b")
        shown = await settle(pilot, app)
        assert "planned" in shown
        assert "First proof" in shown
        await pilot.press("escape")
        await pilot.press("u")
        await settle(pilot, app)
        assert of(live, bake).closed is None, "the end can be taken back"
        await say(live, bake, intents.Done())
        await settle(pilot, app)
        await pilot.press("c")
        shown = await settle(pilot, app)

    assert live.states == ()
    assert "No dough on the bench" in shown


async def test_keys_of_the_kitchen_file_work_and_stand_on_the_row() -> None:
    from dataclasses import replace

    from tests.support.kitchen_scene import GUESTHOUSE

    live, _clock = empty_bench(kitchen=replace(GUESTHOUSE, keys=(("bench.note", "comma"),)))
    await put_on(live, KNOTS)
    app = app_on(live)
    async with app.run_test(size=(100, 30)) as pilot:
        shown = await settle(pilot, app)
        assert ", note" in shown
        await pilot.press("n")
        await pilot.pause()
        assert app.screen is app.bench
        await pilot.press("comma")
        await pilot.pause()
        assert app.screen.__class__.__name__ == "NoteDialog"


async def test_a_moved_key_is_named_wherever_the_bench_says_what_to_press() -> None:
    from dataclasses import replace

    from tests.support.kitchen_scene import GUESTHOUSE

    moved = ("done", "weigh-out", "undo", "put-away", "log", "quiet", "give-up")
    keys = tuple((f"bench.{name}", f"f{number}") for number, name in enumerate(moved, 2))
    live, clock = empty_bench(kitchen=replace(GUESTHOUSE, keys=keys))
    bake = await put_on(live, KNOTS, start_in_s=60.0)
    clock.forward(60)
    app = app_on(live)
    async with app.run_test(size=(100, 30)) as pilot:
        rings = await settle(pilot, app)
        assert "f7 quiet" in rings
        assert "f3  weigh out   f2  begin" in rings
        await pilot.press("f2", "f8")
        await pilot.pause()
        await pilot.press("y")
        given_up = await settle(pilot, app)
        assert "Given up. f4 undoes it, f5 puts it away." in given_up
        assert "f4  undo   f5  put away   f6  its log" in given_up
        assert of(live, bake).closed is not None


async def test_with_nothing_on_the_start_screen_is_shown() -> None:
    live, _clock = empty_bench()
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)

        assert app.screen.__class__.__name__ == "StartScreen"


async def test_a_reading_that_came_from_elsewhere_closes_the_question() -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        assert app.screen is not app.bench
        await say(live, bake, intents.Read("dough temperature", "25", 25.0, source="another terminal"))
        await settle(pilot, app)

        assert app.screen is app.bench


async def test_an_odd_value_is_asked_again_and_an_impossible_one_refused() -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press(*"250", "enter")
        shown = await settle(pilot, app)
        assert "cannot be" in shown
        await pilot.press("backspace", "backspace", "backspace", *"48")
        assert "press enter twice" in await settle(pilot, app)
        await pilot.press("enter")
        shown = await settle(pilot, app)
        assert of(live, bake).readings == ()
        assert "unusual" in shown
        await pilot.press("enter")
        await settle(pilot, app)

    assert [reading.value for reading in of(live, bake).readings] == [48.0]


async def test_a_correction_shows_the_new_value_and_keeps_the_first() -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    await say(live, bake, intents.Read("dough temperature", "28", 28.0))
    app = app_on(live)
    async with app.run_test(size=(100, 30)) as pilot:
        await settle(pilot, app)
        await pilot.press("b")
        await settle(pilot, app)
        await pilot.press("enter")
        await settle(pilot, app)
        await pilot.press(*"26", "enter")
        shown = await settle(pilot, app)

    assert "Dough temperature: 26.0 °C (corrected; first 28.0 °C)" in shown


async def test_later_closes_the_question_and_it_comes_again() -> None:
    live, clock = empty_bench()
    await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("escape")
        await settle(pilot, app)
        assert app.screen is app.bench
        clock.forward(60)
        await settle(pilot, app)
        assert app.screen is app.bench, "not at once"
        clock.forward(180)
        await settle(pilot, app)

        assert app.screen.__class__.__name__ == "ReadingDialog"


def in_blocks(words: str) -> list[str]:
    """The lines of some words in the smallest blocks."""
    canvas = Canvas(columns(words, 1), lines(1))
    draw_blocks(canvas, 0, 0, words, 1)
    return [canvas.line(y).plain.rstrip() for y in range(canvas.height)]


async def test_what_rings_is_in_hand_unless_hands_are_on_another_dough_or_one_was_just_taken() -> None:
    live, clock = empty_bench()
    rings = await proofing(live, clock)
    await say(live, rings, intents.Read("dough temperature", "25", 25.0))
    clock.forward(60 * 60)
    other = await put_on(live, LOAF)
    app = app_on(live, real=clock)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_bench(pilot, app)
        app.bench.take(other)
        clock.forward(11 * 60)
        await settle(pilot, app)
        assert app.bench.in_hand == rings
        app.bench.take(other)
        clock.forward(15)
        await settle(pilot, app)
        assert app.bench.in_hand == other, "just taken"
        await say(live, other, intents.Begin())
        clock.forward(60)
        await settle(pilot, app)
        assert app.bench.in_hand == other, "hands are on it"


async def test_the_far_view_answers_what_it_asks() -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    await say(live, bake, intents.Read("dough temperature", "25", 25.0))
    await unjudged(live, bake)
    clock.forward(70 * 60 + 5)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("f")
        shown = await settle(pilot, app)
        assert "Divide and tie" not in shown, "said once, in capitals"
        for words in ("DIVIDE AND TIE:", "12 × 75 G", hour_minute(live.board().now.wall_us, live.board().now)):
            assert all(row in shown for row in in_blocks(words)), words
        await pilot.press("space")
        await settle(pilot, app)

    assert of(live, bake).current == 3


@pytest.mark.parametrize("keys", [("space", "2", "5"), ("r", "2", "5"), ("2", "5")])
async def test_a_reading_is_typed_over_the_far_view_and_leads_back_to_it(keys: tuple[str, ...]) -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("escape", "f")
        asked = await settle(pilot, app)
        await pilot.press(*keys, "enter")
        shown = await settle(pilot, app)
        await pilot.press("space")
        still = await settle(pilot, app)
        view = app.screen

    assert "r reading   esc back" in asked
    assert of(live, bake).readings[-1].value == 25.0
    assert "esc back" in shown
    assert "r reading" not in shown
    assert isinstance(view, FarView), "space, with nothing to answer, leaves it as it is"
    assert "esc back" in still


async def test_a_core_that_is_due_is_large_in_the_far_view_and_space_reads_it_before_it_ends_the_bake() -> None:
    live, clock = empty_bench()
    bake = await in_the_oven(live, clock, minutes=16.5, check=True)
    app = app_on(live)
    async with app.run_test(size=(100, 30)) as pilot:
        await to_bench(pilot, app)
        await pilot.press("f")
        shown = await settle(pilot, app)
        assert all(row in shown for row in in_blocks("READ THE CORE"))
        assert "r reading   esc back" in shown
        await pilot.press("space", "8", "5", "enter")
        await settle(pilot, app)
        assert of(live, bake).readings[-1].value == 85.0
        assert "l 2 min longer   space done   esc back" in seen(app)
        clock.forward(6 * 60)
        low = await settle(pilot, app)
        assert "r reading   esc back" in low, "it is read again before it comes out"
        await pilot.press("space", "escape", "space")
        await settle(pilot, app)
        await pilot.press("9", "3", "enter")
        asked = await settle(pilot, app)
        assert "a number is no answer" in asked
        assert of(live, bake).current == 0, "a number and enter say yes to no question"
        await pilot.press("escape", "9", "3", "enter")
        await settle(pilot, app)
    assert of(live, bake).readings[-1].value == 93.0


async def test_a_key_that_is_the_benchs_is_answered_in_the_far_view_and_more_time_is_said() -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    await unjudged(live, bake)
    app = app_on(live)
    async with app.run_test(size=(100, 30)) as pilot:
        await to_bench(pilot, app)
        await pilot.press("f", "d")
        assert "That key is the bench's: esc goes back to it." in await settle(pilot, app)
        await pilot.press("l", "space")
        shown = await settle(pilot, app)
        assert "5 min longer" in shown
        assert "That key" not in shown
    assert of(live, bake).stages[2].length_s == 75 * 60


async def test_space_in_the_far_view_ends_the_work_of_hands_as_on_the_bench() -> None:
    live, clock = empty_bench()
    bake = await put_on(live, KNOTS)
    await say(live, bake, intents.Begin())
    clock.forward(7 * 60)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("f")
        await settle(pilot, app)
        await pilot.press("space")
        await settle(pilot, app)

    assert of(live, bake).current == 1


async def test_a_bench_under_a_page_is_not_drawn_and_shows_the_moment_when_it_is_back() -> None:
    live, clock = empty_bench()
    await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        before = await to_bench(pilot, app)
        drawn = app.bench.query_one(HeaderLine).render()
        await pilot.press("p")
        await settle(pilot, app)
        assert app.screen is not app.bench
        clock.forward(120)
        await settle(pilot, app)
        assert app.bench.query_one(HeaderLine).render() is drawn
        back = await to_bench(pilot, app)

    assert before.splitlines()[0] != back.splitlines()[0]


async def test_whoever_has_read_a_dough_has_it_in_hand_unless_hands_are_on_another() -> None:
    live, clock = empty_bench()
    resting = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_bench(pilot, app)
        read = await proofing(live, clock)
        app.bench.take(resting)
        app.bench.readings.open(read, None)
        await settle(pilot, app)
        await pilot.press("2", "5", "enter")
        await settle(pilot, app)
        assert app.bench.in_hand == read

        mixed = await put_on(live, KNOTS)
        await say(live, mixed, intents.Begin())
        app.bench.take(mixed)
        await to_bench(pilot, app)
        app.bench.readings.open(read, None)
        await settle(pilot, app)
        await pilot.press("2", "5", "enter")
        await settle(pilot, app)
        assert app.bench.in_hand == mixed


async def test_how_warm_the_liquid_goes_into_the_bowl_stands_on_the_bench_while_the_dough_is_mixed() -> None:
    live, _clock = empty_bench()
    bake = await put_on(live, KNOTS)
    await say(live, bake, intents.Begin())
    words = f"Whole milk into the bowl at {temperature(of(live, bake).batch.liquid_c)}."
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        assert words in await settle(pilot, app)
        await pilot.press("f")
        assert words in await settle(pilot, app)
        await pilot.press("escape")
        await settle(pilot, app)
        await pilot.press("space")
        assert "into the bowl" not in await settle(pilot, app), "the next stage has it in the dough already"


async def test_a_question_left_open_goes_with_the_clock() -> None:
    live, clock = empty_bench()
    await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_bench(pilot, app)
        clock.forward(25 * 60)
        await pilot.press("space")
        first = re.search(r"First proof has (\d+) min", await settle(pilot, app))
        clock.forward(15 * 60)
        then = re.search(r"First proof has (\d+) min", await settle(pilot, app))
        assert first is not None
        assert then is not None
        assert int(first[1]) - int(then[1]) == 15
        clock.forward(3 * 3600)
        shown = await settle(pilot, app)
        assert "First proof has" not in shown, "it has no time left"
        assert app.screen is not app.get_screen("ConfirmDialog"), "the bake has called since"


async def test_the_weigh_out_that_calls_while_a_levain_ripens_is_a_key_away() -> None:
    live, clock = empty_bench()
    bake = await put_on(live, "tidemark-sourdough")
    await say(live, bake, intents.Begin())
    clock.skip(300)
    await say(live, bake, intents.Done())
    await say(live, bake, intents.Read("dough temperature", "24", 24.0))
    due_s = of(live, bake).stages[1].due_s or 0.0
    clock.skip(due_s - 300 - 120)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        shown = seen(app)

    assert "▶ Weigh out, then mix flour and water" in shown
    assert "\n w  weigh out " in shown


async def test_tab_goes_to_what_rings_and_pressed_again_on_to_all_that_want_something() -> None:
    """B rings for its begin; A and C are past their mixing, and want hands."""
    live, clock = empty_bench()
    first, ringing = await put_on(live, KNOTS), await put_on(live, KNOTS, start_in_s=500.0)
    third = await put_on(live, KNOTS)
    await say(live, first, intents.Begin())
    await say(live, third, intents.Begin())
    clock.forward(600)
    app = app_on(live)
    async with app.run_test(size=(100, 30)) as pilot:
        await settle(pilot, app)
        app.bench.take(third)
        met = []
        for _ in range(4):
            await pilot.press("tab")
            await pilot.pause()
            met.append(app.bench.in_hand)

    assert met[0] == met[3] == ringing
    assert {met[1], met[2]} == {first, third}
