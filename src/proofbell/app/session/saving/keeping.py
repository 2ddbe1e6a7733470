"""The journal as the app uses it: awaited, in a thread of its own, and never for longer than a baker would wait."""

from __future__ import annotations

import asyncio
import sqlite3
import threading
from collections.abc import Callable, Collection, Sequence
from pathlib import Path
from typing import Any, TypeVar

from proofbell.app.session.saving.keeper import OpenJournal
from proofbell.bake.asking.timer import Over, Timer
from proofbell.bake.events import Event
from proofbell.bake.fold import fold
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.steps import ImpossibleError
from proofbell.errors import Failure
from proofbell.journal.faults import CannotRead, LetterTaken, SavingUnknown, StaleDecision
from proofbell.journal.recovery.known import holds_all_of
from proofbell.journal.recovery.rotation import rotate_in_steps
from proofbell.journal.recovery.verify import damage
from proofbell.journal.storage import timers
from proofbell.journal.storage.store import Journal
from proofbell.journal.storage.writer import JournalThread, Steps
from proofbell.words import sentence

T = TypeVar("T")

PATIENCE_S = 5.0
"""A disk that has not answered for so long is gone on without; what it was to store is handed in again later."""

BUSY_S = 2.0
"""So long another program that is writing is waited for; then what was to be saved is kept, and tried again."""

UNKNOWN = -1
"""The version of a journal of which nothing was read yet."""

LOOKED_THROUGH_BYTES = 256 * 1024 * 1024
"""A longer journal (15,000 bakes) is not looked through unasked: the copy that is checked would take that much memory.
"""


class JournalKeeper:
    """Appends to the journal and reads live bakes from it, off the screen's thread."""

    def __init__(self, path: Path, *, patience_s: float = PATIENCE_S) -> None:
        self.path = path
        self._thread = JournalThread(path, wait_s=BUSY_S)
        self.patience_s = patience_s
        self._version = UNKNOWN
        self.unread: dict[str, Failure] = {}
        self.timers: tuple[Timer, ...] = ()

    @property
    def journal(self) -> OpenJournal:
        return self

    async def ask(self, job: Callable[[Journal], T]) -> T:
        """Run a job in the journal's thread and wait for its answer."""
        return await asyncio.wrap_future(self._thread.submit(job))

    async def ask_long(self, job: Callable[[Journal], Steps[T]]) -> T:
        """Run long work step by step, between what is to be saved. Whoever stops waiting ends it."""
        return await asyncio.wrap_future(self._thread.submit_long(job))

    async def _soon(self, job: Callable[[Journal], T]) -> T:
        """As `ask`, but not for ever.

        Raises:
            SavingUnknown: the disk does not answer; the job may still be done, later.
            Failure: whatever the journal says, also where SQLite says it in words of its own.
        """
        answer = asyncio.wrap_future(self._thread.submit(job))
        answer.add_done_callback(_heard)
        try:
            return await asyncio.wait_for(asyncio.shield(answer), self.patience_s)
        except TimeoutError as error:
            raise SavingUnknown(
                f"the disk with {self.path} has not answered for {self.patience_s:.0f} s",
                "check that it is still connected",
            ) from error
        except sqlite3.Error as error:
            raise CannotRead(
                f"the journal cannot be read: {error}", "run proofbell journal verify to see more"
            ) from error

    @property
    def warning(self) -> str:
        """What a baker should know about this journal, a sentence; empty when all is well or nothing was asked yet."""
        return sentence(self._thread.warning)

    async def append(self, events: Sequence[Event], expected_last: int) -> None:
        try:
            await self._soon(lambda journal: journal.append(events, expected_last))
        except (StaleDecision, LetterTaken):
            # What is there may have come from here and not have been taken into memory: it is to be read anyway.
            self._version = UNKNOWN
            raise

    async def complete(self, events: Sequence[Event]) -> int:
        """Have the journal hold all these events of a bake."""
        return await self._soon(lambda journal: journal.complete(events))

    async def keep_timer(self, timer: Timer) -> None:
        await self._soon(lambda journal: timers.keep(journal, timer))
        self.timers = (*self.timers, timer)

    async def end_timer(self, timer: Timer, how: Over, now: Stamp) -> None:
        """Return once it is on the disk; another window may have been first."""
        await self._soon(lambda journal: timers.end(journal, timer, how, now))
        self.timers = tuple(one for one in self.timers if one.id != timer.id)

    async def read(self, bake: str) -> BakeState:
        return await self._soon(lambda journal: fold(journal.events_of(bake)))

    async def back_up(self) -> str:
        """Copy the journal into the next of its backups, between what is to be saved."""
        made = await self.ask_long(lambda journal: rotate_in_steps(journal.path))
        return made.words if made.failed else ""

    async def is_damaged(self) -> bool:
        """Look through the whole file in a thread beside the journal's own. Whoever stops waiting ends it."""
        left_off = threading.Event()
        try:
            return await asyncio.to_thread(_is_damaged, self.path, lambda: not left_off.is_set())
        finally:
            left_off.set()

    async def holds(self, file: Path) -> bool:
        return await self._soon(lambda journal: holds_all_of(journal, file))

    async def in_place(self) -> bool:
        """Whether the file that was opened still has its name."""
        return await self._soon(lambda journal: journal.is_where_it_was())

    async def reopen(self) -> bool:
        """Let go of a file that was removed or replaced, and open what is at its path now; made where nothing is.

        A folder that is gone is not made again: it may be a disk that will be plugged in again.
        """
        if not await asyncio.to_thread(self.path.parent.is_dir):
            return False
        self._thread.forget()
        self._version = UNKNOWN
        return True

    async def take_up(self) -> tuple[BakeState, ...]:
        """The bakes that are not closed. One that cannot be read is named in ``unread`` and keeps no other away."""
        self._version = await self._soon(lambda journal: journal.data_version())
        return await self._read(())

    async def changed(self, known: Collection[str]) -> tuple[BakeState, ...]:
        """The live bakes and the known ones again, if another program has added to the journal."""
        version = await self._soon(lambda journal: journal.data_version())
        if version == self._version:
            return ()
        self._version = version
        return await self._read(known)

    async def _read(self, known: Collection[str]) -> tuple[BakeState, ...]:
        (states, self.unread), self.timers = await self._soon(
            lambda journal: (_folded(journal, known), timers.running(journal))
        )
        return states

    async def saw(self, stamp: Stamp) -> Stamp | None:
        def look(journal: Journal) -> Stamp | None:
            before = journal.last_seen()
            journal.saw(stamp)
            return before

        return await self._soon(look)

    def close(self) -> None:
        self._thread.close()


def _is_damaged(path: Path, go_on: Callable[[], bool]) -> bool:
    try:
        return path.stat().st_size <= LOOKED_THROUGH_BYTES and bool(damage(path, go_on))
    except (OSError, Failure):
        # What keeps it from being opened now is told by whoever has it open.
        return False


def _heard(answer: asyncio.Future[Any]) -> None:
    """Nobody waits for a late answer any more; its fault was told when the patience ran out."""
    if not answer.cancelled():
        answer.exception()


def _folded(journal: Journal, known: Collection[str]) -> tuple[tuple[BakeState, ...], dict[str, Failure]]:
    """The live bakes and the known ones; and which of them cannot be read, and why."""
    states: list[BakeState] = []
    unread: dict[str, Failure] = {}
    live = journal.live_bakes()
    for bake in [*live, *(bake for bake in known if bake not in live)]:
        try:
            states.append(fold(journal.events_of(bake)))
        except Failure as failure:
            unread[bake] = failure
        except ImpossibleError as error:
            unread[bake] = Failure(
                f"the log of bake {bake} makes no sense: {error}", "run proofbell journal verify to see more", status=1
            )
    return tuple(states), unread
