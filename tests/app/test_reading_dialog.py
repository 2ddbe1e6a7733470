"""The reading as it is typed: what it shows, which keys it takes, and when it takes none."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from textual.widgets import Input

from proofbell.app.reading.outcome_lines import outcome_lines
from proofbell.app.reading.reading_asked import Asked
from proofbell.app.reading.reading_dialog import ReadingDialog
from proofbell.app.reading.reading_words import Outcome
from proofbell.app.session.live import Live
from proofbell.bake import intents
from proofbell.bake.advice.advise import advise
from proofbell.bake.decisions.adjust import ROUGH
from proofbell.bake.events import TaskDone
from proofbell.bake.tasks import PromptId, Skipped
from proofbell.formula.model import Check, Formula, Rate
from proofbell.kitchen.model import Kitchen, Probe
from tests.support.kitchen_scene import app_on, empty_bench, formula, of, proofing, put_on, say
from tests.support.settling import settle, shown, to_bench
from tests.support.stage import HandClock


def asking_for_rise() -> Formula:
    """Harbour knots whose first proof begins with a look at the rise."""
    knots = formula("harbour-knots")
    proof = replace(knots.stages[2], checks=(Check("rise", "start"),), adjust=None)
    return replace(knots, stages=(*knots.stages[:2], proof, *knots.stages[3:]))


async def at_rise(live: Live, clock: HandClock) -> str:
    """At that look."""
    bake = await put_on(live, asking_for_rise())
    await say(live, bake, intents.Begin())
    for _ in range(2):
        clock.forward(360)
        await say(live, bake, intents.Done())
    return bake


@pytest.mark.parametrize("width", [60, 80, 120])
async def test_all_three_judgements_by_eye_stand_whole_on_every_terminal(width: int) -> None:
    live, clock = empty_bench()
    await at_rise(live, clock)
    app = app_on(live)
    async with app.run_test(size=(width, 24)) as pilot:
        shown = await settle(pilot, app)

    assert "By eye:  n not yet   y ready   t too far" in shown


async def test_a_reading_that_opens_by_itself_takes_no_key_for_a_moment() -> None:
    live, clock = empty_bench()
    bake = await at_rise(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await shown(pilot, app)
        await pilot.press("n", "x", "x", "enter", "escape")
        await shown(pilot, app)
        assert isinstance(app.screen, ReadingDialog)
        assert app.screen.query_one("#number", Input).value == ""
        assert of(live, bake).readings == ()
        clock.forward(1.0)
        await pilot.press("n", "enter")
        await shown(pilot, app)

    assert [reading.eye for reading in of(live, bake).readings] == ["not yet"]


async def test_a_judgement_by_eye_shows_what_it_changes_and_is_taken_with_enter() -> None:
    live, clock = empty_bench()
    bake = await at_rise(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("t")
        too_far = await settle(pilot, app)
        await pilot.press("y")
        ready = await settle(pilot, app)
        assert of(live, bake).readings == ()
        await pilot.press("4")
        number = await settle(pilot, app)
        await pilot.press("n", "enter")
        await settle(pilot, app)

    assert "By eye: too far. Enter takes it." in too_far
    assert "By eye: ready. Enter takes it." in ready
    assert "First proof 1 h 10 min → 2 s, due now" in ready
    assert "Enter takes it." not in number, "a number takes its place"
    assert [(each.eye, each.typed) for each in of(live, bake).readings] == [("not yet", "not yet")]


@pytest.mark.parametrize(("typed", "asked"), [("31", True), ("60", False), ("31%", False)])
async def test_degrees_typed_as_percent_where_a_temperature_is_asked_for_are_questioned(
    typed: str,
    asked: bool,  # noqa: FBT001
) -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("down", *typed)
        told = await settle(pilot, app)
        await pilot.press("enter")
        await settle(pilot, app)
        assert (of(live, bake).readings == ()) == asked
        await pilot.press("enter")
        await settle(pilot, app)

    assert ("Is that 31 °C?" in told) == asked
    assert [(each.what, each.value) for each in of(live, bake).readings] == [("rise", float(typed.rstrip("%")))]


async def test_a_bare_number_where_the_rise_is_asked_for_is_percent() -> None:
    live, clock = empty_bench()
    bake = await at_rise(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("3", "1", "enter")
        await settle(pilot, app)

    assert [(each.what, each.value) for each in of(live, bake).readings] == [("rise", 31.0)]


async def test_a_number_taken_for_fahrenheit_is_asked_about_where_it_is_far_from_what_is_expected() -> None:
    """68 °F is 20 °C; 24 to 26 °C is expected."""
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("6", "8", "enter")
        told = await settle(pilot, app)
        await pilot.press("enter")
        await settle(pilot, app)
        assert of(live, bake).readings == ()
        await pilot.press("enter")
        await settle(pilot, app)

    assert "68 °F is 20.0 °C; 24 to 26 °C is expected." in " ".join(told.replace("│", " ").split())
    assert [each.value for each in of(live, bake).readings] == [pytest.approx(20.0)]


async def test_a_number_taken_for_fahrenheit_is_held_against_what_the_screen_expects_by_now() -> None:
    """75 °F is 23.9 °C, in the band that the card means; a dough that was read at 31 °C is not there in 10 min."""
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    await say(live, bake, intents.Read("dough temperature", "31", 31.0, sure=True))
    clock.forward(600)
    asked = Asked(live, bake)
    guessed = asked.outcome("dough temperature", "75 °F", sure=False, guessed=True)
    assert guessed is not None
    assert guessed.odd
    span = asked.expected("dough temperature").removeprefix("expected ").removesuffix(" by now")
    assert guessed.lines == (f"75 °F is 23.9 °C; {span} is expected.",)


async def test_a_digit_is_meant_for_the_reading_however_soon_it_comes() -> None:
    live, clock = empty_bench()
    await at_rise(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await shown(pilot, app)
        await pilot.press("n", "5", "5")
        await shown(pilot, app)

        assert app.screen.query_one("#number", Input).value == "55"


async def test_a_reading_that_was_asked_for_takes_the_next_key() -> None:
    live, clock = empty_bench()
    await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        clock.forward(1)
        await pilot.press("escape")
        await settle(pilot, app)
        await pilot.press("r", "2", "5")
        await settle(pilot, app)

        assert app.screen.query_one("#number", Input).value == "25"


async def test_skipping_a_check_is_asked_once() -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        clock.forward(1)
        before = of(live, bake).last.number
        await pilot.press("x")
        shown = await settle(pilot, app)
        assert "Press x again to skip the check" in shown
        assert of(live, bake).last.number == before
        await pilot.press("2", "backspace", "x")
        await settle(pilot, app)
        assert of(live, bake).last.number == before, "typing takes the question back"
        await pilot.press("x")
        await settle(pilot, app)

        assert app.screen is app.bench
        assert of(live, bake).last.body == TaskDone(Skipped(PromptId("check", 2, 0)), 2)


async def test_the_number_takes_only_what_can_become_a_number_and_says_so_of_the_rest() -> None:
    live, clock = empty_bench()
    await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        clock.forward(1)
        await pilot.press("o")
        shown = await settle(pilot, app)
        assert "“o” cannot be part of a number in °C" in shown
        await pilot.press("y")
        shown = await settle(pilot, app)
        assert "Only the rise is judged by eye" in shown
        await pilot.press(*"C7w9Fo")
        await settle(pilot, app)

        assert app.screen.query_one("#number", Input).value == "79F"


async def test_two_heights_in_a_jar_show_their_rise_at_once_and_the_log_keeps_them() -> None:
    live, clock = empty_bench()
    bake = await at_rise(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        shown = await settle(pilot, app)
        assert "Or two heights in a straight jar, typed as: 6 cm to 10 cm" in shown
        clock.forward(1)
        for character in "6 cm to 9 cm":
            await pilot.press("space" if character == " " else character)
        shown = await settle(pilot, app)
        assert "6 cm to 9 cm: a rise of 50 %." in shown
        words = " ".join(shown.replace("│", " ").split())
        assert "The card names no rise to reach: say by eye whether it is ready." in words
        assert of(live, bake).readings == ()
        await pilot.press("enter")
        await settle(pilot, app)

    assert [(reading.typed, reading.value) for reading in of(live, bake).readings] == [("6 cm to 9 cm", 50.0)]


async def test_a_core_shows_the_usual_band_of_the_style_and_whether_it_is_reached() -> None:
    live, clock = empty_bench()
    knots = formula("harbour-knots")
    baked = replace(next(stage for stage in knots.stages if stage.kind == "bake"), core=None, checks=())
    bake = await put_on(live, replace(knots, stages=(baked,)))
    await say(live, bake, intents.Begin())
    clock.forward(baked.time_s - 60)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("r")
        shown = await settle(pilot, app)
        assert "85 to 91 °C, usual for enriched dough" in shown
        await pilot.press("6", "6")
        shown = await settle(pilot, app)
        assert "Core 66.0 °C: not done yet" in shown
        assert "70 °C" in shown, "the caution for egg"
        await pilot.press("backspace", "backspace", "8", "8")
        shown = await settle(pilot, app)
        assert "Core 88.0 °C: done" in shown


def overnight() -> Formula:
    """Harbour knots that proof twelve hours in the fridge, by the rate."""
    knots = formula("harbour-knots")
    proof = replace(
        knots.stages[2],
        time_s=12 * 3600.0,
        place_c=4.0,
        stretch=(8 * 3600.0, 20 * 3600.0),
        checks=(Check("dough temperature", "start"),),
        adjust=Rate(25.0, 4.0),
    )
    return replace(knots, stages=(proof, *knots.stages[3:]))


async def test_in_the_cold_a_reading_moves_no_night_and_the_bench_says_how_far_the_dough_will_be() -> None:
    live, _ = empty_bench()
    bake = await put_on(live, overnight())
    await say(live, bake, intents.Begin())
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press(*"16")
        shown = await settle(pilot, app)
        await pilot.press("enter")
        bench = await settle(pilot, app)

    assert "12 h →" not in shown
    assert "At take-out about" in bench
    # A countdown of hours leaves little room beside it; the hour it is due is what has to stand there.
    assert re.search(r"until 21:\d\d", bench)


@pytest.mark.parametrize(("offset_k", "told"), [(-0.5, True), (0.0, False), (-0.01, False)])
async def test_a_corrected_probe_says_what_its_number_counts_as(offset_k: float, told: bool) -> None:  # noqa: FBT001
    live, clock = empty_bench(kitchen=Kitchen(probe=Probe(offset_k=offset_k)))
    await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press(*"27")
        shown = await settle(pilot, app)

    words = " ".join(shown.replace("│", " ").split())
    assert ("The probe shows 27.0 °C, 26.5 °C after its correction." in words) == told
    assert "First proof 70 → 55 min" in words


async def test_a_unit_that_is_typed_takes_the_place_of_the_usual_one() -> None:
    live, clock = empty_bench()
    await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press(*"78")
        usual = await settle(pilot, app)
        await pilot.press(*"F")
        own_unit = await settle(pilot, app)

    assert re.search(r"78 +°C  expected", usual)
    assert re.search(r"78F +expected", own_unit)
    # NIST Special Publication 811 (2008), B.8: 78 °F = 25.6 °C, inside the band from 24 to 26 °C of the house formula.
    assert "First proof stays 70 min" in own_unit


async def test_a_number_that_only_fahrenheit_can_mean_is_asked_about_and_taken_as_that() -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await shown(pilot, app)
        clock.forward(1)
        await pilot.press(*"78")
        asked = await settle(pilot, app)
        await pilot.press("enter")
        meant = await settle(pilot, app)
        assert of(live, bake).readings == ()
        await pilot.press("enter")
        await shown(pilot, app)

    assert "Is it 78 °F? Enter says so." in asked
    assert "78 °F" in meant
    (reading,) = of(live, bake).readings
    assert reading.value == pytest.approx((78 - 32) / 1.8)


@pytest.mark.parametrize(("minutes", "first"), [(49, "dough temperature"), (51, "rise"), (56, "rise"), (69, "rise")])
async def test_a_rise_that_is_judged_early_is_what_the_reading_opens_on(minutes: float, first: str) -> None:
    live, clock = empty_bench()
    await proofing(live, clock)
    (view,) = live.board().views
    # On the edge of two times by its card: the shorter is over after 55 min.
    await say(live, view.bake, intents.Read("dough temperature", "25.8", 25.8))
    clock.forward(minutes * 60)
    ring = next(each for each in live.board().coming if each.prompt.reads == "rise" or each.prompt.over)
    assert Asked(live, view.bake, ring if ring.now else None).kinds[0] == first
    assert Asked(live, view.bake).kinds[0] == first


@pytest.mark.parametrize(("early_min", "asked"), [(4, "dough temperature"), (0, "rise"), (-35, "rise")])
async def test_a_reading_opens_on_what_the_screen_asks_for(early_min: float, asked: str) -> None:
    """An older check that nobody answered stands there until the rise is to be judged."""
    live, clock = empty_bench()
    bake = await proofing(live, clock, "quay-pan-loaf")
    state = of(live, bake)
    clock.forward(state.stages[state.current or 0].length_s - early_min * 60)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        bench = await to_bench(pilot, app)
        await pilot.press("r")
        told = await settle(pilot, app)

    bench = " ".join(bench.split())
    assert ("▶ Read the dough's" if asked == "dough temperature" else "▶ Judge the rise") in bench
    assert f"▸ {asked}" in told


async def test_a_reading_long_before_the_rise_is_judged_opens_on_what_is_read_then() -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock, "quay-pan-loaf")
    clock.forward(10 * 60)
    assert Asked(live, bake).kinds[0] == "dough temperature"


async def test_what_is_expected_of_a_reading_is_what_the_bench_then_says_was_meant() -> None:
    """At a proof's start as its check has it, 24 to 26 °C; on the way as warm as the reading before makes it likely."""
    on_the_way = "expected 24 to 26 °C by now", "Dough 31.0 °C, about 25 °C expected by now"
    for minutes, asked, told in ((0.0, "expected 24 to 26 °C", "Dough 31.0 °C, 24 to 26 meant"), (20.0, *on_the_way)):
        live, clock = empty_bench()
        bake = await proofing(live, clock)
        if minutes:
            await say(live, bake, intents.Read("dough temperature", "25", 25.0))
            clock.forward(minutes * 60)
        assert Asked(live, bake).expected("dough temperature") == asked
        await say(live, bake, intents.Read("dough temperature", "31", 31.0, sure=True))
        said = {each.situation: each.short for each in advise(of(live, bake), of(live, bake).now_s(clock.stamp()))}
        assert told in said["dough too warm"]


async def test_a_number_begun_on_the_bench_is_a_reading() -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("escape")
        await settle(pilot, app)
        assert app.screen is app.bench
        await pilot.press("2", "6", "full_stop", "5")
        await settle(pilot, app)
        assert app.screen.query_one("#number", Input).value == "26.5"
        await pilot.press("enter")
        await settle(pilot, app)

    assert [reading.value for reading in of(live, bake).readings] == [26.5]


@pytest.mark.parametrize("typed", ["30 %", "95 %", "80%"])
async def test_a_percentage_typed_at_a_temperature_is_a_rise(typed: str) -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        clock.forward(1)
        await pilot.press(*("space" if each == " " else each for each in typed))
        told = await settle(pilot, app)
        assert app.screen.query_one("#number", Input).value == typed
        await pilot.press("enter")
        await settle(pilot, app)

    assert "▸ rise" in told
    assert not re.search(rf"{typed} +%", told), "its unit stands there once"
    assert [(each.what, each.typed, each.value) for each in of(live, bake).readings] == [
        ("rise", typed, float(typed.rstrip(" %")))
    ]


def test_a_long_reason_is_told_whole_in_the_dialog() -> None:
    reason = f"Dough 8.0 °C: 11 h → 13 h 20 min for the same fermentation{', as far as it is known' * 12}; {ROUGH}."
    told = outcome_lines(Outcome((reason,)), 62).plain.splitlines()
    assert " ".join(told) == reason
    assert max(map(len, told)) <= 62


async def test_degrees_typed_at_a_rise_are_a_temperature() -> None:
    live, clock = empty_bench()
    bake = await at_rise(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        clock.forward(1)
        await pilot.press(*"79", "space", "F")
        told = await settle(pilot, app)
        await pilot.press("enter")
        await settle(pilot, app)

    assert "▸ dough temperature" in told
    assert [(each.what, each.typed) for each in of(live, bake).readings] == [("dough temperature", "79 F")]


async def test_degrees_that_begin_like_centimetres_are_asked_about_at_a_rise() -> None:
    live, clock = empty_bench()
    bake = await at_rise(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        clock.forward(1)
        await pilot.press(*"26C")
        asked = await settle(pilot, app)
        await pilot.press("enter")
        told = await settle(pilot, app)
        assert of(live, bake).readings == ()
        await pilot.press("enter")
        await settle(pilot, app)

    assert "26C is a dough temperature: enter takes it as one." in asked
    assert "▸ dough temperature" in told
    assert [(each.what, each.value) for each in of(live, bake).readings] == [("dough temperature", 26.0)]


async def test_a_unit_that_no_reading_of_the_stage_has_is_not_swallowed() -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        clock.forward(1)
        await pilot.press(*"30g", "enter")
        told = await settle(pilot, app)

    assert "Dough temperature is read in °C, not in g." in told
    assert of(live, bake).readings == ()


async def test_a_reading_by_which_the_stage_goes_on_now_names_no_other_end() -> None:
    live, _clock = empty_bench(kitchen=Kitchen(room_c=30.0))
    bake = await put_on(live, formula("regatta-brioche"))
    await say(live, bake, intents.Begin(), intents.Done(), intents.Done())
    app = app_on(live)
    async with app.run_test(size=(80, 30)) as pilot:
        await to_bench(pilot, app)
        await pilot.press("r", *"30.5")
        picture = await shown(pilot, app)

    assert "First proof ends now: Fold and flatten comes next." in picture
    assert "→" not in picture
    assert ", due" not in picture
