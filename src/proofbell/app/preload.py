"""Reads in, while nobody presses a key, the code of the screens that the bench leads to: it paints sooner without.

Their first key then opens them about as fast as every later one.
"""

from __future__ import annotations

import importlib

AFTER_S = 1.5
"""The bench is painted and has taken up its bakes by then."""

SCREENS = (
    "start.start_screen",
    "recipe.recipe_screen",
    "journal.journal_screen",
    "journal.learned_screen",
    "weigh.weigh_screen",
    "weigh.why_screen",
    "weigh.size_dialog",
    "edit.edit_screen",
    "plan.plan_screen",
    "kitchen.kitchen_screen",
    "bench.bake_log",
)


def read_ahead() -> None:
    """Import them one after the other; for a thread of its own, so that keys go on meanwhile."""
    for name in SCREENS:
        importlib.import_module(f"proofbell.app.{name}")
