"""The journal as the app uses it: awaited, in a thread of its own."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Collection, Sequence
from pathlib import Path
from typing import TypeVar

from proofbell.bake.events import Event
from proofbell.bake.fold import ImpossibleError, fold
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.formula.fault import Refusal
from proofbell.journal.store import Journal
from proofbell.journal.writer import JournalThread, Steps

T = TypeVar("T")


class JournalKeeper:
    """Appends to the journal and reads live bakes from it, off the screen's thread."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._thread = JournalThread(path)
        self._version = -1
        self.unread: dict[str, Refusal] = {}

    async def ask(self, job: Callable[[Journal], T]) -> T:
        """Run a job in the journal's thread and wait for its answer."""
        return await asyncio.wrap_future(self._thread.submit(job))

    async def ask_long(self, job: Callable[[Journal], Steps[T]]) -> T:
        """Run long work step by step, between what is to be saved. Whoever stops waiting ends it."""
        return await asyncio.wrap_future(self._thread.submit_long(job))

    @property
    def warning(self) -> str:
        """What a baker should know about this journal, a sentence; empty when all is well or nothing was asked yet."""
        words = self._thread.warning
        return f"{words[:1].upper()}{words[1:].rstrip('.')}." if words else ""

    async def append(self, events: Sequence[Event], expected_last: int) -> None:
        """Return once the events are on the disk."""
        await self.ask(lambda journal: journal.append(events, expected_last))

    async def take_up(self) -> tuple[BakeState, ...]:
        """The bakes that are not closed. One that cannot be read is named in ``unread`` and keeps no other away."""
        self._version = await self.ask(lambda journal: journal.data_version())
        return await self._read(())

    async def changed(self, known: Collection[str]) -> tuple[BakeState, ...]:
        """The live bakes and the known ones again, if another program has added to the journal."""
        version = await self.ask(lambda journal: journal.data_version())
        if version == self._version:
            return ()
        self._version = version
        return await self._read(known)

    async def _read(self, known: Collection[str]) -> tuple[BakeState, ...]:
        states, self.unread = await self.ask(lambda journal: _folded(journal, known))
        return states

    async def saw(self, stamp: Stamp) -> Stamp | None:
        """Remember that the program ran at ``stamp``."""

        def look(journal: Journal) -> Stamp | None:
            before = journal.last_seen()
            journal.saw(stamp)
            return before

        return await self.ask(look)

    def close(self) -> None:
        """Finish what is under way and close the file."""
        self._thread.close()


def _folded(journal: Journal, known: Collection[str]) -> tuple[tuple[BakeState, ...], dict[str, Refusal]]:
    """The live bakes and the known ones; and which of them cannot be read, and why."""
    states: list[BakeState] = []
    unread: dict[str, Refusal] = {}
    live = journal.live_bakes()
    for bake in [*live, *(bake for bake in known if bake not in live)]:
        try:
            states.append(fold(journal.events_of(bake)))
        except Refusal as refusal:
            unread[bake] = refusal
        except ImpossibleError as error:
            unread[bake] = Refusal(
                f"the log of bake {bake} makes no sense: {error}", "proofbell journal verify says more", status=1
            )
    return tuple(states), unread
