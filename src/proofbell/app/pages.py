"""The pages that lead to one another. Each is imported when it is first wanted: the bench paints sooner."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from proofbell.app.session.choice import Take, Written
from proofbell.app.session.live import Live
from proofbell.app.widgets.host import Shown
from proofbell.formula.model import Formula


class LatePages:
    """Makes a page; `proofbell.app.preload` names the same modules."""

    def start(self, live: Live, files: Sequence[Path], *, first: bool = False, take: Take | None = None) -> Shown:
        from proofbell.app.start.start_screen import StartScreen

        return StartScreen(live, files, first=first, take=take)

    def recipe(self, live: Live, folder: Path, keep: Path | None, written: Written) -> Shown:
        from proofbell.app.recipe.recipe_screen import RecipeScreen

        return RecipeScreen(live, folder, keep, written)

    def plan(self, live: Live) -> Shown:
        from proofbell.app.plan.plan_screen import PlanScreen

        return PlanScreen(live)

    def journal(self, live: Live) -> Shown:
        from proofbell.app.journal.journal_screen import JournalScreen

        return JournalScreen(live)

    def kitchen(self, live: Live, path: Path) -> Shown:
        from proofbell.app.kitchen.kitchen_screen import KitchenScreen

        return KitchenScreen(live, path)

    def first_start(self, live: Live, path: Path) -> Shown:
        from proofbell.app.kitchen.first_start_screen import FirstStartScreen

        return FirstStartScreen(live, path)

    def learned(self, live: Live) -> Shown:
        from proofbell.app.journal.learned_screen import LearnedScreen

        return LearnedScreen(live)

    def weigh_out(self, live: Live, bake: str) -> Shown:
        from proofbell.app.weigh.weigh_screen import WeighScreen

        return WeighScreen(live, bake)

    def size(self, live: Live, bake: str) -> Shown:
        from proofbell.app.weigh.size_dialog import SizeDialog

        return SizeDialog(live, bake)

    def edit(self, live: Live, path: Path | None, formula: Formula | None, *, in_editor: bool) -> Shown:
        from proofbell.app.edit.edit_screen import EditScreen

        return EditScreen(live, path, formula, in_editor=in_editor)

    def why(self, live: Live, bake: str) -> Shown:
        from proofbell.app.weigh.why_screen import WhyScreen

        return WhyScreen(live, bake)

    def log(self, live: Live, bake: str) -> Shown:
        from proofbell.app.bench.bake_log import BakeLog

        return BakeLog(live, bake)
