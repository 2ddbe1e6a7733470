"""Looks after the files of a bench between the ticks: its journal, its kitchen's file, its formulas' files."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from pathlib import Path

from proofbell.app.session.formulas.watch import FormulaWatch
from proofbell.app.session.live import Live
from proofbell.app.session.refusal_words import in_words
from proofbell.app.session.saving.journal_watch import JournalWatch
from proofbell.app.session.troubles import ABOUT, Troubles
from proofbell.errors import Failure


class Upkeep:
    """One look at a time, however slow the disk. ``kitchen``: where its facts come from; None: from no file.

    ``inform`` says what nobody asked for; ``saved`` is called when all is saved again.
    """

    def __init__(
        self,
        live: Live,
        journal: JournalWatch,
        formulas: FormulaWatch,
        troubles: Troubles,
        kitchen: Path | None,
        *,
        inform: Callable[[str], None],
        saved: Callable[[], None],
    ) -> None:
        self._live, self._journal, self._formulas, self._troubles = live, journal, formulas, troubles
        self._kitchen = kitchen
        self._inform, self._saved = inform, saved
        self._look: asyncio.Task[None] | None = None

    def begin(self, real_us: int) -> None:
        """Begin a look, unless the one before still waits for the disk."""
        if self._look is None or self._look.done():
            self._look = asyncio.get_running_loop().create_task(self._look_round(real_us))

    async def looked_round(self) -> None:
        """Wait until the look that was begun last is over."""
        if self._look is not None:
            await self._look

    async def _look_round(self, real_us: int) -> None:
        unsaved = bool(self._live.unsaved)
        await self._journal.look_round(real_us)
        if unsaved and not self._live.unsaved:
            self._saved()
        if self._kitchen is not None:
            await self._look_at_kitchen(self._kitchen, real_us)
            news = await self._formulas.news(self._live.states, real_us)
            if news:
                self._inform(news)

    async def _look_at_kitchen(self, path: Path, real_us: int) -> None:
        before = self._live.kitchen
        try:
            if await self._live.kitchen_owner.look_again(path, real_us):
                self._troubles.over("kitchen")
        except Failure as failure:
            self._troubles.tell("kitchen", ABOUT, f"{in_words(failure)} What it said before holds", until_seen=True)
        if self._live.kitchen != before:
            self._inform("The kitchen file was changed: what it says now holds.")
