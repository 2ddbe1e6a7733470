"""Whoever keeps the events of the bench: the journal, or nobody in a rehearsal."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import Protocol, TypeVar

from proofbell.bake.asking.timer import Over, Timer
from proofbell.bake.events import Event
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.errors import Failure
from proofbell.journal.storage.store import Journal
from proofbell.journal.storage.writer import Steps

T = TypeVar("T")


class OpenJournal(Protocol):
    """A journal on the disk, to be looked into: jobs run in its own thread, one after the other."""

    @property
    def path(self) -> Path: ...

    async def ask(self, job: Callable[[Journal], T]) -> T: ...

    async def ask_long(self, job: Callable[[Journal], Steps[T]]) -> T:
        """Run long work step by step, between what is to be saved. Whoever stops waiting ends it."""
        ...


class Keeper(Protocol):
    """Keeps events, and gives live bakes back. Each method raises Failure, in plain words, where it cannot."""

    @property
    def unread(self) -> Mapping[str, Failure]:
        """The live bakes that cannot be read, each with why; as of the last look."""
        ...

    @property
    def timers(self) -> Sequence[Timer]:
        """The baker's own timers that run; as of the last look, and of what was kept since."""
        ...

    @property
    def journal(self) -> OpenJournal | None:
        """The journal behind it; None where nothing is kept."""
        ...

    @property
    def warning(self) -> str:
        """What a baker should know about where the events are kept, a sentence; empty when all is well."""
        ...

    async def append(self, events: Sequence[Event], expected_last: int) -> None:
        """Return once the events of one decision are on the disk.

        Raises:
            StaleDecision, LetterTaken: somebody else was first; nothing is stored.
        """
        ...

    async def complete(self, events: Sequence[Event]) -> int:
        """Store whatever of a bake's events, all of them given, is not stored yet; the number of the last one stored.

        Raises:
            StaleDecision: others follow there.
            LetterTaken: another bake has its letter.
        """
        ...

    async def keep_timer(self, timer: Timer) -> None:
        """Return once a timer is on the disk."""
        ...

    async def end_timer(self, timer: Timer, how: Over, now: Stamp) -> None:
        """Return once it is on the disk that a timer is over."""
        ...

    async def read(self, bake: str) -> BakeState: ...

    async def back_up(self) -> str:
        """Make a backup when there is time for it; why there should be one and is none, or nothing."""
        ...

    async def is_damaged(self) -> bool:
        """Look through the whole file, without holding up anything: whether it is damaged anywhere."""
        ...

    async def holds(self, file: Path) -> bool:
        """Whether all that another journal holds is kept here."""
        ...

    async def in_place(self) -> bool:
        """Whether what was opened is still where it was: a file can be removed while it is open."""
        ...

    async def reopen(self) -> bool:
        """Begin anew with a file that was lost or replaced; False while its folder is gone."""
        ...

    async def take_up(self) -> tuple[BakeState, ...]:
        """The bakes that were live when the program was last seen."""
        ...

    async def changed(self, known: Collection[str]) -> tuple[BakeState, ...]:
        """The live bakes and the ``known`` ones again, if another program has added something; empty when not."""
        ...

    async def saw(self, stamp: Stamp) -> Stamp | None:
        """Remember that the program ran at ``stamp``; returns the moment remembered before."""
        ...

    def close(self) -> None: ...


class Nobody:
    """Keeps nothing: for rehearsals."""

    unread: Mapping[str, Failure] = MappingProxyType({})
    journal: OpenJournal | None = None
    warning = ""
    timers: Sequence[Timer] = ()

    async def keep_timer(self, timer: Timer) -> None:
        self.timers = (*self.timers, timer)

    async def end_timer(self, timer: Timer, how: Over, now: Stamp) -> None:  # noqa: ARG002 - nobody asks how it ended
        self.timers = tuple(one for one in self.timers if one.id != timer.id)

    async def append(self, events: Sequence[Event], expected_last: int) -> None:
        """Forget them."""

    async def complete(self, events: Sequence[Event]) -> int:
        return events[-1].number

    async def read(self, bake: str) -> BakeState:
        raise Failure(f"Bake {bake} is kept nowhere.", status=1)

    async def back_up(self) -> str:
        return ""

    async def is_damaged(self) -> bool:
        return False

    async def holds(self, file: Path) -> bool:  # noqa: ARG002 - nothing is kept
        return False

    async def in_place(self) -> bool:
        return True

    async def reopen(self) -> bool:
        return True

    async def take_up(self) -> tuple[BakeState, ...]:
        return ()

    async def changed(self, known: Collection[str]) -> tuple[BakeState, ...]:  # noqa: ARG002 - nobody else is there
        return ()

    async def saw(self, stamp: Stamp) -> Stamp | None:  # noqa: ARG002 - nothing is remembered
        return None

    def close(self) -> None:
        """Nothing is under way."""
