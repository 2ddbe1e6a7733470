"""Owns the kitchen's facts while the program is open: what the kitchen file says.

Whoever needs a fact asks for it when it is needed, or is told when it changes; nobody keeps a copy. What is typed for
one bake is a layer of that bake's own (`proofbell.kitchen.model.Today`) and never comes here.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from pathlib import Path

from proofbell.kitchen.file import load_kitchen, save_values
from proofbell.kitchen.model import Kitchen
from proofbell.units import use

Changed = Callable[[Kitchen, Kitchen], None]
"""Is told the facts before and after a change."""


class KitchenOwner:
    """The one holder of the facts; only `write` changes them. Numbers are told and typed in its units."""

    def __init__(self, facts: Kitchen) -> None:
        self._facts = facts
        use(facts.units)
        self._listeners: list[Changed] = []

    @property
    def facts(self) -> Kitchen:
        """The kitchen as its file has it now."""
        return self._facts

    def on_change(self, changed: Changed) -> None:
        """Have ``changed`` called after each change."""
        self._listeners.append(changed)

    async def write(self, path: Path, values: Sequence[tuple[str, str]]) -> None:
        """Write settings into the file and take up what it says. A live bake keeps its kitchen but for the oven.

        Raises:
            Failure: a value does not fit, or the file cannot be written; nothing has changed then.
        """
        await asyncio.to_thread(save_values, path, values)
        before, self._facts = self._facts, await asyncio.to_thread(load_kitchen, path)
        use(self._facts.units)
        for changed in self._listeners:
            changed(before, self._facts)
