"""The weigh-out on screen, and the working behind its numbers."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from proofbell.app.session.local_time import hour_minute
from proofbell.app.weigh.weigh_screen import WeighScreen
from proofbell.app.widgets.rows import Rows
from proofbell.bake import intents
from proofbell.bake.tasks import Weighed
from proofbell.bake.weigh.in_bowl import dough_is
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.dough.weights import SizeWish
from proofbell.formula.model import BatchSize
from proofbell.formula.read import load
from proofbell.kitchen.model import Kitchen, Scale
from proofbell.words import temperature
from tests.support.bakes import house, opened, said
from tests.support.kitchen_scene import app_on, of
from tests.support.settling import settle, settled, to_bench
from tests.support.stage import FORMULAS, StageApp, live_kitchen, seen


@pytest.mark.parametrize("size", [(80, 24), (120, 36)])
async def test_ticks_walk_down_the_list_and_the_bowl_adds_up(size: tuple[int, int]) -> None:
    live, _ = live_kitchen()
    bake = await opened(live)
    app = StageApp(WeighScreen(live, bake))
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        await pilot.press("space", "enter")
        await pilot.pause()
        shown = seen(app)
        cursor = app.screen.query_one(Rows).cursor

    state = live.state(bake)
    assert state is not None
    flour, milk = state.batch.lines[:2]
    assert state.done(Weighed(0))
    assert state.done(Weighed(1))
    assert cursor == 2
    assert "7 of 9 still to weigh" in shown
    assert f"{flour.grams + milk.grams:.0f} g" in next(line for line in shown.splitlines() if "✓  whole milk" in line)
    assert "First the whole milk at" in shown


async def test_on_a_narrow_terminal_what_is_weighed_keeps_its_name() -> None:
    live, _ = live_kitchen()
    app = StageApp(WeighScreen(live, await opened(live)))
    async with app.run_test(size=(40, 30)) as pilot:
        await pilot.pause()
        shown = seen(app)

    assert "strong white f" in shown
    assert "bowl then" not in shown


async def test_a_tick_is_taken_back_by_undo_and_by_ticking_again() -> None:
    live, _ = live_kitchen()
    bake = await opened(live)
    app = StageApp(WeighScreen(live, bake))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("space", "space", "u")
        await pilot.pause()
        state = live.state(bake)
        assert state is not None
        assert (state.done(Weighed(0)), state.done(Weighed(1))) == (True, False)

        await pilot.press("g", "space")
        await pilot.pause()

    state = live.state(bake)
    assert state is not None
    assert not state.done(Weighed(0))


async def test_undo_leaves_alone_what_was_said_on_the_bench() -> None:
    live, _ = live_kitchen()
    bake = await opened(live)
    app = StageApp(WeighScreen(live, bake))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("u")
        await pilot.pause()
        shown = seen(app)

    assert "undo it on the bench" in shown


async def test_begin_starts_the_first_stage_and_goes_back() -> None:
    live, _ = live_kitchen()
    bake = await opened(live)
    app = StageApp(WeighScreen(live, bake))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("b")
        await pilot.pause()

    state = live.state(bake)
    assert state is not None
    assert state.current == 0
    assert app.results == [bake]


async def test_why_shows_the_heat_balance_and_the_factor_method_beside_it() -> None:
    live, _ = live_kitchen()
    app = StageApp(WeighScreen(live, await opened(live)))
    async with app.run_test(size=(100, 40)) as pilot:
        await pilot.press("y")
        await pilot.pause()
        shown = seen(app)

    assert "Temperature of the whole milk" in shown
    assert "factor method" in shown


async def test_ice_allergens_and_what_is_too_little_for_the_scale_are_said() -> None:
    live, _ = live_kitchen(Kitchen(room_c=32.0, tap_c=24.0, scale=Scale(step_g=5.0)))
    app = StageApp(WeighScreen(live, await opened(live, formula=house("breakwater-flatbread"))))
    async with app.run_test(size=(120, 50)) as pilot:
        await pilot.pause()
        shown = seen(app)

    assert "of it as ice" in shown
    assert re.search(r"·  water .* \d+ g as ice", shown)
    assert "wheat" in shown
    assert "dissolve" in shown
    assert "raw dough" in shown
    assert shown.count("come first") == 1


async def test_names_that_look_like_markup_or_steer_a_terminal_stay_plain_text() -> None:
    formula = house("harbour-knots")
    lines = (replace(formula.ingredients[0], name="flour [/oops] [bold]\x1b[2J"), *formula.ingredients[1:])
    live, _ = live_kitchen()
    bake = await opened(live, formula=replace(formula, name="Knots [/] \x1b]0;x\x07", ingredients=lines))
    await said(live, bake)
    app = StageApp(WeighScreen(live, bake))
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("y")
        await pilot.press("escape")
        await pilot.pause()
        shown = seen(app)

    assert "[/oops]" in shown
    assert "\x1b" not in shown
    assert "Knots [/]" in shown


def _line(shown: str, name: str) -> str:
    return next(line for line in shown.splitlines() if f"  {name}  " in line)


async def test_out_of_order_the_cursor_goes_on_downwards_and_the_bowl_holds_what_is_in_it() -> None:
    live, _ = live_kitchen()
    bake = await opened(live)
    app = StageApp(WeighScreen(live, bake))
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        await pilot.press("down", "down", "space")
        await pilot.pause()
        rows = app.screen.query_one(Rows)
        after_egg, shown = rows.cursor, seen(app)
        await pilot.press("end", "space", "end", "up", "space")
        await pilot.pause()
        wrapped = rows.cursor

    state = live.state(bake)
    assert state is not None
    flour, milk, egg, sugar = state.batch.lines[:4]
    assert egg.name == "egg"
    assert (after_egg, wrapped) == (3, 0)
    assert f" so far: {egg.grams:.0f}" in shown
    assert f" {egg.grams:.0f}" in _line(shown, "egg")
    assert f" {egg.grams + sugar.grams:.0f}" in _line(shown, "sugar")
    # The milk for brushing, weighed first, is in no bowl with them.
    # Nor is the butter, which is kneaded in later.
    total_g = state.batch.dough_g - next(line.grams for line in state.batch.lines if line.name == "butter")
    # The cursor comes back to the flour and the milk last of all.
    assert f" {total_g:.0f}" in _line(shown, "whole milk")
    assert f" {total_g - milk.grams:.0f}" in _line(shown, "strong white flour")
    assert flour.name == "strong white flour"


async def test_butter_that_is_kneaded_in_later_has_a_bowl_of_its_own_behind_that_of_the_knots() -> None:
    live, _ = live_kitchen()
    bake = await opened(live)
    app = StageApp(WeighScreen(live, bake))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        shown = seen(app)

    assert shown.index("ground cardamom") < shown.index("Dough, for Knead") < shown.index("butter")
    assert re.search(r"butter +71 g +71 g", shown)
    assert re.search(r"milk for brushing +24 g .*about", shown)
    assert "weighed last" in house("harbour-knots").stages[0].text


@pytest.mark.parametrize("loaf_g", [800.0, 733.0, 912.0])
async def test_the_working_counts_with_the_weights_of_the_weigh_out_to_the_gram(loaf_g: float) -> None:
    live, _ = live_kitchen()
    loaf = house("quay-pan-loaf")
    out = weigh_out(loaf, live.kitchen, SizeWish(loaf_g=loaf_g))
    await live.open("b1", loaf, out.batch)
    app = StageApp(WeighScreen(live, "b1"))
    async with app.run_test(size=(80, 40)) as pilot:
        await pilot.pause()
        await pilot.press("y")
        await pilot.pause()
        shown = seen(app)

    for line in out.lines:
        assert f"{line.name}: {line.grams:.0f} g" in shown


@pytest.mark.parametrize("learned_k", [3.0, None])
async def test_what_past_bakes_showed_of_the_kneading_stands_beside_the_liquid(learned_k: float | None) -> None:
    live, _ = live_kitchen()
    knots = house("harbour-knots")
    await live.open("b1", knots, weigh_out(knots, live.kitchen, learned_rise_k=learned_k).batch)
    app = StageApp(WeighScreen(live, "b1"))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        shown = seen(app)

    assert ("Kneading warms it by 3.0 °C, learned from past bakes." in shown) == (learned_k is not None)


async def test_on_a_narrow_terminal_the_names_stay_whole() -> None:
    live, _ = live_kitchen()
    app = StageApp(WeighScreen(live, await opened(live)))
    async with app.run_test(size=(60, 20)) as pilot:
        await pilot.pause()
        shown = seen(app)

    assert "strong white flour" in shown
    assert "whole milk" in shown


async def test_each_caution_says_where_its_figures_come_from() -> None:
    live, _ = live_kitchen(Kitchen(region="uk"))
    app = StageApp(WeighScreen(live, await opened(live)))
    async with app.run_test(size=(120, 50)) as pilot:
        await pilot.pause()
        shown = " ".join(seen(app).split())

    assert "(UK Food Standards Agency: 70 °C for 2 minutes or its equivalents; UK regulations: hot food 63 °C)" in shown


@pytest.mark.parametrize("size", [(80, 24), (120, 36)])
async def test_another_size_says_what_to_add_before_it_is_taken_and_the_list_follows(size: tuple[int, int]) -> None:
    live, clock = live_kitchen()
    bake = await opened(live)
    app = app_on(live, real=clock)
    async with app.run_test(size=size) as pilot:
        await to_bench(pilot, app)
        await pilot.press("w", "space", "space", "d", "1", "6", "space", "x")
        await settle(pilot, app)
        half_typed = seen(app)
        await pilot.press("backspace", "backspace")
        await settle(pilot, app)
        dialog = seen(app)
        assert of(live, bake).batch.pieces == 12
        await pilot.press("enter")
        await settle(pilot, app)
        listed = seen(app)
        await pilot.press("space", "d", "1", "0", "down")
        await settle(pilot, app)
        refused = seen(app)
        await pilot.press("enter")
        await settle(pilot, app)
        state = of(live, bake)
        await pilot.press("u")
        await settle(pilot, app)

    assert "does not name an ingredient" in half_typed
    assert re.search(r"strong white flour +473 g +631 g +473 g +158 g", dialog)
    assert "▸ 16 × 75 g" in dialog
    assert "16 × 56 g, the same dough" in dialog
    assert "16 × 75 g, 1224 g of dough" in listed
    assert re.search(r"▸ ·  strong white flour +\+ 158 g +858 g", listed)
    # The flour was added; the dough of twelve would have too much of it.
    assert "Cannot be taken out of the bowl" in refused
    assert "▸ 10 × 120 g" in refused
    assert (state.batch.pieces, state.batch.dough_g, state.done(Weighed(0))) == (10, 1224.0, True)
    assert of(live, bake).batch.pieces == 16


async def test_with_a_preferment_to_weigh_first_the_warm_liquid_is_said_to_be_the_doughs() -> None:
    live, _ = live_kitchen()
    bake = await opened(live, formula=house("tidemark-sourdough"))
    app = StageApp(WeighScreen(live, bake))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        first = seen(app)
        await pilot.press("end")
        await pilot.pause()
        baskets = seen(app)

    assert "For the dough, the water at 25.2 °C (77 °F); it then comes to 25.0 °C." in first
    assert "9 of 9 still to weigh; in the bowl for the ripe levain so far: 0 g." in first
    # What goes on the baskets is in no bowl.
    assert "9 of 9 still to weigh.\n" in baskets
    assert "▸ ·  rye flour for the baskets" in baskets


async def test_the_liquid_on_top_and_the_weight_below_are_those_of_the_bowl_that_is_next() -> None:
    live, _ = live_kitchen()
    bake = await opened(live, formula=house("boathook-baguettes"))
    lines = of(live, bake).batch.lines
    poured = next(line for line in lines if line.into and line.temperature_c is not None)
    app = StageApp(WeighScreen(live, bake))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        before = seen(app).splitlines()
        await pilot.press("space")
        await pilot.pause()
        one = seen(app)
        for _ in range(sum(bool(line.into) for line in lines) - 1):
            await pilot.press("space")
            await pilot.pause()
        after = seen(app).splitlines()

    assert before[1].strip().startswith(f"First the water at {temperature(poured.temperature_c or 0.0)}")
    assert before[1].strip().endswith(f"for the {poured.into}.")
    assert "in the bowl for the evening poolish so far: 236 g." in one
    assert after[1].strip().startswith("For the dough, the water at")
    assert any("in the bowl for the dough so far: 0 g." in line for line in after)


async def test_a_bowl_for_later_names_the_hour_that_its_stage_is_to_begin_at() -> None:
    live, clock = live_kitchen()
    bake = await opened(live, formula=house("lamplighter-loaf"))
    await said(live, bake, intents.Begin())
    ripe_s = of(live, bake).stages[1].length_s
    clock.forward(300)
    await said(live, bake, intents.Done())
    app = StageApp(WeighScreen(live, bake))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        shown = seen(app)

    now = clock.stamp()
    assert f"Dough, for Mix, {hour_minute(now.wall_us + round(ripe_s * 1e6), now)}" in shown
    assert "evening preferment, for Stir the preferment\n" in re.sub(" +\n", "\n", shown)


async def test_that_a_divided_dough_keeps_its_size_is_said_before_anything_is_typed() -> None:
    live, clock = live_kitchen()
    bake = await opened(live)
    await said(live, bake, intents.Begin())
    while dough_is(of(live, bake)) != "divided":
        clock.forward(5400)
        await said(live, bake, intents.Done())
    app = app_on(live, real=clock)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_bench(pilot, app)
        await pilot.press("escape", "d")
        await settle(pilot, app)
        shown = seen(app)

    assert "The dough is in pieces or in the oven: its size stays." in shown


async def test_what_is_weighed_after_the_stage_began_adds_up_like_a_scale() -> None:
    """254 g of flour, 254 g of water and a pinch of yeast: the scale says 254 g at the flour and 508 g at the water."""
    live, _ = live_kitchen()
    bake = await opened(live, formula=house("lamplighter-loaf"))
    await said(live, bake, intents.Begin())
    app = StageApp(WeighScreen(live, bake))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        first = seen(app)
        await pilot.press("space")
        await pilot.pause()
        ticked = seen(app)

    assert "10 of 10 still to weigh; in the bowl for the evening preferment so far: 0 g." in first
    assert re.search(r"·  strong white flour +254 g +254 g", first)
    assert re.search(r"·  water +254 g +508 g", ticked)
    assert "9 of 10 still to weigh; in the bowl for the evening preferment so far: 254 g." in ticked


async def test_a_dough_without_pieces_is_told_once_in_the_dialog_for_another_size() -> None:
    live, clock = live_kitchen()
    await opened(live, formula=replace(house("harbour-knots"), outside=(), batch=BatchSize(flour_g=500.0)))
    app = app_on(live, real=clock)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_bench(pilot, app)
        await pilot.press("escape", "d")
        await settle(pilot, app)
        shown = seen(app)

    assert re.search(r"Now \d+ g dough\.", shown)


MANY = '["wheat", "rye", "barley", "soya", "sesame", "almond", "celery", "mustard"]'


@pytest.mark.parametrize("size", [(80, 24), (60, 18)])
async def test_allergens_stand_first_and_whole_and_page_down_reaches_the_last_note(size: tuple[int, int]) -> None:
    live, _ = live_kitchen()
    text = (FORMULAS / "harbour-knots.toml").read_text(encoding="utf-8").replace('["wheat"]', MANY, 1)
    # Half a gram of salt in steps of 1 g: a long warning stands before the cautions.
    text = text.replace("pieces = 12", "pieces = 1")
    app = StageApp(WeighScreen(live, await opened(live, "knots", load(text.encode(), "knots"))))
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        first = " ".join(seen(app).split())
        pages = [first]
        while "more: page down" in seen(app):
            before = seen(app)
            await pilot.press("pagedown")
            await pilot.pause()
            assert seen(app) != before
            pages.append(" ".join(seen(app).split()))

    # Regulation (EU) 1169/2011, Annex II: the order of its list, each cereal and nut by its name.
    named = "Allergens: wheat, rye, barley, egg, soya, milk, almond, celery, mustard, sesame"
    assert all(named in page for page in pages)
    assert "more: page down" in first
    assert "is too little for a scale" in " ".join(pages)
    assert "(common practice)" in pages[-1]
    assert "page up" in pages[-1]


@pytest.mark.parametrize("size", [(80, 24), (60, 18)])
async def test_what_another_size_wants_added_leaves_the_stages_own_words_in_sight(size: tuple[int, int]) -> None:
    live, _ = live_kitchen()
    text = (FORMULAS / "harbour-knots.toml").read_text(encoding="utf-8").replace("pieces = 12", "pieces = 2")
    bake = await opened(live, "knots", load(text.encode(), "knots"))
    await said(live, bake, intents.Begin())
    app = app_on(live)
    async with app.run_test(size=size) as pilot:
        await settle(pilot, app)
        await pilot.press("d", "4", "enter")
        await settle(pilot, app)
        shown = " ".join(line[: 50 if size[0] == 80 else 60].strip() for line in seen(app).splitlines())

    assert "Stir the yeast into the milk, then add all but the butter: it is weighed last" in shown
    assert "Add to the bowl: strong white flour 79 g" in shown
    assert "cardamom 0.4 g." in shown


async def test_the_first_bowls_title_is_in_sight_as_the_page_opens_in_a_small_window() -> None:
    live, _ = live_kitchen()
    formula = house("tidemark-sourdough")
    await live.open("levain", formula, weigh_out(formula, live.kitchen).batch)
    app = StageApp(WeighScreen(live, "levain"))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        shown = seen(app)
        await pilot.press("up")
        await settled(pilot)
        above = app.screen.query_one(Rows).cursor

    assert "ripe levain, for Feed the levain" in shown
    assert above == 1, "the cursor stays on what is weighed"
