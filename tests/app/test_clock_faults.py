"""A table of clock faults, each met by a live bench.

Nothing moves unsaid, what came due is raised once, and the bench is never empty. The clock is handed in, the journal is
a real one, and a stop watch that nobody can set knows the truth.
"""

from __future__ import annotations

import time
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import asynccontextmanager
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from proofbell.app.app import ProofbellApp
from proofbell.app.bench.bake_log import BakeLog
from proofbell.app.bench.far.far_view import FarView
from proofbell.app.bench.picture.countdown_words import number
from proofbell.app.bench.time_dialog import TimeDialog
from proofbell.app.drawing.canvas import Canvas
from proofbell.app.drawing.digits import columns, draw_blocks, lines
from proofbell.app.reading.reading_dialog import ReadingDialog
from proofbell.app.session.live import Live
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.app.terminal.bell import TerminalBell
from proofbell.app.widgets.trouble_dialog import TroubleDialog
from proofbell.bake import intents
from proofbell.bake.events import ClockSet, TimeRebased
from proofbell.bake.stamp import Stamp
from proofbell.bake.view import BakeView
from proofbell.clock import WallClock, offset_min
from tests.support.kitchen_scene import GUESTHOUSE, KNOTS, LOAF, app_on, proofing, put_on, say, unjudged
from tests.support.stage import HandClock, seen

MINUTE, HOUR, YEAR = 60.0, 3600.0, 365 * 86_400.0
PROOF_S = 70 * MINUTE
WATCHED_S = 10 * MINUTE


@dataclass
class ZoneClock(HandClock):
    """A clock that stands until it is moved, in the zone that the machine is set to."""

    def stamp(self) -> Stamp:
        return replace(self.now, offset_min=offset_min(self.now.wall_us))

    def set_by(self, seconds: float) -> None:
        """Somebody, or the network, sets the wall clock."""
        self.now = replace(self.now, wall_us=self.now.wall_us + round(seconds * 1e6))


@dataclass
class Day:
    """One kitchen's machine: it sleeps, its clock is set, its power goes."""

    journal: Path
    clock: ZoneClock
    sounded: list[str]
    truth_s: float = 0.0
    app: ProofbellApp = field(init=False)
    live: Live = field(init=False)
    bakes: list[str] = field(default_factory=list)

    async def begin(self, more: int = 0) -> None:
        """Two doughs in their first proof, their readings taken; and so many more that are being mixed."""
        live = Live(self.clock, JournalKeeper(self.journal), GUESTHOUSE)
        for what in (KNOTS, LOAF):
            self.bakes.append(await proofing(live, self.clock, what))
            await say(live, self.bakes[-1], intents.Read("dough temperature", "25", raw=25.0))
        await unjudged(live, self.bakes[0])  # one dough alone opens its reading by itself
        for _ in range(more):
            await say(live, await put_on(live, KNOTS), intents.Begin())
        state = live.state(self.bakes[0])
        assert state is not None
        self.truth_s = state.now_s(self.clock.stamp()) - (state.stages[state.current or 0].begun_s or 0.0)
        await live.keeper.saw(self.clock.stamp())
        live.keeper.close()

    @asynccontextmanager
    async def running(self) -> AsyncIterator[Pilot[int]]:
        """The program, from its start to its end."""
        self.live = Live(self.clock, JournalKeeper(self.journal), GUESTHOUSE)
        self.app = app_on(self.live)
        async with self.app.run_test(size=(80, 24)) as pilot:
            await self.look(pilot)
            yield pilot
        self.live.keeper.close()

    async def look(self, pilot: Pilot[int]) -> str:
        """The program ticks, everything is stored and shown; the text of the screen."""
        for _ in range(2):
            await self.app.workers.wait_for_complete()
            await self.live.look_again()
            self.app.tick()
            await pilot.pause()
        return seen(self.app)

    async def to_bench(self, pilot: Pilot[int]) -> None:
        """Put off whatever asks."""
        while self.app.screen is not self.app.bench:
            self.passes(1.0)
            await pilot.press("escape")
            await self.look(pilot)

    def passes(self, seconds: float) -> None:
        self.clock.forward(seconds)
        self.truth_s += seconds

    async def watched(self, pilot: Pilot[int], seconds: float) -> None:
        """Minute by minute, as a program that runs sees it; nobody answers what rings."""
        for _ in range(round(seconds / MINUTE)):
            self.passes(MINUTE)
            await self.look(pilot)
        await self.live.keeper.saw(self.clock.stamp())

    def power_cut(self, off_s: float, *, clock_after_s: float, up_s: float = 30.0) -> None:
        """Off for ``off_s``; the wall clock comes back ``clock_after_s`` further, whatever is true."""
        now = self.clock.now
        wall_us = now.wall_us + round((clock_after_s + up_s) * 1e6)
        self.clock.now = Stamp(wall_us, round(up_s * 1e6), f"{now.boot_id}, then another")
        self.truth_s += off_s + up_s

    def view(self) -> BakeView:
        """The first dough as the bench shows it."""
        found = self.live.board().of(self.bakes[0])
        assert found is not None, "the bench is never empty"
        return found

    def left_s(self) -> float:
        """What the countdown shows; below zero when it is over."""
        view = self.view()
        return -view.seconds if view.mode == "over" else view.seconds

    def bodies(self, kind: type) -> list[object]:
        state = self.live.state(self.bakes[0])
        assert state is not None
        return [event.body for event in state.events if isinstance(event.body, kind)]


@pytest.fixture(name="zone")
def _zone(monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[str], None]]:
    """Set the machine's zone, and the old one again at the end."""
    if not hasattr(time, "tzset"):
        pytest.skip("this system keeps its zone elsewhere")

    def to(name: str) -> None:
        monkeypatch.setenv("TZ", name)
        time.tzset()

    to("Europe/Berlin")
    yield to
    monkeypatch.undo()
    time.tzset()


@pytest.fixture(name="day")
def _day(tmp_path: Path, zone: Callable[[str], None], monkeypatch: pytest.MonkeyPatch) -> Day:
    del zone  # Only that it is set.
    sounded: list[str] = []
    monkeypatch.setattr(TerminalBell, "ring", lambda _bell, words: sounded.append(words))
    return Day(tmp_path / "journal.sqlite", ZoneClock(), sounded)


@dataclass(frozen=True)
class Step:
    """The wall clock is set while the program runs."""

    by_s: float
    said: str


STEPS = {
    "an hour forward": Step(HOUR, "set forward by 1 h; no countdown changed"),
    "an hour back": Step(-HOUR, "set back by 1 h; no countdown changed"),
    "a year forward": Step(YEAR, "set forward by 365 d; no countdown changed"),
    "a year back": Step(-YEAR, "set back by 365 d; no countdown changed"),
}


@pytest.mark.parametrize("name", STEPS)
async def test_a_clock_that_is_set_moves_no_countdown_and_the_screen_says_so(day: Day, name: str) -> None:
    step = STEPS[name]
    await day.begin()
    async with day.running() as pilot:
        await day.watched(pilot, WATCHED_S)
        before_s = day.left_s()
        day.clock.set_by(step.by_s)
        shown = await day.look(pilot)
        assert step.said in shown
        assert day.left_s() == before_s == pytest.approx(PROOF_S - day.truth_s)
        assert not day.app.is_open(TimeDialog), "nobody asks about a boot that was seen from its start"
        assert day.bodies(ClockSet) == [ClockSet(step.by_s)]
        assert "No dough" not in shown
        await day.watched(pilot, 11 * MINUTE)
        assert "no countdown changed" not in await day.look(pilot)
        day.passes(PROOF_S - day.truth_s)
        day.sounded.clear()
        await day.look(pilot)
    assert len(day.sounded) == 1


@pytest.mark.parametrize("slept_s", [10 * MINUTE, 9 * HOUR])
async def test_after_sleep_everything_overdue_is_raised_once_with_how_late_it_is(day: Day, slept_s: float) -> None:
    await day.begin()
    async with day.running() as pilot:
        await day.watched(pilot, PROOF_S - day.truth_s - 5 * MINUTE)
        assert not any(day.sounded)
        day.passes(slept_s)
        shown = await day.look(pilot)
        assert day.left_s() == pytest.approx(5 * MINUTE - slept_s)
        assert len(day.sounded) == 1, "one bell, however much is overdue"
        rings = day.live.board().rings
        assert len({(ring.bake, ring.prompt.id) for ring in rings}) == len(rings)
        assert {ring.bake for ring in rings} == (set(day.bakes) if slept_s > HOUR else {day.bakes[0]})
        assert ("8 h 55 min" if slept_s > HOUR else "5 min") in day.sounded[0]
        assert "No dough" not in shown
        await day.look(pilot)
    assert len(day.sounded) == 1


@dataclass(frozen=True)
class Night:
    """A night on which the clocks change: when it is looked at (UTC), and what stands there then (Berlin).

    The EU's clocks change at 01:00 UTC on the last Sundays of March and October (Directive 2000/84/EC): in autumn 03:00
    becomes 02:00, in spring 02:00 becomes 03:00. An offset is written as in ISO 8601.
    """

    at: datetime
    header: str
    until: str


# An hour of the proof is left each time.
NIGHTS = {
    "autumn, the hour before": Night(datetime(2026, 10, 24, 23, 40, tzinfo=UTC), "01:40:00 ", "until 02:40+02"),
    "autumn, the first pass": Night(datetime(2026, 10, 25, 0, 40, tzinfo=UTC), "02:40:00+02", "until 02:40+01"),
    "autumn, the second pass": Night(datetime(2026, 10, 25, 1, 40, tzinfo=UTC), "02:40:00+01", "until 03:40 "),
    "spring, the hour before": Night(datetime(2026, 3, 29, 0, 40, tzinfo=UTC), "01:40:00 ", "until 03:40 "),
    "spring, the hour after": Night(datetime(2026, 3, 29, 1, 40, tzinfo=UTC), "03:40:00 ", "until 04:40 "),
}


@pytest.mark.parametrize("name", NIGHTS)
async def test_a_change_of_the_clocks_moves_nothing_and_an_hour_that_comes_twice_is_told_apart(
    day: Day, name: str
) -> None:
    night = NIGHTS[name]
    day.clock.now = replace(day.clock.now, wall_us=round((night.at - timedelta(hours=3)).timestamp() * 1e6))
    await day.begin()
    async with day.running() as pilot:
        await say(day.live, day.bakes[0], intents.Longer(4 * HOUR))
        day.passes(night.at.timestamp() - day.clock.now.wall_us / 1e6 - MINUTE)
        await day.look(pilot)
        await day.to_bench(pilot)
        day.passes(night.at.timestamp() - day.clock.now.wall_us / 1e6)
        await say(day.live, day.bakes[0], intents.Longer(HOUR - day.left_s()))
        day.app.bench.take(day.bakes[0])
        shown = await day.look(pilot)
    assert "clock was set" not in shown
    assert day.left_s() == pytest.approx(HOUR)
    assert night.header in shown
    assert night.until in f"{shown} "


async def test_a_zone_that_is_changed_moves_no_countdown_and_the_new_hour_is_shown(
    day: Day, zone: Callable[[str], None]
) -> None:
    await day.begin()
    async with day.running() as pilot:
        await day.watched(pilot, WATCHED_S)
        before_s = day.left_s()
        assert "10:10:00" in await day.look(pilot)
        zone("Atlantic/Azores")
        shown = await day.look(pilot)
        assert day.left_s() == before_s == pytest.approx(PROOF_S - day.truth_s)
        assert "08:10:00" in shown
        assert "clock was set" not in shown
        assert not day.bodies(ClockSet)


def test_the_machines_clock_takes_over_a_zone_that_is_changed_while_it_runs(
    zone: Callable[[str], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    zone("Europe/Berlin")
    before = WallClock().stamp()
    monkeypatch.setenv("TZ", "UTC")
    after = WallClock().stamp()
    assert before.offset_min in (60, 120)
    assert after.offset_min == 0
    assert after.boot_id == before.boot_id


ANSWERS = {
    "the clock was right": (40 * MINUTE, 40 * MINUTE, 0.0, ("enter",)),
    "the clock is an hour behind": (40 * MINUTE, -HOUR, 0.0, ("4", "0", "enter")),
    "the clock stood still": (40 * MINUTE, 0.0, 0.0, ("4", "0", "enter")),
    "the clock stood still and the network sets it right": (40 * MINUTE, 0.0, 40 * MINUTE, ("enter",)),
    "the clock is years back and the network sets it right": (80 * MINUTE, -3 * YEAR, 3 * YEAR + 4800, ("enter",)),
    "the clock is a year ahead": (80 * MINUTE, YEAR, 0.0, ("1", "space", "h", "space", "2", "0", "enter")),
}


@pytest.mark.parametrize("name", ANSWERS)
async def test_after_a_power_cut_the_countdown_is_the_truth_once_the_baker_has_answered(day: Day, name: str) -> None:
    off_s, clock_after_s, step_s, keys = ANSWERS[name]
    await day.begin()
    async with day.running() as pilot:
        await day.watched(pilot, WATCHED_S)
    day.power_cut(off_s, clock_after_s=clock_after_s)
    async with day.running() as pilot:
        shown = await day.look(pilot)
        assert "? The power was off" in shown
        assert "No dough" not in shown
        counted_s = day.left_s()
        if step_s:
            day.passes(20.0)
            day.clock.set_by(step_s)
            shown = await day.look(pilot)
            assert day.left_s() == pytest.approx(counted_s - 20.0), "a step moves nothing by itself"
            assert "The clock was set: was the power off for about" in shown
        if not isinstance(day.app.screen, TimeDialog):
            # It never opens over what rings; the key does.
            assert day.live.board().rings
            await day.to_bench(pilot)
            await pilot.press("T")
        day.passes(1.0)
        await day.look(pilot)
        await pilot.press(*keys)
        shown = await day.look(pilot)
        assert day.left_s() == pytest.approx(PROOF_S - day.truth_s, abs=1.0)
        assert "? The power was off" not in shown
        assert len(day.bodies(TimeRebased)) == 1
        # One answer for both doughs.
        assert all(
            any(isinstance(event.body, TimeRebased) for event in state.events) for state in day.live.states
        )  # fmt: skip


async def test_a_program_that_was_only_closed_asks_nothing(day: Day) -> None:
    await day.begin()
    async with day.running() as pilot:
        await day.watched(pilot, WATCHED_S)
    day.passes(30 * MINUTE)
    async with day.running() as pilot:
        shown = await day.look(pilot)
        assert "The power was off" not in shown
        assert not day.app.is_open(TimeDialog)
        assert day.left_s() == pytest.approx(PROOF_S - day.truth_s)


async def test_the_question_waits_while_something_rings_and_is_asked_then(day: Day) -> None:
    await day.begin()
    day.power_cut(2 * HOUR, clock_after_s=2 * HOUR)
    async with day.running() as pilot:
        assert not day.app.is_open(TimeDialog)
        day.passes(1.0)
        await pilot.press("escape")
        shown = await day.look(pilot)
        assert "◆" in shown, "what rings is in sight"
        assert "? The power was off for about 2 h" in shown
        await pilot.press("Q")
        await day.look(pilot)
        assert isinstance(day.app.screen, TimeDialog)


async def test_later_leaves_the_line_and_does_not_ask_again_by_itself(day: Day) -> None:
    await day.begin()
    day.power_cut(5 * MINUTE, clock_after_s=5 * MINUTE)
    async with day.running() as pilot:
        assert isinstance(day.app.screen, TimeDialog)
        day.passes(1.0)
        await pilot.press("escape")
        shown = await day.look(pilot)
        await day.watched(pilot, 2 * MINUTE)
        assert "How long was the power off?" not in seen(day.app)
        assert "The power was off for about 5 min, by the clock. Right?   T answer" in shown
        assert day.bodies(TimeRebased) == []


async def test_a_key_pressed_as_the_question_opens_answers_nothing(day: Day) -> None:
    await day.begin()
    day.power_cut(5 * MINUTE, clock_after_s=5 * MINUTE)
    async with day.running() as pilot:
        await pilot.press("enter")
        await day.look(pilot)
        assert isinstance(day.app.screen, TimeDialog)
        assert day.bodies(TimeRebased) == []


async def test_the_question_never_opens_over_what_somebody_types(day: Day) -> None:
    await day.begin()
    async with day.running() as pilot:
        await day.watched(pilot, MINUTE)
    day.power_cut(5 * MINUTE, clock_after_s=0.0)
    async with day.running() as pilot:
        day.passes(1.0)
        await pilot.press("escape", "r", "2", "6")
        day.clock.set_by(5 * MINUTE)
        await day.look(pilot)
        assert isinstance(day.app.screen, ReadingDialog)
        assert "26" in seen(day.app)
        await pilot.press("enter")
        shown = await day.look(pilot)
        assert isinstance(day.app.screen, TimeDialog)
        assert "5 min" in shown


@pytest.mark.parametrize("more", [0, 4, 10])
async def test_what_rings_stays_in_sight_above_the_question(day: Day, more: int) -> None:
    await day.begin(more=more)
    day.power_cut(5 * MINUTE, clock_after_s=5 * MINUTE)
    async with day.running() as pilot:
        assert isinstance(day.app.screen, TimeDialog)
        assert "Last seen running at 10:00; off for 5 min, by the clock." in seen(day.app)
        assert "5 min counted so far; the times of" in seen(day.app)
        day.passes(2 * HOUR)
        shown = await day.look(pilot)
        assert isinstance(day.app.screen, TimeDialog)
        assert any("◆" in line and " min over" in line for line in shown.splitlines()), "the whole line"
        assert "How long was the power off?" in shown
    assert len(day.sounded) == 1


async def test_what_is_no_length_is_said_and_nothing_is_lost(day: Day) -> None:
    await day.begin()
    day.power_cut(5 * MINUTE, clock_after_s=-HOUR)
    async with day.running() as pilot:
        day.passes(1.0)
        await day.look(pilot)
        await pilot.press("enter")
        assert "Type roughly how long" in await day.look(pilot)
        await pilot.press("s", "o", "o", "n", "enter")
        assert isinstance(day.app.screen, TimeDialog)
        shown = await day.look(pilot)
        assert "soon" in shown
        assert day.bodies(TimeRebased) == []


@pytest.mark.parametrize(("width", "height"), [(80, 24), (120, 40), (40, 12)])
async def test_the_far_view_says_that_its_time_is_in_doubt(day: Day, width: int, height: int) -> None:
    await day.begin()
    day.power_cut(5 * MINUTE, clock_after_s=5 * MINUTE)
    async with day.running() as pilot:
        await day.to_bench(pilot)
        await pilot.resize_terminal(width, height)
        await pilot.press("f")
        shown = await day.look(pilot)
        assert isinstance(day.app.screen, FarView)
        assert "? The power was off for" in shown.splitlines()[0]
        assert "Time in doubt · left, until" in shown
        drawn = [blocks(f"{number(day.view())}?", scale) for scale in range(1, 9)]
        assert any(all(row in shown for row in rows) for rows in drawn), "a question mark as large as the digits"
        await pilot.press("T")
        await day.look(pilot)
        assert isinstance(day.app.screen, TimeDialog)
        day.passes(1.0)
        await pilot.press("enter")
        await day.look(pilot)
        await pilot.press("f")
        shown = await day.look(pilot)
        assert isinstance(day.app.screen, FarView)
        assert "doubt" not in shown
        assert "The power was off" not in shown


def blocks(digits: str, scale: int) -> list[str]:
    """The lines of these digits in blocks."""
    canvas = Canvas(columns(digits, scale), lines(scale))
    draw_blocks(canvas, 0, 0, digits, scale)
    return [canvas.line(y).plain.rstrip() for y in range(canvas.height)]


async def test_doubt_covers_no_alarm_in_the_far_view(day: Day) -> None:
    await day.begin()
    day.power_cut(5 * MINUTE, clock_after_s=5 * MINUTE)
    async with day.running() as pilot:
        await day.to_bench(pilot)
        await pilot.press("f")
        day.passes(2 * HOUR)
        shown = await day.look(pilot)
        urgent = day.live.board().of(day.live.board().urgent or "")
        assert urgent is not None
        assert urgent.do
        drawn = [blocks(urgent.do.split(":")[0].split(",")[0].upper(), scale) for scale in (1, 2)]
        assert any(all(row in shown for row in rows) for rows in drawn), "in capitals"
        assert len(day.sounded) == 1
        assert "? The power was off for" in shown


async def test_doubt_is_said_on_other_pages_and_what_rings_stands_below_it(day: Day) -> None:
    await day.begin()
    day.power_cut(5 * MINUTE, clock_after_s=5 * MINUTE)
    async with day.running() as pilot:
        await day.to_bench(pilot)
        await pilot.press("b")
        shown = await day.look(pilot)
        assert isinstance(day.app.screen, BakeLog)
        assert shown.splitlines()[1].endswith("T answer on the bench")
        day.passes(2 * HOUR)
        shown = await day.look(pilot)
        assert "The power was off" in shown.splitlines()[1]
        assert "◆" in shown.splitlines()[2]


async def test_the_key_to_all_that_is_wrong_is_no_part_of_a_length(day: Day) -> None:
    await day.begin()
    day.power_cut(5 * MINUTE, clock_after_s=0.0)
    async with day.running() as pilot:
        assert isinstance(day.app.screen, TimeDialog)
        day.passes(1.0)
        await pilot.press("4", "exclamation_mark")
        await day.look(pilot)
        assert isinstance(day.app.screen, TroubleDialog)
        await pilot.press("escape", "0")
        await day.look(pilot)
        assert isinstance(day.app.screen, TimeDialog)
        assert day.app.screen.query_one("#length", Input).value == "40"
