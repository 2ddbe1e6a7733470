"""Which formulas are at hand, in which order, and what was baked of late among them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from textual.widgets import Input

from proofbell.app.session.formula_files import FormulaFile
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.app.start.at_hand import Baked, Item, LastBake, Row, at_hand
from proofbell.app.start.start_screen import StartScreen
from proofbell.bake import intents
from proofbell.bake.weigh.in_loads import as_written
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.dough.weights import SizeWish
from proofbell.formula.read import load
from proofbell.places import formulas_in, own_folders
from tests.support.bakes import house, said
from tests.support.settling import settled
from tests.support.stage import FORMULAS, StageApp, live_kitchen, seen

KNOTS, LOAF = house("harbour-knots"), house("lamplighter-loaf")
HOUSE = [FormulaFile(Path("house/harbour-knots.toml"), KNOTS), FormulaFile(Path("house/lamplighter-loaf.toml"), LOAF)]
DAY_US = 86_400_000_000


def told(rows: tuple[Row, ...]) -> list[str]:
    return [row.file.title if isinstance(row, Item) else f"# {row}" for row in rows]


def test_what_was_baked_of_late_stands_first_then_own_ones_then_the_house() -> None:
    mine = FormulaFile(Path("formulas/pier-buns.toml"), replace(KNOTS, name="Pier buns"))
    gone = replace(KNOTS, name="Aunt's loaf")
    last = Baked(
        {"Aunt's loaf": 5 * DAY_US, KNOTS.name: 4 * DAY_US, "Pier buns": DAY_US},
        (LastBake("b2", gone, 5 * DAY_US, None, None, 900.0), LastBake("b1", KNOTS, 4 * DAY_US, 24, 75.0, 1800.0)),
    )
    rows = at_hand([], [mine], HOUSE, last)

    assert told(rows) == [
        "# again", "Aunt's loaf", "Harbour knots", "# own", "Pier buns", "# house", "Harbour knots", "Lamplighter loaf",
    ]  # fmt: skip
    from_log, from_file = rows[1], rows[2]
    assert isinstance(from_log, Item)
    assert isinstance(from_file, Item)
    assert from_log.file.formula == gone  # no file of it is here: as its log has it
    assert from_file.file == HOUSE[0]
    assert [row.last_us for row in rows if isinstance(row, Item)][2:] == [DAY_US, 4 * DAY_US, None]


def test_a_house_formula_gives_way_to_an_own_file_of_its_name() -> None:
    mine = FormulaFile(Path("formulas/harbour-knots.toml"), replace(KNOTS, name="Our knots"))
    rows = at_hand([], [mine], HOUSE, Baked({}))

    assert told(rows) == ["# own", "Our knots", "# house", "Lamplighter loaf"]
    assert [row.replaces for row in rows if isinstance(row, Item)] == [True, False]


def test_every_word_that_is_typed_must_fit_name_style_or_file() -> None:
    broken = FormulaFile(Path("formulas/pier.toml"), None)

    assert told(at_hand([], [broken], HOUSE, Baked({}), "LAMP loaf")) == ["# house", "Lamplighter loaf"]
    assert told(at_hand([], [broken], HOUSE, Baked({}), "pier")) == ["# own", "pier.toml"]
    assert at_hand([], [broken], HOUSE, Baked({}), "knots loaf") == ()


def test_own_formulas_lie_beside_the_kitchen_file_or_where_it_says(tmp_path: Path) -> None:
    kitchen = tmp_path / "kitchen.toml"
    for name in ("formulas/b.toml", "formulas/.a.toml", "more/b.toml", "more/c.toml"):
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.touch()

    assert own_folders((), kitchen) == (tmp_path / "formulas",)
    found = formulas_in(own_folders(("more", str(tmp_path / "formulas"), "none"), kitchen))
    assert found == {"b": tmp_path / "more/b.toml", "c": tmp_path / "more/c.toml"}


async def test_what_was_baked_is_there_the_next_day_at_the_size_of_last_time(tmp_path: Path) -> None:
    keeper = JournalKeeper(tmp_path / "journal.sqlite")
    live, clock = live_kitchen(keeper=keeper)
    text = KNOTS.text.replace("Harbour knots", "Aunt's knots")
    aunts = load(text.encode(), "aunts.toml")
    await live.open("first", aunts, weigh_out(aunts, live.kitchen, SizeWish(pieces=24)).batch)
    await said(live, "first", intents.Begin(), intents.AddNote("Two trays."))
    clock.forward(2 * 86_400)
    app = StageApp(StartScreen(live, [FORMULAS / "harbour-knots.toml"]))
    async with app.run_test(size=(120, 30)) as pilot:
        await settled(pilot)
        shown = seen(app)
        await pilot.press("down")
        await pilot.pause()
        own_size = app.screen.query_one("#pieces", Input).value
        await pilot.press("up", "b")
        await pilot.pause()
    keeper.close()

    for words in ("Again", "Aunt's knots", "24 × 75 g", "2 d", "Your note: Two trays."):
        assert words in shown
    assert own_size == ""
    again = next(state for state in live.states if state.id != "first")
    assert (as_written(again.formula), again.batch.pieces) == (aunts, 24)
    assert [stage.load for stage in again.formula.stages if stage.kind == "bake"] == [(1, 2), (2, 2)]


async def test_what_is_baked_again_keeps_the_formula_s_own_size_where_none_was_named(tmp_path: Path) -> None:
    """With more water in its file, 500 g of flour stay 500 g; a size that was named is that of last time."""
    mine = tmp_path / "slip-loaf.toml"
    lines = [("strong white flour", 500, "flour"), ("water", 300, "water"), ("salt", 10, "salt")]
    parts = [f'[[ingredients]]\nname = "{name}"\nweight = "{g} g"\nkind = "{kind}"\n' for name, g, kind in lines]
    bake = '[[stages]]\nname = "Bake"\nkind = "bake"\ntime = "35 min"\n'
    text = "\n".join(['name = "Slip loaf"\nstyle = "lean"\noven = { temperature = "230 °C" }\n', *parts, bake])
    loaf = replace(load(text.encode(), str(mine)), path=str(mine))
    mine.write_text(text.replace("300 g", "320 g"), "utf-8")
    keeper = JournalKeeper(tmp_path / "journal.sqlite")
    live, clock = live_kitchen(keeper=keeper)
    comes_to = []
    for name, wish in (("own", SizeWish()), ("named", SizeWish(dough_g=900.0))):
        await live.open(name, loaf, weigh_out(loaf, live.kitchen, wish).batch)
        await said(live, name, intents.Begin())
        clock.forward(86_400)
        app = StageApp(StartScreen(live, []))
        async with app.run_test(size=(120, 30)) as pilot:
            await settled(pilot)
            comes_to.append(seen(app))
    keeper.close()

    assert "with 500 g of flour" in comes_to[0]
    assert "900 g of dough" in comes_to[1]


async def test_a_file_from_elsewhere_is_at_hand_the_next_day_as_it_is_and_as_it_was_once_it_has_gone(
    tmp_path: Path,
) -> None:
    """The house has a formula of that very name: it is the other one that was baked."""
    mine = tmp_path / "aunt.toml"
    text = (FORMULAS / "quay-pan-loaf.toml").read_text("utf-8")
    mine.write_text(text.replace("about = ", "about = 'Aunt' # ", 1), "utf-8")
    keeper = JournalKeeper(tmp_path / "journal.sqlite")
    live, clock = live_kitchen(keeper=keeper)

    async def on_screen(*keys: str, open_: str = "") -> tuple[str, list[str]]:
        app = StageApp(screen := StartScreen(live, [FORMULAS / "quay-pan-loaf.toml"]))
        async with app.run_test(size=(120, 36)) as pilot:
            await settled(pilot)
            if open_:
                await pilot.press("o")
                screen.query_one("#path", Input).value = open_
                await pilot.press("enter")
                await settled(pilot)
            await pilot.press(*keys)
            await settled(pilot)
            return seen(app), [field.value for field in screen.query("#pieces, #tin").results(Input)]

    await on_screen("y", "y", "enter", "3", *["enter"] * 6, *"1500 ml", "escape", "b", open_=str(mine))
    (state,) = live.states
    assert (state.batch.pieces, state.batch.tin_ml) == (3, 1500)
    await said(live, state.id, intents.Begin())
    clock.forward(86_400)

    shown, sized = await on_screen()
    assert "Aunt" in shown
    assert sized == ["3", "1500 ml"]
    assert "active dry yeast: 16 g" in shown
    house, sized = await on_screen("down")
    assert "toast and sandwich loaf" in house
    assert sized == ["", ""]
    assert "yeast: " not in house, "the formula's own form is told of in the recipe alone"

    mine.write_text(text.replace("about = ", "about = 'Aunt, by the sea' # ", 1), "utf-8")
    assert "Aunt, by the sea" in (await on_screen())[0]
    mine.unlink()
    gone, _ = await on_screen()
    assert "Aunt" in gone
    assert "by the sea" not in gone
    assert "As it was baked; its file was" in gone
    await on_screen("b")
    keeper.close()
    again = next(each for each in live.states if each.id != state.id)
    assert again.formula.text == state.formula.text
    assert again.batch.lines == state.batch.lines


async def test_without_own_formulas_the_page_says_where_they_live_and_a_search_finds(tmp_path: Path) -> None:
    live, _ = live_kitchen()
    app = StageApp(StartScreen(live, sorted(FORMULAS.glob("*.toml"))))
    app.kitchen_file = tmp_path / "kitchen.toml"
    async with app.run_test(size=(60, 24)) as pilot:
        await settled(pilot)
        empty = seen(app)
        await pilot.press("slash", *"lamp")
        await pilot.pause()
        found = seen(app)
        await pilot.press(*"xx")
        await pilot.pause()
        nothing = seen(app)
        await pilot.press("escape")
        await pilot.pause()
        back = seen(app)

    assert "Your own formulas live in" in empty
    assert "n makes one from a recipe" in " ".join(empty.split())
    assert "Harbour knots" not in found
    assert "▸ Lamplighter loaf" in found
    assert "No formula fits." in nothing
    assert "Harbour knots" in back
