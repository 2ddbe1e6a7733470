"""What is advised on a small terminal: under the dough in hand, before a reading is taken, from afar, in the log."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from textual.content import Content

from proofbell.app.bench.picture.selected_dough import in_hand
from proofbell.app.reading.reading_dialog import ReadingDialog
from proofbell.bake import intents
from proofbell.bake.view import view
from tests.support.bakes import at_first_proof
from tests.support.baking import Baking
from tests.support.kitchen_scene import app_on, empty_bench, of, put_on, say
from tests.support.settling import settle, to_bench
from tests.support.walking import KNOTS, at, done, hot, later, read


async def test_a_warm_butter_dough_is_advised_on_wherever_the_baker_looks() -> None:
    live, clock = empty_bench()
    await at_first_proof(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_bench(pilot, app)
        await pilot.press("r", "3", "1")
        asked = " ".join((await settle(pilot, app)).replace("│", " ").split())
        assert "First proof 70 → 55 min" in asked
        assert "of butter or other fat: stand it" in asked
        await pilot.press("enter")
        bench = await to_bench(pilot, app)
        assert "and judge it early; chill it 20 to 30 min before" in bench
        assert bench.count("31.0 °C with 15 %") == 1
        await pilot.press("f")
        far = " ".join((await settle(pilot, app)).split())
        assert "Stand it cooler; chill it 20 to 30 min before shaping." in far
        await pilot.press("escape", "b")
        assert "Advised: Dough 31.0 °C with 15 % of butter" in await settle(pilot, app)


async def test_a_look_that_advice_wants_rings_on_the_bench_and_is_answered_or_skipped_there() -> None:
    live, clock = empty_bench()
    bakes = [await put_on(live, "lamplighter-loaf") for _ in range(2)]
    for bake in bakes:
        await say(live, bake, intents.Begin())
        while of(live, bake).stage(of(live, bake).current or 0).name != "First proof":
            await say(live, bake, intents.Done())
        clock.forward(20)
    await say(live, bakes[0], intents.Read("dough temperature", "30", raw=30.0, sure=True))
    await say(live, bakes[1], intents.Read("dough temperature", "25", raw=25.0, sure=True))
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        shown = await settle(pilot, app)
        assert "read the dough" not in shown.partition("Coming up")[0]
        clock.forward(30 * 60)
        app.tick()
        shown = await settle(pilot, app)
        assert not isinstance(app.screen, ReadingDialog), "what no card asks for opens nothing by itself"
        assert "▶ Read the dough's temperature again" in " ".join(shown.split())
        assert "r  enter the reading" in shown
        await pilot.press("r")
        shown = await settle(pilot, app)
        assert "▸ dough temperature" in shown
        assert "x skip the check" in shown
        await pilot.press("x", "x")
        shown = await settle(pilot, app)
        assert "Check skipped; the log says so." in shown
        assert "▶ Read the dough" not in shown


async def test_a_caution_about_egg_and_milk_never_takes_the_place_of_the_words_for_loading() -> None:
    live, clock = empty_bench()
    await at_first_proof(live, clock)
    bake = live.states[0].id
    clock.forward(200 * 60)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        told = " ".join((await to_bench(pilot, app)).split()).lower()
        assert "into the fridge for part of the time" in told
        assert "is the figure: into the fridge" in told or "official figure is" in told, "never without its reason"
        for minutes in (20, 75):
            await say(live, bake, intents.Done())
            clock.forward(minutes * 60)
            app.tick()
        shown = await to_bench(pilot, app)
        assert "Brush with milk and load." in shown
        assert "4 h is the figure: do not bake it for others" in " ".join(shown.split())


def stood_long_and_ready() -> Baking:
    """Knots that stood past the figure, judged ready before a hot oven."""
    baking = done(later(done(at(KNOTS, "First proof", minutes=200)), 20))
    baking.wait(minutes=37)
    baking.read(60.0, "rise")
    hot(baking)
    baking.wait(minutes=20)
    return baking


def test_on_a_small_screen_the_caution_gives_way_before_the_words_for_loading() -> None:
    baking = stood_long_and_ready()
    seen = view(baking.state, baking.now_s)
    assert seen.also is not None
    assert seen.loading
    for height in range(6, 12):
        shown = in_hand(seen, baking.now, 78, height, Content("space  done")).plain
        assert "Brush with milk and load." in shown, height
    assert "h is the figure: do not bake it for others" in " ".join(shown.split())


def test_beside_two_things_that_are_told_the_digits_are_as_large_as_there_is_room_for() -> None:
    """100 x 30 leaves the dough in hand 61 x 21 cells, and 80 x 24 about 78 x 15."""
    baking = stood_long_and_ready()
    seen = view(baking.state, baking.now_s)
    assert seen.also is not None
    large, small = (in_hand(seen, baking.now, *size, Content("space  done")).plain for size in ((61, 21), (78, 15)))
    assert "██████  ██████" in large
    assert "██████" not in small
    for shown in (large, small):
        assert "do not bake it for others" in " ".join(shown.split())


@pytest.mark.parametrize("size", [(30, 8), (46, 7), (46, 15), (61, 21), (78, 15)])
def test_what_to_do_is_never_cut(size: tuple[int, int]) -> None:
    baking = later(at(KNOTS, "Final proof"), 60)
    words = "Take it out of the cold, let it warm to 16 °C (40 min to 1 h 30 min), then load the oven at 190 °C"
    seen = replace(view(baking.state, baking.now_s), do=words)
    shown = in_hand(seen, baking.now, *size, Content("space  done")).plain
    told = " ".join(re.sub("[█▀▄]+", " ", shown).split())
    assert f"▶ {words}" in told
    assert len(shown.splitlines()) <= size[1]


def test_on_a_small_screen_what_is_to_be_done_with_a_dough_stays_before_what_goes_onto_it_later() -> None:
    baking = read(read(at("pilots-milk-buns", "Final proof", minutes=15), 26.0), 120.0, what="rise")
    shown = in_hand(view(baking.state, baking.now_s), baking.now, 50, 7, Content("")).plain
    assert "oven on now; into" in shown
    assert "milk for brushing" not in shown
