"""From a recipe that is pasted to a formula that stands in the list of formulas, and what becomes of what was typed."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from textual import events
from textual.pilot import Pilot

from proofbell.app.recipe.recipe_read import RecipeRead, read
from proofbell.app.recipe.recipe_rows import rows, summary, totals
from proofbell.app.recipe.recipe_screen import RecipeScreen
from proofbell.app.recipe.recipe_text import RecipeText
from proofbell.app.recipe.typed_recipe import KeptRecipe, TypedRecipe, harmless
from proofbell.app.session.formula_files import read_file
from proofbell.app.session.live import Live
from proofbell.app.start.start_screen import StartScreen
from proofbell.app.widgets.confirm_dialog import ConfirmDialog
from proofbell.recipe.reading.country import NAMES
from tests.support.hostile import harmful
from tests.support.settling import settled
from tests.support.stage import StageApp, live_kitchen, seen

RECIPE = """\
Ferry cabin loaf
Makes 2 loaves
3 cups bread flour
1 cup warm water
2 tsp dried yeast
1 1/2 teaspoons fine salt
2 tablespoons honey
Whistle a tune to the gulls.
Mix and knead for 8 minutes. Let rise 1 hour. Divide in two and shape. Let rise 45 minutes.
Bake at 375°F for 30 minutes.
"""


@dataclass(frozen=True, slots=True)
class Stage:
    """The chooser with the page over it, and where it writes."""

    app: StageApp
    pilot: Pilot[Any]
    live: Live
    folder: Path
    kept: Path
    before: str

    @property
    def text(self) -> RecipeText:
        return self.app.screen.query_one(RecipeText)

    async def press(self, *keys: str) -> str:
        await self.pilot.press(*keys)
        await settled(self.pilot)
        return seen(self.app)

    async def paste(self, text: str) -> str:
        self.text.post_message(events.Paste(text))
        await settled(self.pilot)
        return await self.press("tab")


@asynccontextmanager
async def opened(folder: Path, size: tuple[int, int] = (80, 24)) -> AsyncIterator[Stage]:
    live, _ = live_kitchen()
    app = StageApp(StartScreen(live, []))
    app.kitchen_file, app.recipe_file = folder / "kitchen.toml", folder / "typed.json"
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        stage = Stage(app, pilot, live, folder / "formulas", folder / "typed.json", seen(app))
        await stage.press("n")
        assert isinstance(app.screen, RecipeScreen)
        yield stage


@pytest.mark.parametrize("size", [(80, 24), (120, 36)])
async def test_a_pasted_recipe_is_answered_saved_and_ready_to_begin(tmp_path: Path, size: tuple[int, int]) -> None:
    async with opened(tmp_path, size) as stage:
        read_as = await stage.paste(RECIPE)
        await stage.press("right", "enter", "enter")  # answered, and with an empty answer taken back
        answered = await stage.press("right", "right", "y", "enter", *"inst", "enter")
        naming = await stage.press("ctrl+s")
        chosen = await stage.press("enter")
        assert isinstance(stage.app.screen, StartScreen)
        await stage.press("b")

    (path,) = stage.folder.iterdir()
    file = read_file(path)
    assert "n makes one from a recipe" in " ".join(stage.before.split())  # wherever the folder's path breaks the line
    assert "n recipe" in stage.before.splitlines()[-1]
    assert "390 g" in read_as  # USDA 20083: a US cup of bread flour is 137 g; here, between that and a chart's 120 g
    assert all(words in read_as for words in ("Questions", "Not read", "line 8", "Whistle", "wheat", "hydration"))
    assert "scooped" in answered
    assert "question open" not in naming
    assert (path.name, file.errors) == ("ferry-cabin-loaf.toml", ())
    text = path.read_text(encoding="utf-8")
    assert 'form     = "instant"' in text
    assert "# not read, line 8: Whistle a tune to the gulls\n" in text
    assert "▸ Ferry cabin loaf"[:14] in chosen
    assert "Saved as ferry-cabin-loaf.toml." in chosen
    (state,) = stage.live.states
    assert (state.formula.name, state.batch.pieces) == ("Ferry cabin loaf", 2)
    # Beranbaum, *The Cake Bible*: a cup of bread flour is 156 g when it is dipped.
    assert state.batch.flour_g == pytest.approx(468, rel=0.03)
    assert not stage.kept.exists()


async def test_a_name_that_is_taken_is_refused_and_leaving_keeps_what_was_typed(tmp_path: Path) -> None:
    (tmp_path / "formulas").mkdir()
    there = tmp_path / "formulas" / "ferry-cabin-loaf.toml"
    there.write_text("mine", encoding="utf-8")
    async with opened(tmp_path) as stage:
        await stage.paste(RECIPE)
        await stage.press("y")
        naming = await stage.press("ctrl+s")
        refused = await stage.press("enter")
        await stage.press("escape")
        asked = await stage.press("escape")
        assert isinstance(stage.app.screen, ConfirmDialog)
        stays = await stage.press("n")
        await stage.press("escape")
        await stage.press("enter")
        assert isinstance(stage.app.screen, StartScreen)
        again = await stage.press("n")
        text = stage.text.text
        reading = await stage.press("tab")
        await stage.press("ctrl+n")
        await stage.press("enter")
        empty = stage.text.text

    assert "question open: dried yeast, form (line 5)" in naming
    assert "is there already" in " ".join(refused.split())
    assert there.read_text(encoding="utf-8") == "mine"
    assert "is kept" in asked
    assert "Questions" in stays
    assert "last time" in again
    assert text == RECIPE
    assert "✓  bread flour" in reading
    assert (empty, stage.kept.exists()) == ("", False)


async def test_a_recipe_without_a_bake_asks_once_before_it_is_saved(tmp_path: Path) -> None:
    async with opened(tmp_path) as stage:
        await stage.paste(RECIPE.replace("Bake at 375°F for 30 minutes.\n", ""))
        asked = await stage.press("ctrl+s")
        assert isinstance(stage.app.screen, ConfirmDialog)
        await stage.press("n")
        nothing = list(stage.folder.iterdir()) if stage.folder.exists() else []
        await stage.press("ctrl+s")
        naming = await stage.press("y")
        await stage.press("enter")
        assert isinstance(stage.app.screen, StartScreen)

    assert "No bake was found in the recipe." in " ".join(asked.replace("│", " ").split())
    assert nothing == []
    assert "Name" in naming
    assert [path.name for path in stage.folder.iterdir()] == ["ferry-cabin-loaf.toml"]


async def test_the_last_letters_are_kept_when_the_window_is_closed(tmp_path: Path) -> None:
    async with opened(tmp_path) as stage:
        await stage.pilot.press(*"Rye")
        stage.app.exit()
    assert KeptRecipe(stage.kept).take_up().text == "Rye"
    assert stage.kept.stat().st_mode & 0o077 == 0


def drawn(found: RecipeRead) -> str:
    lines = [row.drawn(width).plain for row in rows(found) for width in (20, 58, 77)]
    told = [words.plain for row in rows(found) for words in row.about]
    return "\n".join([*lines, *told, *(words.plain for words in totals(found)), summary(found).plain])


ODD = st.text(max_size=60)
LINES = st.sampled_from(RECIPE.splitlines())


@settings(max_examples=80, deadline=None)
@given(
    st.lists(st.one_of(LINES, ODD), max_size=12), st.sampled_from(["", *NAMES, "yes", "900 t"]), ODD,
    st.sampled_from(["3 cups bread flour", "", "2 tsp dried yeast"]),
)  # fmt: skip
def test_any_text_and_any_answers_are_shown(lines: list[str], country: str, answer: str, line: str) -> None:
    text = harmless("\n".join(["3 cups bread flour", *lines]))
    said = {("", "country"): country, (line, "bread flour"): answer, ("", "style"): answer}
    assert not harmful(drawn(read(TypedRecipe(text, said))))


def test_what_is_kept_and_damaged_is_an_empty_page(tmp_path: Path) -> None:
    path = tmp_path / "typed.json"
    for words in ("", "{", "[]", '{"text": 3}', '{"text": "a", "said": [[1]]}', "[" * 50_000):
        path.write_text(words, encoding="utf-8")
        assert KeptRecipe(path).take_up() == TypedRecipe()


async def test_one_yes_after_the_other_answers_one_question_after_the_other(tmp_path: Path) -> None:
    async with opened(tmp_path) as stage:
        asked = await stage.paste(
            "Quay buns\n500 g bread flour\n7 g dried yeast\n1 egg\n9 g salt\n290 ml milk\n"
            "Mix. Prove 1 hour. Shape. Prove 45 min. Bake 20 min at 200."
        )
        both = await stage.press("y", "y")
        again = await stage.press("y")

    open_at_first = sum(line.lstrip(" ▸").startswith("?") for line in asked.splitlines())
    assert open_at_first == 2
    assert not any(line.lstrip(" ▸").startswith("?") for line in both.splitlines())
    assert sum(line.lstrip(" ▸").startswith("?") for line in again.splitlines()) == 1, "said again it is taken back"


@pytest.mark.parametrize("size", [(80, 24), (60, 18)])
async def test_x_says_of_a_line_that_it_is_no_ingredient_and_what_was_wrong_goes_with_the_cursor(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with opened(tmp_path, size) as stage:
        text = "Quay loaf\n500 g bread flour\n300 g water\n9 g salt\n1 tbsp bladderwrack\nProve 1 hour. Bake 30 min."
        asked = await stage.paste(text)
        wrong = await stage.press("down", "y")
        moved = await stage.press("up")
        out = await stage.press("x")
        back = await stage.press("x")

    assert "bladderwrack" in asked
    assert "Nothing to confirm" in wrong
    assert "Nothing to confirm" not in moved
    assert "no ingredient" in next(line for line in out.splitlines() if "✓" in line)
    assert "✓" not in back
