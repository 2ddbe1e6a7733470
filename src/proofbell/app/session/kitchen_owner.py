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

Mark = tuple[int, int, int]
"""Time, size and number of a file: another one, or a file that was written, has others."""

EVERY_US = 3_000_000
"""How often the file is looked at: somebody who has just written it waits for it."""


class KitchenOwner:
    """The one holder of the facts: what its file says, however it came there. Its units are those of every number."""

    def __init__(self, facts: Kitchen) -> None:
        self._facts = facts
        use(facts.units)
        self._listeners: list[Changed] = []
        self._mark: Mark | None = None
        self._next_us = 0

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
        await self._take_up(path, await asyncio.to_thread(_mark, path))

    async def look_again(self, path: Path, real_us: int) -> bool:
        """Take up what another program, or an editor, has written into the file; whether it was read again.

        Raises:
            Failure: the file is another now and cannot be read, or is faulty; the facts stay as they were. Once.
        """
        if real_us < self._next_us:
            return False
        self._next_us = real_us + EVERY_US
        mark = await asyncio.to_thread(_mark, path)
        if mark is None or mark == self._mark:
            return False
        first, self._mark = self._mark is None, mark
        if not first:
            await self._take_up(path, mark)
        return not first

    async def _take_up(self, path: Path, mark: Mark | None) -> None:
        facts = await asyncio.to_thread(load_kitchen, path)
        before, self._facts, self._mark = self._facts, facts, mark
        use(facts.units)
        if facts != before:
            for changed in self._listeners:
                changed(before, facts)


def _mark(path: Path) -> Mark | None:
    """The mark of a file; None where there is none now: one that is being replaced, or was taken away."""
    try:
        status = path.stat()
    except OSError:
        return None
    return status.st_mtime_ns, status.st_size, status.st_ino
