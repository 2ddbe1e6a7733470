"""A whole day of five doughs with a fault of each kind on the way: nothing typed is lost, and nothing goes silent."""

from __future__ import annotations

import contextlib
import shutil
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from textual.pilot import Pilot

from proofbell.app.app import ProofbellApp
from proofbell.app.bench.picture.bench_picture import BenchPicture
from proofbell.app.session.live import Live
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.bake import events as kinds
from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide
from proofbell.bake.doubt import doubt
from proofbell.bake.fold import fold
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import Skipped, task_name
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.bench.board import Coming
from proofbell.journal.recovery.verify import verify
from proofbell.journal.storage.store import Journal
from tests.support.kitchen_scene import GUESTHOUSE, KNOTS, LOAF, app_on, formula
from tests.support.stage import HandClock, seen

MINUTES = 600
"""A day is over by then: the last loaf of five is cool after some seven hours."""

VALUES = {"dough temperature": 25.5, "room temperature": 21.0, "core temperature": 96.0, "rise": 90.0, "weight": 900.0}


@dataclass
class Day:
    """The bench, and everything that was typed on it, by bake, in the order in which it was taken."""

    folder: Path
    clock: HandClock = field(default_factory=HandClock)
    typed: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))
    stack: contextlib.AsyncExitStack = field(default_factory=contextlib.AsyncExitStack)

    @property
    def path(self) -> Path:
        return self.folder / "disk" / "journal.sqlite"

    async def start(self) -> None:
        """Open the program on the journal."""
        self.keeper = JournalKeeper(self.path)
        self.live = Live(self.clock, self.keeper, replace(GUESTHOUSE, alarm_command=("/nowhere/ring",)))
        self.app: ProofbellApp = app_on(self.live, loud=False, fault_file=self.folder / "faults.txt")
        self.pilot: Pilot[int] = await self.stack.enter_async_context(self.app.run_test(size=(100, 40)))
        while self.live.phase != "ready":
            await self.pilot.pause(0.01)
        await self.settle()

    async def settle(self) -> None:
        """Let all that was said be kept and shown, as seconds would."""
        for _ in range(2):
            await self.app.workers.wait_for_complete()
            self.app.tick()
            await self.app.upkeep.looked_round()
        while self.app.screen is not self.app.bench:
            self.clock.forward(1)
            await self.pilot.press("escape")
        await self.pilot.pause()

    async def say(self, bake: str, intent: Intent, words: str) -> None:
        """Type something; what is taken is remembered here as well."""
        if await self.app.say(bake, intent) is None:
            self.typed[bake].append(words)

    async def answer(self, ring: Coming) -> None:
        """What a baker says to what rings."""
        prompt, state = ring.prompt, self.live.state(ring.bake)
        assert state is not None
        if prompt.kind == "start":
            await self.say(ring.bake, intents.Begin(), "begun")
        elif prompt.kind == "due":
            await self.say(ring.bake, intents.Done(), f"ended {state.current}")
        elif prompt.kind == "check" and prompt.check is None:
            await self.say(ring.bake, intents.Task(Skipped(prompt.id)), task_name(Skipped(prompt.id)))
        elif prompt.kind == "check":
            assert prompt.check is not None
            what = state.stage(prompt.stage).checks[prompt.check].read
            read = intents.Read(what, f"{VALUES[what]:g}", raw=VALUES[what], sure=True)
            await self.say(ring.bake, read, f"{what} {VALUES[what]:g}")
        else:
            assert prompt.task is not None
            await self.say(ring.bake, intents.Task(prompt.task), task_name(prompt.task))

    def in_hand_and_over(self, state: BakeState) -> bool:
        """Whether a stage's time is up that is in hand, and so rings for nobody."""
        index = state.current
        if index is None or state.closed is not None or state.stage(index).kind != "hands":
            return False
        due_s = state.stages[index].due_s
        return due_s is not None and state.now_s(self.clock.stamp()) >= due_s

    @property
    def eventful(self) -> bool:
        """Whether there is something to be done now."""
        return bool(self.live.board().rings) or any(self.in_hand_and_over(state) for state in self.live.states)

    # -- what happens to the day -------------------------------------------------------------------------------------

    async def full_disk(self) -> None:
        """There is no room for half an hour."""
        await self.keeper.ask(lambda journal: journal.connection.execute("PRAGMA max_page_count = 1").fetchall())

    async def room_again(self) -> None:
        """Somebody has tidied up."""
        most = "PRAGMA max_page_count = 1073741823"
        await self.keeper.ask(lambda journal: journal.connection.execute(most).fetchall())

    async def file_lost(self) -> None:
        """Somebody has tidied up too much."""
        self.path.unlink()

    async def unplugged(self) -> None:
        """The disk is taken away."""
        self.path.parent.rename(self.folder / "unplugged")

    async def plugged_in(self) -> None:
        """It is there again."""
        (self.folder / "unplugged").rename(self.path.parent)

    async def probe_elsewhere(self) -> None:
        """Another program hands in readings."""
        with Journal.open(self.path) as journal:
            for bake in journal.live_bakes():
                state = fold(journal.events_of(bake))
                read = intents.Read("room temperature", "21", raw=21.0, source="command")
                decision = decide(state, read, self.clock.stamp())
                if not isinstance(decision, Refused):
                    journal.append(decision, state.last.number)

    async def caches_damaged(self) -> None:
        """What the list of bakes is made from is nonsense."""
        with Journal.open(self.path) as journal:
            journal.connection.execute("UPDATE summaries SET body = '{', evidence = 'x'")

    async def clock_set(self) -> None:
        """Somebody sets the clock an hour back."""
        self.clock.now = replace(self.clock.now, wall_us=self.clock.now.wall_us - 3_600_000_000)

    async def program_fault(self) -> None:
        """A page fails, and so does the drawing of the bench, once."""
        drawn = BenchPicture.show

        def once(_: BenchPicture, *, lit: bool) -> None:
            BenchPicture.show = drawn  # type: ignore[method-assign]
            raise RuntimeError(f"nobody foresaw this, {lit=}")

        BenchPicture.show = once  # type: ignore[method-assign, assignment]

    async def hostile_note(self) -> None:
        """Somebody's cat walks over the keys."""
        await self.note("[/b]\x1b]0;cat\x07\u202e[@click=app.quit]x")

    async def note(self, text: str) -> None:
        """Write a note to a dough that is on."""
        bake = next((state.id for state in self.live.states if state.closed is None), None)
        if bake is not None:
            await self.say(bake, intents.AddNote(text), intents.said(text, intents.MOST_NOTE))

    async def power_cut(self) -> None:
        """The program and the machine are off for twenty minutes; what was shown as saved is what is there."""
        assert not self.live.unsaved
        left = self.folder / "left"
        shutil.copytree(self.path.parent, left)
        await self.end()
        shutil.rmtree(self.path.parent)
        left.rename(self.path.parent)
        self.clock.forward(1200)
        self.clock.now = replace(self.clock.now, boot_us=30_000_000, boot_id="boot-2")
        await self.start()
        for state in self.live.states:
            one = doubt(state, self.clock.stamp())
            if one is not None:
                assert await self.app.say(state.id, intents.Rebase(one.since, 1200)) is None

    async def end(self) -> None:
        """Close the program."""
        await self.stack.aclose()
        self.keeper.close()


FAULTS: dict[int, Callable[[Day], Any]] = {
    20: Day.hostile_note,
    40: Day.full_disk,
    46: Day.program_fault,
    70: Day.room_again,
    90: Day.file_lost,
    110: Day.probe_elsewhere,
    130: Day.unplugged,
    150: Day.plugged_in,
    160: Day.clock_set,
    176: Day.caches_damaged,
    200: Day.power_cut,
    230: Day.probe_elsewhere,
}
"""Minute of the day, and what happens then."""


def logged(state: BakeState) -> list[str]:
    """What the log says that was typed on the bench, in its order."""
    found: list[str] = []
    for event in state.events:
        match event.body:
            case kinds.StageBegun(stage=0):
                found.append("begun")
            case kinds.StageEnded(stage=stage):
                found.append(f"ended {stage}")
            case kinds.ReadingTaken(source="", what=what, raw=raw):
                found.append(f"{what} {raw:g}")
            case kinds.TaskDone(task=task):
                found.append(task_name(task))
            case kinds.NoteAdded(text=text):
                found.append(text)
    return found


async def test_a_day_of_five_doughs_with_a_fault_of_each_kind(tmp_path: Path) -> None:
    day = Day(tmp_path)
    await day.start()
    for number, stem in enumerate((KNOTS, KNOTS, KNOTS, LOAF, LOAF)):
        chosen = formula(stem)
        batch = weigh_out(chosen, day.live.kitchen).batch
        opened = await day.live.open(f"bake-{number}", chosen, batch, start_in_s=number * 1500.0)
        assert not isinstance(opened, Refused)

    ended: set[str] = set()
    for minute in range(0, MINUTES, 2):
        day.clock.forward(120)
        if minute in FAULTS:
            await FAULTS[minute](day)
        elif minute % 30 and not day.eventful:
            continue
        await day.settle()
        await look(day)
        for ring in day.live.board().rings:
            await day.answer(ring)
        for state in filter(day.in_hand_and_over, day.live.states):
            await day.say(state.id, intents.Done(), f"ended {state.current}")
        ended |= {state.id for state in day.live.states if state.closed is not None}
        if len(ended) == 5:
            break

    await day.settle()
    assert len(ended) == 5, ended
    assert not day.live.unsaved
    await day.end()
    with Journal.open(day.path) as journal:
        assert not verify(journal).problems
        for bake, typed in day.typed.items():
            found = logged(fold(journal.events_of(bake)))
            # That the one oven is off may have been typed of another dough that was out later.
            assert [one for one in found if one in typed or not one.startswith("oven off")] == typed, bake
    assert "RuntimeError" in (tmp_path / "faults.txt").read_text(encoding="utf-8")


async def look(day: Day) -> None:
    """The bench is never empty, dead or silent without saying so."""
    text = seen(day.app)
    live = [state for state in day.live.states if state.closed is None]
    for state in live:
        assert f"{state.letter} " in text, text
    board = day.live.board()
    for ring in board.rings:
        # On the line of what rings or, for the seconds that an answer stands there, before the dough itself.
        assert "◆" in text or f"!{ring.letter}" in text, text
    if day.live.unsaved and "✗ Not saved" not in text:
        # It was not saved a moment ago: the next tick says so.
        await day.settle()
        text = seen(day.app)
    if day.live.unsaved:
        assert "✗ Not saved" in text, text
