"""Pictures of the pages beside the bench, from the bakes of a rehearsed fortnight."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

from proofbell.app.journal.bake_screen import BakeScreen
from proofbell.app.journal.compare_screen import CompareScreen
from proofbell.app.journal.course_screen import CourseScreen
from proofbell.app.journal.journal_screen import JournalScreen
from proofbell.app.journal.learned_screen import LearnedScreen
from proofbell.app.kitchen.kitchen_screen import KitchenScreen
from proofbell.app.kitchen.probe_screen import ProbeScreen
from proofbell.app.plan.plan_screen import PlanScreen
from proofbell.app.recipe.recipe_screen import RecipeScreen
from proofbell.app.session.live import Live
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.app.widgets.page import Page
from proofbell.bake import intents
from proofbell.bake.fermenting.short_rise import rise_wanted
from tests.support.bakes import house, opened, said
from tests.support.kitchen_scene import GUESTHOUSE
from tests.support.plain_frame import FOLDER, plain_frame
from tests.support.stage import FOUR, HandClock, StageApp
from tests.support.year import summaries

NAMES = ("harbour-knots", "quay-pan-loaf", "harbour-knots", "breakwater-flatbread", "lamplighter-loaf")
DOUGHS_C = (24.5, 26.5, 25.0, 27.5, 23.5, 26.0, 25.5, 24.0, 27.0, 25.5)
DAY_S = 86_400.0

KNOTS = ("a", "slash", *"knots", "enter", "b")

TYPED = Path(__file__).parent / "support" / "typed_recipe.json"
"""A recipe that was typed and not saved; nothing is typed into it here, so it stays as it is."""

PAGES: dict[str, tuple[Callable[[Live], Page], str, tuple[str, ...]]] = {
    "journal": (JournalScreen, "night", ()),
    "bake": (lambda live: BakeScreen(live, "bake-05"), "night", ()),
    "bake-readings": (lambda live: BakeScreen(live, "bake-05", view="readings"), "day", ()),
    "bake-changes": (lambda live: BakeScreen(live, "bake-05", view="changes"), "night", ()),
    "score": (lambda live: BakeScreen(live, "bake-05", view="score"), "night", ()),
    "course": (lambda live: CourseScreen(live, "Harbour knots", [*summaries()]), "night", ()),
    "compare": (lambda live: CompareScreen(live, "bake-00", "bake-05"), "night", ()),
    "learned": (LearnedScreen, "night", ()),
    "kitchen": (lambda live: KitchenScreen(live, Path("kitchen.toml")), "night", ()),
    "probe-check": (lambda live: ProbeScreen(live, Path("kitchen.toml")), "night", ("1", "tab", "9", "8")),
    "recipe": (lambda live: RecipeScreen(live, Path("formulas"), TYPED, lambda *_: None), "night", ("tab",)),
    "plan": (
        lambda live: PlanScreen(live, FOUR, better_for_s=0.0),
        "night",
        (*KNOTS, "a", "end", "b", *KNOTS, "r", *"16:30", "enter"),
    ),
}
"""Name to the page, the theme, and the keys pressed."""


async def fortnight(live: Live, clock: HandClock) -> None:
    """Ten bakes, each with its readings, some with a note and a score."""
    for number, dough_c in enumerate(DOUGHS_C):
        bake = await opened(live, f"bake-{number:02d}", house(NAMES[number % len(NAMES)]))
        await said(live, bake, intents.Begin())
        await _through(live, clock, bake, dough_c)
        if number % 3 != 1:
            for line, points in (("volume", 8), ("crust", 7 + number % 3), ("crumb", 6 + number % 4), ("flavour", 9)):
                await said(live, bake, intents.GiveScore(line, points))
        await live.put_away(bake)
        clock.forward(DAY_S)


async def _through(live: Live, clock: HandClock, bake: str, dough_c: float) -> None:
    measured = False
    while (state := live.state(bake)) is not None and state.closed is None:
        index = state.current or 0
        stage = state.stage(index)
        if stage.kind == "proof":
            cold = state.formula.stages[index - 2].kind == "chill"
            value = dough_c if not measured else 6.5 if cold else 24.0
            await said(live, bake, intents.Read("dough temperature", f"{value:g}", value))
            if not measured:
                clock.forward(1500)
                later = value - 0.9
                await said(live, bake, intents.Read("dough temperature", f"{later:g}", later))
                await said(live, bake, intents.AddNote("A little sticky; the yard door was open."))
            measured = True
        if stage.kind == "bake":
            clock.forward(stage.time_s - 60)
            await said(live, bake, intents.Read("core temperature", "92", 92.0))
        state = live.state(bake) or state
        due_s = state.stages[index].due_s or 0.0
        clock.forward(max(0.0, due_s - state.now_s(clock.stamp())) + 40)
        wanted = rise_wanted(stage)
        if wanted is not None:
            rise = sum(wanted) / 2
            await said(live, bake, intents.Read("rise", f"{rise:.0f}", rise))
        await said(live, bake, intents.Done())


async def turned(page: Page, size: tuple[int, int], theme: str, keys: Sequence[str]) -> str:
    """A page after these keys, as SVG."""
    app = StageApp(page)
    async with app.run_test(size=size) as pilot:
        app.theme = theme
        for key in ("", *keys):
            if key:
                await pilot.press(key)
            for _ in range(3):
                await app.workers.wait_for_complete()
                await pilot.pause()
        return app.export_screenshot(title="Proofbell")


async def picture(name: str, live: Live) -> str:
    """One page as it is kept."""
    page, theme, keys = PAGES[name]
    return plain_frame(await turned(page(live), (100, 30), theme, keys))


async def draw(names: list[str]) -> None:
    """Bake for a fortnight, then draw the pages that are named."""
    clock = HandClock()
    with tempfile.TemporaryDirectory() as folder:
        keeper = JournalKeeper(Path(folder) / "journal.sqlite")
        live = Live(clock, keeper, replace(GUESTHOUSE))
        await fortnight(live, clock)
        for name in names:
            text = await picture(name, live)
            (FOLDER / f"{name}.svg").write_text(text, encoding="utf-8")
        keeper.close()
