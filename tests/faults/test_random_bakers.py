"""Random bakers over the real decisions, the real store and the real screens, beside a plain model of what was said.

The disk fills up, the file or its folder goes away, the program is killed, the clock is set, a second program writes,
the alarm cannot be started, names are hostile: the bench is never empty without saying so, and once the trouble is over
the journal holds all that was said.
"""

from __future__ import annotations

import asyncio
import contextlib
import os
import shutil
import tempfile
from collections.abc import Coroutine
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from textual.pilot import Pilot

from proofbell.app.app import ProofbellApp
from proofbell.app.session.live import Live
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide
from proofbell.bake.events import Event
from proofbell.bake.fold import fold
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.journal.recovery.verify import verify
from proofbell.journal.storage.store import Journal
from tests.support.kitchen_scene import FLAT, GUESTHOUSE, KNOTS, LOAF, app_on, formula
from tests.support.stage import HandClock, seen

NAMES = st.sampled_from(
    ["Harbour knots", "[/b] knots", "kn\x1b]0;ots\x07", "\u202eknots", "k" * 300, "[@click=app.quit]x[/]", "結び目"]
)
TEXTS = st.sampled_from(["risen well", "[/x]", "\x1b[2J", "a\u200bb", "note " * 40, "\ud800"])
STEMS = st.sampled_from([KNOTS, LOAF, FLAT])
PAGES = st.sampled_from(["a", "p", "J", "K", "w", "f", "y", "b", "question_mark", "exclamation_mark"])


@dataclass
class Said:
    """What a bake must show: the plain model of it."""

    stage: int = -1
    closed: bool = False
    notes: list[str] = field(default_factory=list)
    readings: list[float] = field(default_factory=list)

    @classmethod
    def of(cls, state: BakeState) -> Said:
        """The model of what the program holds."""
        ended = sum(1 for run in state.stages if run.ended_s is not None)
        return cls(
            ended if state.begun else -1,
            state.closed is not None,
            [note.text for note in state.notes],
            [reading.value for reading in state.readings if reading.value is not None],
        )


class RandomBakers(RuleBasedStateMachine):
    """One kitchen, one journal, one window; now and then another program."""

    def __init__(self) -> None:
        super().__init__()
        self.runner = asyncio.Runner()
        self.folder = Path(tempfile.mkdtemp())
        self.clock = HandClock()
        self.said: dict[str, Said] = {}
        self.opened = 0
        self.away = False
        self.full = False
        self.stack: contextlib.AsyncExitStack | None = None

    # -- the program -----------------------------------------------------------------------------------------------

    def do(self, work: Coroutine[Any, Any, None]) -> None:
        self.runner.run(work)

    @property
    def path(self) -> Path:
        return self.folder / "kept" / "journal.sqlite"

    @initialize()
    def start(self) -> None:
        self.do(self._start())

    async def _start(self) -> None:
        self.keeper = JournalKeeper(self.path)
        kitchen = replace(GUESTHOUSE, alarm_command=("/nowhere/ring",))
        self.live = Live(self.clock, self.keeper, kitchen)
        self.app: ProofbellApp = app_on(self.live, loud=True)
        self.stack = contextlib.AsyncExitStack()
        self.pilot: Pilot[int] = await self.stack.enter_async_context(self.app.run_test(size=(80, 24)))
        while self.live.phase != "ready":
            await self.pilot.pause(0.01)
        await self._settle()

    async def _settle(self) -> None:
        for _ in range(2):
            await self.app.workers.wait_for_complete()
            self.app.tick()
            await self.app.upkeep.looked_round()
        await self.pilot.pause()

    async def _end(self) -> None:
        if self.stack is not None:
            await self.stack.aclose()
            self.stack = None
        self.keeper.close()

    def teardown(self) -> None:
        try:
            if self.stack is not None:
                self.do(self._whole_again())
                self.do(self._end())
                self._agrees()
        finally:
            self.runner.close()
            shutil.rmtree(self.folder, ignore_errors=True)

    # -- what a baker does -------------------------------------------------------------------------------------------

    def one(self, data: st.DataObject) -> str | None:
        """A dough on the bench."""
        states = [state.id for state in self.live.states if state.closed is None]
        return data.draw(st.sampled_from(states)) if states else None

    async def _say(self, bake: str, intent: Intent) -> bool:
        refused = await self.app.say(bake, intent)
        await self._settle()
        return refused is None

    @rule(stem=STEMS, name=NAMES)
    def open_a_bake(self, stem: str, name: str) -> None:
        self.opened += 1
        chosen = replace(formula(stem), name=name)

        async def opening() -> None:
            bake = f"bake-{self.opened}"
            opened = await self.live.open(bake, chosen, weigh_out(chosen, self.live.kitchen).batch)
            if not isinstance(opened, Refused):
                self.said[bake] = Said()
            await self._settle()

        self.do(opening())

    @rule(data=st.data())
    def begin_or_end_a_stage(self, data: st.DataObject) -> None:
        bake = self.one(data)
        if bake is None:
            return
        intent: Intent = intents.Done() if self.said[bake].stage >= 0 else intents.Begin()

        async def going_on() -> None:
            state = self.live.state(bake)
            assert state is not None
            if await self._say(bake, intent):
                said = self.said[bake]
                said.stage += 1
                said.closed = said.stage == len(state.stages)

        self.do(going_on())

    @rule(data=st.data(), text=TEXTS)
    def write_a_note(self, data: st.DataObject, text: str) -> None:
        bake = self.one(data)
        if bake is None:
            return

        async def noting() -> None:
            if await self._say(bake, intents.AddNote(text)):
                self.said[bake].notes.append(intents.said(text, intents.MOST_NOTE))

        self.do(noting())

    @rule(data=st.data(), value=st.integers(18, 32))
    def read_the_dough(self, data: st.DataObject, value: int) -> None:
        bake = self.one(data)
        if bake is None:
            return

        async def reading() -> None:
            intent = intents.Read("dough temperature", str(value), raw=float(value), sure=True)
            if await self._say(bake, intent):
                self.said[bake].readings.append(float(value))

        self.do(reading())

    @rule(data=st.data())
    def give_up(self, data: st.DataObject) -> None:
        bake = self.one(data)
        if bake is None:
            return

        async def giving_up() -> None:
            if await self._say(bake, intents.GiveUp("dropped")):
                self.said[bake].closed = True

        self.do(giving_up())

    @rule()
    def take_up_the_newest_again(self) -> None:
        over = [state for state in self.live.states if state.closed is not None and state.closed.outcome == "given up"]
        if not over:
            return
        bake = over[-1].id

        async def taking_up() -> None:
            if await self._say(bake, intents.Undo()):
                state = self.live.state(bake)
                assert state is not None
                self.said[bake] = Said.of(state)

        self.do(taking_up())

    @rule(page=PAGES, more=st.lists(st.sampled_from(["down", "tab", "enter", "space", "escape", "1", "b"]), max_size=3))
    def look_at_a_page(self, page: str, more: list[str]) -> None:
        async def looking() -> None:
            before = {state.id for state in self.live.states}
            await self.pilot.press(page, *more)
            for _ in range(6):
                if self.app.screen is self.app.bench:
                    break
                await self.pilot.press("escape")
                await self.pilot.pause()
            await self._settle()
            # Whatever the keys have said in the page is the model's as well.
            for state in self.live.states:
                if state.id not in before or state.id in self.said:
                    self.said[state.id] = Said.of(state)

        self.do(looking())

    # -- what happens to a baker -------------------------------------------------------------------------------------

    @rule(minutes=st.sampled_from([1, 10, 75, 540]))
    def time_passes(self, minutes: int) -> None:
        self.clock.forward(60.0 * minutes)
        self.do(self._settle())

    @rule(hours=st.sampled_from([-1, 1, 24 * 365]))
    def the_clock_is_set(self, hours: int) -> None:
        self.clock.now = replace(self.clock.now, wall_us=self.clock.now.wall_us + hours * 3_600_000_000)
        self.do(self._settle())

    @precondition(lambda self: not self.away and not self.full)
    @rule()
    def the_file_is_lost(self) -> None:
        # As somebody would who tidies up: the file with what belongs to it.
        for file in self.path.parent.glob("journal.sqlite*"):
            if not file.name.endswith((".lead", ".reserve")):
                file.unlink()
        live = {state.id for state in self.live.states}
        self.said = {bake: said for bake, said in self.said.items() if bake in live}
        self.do(self._settle())

    @precondition(lambda self: not self.away and not self.full)
    @rule()
    def the_folder_goes_away(self) -> None:
        self.path.parent.rename(self.folder / "unplugged")
        self.away = True
        self.do(self._settle())

    @precondition(lambda self: not self.away and not self.full)
    @rule()
    def the_disk_is_full(self) -> None:
        self.full = True
        self.do(self._limit("PRAGMA max_page_count = 1"))

    async def _limit(self, pragma: str) -> None:
        await self.keeper.ask(lambda journal: journal.connection.execute(pragma).fetchall())
        await self._settle()

    @precondition(lambda self: self.away or self.full)
    @rule()
    def all_is_well_again(self) -> None:
        self.do(self._whole_again())

    async def _whole_again(self) -> None:
        if self.away:
            (self.folder / "unplugged").rename(self.path.parent)
            self.away = False
        if self.full:
            self.full = False
            await self._limit("PRAGMA max_page_count = 1073741823")
        for _ in range(4):
            await self._settle()
        assert not self.live.unsaved, self.live.unsaved.fault

    @precondition(lambda self: not self.away)
    @rule(data=st.data())
    def another_program_hands_in_a_reading(self, data: st.DataObject) -> None:
        bake = self.one(data)
        if bake is None or bake in self.live.unsaved:
            return
        with Journal.open(self.path) as journal:
            state = fold(journal.events_of(bake))
            intent = intents.Read("room temperature", "21", raw=21.0, source="command")
            decision = decide(state, intent, self.clock.stamp())
            if isinstance(decision, Refused):
                return
            journal.append(decision, state.last.number)
        self.said[bake].readings.append(21.0)
        self.do(self._settle())

    @precondition(lambda self: not self.away and not self.full)
    @rule()
    def the_list_of_bakes_is_damaged(self) -> None:
        with Journal.open(self.path) as journal, contextlib.suppress(Exception):
            journal.connection.execute("UPDATE summaries SET body = '{', evidence = 'x'")

    @rule()
    def the_program_is_killed(self) -> None:
        """What was acknowledged is there; the rest is told as unsaved, and is lost."""
        kept: dict[str, tuple[Event, ...]] = {}
        for state in self.live.states:
            stored = self.live.unsaved.stored(state)
            if stored:
                kept[state.id] = state.events[:stored]

        async def killing() -> None:
            # A program that is killed closes nothing: its file is copied as it lies.
            shutil.copytree(self.folder / "unplugged" if self.away else self.path.parent, self.folder / "left")
            await self._end()
            shutil.rmtree(self.folder / "unplugged" if self.away else self.path.parent)
            (self.folder / "left").rename(self.path.parent)

        self.do(killing())
        self.away = self.full = False
        self.clock.now = replace(self.clock.now, boot_us=self.clock.now.boot_us + 60_000_000)
        self.do(self._start())
        with Journal.open(self.path) as journal:
            for bake, events in kept.items():
                assert journal.events_of(bake)[: len(events)] == events, bake
            self.said = {bake: Said.of(fold(journal.events_of(bake))) for bake in journal.bake_ids()}

    # -- what must hold ----------------------------------------------------------------------------------------------

    @invariant()
    def the_bench_shows_what_was_said(self) -> None:
        if self.stack is None:
            return
        states = self.live.states
        for state in states:
            assert Said.of(state) == self.said[state.id]
        live = [state for state in states if state.closed is None]
        assert len({state.letter for state in live}) == len(live)
        text = seen(self.app)
        if self.app.screen is self.app.bench:
            for state in live[:6]:
                assert f"{state.letter} " in text, text
            if not states:
                assert "No dough on the bench" in text, text
        if self.live.unsaved:
            assert "✗" in text, text
        assert "\x1b" not in text

    @precondition(lambda self: not self.away and not self.full)
    @invariant()
    def what_was_said_is_on_the_disk(self) -> None:
        if self.stack is not None and not self.live.unsaved:
            self._agrees()

    def _agrees(self) -> None:
        with Journal.open(self.path) as journal:
            assert not verify(journal).problems
            for bake, said in self.said.items():
                assert Said.of(fold(journal.events_of(bake))) == said, bake


TestRandomBakers = RandomBakers.TestCase
BY_HAND = int(os.environ.get("PROOFBELL_BAKERS", "0"))
"""So many bakers, other ones each time; without it the same few."""

TestRandomBakers.settings = settings(
    max_examples=BY_HAND or 6,
    stateful_step_count=25,
    derandomize=not BY_HAND,
    database=None,
    # Every step drives the whole app: a shorter story would cost hours.
    phases=[Phase.generate],
    suppress_health_check=list(HealthCheck),
)
