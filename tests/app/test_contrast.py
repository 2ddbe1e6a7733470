"""What stands on a screen stands out from its ground, in each theme; the ratios are those of WCAG 2.2 (W3C)."""

from __future__ import annotations

from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from textual.color import Color
from textual.pilot import Pilot
from textual.theme import Theme

from proofbell.app.app import ProofbellApp
from proofbell.app.bench.far.far_view import Far, FarView
from proofbell.app.bench.picture.selected_dough import InHand
from proofbell.app.journal.bake_lines import VIEWS
from proofbell.app.journal.bake_screen import BakeScreen
from proofbell.app.journal.compare_screen import CompareScreen
from proofbell.app.journal.learned_screen import LearnedScreen
from proofbell.app.kitchen.first_start_screen import FirstStartScreen
from proofbell.app.kitchen.probe_screen import ProbeScreen
from proofbell.app.recipe.recipe_screen import RecipeScreen
from proofbell.app.session.live import Live
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.app.widgets.themes import NAMES, OWN
from tests.pictures.pages import standing_still
from tests.support.bakes import baked
from tests.support.contrast import Cell, Rgb, cells, contrast
from tests.support.kitchen_scene import GUESTHOUSE, app_on, crowd
from tests.support.settling import settled
from tests.support.stage import HandClock

TEXT = 4.5
"""1.4.3 Contrast (minimum)."""
DIGITS = 7.0
"""1.4.6 Contrast (enhanced), kept by what is read from across the room."""
SIGN = 3.0
"""1.4.11 Non-text contrast: bars, marks and curves."""

FRAMES = set("─│╭╮╰╯┌┐└┘━┄▁▎▔▊")
"""Decoration: frames, rules and a grid's lines, which say nothing that is not written beside them."""

BARS = set("▁▂▃▄▅▆▇")
"""The ends of scroll bars, which are drawn on a ground of their own: where one is in the lines is also written."""

TERMINAL = tuple(name for name in NAMES if name not in {theme.name for theme in OWN})

LARGE = ("error", "hands", "quiet", "proof", "warning", "accent", "foreground")
"""The colours of large digits and of the letters and words beside them."""

Look = Callable[[Pilot[int], ProofbellApp], Awaitable[None]]


@pytest.mark.parametrize(
    ("ink", "paper", "ratio"),
    [
        ((0, 0, 0), (255, 255, 255), 21.0),
        ((119, 119, 119), (255, 255, 255), 4.48),
        ((118, 118, 118), (255, 255, 255), 4.54),
    ],
)
def test_the_ratio_is_the_published_one(ink: Rgb, paper: Rgb, ratio: float) -> None:
    """21 is in the definition; of the greys #777 and #767676 on white it is well known, here from memory."""
    assert contrast(ink, paper) == pytest.approx(ratio, abs=0.005)


@asynccontextmanager
async def kitchen(folder: Path) -> AsyncIterator[tuple[Pilot[int], ProofbellApp]]:
    """Five doughs on the bench, one of them over, and two bakes in the journal."""
    clock, keeper = HandClock(), JournalKeeper(folder / "journal.sqlite")
    live = Live(clock, keeper, GUESTHOUSE)
    for bake in ("first", "second"):
        await baked(live, clock, bake)
        clock.forward(86_400)
    await crowd(live, clock, 5)
    clock.forward(1500)
    app = app_on(live, kitchen_file=folder / "kitchen.toml")
    with standing_still():
        async with app.run_test(size=(80, 24)) as pilot:
            await settled(pilot)
            yield pilot, app
    keeper.close()


async def home(pilot: Pilot[int], app: ProofbellApp) -> None:
    """Back on the bench."""
    while app.screen is not app.bench:
        app.pop_screen()
        await settled(pilot)


async def every_look(pilot: Pilot[int], app: ProofbellApp, look: Callable[[str], Awaitable[None]]) -> None:
    """Open each page and look at it."""
    await look("what the bench asks")
    await home(pilot, app)
    await look("bench")
    for action in (
        "far",
        "reading",
        "note",
        "size",
        "weigh_out",
        "why",
        "log",
        "start",
        "plan",
        "journal",
        "kitchen",
        "timer",
    ):
        await app.bench.run_action(action)
        await settled(pilot)
        await look(action)
        if isinstance(app.screen, FarView):
            app.screen.moment(app.live.board(), lit=True)
            await settled(pilot)
            await look("far, lit")
        await home(pilot, app)
    live, none = app.live, Path("none.toml")
    pages = {
        **{view: BakeScreen(live, "first", view=view) for view in VIEWS},
        "compare": CompareScreen(live, "first", "second"),
        "learned": LearnedScreen(live),
        "probe": ProbeScreen(live, none),
        "first start": FirstStartScreen(live, none, {}),
        "recipe": RecipeScreen(live, none, None, lambda *_: None),
    }
    for name, page in pages.items():
        await app.push_screen(page)
        await settled(pilot)
        await look(name)
        await home(pilot, app)


def wanted(app: ProofbellApp, cell: Cell) -> float:
    """The least contrast for what stands in a cell."""
    if cell.glyph in FRAMES:
        return 0.0
    if cell.glyph in "█▀▄" and any(
        part.region.contains(cell.x, cell.y) for part in app.screen.query(f"{Far.__name__}, {InHand.__name__}")
    ):
        return DIGITS
    return SIGN if "▀" <= cell.glyph <= "▟" or "─" <= cell.glyph <= "╿" else TEXT


@pytest.mark.parametrize("theme", OWN, ids=lambda theme: theme.name)
def test_large_digits_stand_out_in_each_colour(theme: Theme) -> None:
    colours = theme.to_color_system().generate() | theme.variables
    ground = Color.parse(colours["background"]).rgb
    ratios = {name: contrast(Color.parse(colours[name]).rgb, ground) for name in LARGE}
    assert min(ratios.values()) >= DIGITS, ratios
    assert contrast(ground, Color.parse(colours["error"]).rgb) >= DIGITS, "the far view, lit"


@pytest.mark.parametrize("theme", [theme.name for theme in OWN])
async def test_text_and_digits_stand_out(theme: str, tmp_path: Path) -> None:
    faint: set[str] = set()
    async with kitchen(tmp_path) as (pilot, app):
        app.theme = theme
        await settled(pilot)

        async def look(name: str) -> None:
            for cell in cells(app):
                assert cell.ink is not None
                assert cell.paper is not None
                if (ratio := contrast(cell.ink, cell.paper)) < wanted(app, cell):
                    faint.add(f"{name}: {cell.glyph} {ratio:.2f} {cell.ink} on {cell.paper}")

        await every_look(pilot, app, look)
    assert not faint


@pytest.mark.parametrize("theme", TERMINAL)
async def test_in_the_terminals_own_colours_nothing_has_a_ground_of_its_own(theme: str, tmp_path: Path) -> None:
    """Only the terminal's owner knows how its colours stand out from one another; from its ground each does."""
    found: set[str] = set()
    async with kitchen(tmp_path) as (pilot, app):
        app.theme = theme
        await settled(pilot)

        async def look(name: str) -> None:
            own = [cell for cell in cells(app) if cell.paper_name != "default" and cell.glyph not in BARS]
            found.update(f"{name}: {cell.glyph} on {cell.paper_name}" for cell in own)

        await every_look(pilot, app, look)
    assert not found


@pytest.mark.parametrize("theme", TERMINAL)
async def test_in_the_terminals_own_colours_what_stands_out_is_reversed(theme: str, tmp_path: Path) -> None:
    async with kitchen(tmp_path) as (pilot, app):
        app.theme = theme
        await home(pilot, app)

        await app.bench.run_action("kitchen")
        await settled(pilot)
        chosen = {cell.y for cell in cells(app) if cell.reverse and cell.glyph not in BARS}
        assert chosen == {1}, "the row under the cursor"
        await home(pilot, app)

        await app.bench.run_action("timer")
        await settled(pilot)
        await pilot.press(*"rice", "left")
        await settled(pilot)
        assert [cell.glyph for cell in cells(app) if cell.reverse] == ["e"], "the cursor in a field"
        await home(pilot, app)

        await app.bench.run_action("far")
        await settled(pilot)
        assert isinstance(app.screen, FarView)
        app.screen.moment(app.live.board(), lit=True)
        await settled(pilot)
        assert all(cell.reverse for cell in cells(app)), "the far view, lit"
