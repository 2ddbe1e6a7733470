"""What could not be stored when it was said: handed in again, in order, until it is on the disk."""

from __future__ import annotations

import asyncio
from pathlib import Path

from proofbell.app.session.bench_states import BenchStates, taken_words
from proofbell.app.session.saving.keeper import Keeper
from proofbell.app.session.saving.unsaved import Unsaved
from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide, decided
from proofbell.bake.decisions.joining import joined, shared
from proofbell.bake.events import Event
from proofbell.bake.intents import Refused
from proofbell.bake.state import BakeState
from proofbell.bench.board import free_letter
from proofbell.clock import Clock
from proofbell.errors import Failure
from proofbell.journal.faults import FileGone, LetterTaken, StaleDecision
from proofbell.journal.recovery.known import write_known
from proofbell.journal.reviews.wording import event_words
from proofbell.words import counted

TRIES = 20
"""How often it is tried anew because somebody else was first."""


class HandingIn:
    """Hands in what is ``unsaved`` of the bakes."""

    def __init__(self, clock: Clock, keeper: Keeper, bakes: BenchStates, unsaved: Unsaved) -> None:
        self._clock = clock
        self._keeper = keeper
        self._bakes = bakes
        self._unsaved = unsaved
        self._aside: tuple[Path, dict[str, str]] | None = None

    async def save(self) -> bool:
        """Hand in what is unsaved, bake by bake, in the order in which it began to be. What fails is tried again.

        Keys are taken meanwhile: a disk that does not answer holds up nothing. True: the file was gone, and was begun
        anew.
        """
        if not self._unsaved:
            return False
        for bake in self._unsaved.bakes:
            try:
                stored = await self._complete(bake)
            except Failure as fault:
                self._unsaved.failed(fault)
                begun_anew = isinstance(fault, FileGone) and await self._keeper.reopen()
                if begun_anew:
                    # What the file there has of each bake is for the file to say.
                    for state in self._bakes.shown(self._unsaved):
                        self._unsaved.add(state.id, 0)
                return begun_anew
            self._unsaved.saved(bake, stored, self._bakes.known(bake).last.number)
        if not self._unsaved:
            self._bakes.tell("All is saved again.")
        return False

    async def _complete(self, bake: str) -> int:
        """Have the file hold the bake as it is known here; the number of the last event that it holds.

        Raises:
            Failure: it could not be written.
        """
        for _ in range(TRIES):
            state = self._bakes.known(bake)
            try:
                return await self._keeper.complete(state.events)
            except StaleDecision:
                async with self._bakes.one_at_a_time:
                    await self._join(bake)
            except LetterTaken as taken:
                async with self._bakes.one_at_a_time:
                    self._take_letter(bake, taken)
        raise Failure("Other programs keep writing to this journal.", "Proofbell keeps trying.", status=1)

    async def _join(self, bake: str) -> None:
        """Put what is unsaved behind what another program has stored of this bake."""
        theirs = await self._keeper.read(bake)
        mine = self._bakes.known(bake)
        unsaved = mine.events[shared(mine.events, theirs.events) :]
        self._bakes.put(joined(theirs, unsaved, lambda event: _said_in_vain(event, mine)))

    def _take_letter(self, bake: str, taken: LetterTaken) -> None:
        state = self._bakes.known(bake)
        letter = free_letter({*taken.taken, *self._bakes.letters(but=bake)})
        if letter is None:
            raise taken
        decision = decide(state, intents.TakeLetter(letter, taken_words(state.letter)), self._clock.stamp())
        if isinstance(decision, Refused):
            raise taken
        after = decided(state, decision)
        self._bakes.put(after)
        self._bakes.tell_letter(state, after)

    async def write_known(self, path: Path) -> str:
        """Write every bake of the bench into a journal of its own; what came of it, in words.

        Raises:
            Failure: it cannot be written there.
        """
        states = self._bakes.all
        await asyncio.to_thread(write_known, path, [state.events for state in states])
        self._aside = path, {state.id: state.last.digest for state in states}
        return f"{counted(len(states), 'bake')} written. To bring them back: proofbell journal restore {path}"

    @property
    def aside(self) -> Path | None:
        """The other file that holds all that is unsaved, if one was written and nothing came since."""
        if self._aside is None:
            return None
        path, last = self._aside
        holds = all(self._bakes.known(bake).last.digest == last.get(bake) for bake in self._unsaved.bakes)
        return path if holds else None


def _said_in_vain(event: Event, state: BakeState) -> str:
    return f"Entered while nothing could be saved, and no longer possible: {event_words(event.body, state.formula)}"
