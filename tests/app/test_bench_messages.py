"""What the bench says: what was taken back, what came in from elsewhere, and that another window was first."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import replace

import pytest

from proofbell.app.bench.log_lines import log_lines
from proofbell.app.bench.picture.header_line import room_now_c
from proofbell.app.drawing.content import outside, wrapped
from proofbell.app.reading.reading_dialog import ReadingDialog
from proofbell.app.session.live import Live, Nobody
from proofbell.app.widgets.notice_line import Notice, NoticeLine, question_line
from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide, decided
from proofbell.bake.events import Event
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import Skipped, Weighed
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.bench.plan.proposals import Proposal
from proofbell.formula.model import Ingredient
from proofbell.journal.faults import StaleDecision
from tests.support.kitchen_scene import (
    GUESTHOUSE,
    KNOTS,
    app_on,
    crowd,
    empty_bench,
    formula,
    of,
    proofing,
    put_on,
    say,
)
from tests.support.settling import settle
from tests.support.stage import HandClock


class Shared(Nobody):
    """A journal to which another window adds as well."""

    def __init__(self) -> None:
        self.there: dict[str, BakeState] = {}
        self.new = False

    async def append(self, events: Sequence[Event], expected_last: int) -> None:
        bake = events[0].bake
        state = self.there.get(bake)
        if (0 if state is None else state.last.number) != expected_last:
            raise StaleDecision(bake, expected_last, 0 if state is None else state.last.number)
        self.there[bake] = decided(state, events)

    async def changed(self, known: Collection[str]) -> tuple[BakeState, ...]:  # noqa: ARG002 - all of them
        new, self.new = self.new, False
        return tuple(self.there.values()) if new else ()

    def elsewhere(self, bake: str, intent: Intent, clock: HandClock) -> None:
        """Say something in the other window."""
        decision = decide(self.there[bake], intent, clock.stamp())
        assert not isinstance(decision, Refused)
        self.there[bake] = decided(self.there[bake], decision)
        self.new = True


async def weighing(live: Live, clock: HandClock) -> str:
    """Harbour knots with the first thing in the bowl."""
    bake = await put_on(live, KNOTS)
    await say(live, bake, intents.Begin())
    clock.forward(60)
    await say(live, bake, intents.Task(Weighed(0)))
    return bake


async def test_what_is_taken_back_is_the_last_thing_said_whichever_dough_is_in_hand() -> None:
    live, clock = empty_bench()
    first = await weighing(live, clock)
    second = await put_on(live, KNOTS)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        app.bench.take(first)
        await pilot.press("plus")
        await settle(pilot, app)
        length_s = of(live, first).stages[0].length_s
        app.bench.take(second)
        await pilot.press("u")
        shown = await settle(pilot, app)

    assert "Undone: A: " in shown
    assert of(live, first).stages[0].length_s == length_s - 300


async def test_taking_back_says_what_and_the_log_names_it() -> None:
    live, clock = empty_bench()
    bake = await weighing(live, clock)
    first = of(live, bake).formula.ingredients[0].name
    app = app_on(live)
    async with app.run_test(size=(100, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("u")
        shown = await settle(pilot, app)
    log = [line.words for line in log_lines(of(live, bake), clock.stamp())]

    assert f"Undone: Weighed: {first}." in shown
    assert f"Weighed: {first} (undone)" in log
    assert f"Undone: Weighed: {first}" in log


async def test_the_end_of_a_stage_that_was_taken_back_is_named_by_its_stage() -> None:
    live, clock = empty_bench()
    bake = await put_on(live, KNOTS)
    await say(live, bake, intents.Begin())
    clock.forward(360)
    await say(live, bake, intents.Done(), intents.Undo())

    assert "Undone: Mix ended" in [line.words for line in log_lines(of(live, bake), clock.stamp())]


async def test_when_another_window_was_first_it_is_said_plainly_and_shown_as_it_is() -> None:
    keeper = Shared()
    live, clock = empty_bench(keeper)
    bake = await put_on(live, KNOTS)
    await say(live, bake, intents.Begin())
    clock.forward(360)
    keeper.elsewhere(bake, intents.Done(), clock)

    refused = await live.say(bake, intents.Done())

    assert refused is not None
    assert refused.message == "Changed in the other window meanwhile: look, then press again."
    assert of(live, bake).current == 1, "the other window's word, and not one more"
    assert await live.say(bake, intents.Done()) is None


async def test_a_reading_from_elsewhere_is_told_once() -> None:
    keeper = Shared()
    live, clock = empty_bench(keeper)
    bake = await put_on(live, KNOTS)
    await say(live, bake, intents.Begin())
    keeper.elsewhere(bake, intents.Read("dough temperature", "26.5", 26.5, source="a probe"), clock)
    app = app_on(live)
    async with app.run_test(size=(100, 24)) as pilot:
        shown = await settle(pilot, app)
        assert "A: dough temperature 26.5 °C came in." in shown
        clock.forward(6)
        shown = await settle(pilot, app)

    assert "came in" not in shown


async def test_what_comes_in_waits_for_an_answer_that_stands() -> None:
    keeper = Shared()
    live, clock = empty_bench(keeper)
    bake = await put_on(live, KNOTS)
    await say(live, bake, intents.Begin())
    app = app_on(live)
    async with app.run_test(size=(100, 24)) as pilot:
        await settle(pilot, app)
        app.bench.say("One mistake is corrected.")
        for degrees in (25.5, 26.0, 26.5):
            keeper.elsewhere(bake, intents.Read("dough temperature", str(degrees), degrees, source="a probe"), clock)
            clock.forward(0.5)
            shown = await settle(pilot, app)
            assert "One mistake is corrected." in shown
        clock.forward(5)
        shown = await settle(pilot, app)
        assert "dough temperature 26.0 °C came in." in shown, "the oldest of three is told no more"
        clock.forward(6)
        shown = await settle(pilot, app)

    assert "dough temperature 26.5 °C came in." in shown


async def test_what_is_no_longer_wrong_is_not_said_any_more() -> None:
    live, _clock = empty_bench()
    app = app_on(live)
    async with app.run_test(size=(100, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("escape")
        await pilot.press("l")
        shown = await settle(pilot, app)
        assert "✗ No dough is selected" in shown
        await put_on(live, KNOTS)
        shown = await settle(pilot, app)

    assert "No dough is selected" not in shown


async def test_what_begins_to_ring_is_named_at_once_and_ends_what_was_just_said() -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    for prompt in live.board().views[0].wants:
        await say(live, bake, intents.Task(Skipped(prompt.id)))
    due_us = live.board().views[0].next_due_us
    assert due_us is not None
    clock.forward(due_us / 1e6 - clock.stamp().wall_us / 1e6 - 2)
    app = app_on(live)
    async with app.run_test(size=(100, 24)) as pilot:
        await settle(pilot, app)
        app.bench.say("Dough temperature 25 °C: in the log.")
        before = await settle(pilot, app)
        clock.forward(3)
        after = await settle(pilot, app)
        await pilot.press("y", "enter")
        then = await settle(pilot, app)

    assert "Dough temperature 25 °C: in the log." in before
    assert "◆" in after
    assert "in the log." not in after
    assert "◆" not in then
    assert "Dough temperature 25 °C" not in then


async def test_the_rooms_newest_temperature_is_the_last_reading_then_the_newest_bakes_then_the_files() -> None:
    live, clock = empty_bench()
    assert room_now_c(live.states, live.kitchen) == GUESTHOUSE.room_c
    bake = await proofing(live, clock)
    formula = of(live, bake).formula
    warm = replace(GUESTHOUSE, room_c=24.0)
    clock.forward(60)
    await live.open("later", formula, weigh_out(formula, warm).batch, kitchen=warm)
    assert room_now_c(live.states, live.kitchen) == 24.0
    await say(live, bake, intents.Read("room temperature", "19", 19.0))
    assert room_now_c(live.states, live.kitchen) == 19.0
    await say(live, bake, intents.GiveUp())
    assert room_now_c(live.states, live.kitchen) == 24.0


async def test_under_a_dialog_the_benchs_keys_are_not_shown_and_its_times_are(monkeypatch: pytest.MonkeyPatch) -> None:
    for colours in (True, False):
        if not colours:
            monkeypatch.setenv("NO_COLOR", "1")
        live, clock = empty_bench()
        await proofing(live, clock)
        app = app_on(live)
        async with app.run_test(size=(80, 30)) as pilot:
            shown = await settle(pilot, app)
            assert isinstance(app.screen, ReadingDialog)
            assert "longer" not in shown
            assert "kitchen 21.5 °C" in shown
            await pilot.press("escape")
            shown = await settle(pilot, app)
            assert "longer" in shown


def test_the_plans_question_keeps_its_answers_on_a_narrow_screen() -> None:
    line = NoticeLine()
    line.show(Notice(0, asks=("hold the loaf 24 min longer in the cold, so that the oven is free for the knots",)))
    shown = line.drawn(60, 1)

    assert shown.cell_length <= 60
    assert shown.plain.endswith("Y yes   N no")


@pytest.mark.parametrize("width", range(20, 60))
def test_no_line_ends_between_a_number_and_its_unit(width: int) -> None:
    said = "Dough 26.5 °C: 1 h 10 min → 3 h 20 min by the formula, 12 × 75 g and 65 % water at 22.0 °C in 5 min."
    lines = [line.plain.rstrip() for line in wrapped(outside(said), width)]

    assert all(len(line) <= width for line in lines)
    assert " ".join(lines).split() == said.split()
    assert not any(re.search(r"\d$|\d h$|×$", line) for line in lines)


async def test_the_row_of_keys_offers_only_what_does_something() -> None:
    live, clock = empty_bench()
    app = app_on(live)
    async with app.run_test(size=(110, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("escape")
        row = (await settle(pilot, app)).splitlines()[-1]
        assert "a add a bake" in row
        assert "? all keys" in row
        assert not any(word in row for word in ("space", "reading", "longer", "undo"))
        bake = await put_on(live, KNOTS)
        shown = await settle(pilot, app)
        assert "w  weigh out   space  begin" in shown
        assert "space begin" in shown.splitlines()[-1]
        await say(live, bake, intents.Begin())
        clock.forward(420)
        shown = await settle(pilot, app)
        assert "space done" in shown.splitlines()[-1]
        assert "elapsed, 1 min over" in shown
        await say(live, bake, intents.GiveUp())
        row = (await settle(pilot, app)).splitlines()[-1]
        assert "c put away" in row
        assert "longer" not in row


async def test_the_signs_of_the_bench_are_explained_under_all_keys() -> None:
    live, _clock = empty_bench()
    await put_on(live, KNOTS)
    app = app_on(live)
    async with app.run_test(size=(100, 80)) as pilot:
        await settle(pilot, app)
        await pilot.press("question_mark")
        shown = await settle(pilot, app)

    assert "!!            In the row of the oven or the hands: too much at once." in shown


async def test_the_far_view_names_the_key_that_leaves_it_and_few_lines_say_how_many_doughs_more() -> None:
    live, clock = empty_bench()
    await crowd(live, clock, 12)
    app = app_on(live)
    async with app.run_test(size=(60, 20)) as pilot:
        await settle(pilot, app)
        while app.screen is not app.bench:
            await pilot.press("escape")
            await settle(pilot, app)
        assert " more" in (await settle(pilot, app)).splitlines()[1]
        await pilot.press("f")
        assert "esc back" in await settle(pilot, app)


@pytest.mark.parametrize(
    ("width", "question"),
    [
        (120, "The plan: B: first proof 14 min shorter, 1 h 23 min → 1 h 09 min?"),
        (78, "B: first proof 14 min shorter, 1 h 23 min → 1 h 09 min?"),
        (58, "B: first proof 14 min shorter?"),
    ],
)
def test_a_question_of_the_plan_stands_whole_however_narrow_the_terminal(width: int, question: str) -> None:
    asked = Proposal("bake", "B", 2, "First proof", 83 * 60, 69 * 60)

    line = question_line((asked.words, asked.short), width).plain

    assert line == f"{question}   Y yes   N no"


async def test_a_bake_that_was_given_up_shows_no_instruction_but_what_can_be_done() -> None:
    live, _clock = empty_bench()
    bake = await put_on(live, KNOTS)
    await say(live, bake, intents.Begin())
    stage = of(live, bake).stage(0)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        before = await settle(pilot, app)
        await say(live, bake, intents.AddNote("The mixer broke."), intents.GiveUp())
        after = " ".join((await settle(pilot, app)).split())

    words = stage.text.split()[:3]
    assert " ".join(words) in " ".join(before.split())
    assert " ".join(words) not in after
    assert f"Given up u undo c put away b its log In {stage.name}, " in after
    assert "after it began: The mixer broke." in after


async def test_the_log_of_the_bench_names_the_allergens_of_what_is_in_and_on_the_pieces() -> None:
    live, clock = empty_bench()
    bake = await put_on(live, "mooring-plait")
    allergens = next(line.words for line in log_lines(of(live, bake), clock.stamp()) if line.head == "Allergens: ")

    # Regulation (EU) 1169/2011, annex II: wheat and egg in the dough, egg and sesame on it.
    for named in ("wheat", "egg", "sesame"):
        assert named in allergens


@pytest.mark.parametrize("size", [(120, 36), (80, 24), (60, 18)])
async def test_a_finished_bake_names_its_allergens_where_it_is_handed_out(size: tuple[int, int]) -> None:
    live, _clock = empty_bench()
    bake = await put_on(live, "mooring-plait")
    await say(live, bake, intents.Begin())
    app = app_on(live)
    async with app.run_test(size=size) as pilot:
        before = await settle(pilot, app)
        for _ in of(live, bake).stages:
            await say(live, bake, intents.Done())
        after = await settle(pilot, app)

    assert "Finished" in after
    assert "Allergens: wheat, egg, sesame" in " ".join(after.split())
    assert "Allergens" not in before


async def test_all_of_a_long_list_stands_in_the_panel_of_a_finished_bake() -> None:
    live, _clock = empty_bench()
    knots = formula("harbour-knots")
    more = [Ingredient(f"{name} mixture of the house", 1, "other") for name in ("green", "brown", "grey", "white")]
    bake = await put_on(live, replace(knots, ingredients=(*knots.ingredients, *more)))
    await say(live, bake, intents.Begin(), *(intents.Done() for _ in knots.stages))
    app = app_on(live)
    async with app.run_test(size=(60, 18)) as pilot:
        shown = " ".join((await settle(pilot, app)).split())

    names = ", ".join(each.name for each in more)
    assert f"milk; not known: {names}" in shown
