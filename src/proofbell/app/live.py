"""The bakes that are on, and the only way to change one: decide, store, and only then show.

Nothing here draws. Screens ask for the board; keys become intents; an intent is decided by the core, its events are
on the disk before the state that the screen sees moves on.
"""

from __future__ import annotations

import asyncio
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import Protocol

from proofbell import __version__
from proofbell.bake import intents
from proofbell.bake.batch import Batch
from proofbell.bake.decide import Decision, decide, decided
from proofbell.bake.events import Event
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bench.board import Board, board, free_letter
from proofbell.clock import Clock
from proofbell.formula.fault import Refusal
from proofbell.formula.model import Formula
from proofbell.journal.faults import StaleDecision
from proofbell.journal.wording import value_words
from proofbell.kitchen.model import Kitchen


class Keeper(Protocol):
    """Whoever keeps the events: the journal, or nobody in a rehearsal."""

    @property
    def unread(self) -> Mapping[str, Refusal]:
        """The live bakes that cannot be read, each with why; as of the last look."""
        ...

    async def append(self, events: Sequence[Event], expected_last: int) -> None:
        """Return once the events are on the disk.

        Raises:
            Refusal: they are not, in plain words.
        """
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

    def close(self) -> None:
        """Finish what is under way."""
        ...


class Nobody:
    """Keeps nothing: for rehearsals."""

    unread: Mapping[str, Refusal] = MappingProxyType({})

    async def append(self, events: Sequence[Event], expected_last: int) -> None:
        """Forget them."""

    async def take_up(self) -> tuple[BakeState, ...]:
        """There is nothing to take up."""
        return ()

    async def changed(self, known: Collection[str]) -> tuple[BakeState, ...]:  # noqa: ARG002 - nobody else is there
        """Nobody else is there."""
        return ()

    async def saw(self, stamp: Stamp) -> Stamp | None:  # noqa: ARG002 - nothing is remembered
        """Forget it."""
        return None

    def close(self) -> None:
        """Nothing is under way."""


class Live:
    """All live bakes, in order of letters."""

    def __init__(self, clock: Clock, keeper: Keeper, kitchen: Kitchen, *, rehearsal: bool = False) -> None:
        self.clock = clock
        self.keeper = keeper
        self.kitchen = kitchen
        self.rehearsal = rehearsal
        self.saving = False
        self._states: dict[str, BakeState] = {}
        self._news: list[str] = []
        self._one_at_a_time = asyncio.Lock()

    @property
    def states(self) -> tuple[BakeState, ...]:
        """The bakes on the bench, those just finished included until they are put away."""
        return tuple(sorted(self._states.values(), key=lambda state: (state.letter, state.id)))

    def state(self, bake: str) -> BakeState | None:
        """One bake, if it is on the bench."""
        return self._states.get(bake)

    def board(self, now: Stamp | None = None) -> Board:
        """The bench at ``now``, or this moment."""
        return board(self.states, now or self.clock.stamp())

    async def take_up(self) -> None:
        """Take up what was live when the program last ran, and note how long it was away.

        Raises:
            Refusal: the journal cannot be read, or cannot be written to; what could be read is on the bench.
        """
        now = self.clock.stamp()
        for state in await self.keeper.take_up():
            self._states[state.id] = state
        seen = await self.keeper.saw(now)
        for state in self.states:
            if seen is not None:
                since = replace(state.timeline, anchor=seen, run_us=0)
                await self.say(state.id, intents.Back(since.at(now) / 1_000_000))

    async def look_again(self) -> None:
        """See what another program has added meanwhile, and log it when somebody has set the clock.

        Raises:
            Refusal: the journal cannot be read or written.
        """
        async with self._one_at_a_time:
            await self._take_in()
        now = self.clock.stamp()
        for state in self.states:
            if state.closed is None and state.timeline.clock_set_by_us(now):
                await self.say(state.id, intents.Look())

    async def _take_in(self) -> None:
        """Take over what another program has added; readings among it are kept in words for `news`."""
        known = [bake for bake, state in self._states.items() if state.closed is None]
        for state in await self.keeper.changed(known):
            before = self._states.get(state.id)
            self._states[state.id] = state
            if before is not None:
                self._news += [f"{state.letter}: {words} came in." for words in _readings_since(before, state)]

    def news(self) -> tuple[str, ...]:
        """The readings that came from outside since this was last asked, each once."""
        told, self._news = tuple(self._news), []
        return told

    async def open(
        self,
        bake: str,
        formula: Formula,
        batch: Batch,
        *,
        start_in_s: float | None = None,
        ready_in_s: float | None = None,
        kitchen: Kitchen | None = None,
    ) -> BakeState | Refused:
        """Bring a bake onto the bench. ``kitchen`` is this kitchen with what past bakes showed of it."""
        letter = free_letter(self.states)
        if letter is None:
            return Refused("The bench holds twelve bakes.", "Finish one or give one up first.")
        self._put_away(letter)
        opening = intents.Open(
            bake, letter, formula, batch, kitchen or self.kitchen, __version__, start_in_s, ready_in_s
        )
        refused = await self.say(bake, opening)
        return refused or self._states[bake]

    async def say(self, bake: str, intent: Intent) -> Refused | None:
        """Decide, store, then show. Returns why not, or None.

        Raises:
            Refusal: the events could not be stored.
        """
        async with self._one_at_a_time:
            state = self._states.get(bake)
            decision = decide(state, intent, self.clock.stamp())
            if isinstance(decision, Refused):
                return decision
            self.saving = True
            try:
                await self.keeper.append(decision, 0 if state is None else state.last.number)
            except StaleDecision:
                await self._take_in()
                if bake in self.keeper.unread:
                    raise self.keeper.unread[bake] from None
                return Refused("Changed in the other window meanwhile: look, then press again.")
            finally:
                self.saving = False
            self._states[bake] = decided(state, decision)
        return None

    def preview(self, bake: str, intent: Intent) -> Decision:
        """What an intent would make happen if it were said now. Nothing is changed."""
        return decide(self._states.get(bake), intent, self.clock.stamp())

    def put_away(self, bake: str) -> None:
        """Take a closed bake off the bench; it stays in the journal."""
        state = self._states.get(bake)
        if state is not None and state.closed is not None:
            del self._states[bake]

    def _put_away(self, letter: str) -> None:
        for state in self.states:
            if state.letter == letter and state.closed is not None:
                del self._states[state.id]


def _readings_since(before: BakeState, after: BakeState) -> list[str]:
    """``dough temperature 26.5 °C``, for each reading that ``before`` did not know."""
    known = {reading.number for reading in before.readings}
    new = [reading for reading in after.readings if reading.number not in known]
    return [f"{reading.what} {value_words(reading.what, reading.value, reading.eye)}" for reading in new]
