"""The bakes that are on, and the only way to change one: decide, keep, and only then show.

Nothing here draws. Screens ask for the board; keys become intents; an intent is decided by the core, and its events are
handed to the keeper before the state that the screen sees moves on.

Memory is the second copy. Where the keeper fails, the bench goes on deciding: what it could not store is counted as
unsaved, said, and handed in again, in order, until it is on the disk.
"""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import Mapping
from pathlib import Path
from typing import Literal

from proofbell import __version__
from proofbell.app.session.bench_states import BenchStates, came_back, is_sound, taken_words
from proofbell.app.session.kitchen_owner import KitchenOwner
from proofbell.app.session.saving.handing_in import TRIES, HandingIn
from proofbell.app.session.saving.keeper import Keeper, Nobody
from proofbell.app.session.saving.unsaved import Unsaved
from proofbell.app.session.timers import Timers
from proofbell.bake import intents
from proofbell.bake.decisions.decide import Decision, decide, decided
from proofbell.bake.decisions.still_meant import still_meant
from proofbell.bake.events import AsPlanned, Event, is_letter
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.batch import Batch
from proofbell.bench.board import Board, board, free_letter
from proofbell.bench.oven.heat import also_off
from proofbell.clock import Clock, Pace
from proofbell.errors import Failure
from proofbell.formula.model import Formula
from proofbell.journal.faults import KeptBusy, LetterTaken, StaleDecision
from proofbell.kitchen.model import Kitchen

__all__ = ["Keeper", "Live", "Nobody", "Phase"]
Phase = Literal["reading", "waiting", "unreadable", "read", "ready"]
"""How far the bench is with what was live: being read; another program has the journal; it cannot be read; it can be
shown; it may be asked about."""

BENCH_FULL = Refused("The bench holds twelve bakes.", "Finish one or give one up first.")
CHANGED_ELSEWHERE = Refused("Changed in the other window meanwhile: look, then press again.")


class Live:
    def __init__(
        self, clock: Clock, keeper: Keeper, kitchen: Kitchen, *, rehearsal: bool = False, pace: Pace | None = None
    ) -> None:
        self.clock = clock
        self.keeper = keeper
        self.kitchen_owner = KitchenOwner(kitchen)
        self.rehearsal = rehearsal
        self.pace = pace
        """What moves the clock of a rehearsal; None where the clock is a real one."""
        self.saving = False
        self.phase: Phase = "reading"
        self.read_in = asyncio.Event()
        self.unsaved = Unsaved()
        self.left_at: Path | None = None
        """The file into which the last words of this bench were written, if any had to be."""
        self.begun_anew = False
        """The journal's file was gone, and a new one was begun with what is on the bench."""
        self.not_shown: tuple[str, ...] = ()
        """Bakes that the board cannot be drawn with, by a fault of the program's own; their logs are intact."""
        self._bakes = BenchStates()
        self.timers = Timers(clock, keeper, self._bakes.one_at_a_time, self.say)
        self._handing_in = HandingIn(clock, keeper, self._bakes, self.unsaved)

    @property
    def states(self) -> tuple[BakeState, ...]:
        """The bakes on the bench, those just finished included until they are put away."""
        return self._bakes.shown(self.unsaved)

    @property
    def unread(self) -> Mapping[str, Failure]:
        """The bakes of the bench that cannot be read, each with why; of one that was put away nobody need know."""
        away = {state.id for state in self._bakes.all} - {state.id for state in self.states}
        return {bake: fault for bake, fault in self.keeper.unread.items() if bake not in away}

    @property
    def kitchen(self) -> Kitchen:
        """The kitchen's facts as they are now; its owner alone changes them."""
        return self.kitchen_owner.facts

    def state(self, bake: str) -> BakeState | None:
        """One bake; also one that was put away a while ago."""
        return self._bakes.get(bake)

    def board(self, now: Stamp | None = None) -> Board:
        """The bench at ``now``, or this moment. A bake that breaks it is left out, and named in ``not_shown``."""
        now = now or self.clock.stamp()
        timers = self.timers.running
        try:
            whole = board(self.states, now, self.kitchen.oven.trays, timers, people=self.kitchen.hands)
        except Exception:
            sound = [state for state in self.states if is_sound(state, now)]
            if len(sound) == len(self.states):
                raise
            self.not_shown = tuple(state.letter for state in self.states if state not in sound)
            return board(sound, now, self.kitchen.oven.trays, timers, people=self.kitchen.hands)
        self.not_shown = ()
        return whole

    # -- taking up -----------------------------------------------------------------------------------------------

    async def take_up(self) -> None:
        """Take up what was live when the program last ran, and note how long it was away.

        What was read shows once ``read_in`` is set; what is said meanwhile waits. Raises Failure: the journal cannot be
        read now; ``phase`` says which of the two it is. Ask again later.
        """
        now = self.clock.stamp()
        try:
            found = await self.keeper.take_up()
        except Failure as failure:
            self.phase = "waiting" if isinstance(failure, KeptBusy) else "unreadable"
            raise
        async with self._bakes.one_at_a_time:
            for state in found:
                self._bakes.add(state)
            self.phase = "read"
            self.read_in.set()
            await self._settle_letters()
            seen = await self.keeper.saw(now)
            for state in found:
                if seen is not None:
                    await self._say(state.id, came_back(state, seen, now))
        self.phase = "ready"
        await self.tell_oven()

    async def tell_oven(self) -> tuple[str, ...]:
        """Have live bakes tell their heats for the kitchen's oven as it is now; the letters of those that changed."""
        told = intents.TakeOven(self.kitchen.oven)
        return tuple([one.letter for one in self.states if one.closed is None and await self.say(one.id, told) is None])

    async def _settle_letters(self) -> None:
        """Of two bakes of one letter, as an older program could leave them, the later one gets another.

        So does one without a letter: its log may come from anywhere.
        """
        held: set[str] = set()
        live = [state for state in self.states if state.closed is None]
        for state in sorted(live, key=lambda state: (state.opened.wall_us, state.id)):
            letter = state.letter
            if letter in held or not is_letter(letter):
                letter = free_letter([*held, *(state.letter for state in live)]) or letter
                await self._say(state.id, intents.TakeLetter(letter, taken_words(state.letter)))
            held.add(letter)

    async def look_again(self) -> None:
        """Hand in what is unsaved, see what another program has added, and log it when somebody has set the clock.

        Raises:
            Failure: the journal cannot be read.
        """
        if not self.unsaved and not await self.keeper.in_place():
            # Nothing was to be written since, but nothing is there any more.
            for state in self.states:
                self.unsaved.add(state.id, 0)
            self.timers.keep_again()
        await self.save()
        await self.timers.save()
        if not self.unsaved:
            async with self._bakes.one_at_a_time:
                await self._take_in()
                if any(state.closed is None and not is_letter(state.letter) for state in self.states):
                    await self._settle_letters()
        self._bakes.forget_old(self.unsaved)
        now = self.clock.stamp()
        for state in self.states:
            if state.closed is None and state.timeline.clock_set_by_us(now):
                await self.say(state.id, intents.Look())

    async def _take_in(self) -> None:
        """Take over what another program has added; readings among it are kept in words for `news`."""
        known = [state.id for state in self._bakes.all]
        for state in await self.keeper.changed(known):
            if state.id in self.unsaved:
                continue  # Its own events are to be joined on first.
            self._bakes.take_over(state)

    def news(self) -> tuple[str, ...]:
        """What came from outside since this was last asked, or was settled for the baker; each once."""
        return self._bakes.news()

    def new_letters(self) -> dict[str, str]:
        """The bakes that go by another letter than before since this was last asked, each with words for it."""
        return self._bakes.new_letters()

    # -- saying --------------------------------------------------------------------------------------------------

    async def open(
        self,
        bake: str,
        formula: Formula,
        batch: Batch,
        *,
        start_in_s: float | None = None,
        ready_in_s: float | None = None,
        weigh_in_s: float | None = None,
        plan: AsPlanned | None = None,
        kitchen: Kitchen | None = None,
    ) -> BakeState | Refused:
        """Bring a bake onto the bench. ``kitchen``: this one with what past bakes showed of it and today's warmth."""
        letter = self._free_letter()
        if letter is None:
            return BENCH_FULL
        opening = intents.Open(
            bake, letter, formula, batch, kitchen or self.kitchen, __version__, start_in_s, ready_in_s, weigh_in_s, plan
        )
        refused = await self.say(bake, opening)
        if refused is not None:
            return refused
        opened = self._bakes.known(bake)
        for before in self.states:
            if before.closed is not None and before.letter == opened.letter:
                # One whose log cannot be read now stays where it is; the new one is on.
                with contextlib.suppress(Failure):
                    await self.put_away(before.id)
        return opened

    def _free_letter(self) -> str | None:
        return free_letter(state.letter for state in self.states if state.closed is None)

    @property
    def full(self) -> Refused | None:
        """Why no bake can be added; None where one can."""
        return BENCH_FULL if self._free_letter() is None else None

    async def say(self, bake: str, intent: Intent) -> Refused | None:
        """Decide, keep, then show. Returns the refusal, or None.

        Raises:
            Failure: somebody else has said something to this bake, and it cannot be read what.
        """
        async with self._bakes.one_at_a_time:
            refused = await self._say(bake, intent)
            for other, word in also_off(self.states, bake, intent) if refused is None else ():
                await self._say(other, word)
            return refused

    async def put_away(self, bake: str) -> Refused | None:
        """Take a closed bake off the bench, in every window; it stays in the journal.

        Raises:
            Failure: as `say`.
        """
        return await self.say(bake, intents.PutAway())

    async def _say(self, bake: str, intent: Intent) -> Refused | None:
        """As `say`, by who holds the lock."""
        if isinstance(intent, intents.PutAway) and bake in self.unsaved:
            return _stays(self._bakes.known(bake))
        for _ in range(TRIES):
            state = self._bakes.get(bake)
            decision = decide(state, intent, self.clock.stamp())
            if isinstance(decision, Refused):
                return decision
            after = decided(state, decision) if decision else state
            try:
                self._bakes.refuse_two(state, after)
                await self._keep(bake, state, decision)
            except StaleDecision:
                await self._take_in()
                if bake in self.keeper.unread:
                    raise self.keeper.unread[bake] from None
                if not still_meant(state, self._bakes.get(bake), intent):
                    return CHANGED_ELSEWHERE
            except LetterTaken as taken:
                letter = free_letter({*taken.taken, *self._bakes.letters(but=bake)})
                if letter is None:
                    return BENCH_FULL
                intent = intents.by_letter(intent, letter)
            else:
                if after is not None:
                    self._bakes.put(after)
                    self._bakes.tell_letter(state, after)
                return None
        return CHANGED_ELSEWHERE

    async def _keep(self, bake: str, state: BakeState | None, decision: tuple[Event, ...]) -> None:
        """Store a decision; where that fails it is unsaved from now on, and the bench goes on."""
        stored = 0 if state is None else state.last.number
        if self.unsaved:
            # What was said first is stored first.
            self.unsaved.add(bake, stored)
            return
        self.saving = True
        try:
            await self.keeper.append(decision, stored)
        except (StaleDecision, LetterTaken):
            raise
        except Failure as fault:
            self.unsaved.add(bake, stored, fault)
        finally:
            self.saving = False

    def take_stage(self, bake: str, stage: int) -> None:
        """Take the other of two preferments in hand: what is said of the running stage is said of that one."""
        self._bakes.take_stage(bake, stage)

    def preview(self, bake: str, intent: Intent) -> Decision:
        """What an intent would make happen if it were said now. Nothing is changed."""
        return decide(self._bakes.get(bake), intent, self.clock.stamp())

    # -- what is unsaved -----------------------------------------------------------------------------------------

    async def save(self) -> None:
        """Hand in what is unsaved, bake by bake, in the order in which it began to be. What fails is tried again."""
        if await self._handing_in.save():
            self.begun_anew = True

    async def write_known(self, path: Path) -> str:
        """Write every bake of the bench into a journal of its own; what came of it, in words.

        Raises:
            Failure: it cannot be written there.
        """
        return await self._handing_in.write_known(path)

    @property
    def aside(self) -> Path | None:
        """The other file that holds all that is unsaved, if one was written and nothing came since."""
        return self._handing_in.aside


def _stays(state: BakeState) -> Refused:
    return Refused(f"{state.letter} is not saved yet; it stays here until it is.")
