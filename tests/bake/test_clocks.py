"""Countdowns against the truth, on a simulated clock: sleep, a clock that is set, a killed program, a new boot."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from proofbell.bake import events as kinds
from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide, decided
from proofbell.bake.fold import fold
from proofbell.bake.intents import Refused
from proofbell.bake.record import from_row, to_row
from proofbell.bake.stamp import Stamp, Timeline
from proofbell.bake.view import view
from tests.support.baking import FIRST_PROOF, MORNING_US, WHOLE, Baking, at_stage
from tests.support.prompted import due

HOURS_50 = 50 * 3600.0


class Clocks(RuleBasedStateMachine):
    """The bake on one side; on the other a stop watch that nobody can set, and lengths kept by hand."""

    def __init__(self) -> None:
        super().__init__()
        self.baking = Baking(WHOLE)
        self.truth_us = 0
        self.begun_us: int | None = None
        self.length_s = 0.0
        self.unnoticed = False

    def _say(self, intent: intents.Intent) -> bool:
        decision = decide(self.baking.state, intent, self.baking.now)
        if isinstance(decision, Refused):
            return False
        self.baking.state = decided(self.baking.state, decision)
        for event in decision:
            if isinstance(event.body, kinds.StageBegun):
                self.begun_us, self.length_s = self.truth_us, WHOLE.stages[event.body.stage].time_s
            elif isinstance(event.body, kinds.TimeAdjusted):
                self.length_s = event.body.to_s
            elif isinstance(event.body, kinds.BakeClosed):
                self.begun_us = None
        if decision:
            self.unnoticed = False
        return True

    @initialize()
    def begin(self) -> None:
        self._say(intents.Begin())

    @rule(seconds=st.integers(0, 40_000) | st.integers(0, 400))
    def time_passes_awake_or_asleep(self, seconds: int) -> None:
        self.baking.wait(seconds=seconds)
        self.truth_us += seconds * 1_000_000

    @rule(by_s=st.floats(-HOURS_50, HOURS_50))
    def the_clock_is_set(self, by_s: float) -> None:
        self.baking.set_clock(by_s)
        self.unnoticed = self.unnoticed or by_s != 0

    @rule()
    def the_program_ticks(self) -> None:
        """It looks at the clock every second; a clock that was set goes into the log."""
        self._say(intents.Look())

    @rule()
    def a_stage_ends(self) -> None:
        self._say(intents.Done())

    @rule(raw=st.floats(5, 39))
    def the_dough_is_read(self, raw: float) -> None:
        self._say(intents.Read("dough temperature", f"{raw}", raw=raw))

    @rule(by_s=st.integers(-1200, 1200))
    def the_baker_changes_the_length(self, by_s: int) -> None:
        self._say(intents.Longer(float(by_s)))

    @rule()
    def the_program_is_killed_and_taken_up_again(self) -> None:
        rows = [to_row(event) for event in self.baking.state.events]
        self.baking.state = fold(from_row(row) for row in rows)
        self._say(intents.Back(60.0))

    @precondition(lambda self: not self.unnoticed)
    @rule(off_s=st.integers(0, 20_000))
    def the_power_goes_and_comes_back(self, off_s: int) -> None:
        """Across boots only UTC is left; it is right as long as every setting of the clock was noticed."""
        self._say(intents.Look())
        self.baking.reboot(off_s)
        self.truth_us += off_s * 1_000_000
        self._say(intents.Back(float(off_s)))

    @invariant()
    def the_bakes_own_time_is_the_truth(self) -> None:
        # A setting of less than two seconds is taken for measurement and may show across a boot; none is made here.
        assert self.baking.now_s == pytest.approx(self.truth_us / 1_000_000, abs=self._slack_s)

    @invariant()
    def the_countdown_is_right(self) -> None:
        index = self.baking.state.current
        if index is None or self.begun_us is None or WHOLE.stages[index].kind == "hands":
            return
        left_s = self.length_s - (self.truth_us - self.begun_us) / 1_000_000
        seen = view(self.baking.state, self.baking.now_s)
        assert (seen.seconds if seen.mode == "left" else -seen.seconds) == pytest.approx(left_s, abs=self._slack_s)

    @property
    def _slack_s(self) -> float:
        """A clock set by under two seconds is not told from a measurement: it may count at each new boot."""
        boots = self.baking.now.boot_id.count("+")
        return 0.001 + 2.0 * boots


ClocksTest = Clocks.TestCase
ClocksTest.settings = settings(max_examples=60, stateful_step_count=30)


def test_a_laptop_that_sleeps_and_a_clock_that_is_set_move_no_countdown() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.wait(minutes=10)
    baking.set_clock(-HOURS_50)
    assert baking.left_min == pytest.approx(60)
    baking.wait(minutes=30)
    baking.set_clock(2 * HOURS_50)
    assert baking.left_min == pytest.approx(30)


def test_a_clock_that_was_set_goes_into_the_log_once() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.set_clock(3600)
    (noted,) = baking.say(intents.Look())
    assert noted.body == kinds.ClockSet(3600.0)
    assert baking.say(intents.Look()) == ()
    baking.set_clock(1.9)
    assert baking.say(intents.Look()) == ()


def test_what_is_said_after_the_clock_was_set_is_undone_without_it() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.set_clock(-7200)
    noted, taken, changed = baking.say(intents.Read("dough temperature", "27", raw=27.0))
    assert isinstance(noted.body, kinds.ClockSet)
    assert isinstance(changed.body, kinds.TimeAdjusted)
    assert changed.body.cause == taken.number
    baking.say(intents.Undo())
    assert baking.state.readings == ()
    assert [e.number for e in baking.state.events if e.number in baking.state.undone] == [taken.number, changed.number]


def test_across_boots_lengths_go_by_utc_and_never_backwards() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.wait(minutes=5)
    baking.say(intents.AddNote("Covered."))
    baking.reboot(600)
    assert baking.left_min == pytest.approx(55)
    baking.reboot(-86_400)
    assert baking.left_min == pytest.approx(65)


def test_a_clock_set_before_a_power_cut_counts_right_when_it_was_noticed() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.set_clock(-HOURS_50)
    baking.say(intents.Look())
    baking.wait(minutes=20)
    baking.reboot(600)
    assert baking.left_min == pytest.approx(40)


def test_everything_that_came_due_meanwhile_is_there_with_how_late_it_is() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.wait(minutes=1)
    rows = [to_row(event) for event in baking.state.events]
    baking.wait(minutes=599)
    baking.state = fold(from_row(row) for row in rows)
    late = {prompt.kind: round((baking.now_s - prompt.due_s) / 60) for prompt in due(baking.state, baking.now_s)}
    assert late == {"check": 600, "due": 530}


def test_the_night_of_a_daylight_saving_change_is_as_long_as_it_is() -> None:
    """Europe/Berlin, 29 March 2026: 02:00 becomes 03:00, so 00:30 to 03:30 by the wall clock are two hours."""
    berlin = ZoneInfo("Europe/Berlin")
    evening = datetime(2026, 3, 29, 0, 30, tzinfo=berlin)
    morning = datetime(2026, 3, 29, 3, 30, tzinfo=berlin)
    stamps = [
        Stamp(
            int(moment.astimezone(UTC).timestamp() * 1_000_000),
            round((moment.astimezone(UTC) - evening.astimezone(UTC)) / timedelta(microseconds=1)),
            "boot",
            round((moment.utcoffset() or timedelta()) / timedelta(minutes=1)),
        )
        for moment in (evening, morning)
    ]
    assert stamps[1].offset_min - stamps[0].offset_min == 60
    timeline = Timeline(stamps[0])
    assert timeline.at(stamps[1]) == 2 * 3600 * 1_000_000
    assert timeline.clock_set_by_us(stamps[1]) == 0


def test_a_moment_is_told_by_the_wall_clock_as_it_stood_at_the_newest_event() -> None:
    timeline = Timeline(Stamp(MORNING_US, 0, "boot"))
    later = timeline.moved(Stamp(MORNING_US + 3600_000_000 + 90_000_000, 90_000_000, "boot"))
    assert later.run_us == 90_000_000
    assert later.wall_us(90_000_000) == MORNING_US + 3600_000_000 + 90_000_000
