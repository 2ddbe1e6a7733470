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
        """Choose a formula and its size."""
        from proofbell.app.start.start_screen import StartScreen

        return StartScreen(live, files, first=first, take=take)

    def recipe(self, live: Live, folder: Path, keep: Path | None, written: Written) -> Shown:
        """Make a formula of a recipe."""
        from proofbell.app.recipe.recipe_screen import RecipeScreen

        return RecipeScreen(live, folder, keep, written)

    def plan(self, live: Live) -> Shown:
        """Plan several doughs."""
        from proofbell.app.plan.plan_screen import PlanScreen

        return PlanScreen(live)

    def journal(self, live: Live) -> Shown:
        """Every bake ever made."""
        from proofbell.app.journal.journal_screen import JournalScreen

        return JournalScreen(live)

    def kitchen(self, live: Live, path: Path) -> Shown:
        """Open the kitchen page."""
        from proofbell.app.kitchen.kitchen_screen import KitchenScreen

        return KitchenScreen(live, path)

    def first_start(self, live: Live, path: Path) -> Shown:
        """Ask about a new kitchen."""
        from proofbell.app.kitchen.first_start_screen import FirstStartScreen

        return FirstStartScreen(live, path)

    def learned(self, live: Live) -> Shown:
        """What past bakes say about this kitchen."""
        from proofbell.app.journal.learned_screen import LearnedScreen

        return LearnedScreen(live)

    def weigh_out(self, live: Live, bake: str) -> Shown:
        """What to weigh for a bake."""
        from proofbell.app.weigh.weigh_screen import WeighScreen

        return WeighScreen(live, bake)

    def size(self, live: Live, bake: str) -> Shown:
        """Another size for a bake."""
        from proofbell.app.weigh.size_dialog import SizeDialog

        return SizeDialog(live, bake)

    def edit(self, live: Live, path: Path | None, formula: Formula | None, *, in_editor: bool) -> Shown:
        """Edit a formula's file."""
        from proofbell.app.edit.edit_screen import EditScreen

        return EditScreen(live, path, formula, in_editor=in_editor)

    def why(self, live: Live, bake: str) -> Shown:
        """The working of the time that runs."""
        from proofbell.app.weigh.why_screen import WhyScreen

        return WhyScreen(live, bake)

    def log(self, live: Live, bake: str) -> Shown:
        """The log of a bake on the bench."""
        from proofbell.app.bench.bake_log import BakeLog

        return BakeLog(live, bake)
