"""How long the power was off: what the clock says of it, what the baker says, and the countdown that follows."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from proofbell.bake import events as kinds
from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide, decided
from proofbell.bake.decisions.joining import joined, shared
from proofbell.bake.doubt import Outage, doubt, outages, ran_on_s
from proofbell.bake.fold import fold
from proofbell.bake.intents import Refused
from proofbell.bake.record import from_row, to_row
from proofbell.bake.stamp import UNKNOWN_BOOT, Stamp
from proofbell.journal.reviews.moments import Moments
from proofbell.journal.reviews.wording import event_words
from tests.support.baking import FIRST_PROOF, WHOLE, Baking, at_stage

MINUTE = 60.0


@dataclass
class Kitchen:
    """A machine with a bake on it, and a stop watch that nobody can set."""

    baking: Baking
    truth_s: float = 0.0
    seen: Stamp | None = None

    @classmethod
    def at_first_proof(cls) -> Kitchen:
        return cls(at_stage(FIRST_PROOF))

    def passes(self, seconds: float) -> None:
        self.baking.wait(seconds=seconds)
        self.truth_s += seconds

    def watched(self, seconds: float) -> None:
        """Time passes, and the journal is told at the end that the program still runs."""
        self.passes(seconds)
        self.seen = self.baking.now

    def power_cut(self, off_s: float, *, clock_after_s: float, up_s: float = 20.0) -> None:
        """Off for ``off_s``; the wall clock is ``clock_after_s`` further then, whatever is true."""
        self.truth_s += off_s + up_s
        self.baking.reboot(clock_after_s, up_s)

    def taken_up(self) -> None:
        """The program starts, as it does after the power is back."""
        seen, now = self.seen or self.baking.state.last.stamp, self.baking.now
        self.baking.say(intents.Back(0.0, ran_s=ran_on_s(self.baking.state, seen, now)))

    @property
    def doubt(self) -> Outage | None:
        return doubt(self.baking.state, self.baking.now)

    def says(self, off_s: float) -> tuple[kinds.Body, ...]:
        """The baker answers the question."""
        asked = self.doubt
        assert asked is not None
        return tuple(event.body for event in self.baking.say(intents.Rebase(asked.since, off_s)))


def test_a_clock_that_was_right_is_asked_about_once_and_a_yes_moves_nothing() -> None:
    kitchen = Kitchen.at_first_proof()
    kitchen.watched(10 * MINUTE)
    kitchen.power_cut(40 * MINUTE, clock_after_s=40 * MINUTE)
    kitchen.taken_up()
    asked = kitchen.doubt
    assert asked is not None
    assert (asked.cause, asked.suspected_s, asked.counted_s) == ("off", 40 * MINUTE, 40 * MINUTE)
    left_min = kitchen.baking.left_min
    (rebased,) = kitchen.says(40 * MINUTE)
    assert rebased == kinds.TimeRebased(asked.since, 40 * MINUTE, 0.0)
    assert kitchen.baking.left_min == left_min == pytest.approx(70 - 10 - 40 - 20 / 60)
    assert kitchen.doubt is None


def test_a_program_that_was_only_closed_is_asked_about_nothing() -> None:
    kitchen = Kitchen.at_first_proof()
    kitchen.passes(40 * MINUTE)
    kitchen.taken_up()
    assert kitchen.doubt is None
    assert outages(kitchen.baking.state, kitchen.baking.now) == ()


def test_a_clock_behind_the_log_asks_how_long_and_counts_at_least_what_is_known() -> None:
    kitchen = Kitchen.at_first_proof()
    kitchen.watched(10 * MINUTE)
    kitchen.power_cut(40 * MINUTE, clock_after_s=-3600.0, up_s=2 * MINUTE)
    kitchen.taken_up()
    asked = kitchen.doubt
    assert asked is not None
    assert (asked.cause, asked.suspected_s, asked.counted_s) == ("impossible", None, 0.0)
    # Ten minutes it was watched, and two the machine has run since: those are certain.
    assert kitchen.baking.left_min == pytest.approx(70 - 12)
    (rebased,) = kitchen.says(40 * MINUTE)
    assert rebased == kinds.TimeRebased(asked.since, 40 * MINUTE, 40 * MINUTE)
    assert kitchen.baking.left_min == pytest.approx(70 - 12 - 40)


def test_the_step_of_a_clock_that_the_network_sets_right_is_the_outage_and_moves_nothing_unasked() -> None:
    kitchen = Kitchen.at_first_proof()
    kitchen.watched(10 * MINUTE)
    kitchen.power_cut(40 * MINUTE, clock_after_s=-5 * MINUTE)
    kitchen.taken_up()
    before_min = kitchen.baking.left_min
    kitchen.baking.set_clock(45 * MINUTE)
    assert kitchen.baking.left_min == before_min
    asked = kitchen.doubt
    assert asked is not None
    assert (asked.cause, asked.suspected_s, asked.counted_s) == ("stepped", 40 * MINUTE, 0.0)
    # Other events come before the answer; the step is not lost among them.
    kitchen.baking.say(intents.AddNote("The lights are back."))
    kitchen.passes(MINUTE)
    kitchen.baking.say(intents.Read("dough temperature", "25", raw=25.0))
    asked = kitchen.doubt
    assert asked is not None
    assert asked.suspected_s == 40 * MINUTE
    kitchen.says(40 * MINUTE)
    assert kitchen.baking.left_min == pytest.approx(before_min - 1 - 40)


def test_somebody_setting_the_clock_in_a_boot_seen_from_its_start_is_no_doubt() -> None:
    kitchen = Kitchen.at_first_proof()
    kitchen.passes(10 * MINUTE)
    kitchen.baking.set_clock(3600.0)
    kitchen.baking.say(intents.Look())
    assert kitchen.doubt is None
    assert kitchen.baking.left_min == pytest.approx(60)


def test_a_yes_to_a_clock_that_is_set_right_afterwards_is_asked_again() -> None:
    kitchen = Kitchen.at_first_proof()
    kitchen.watched(10 * MINUTE)
    kitchen.power_cut(40 * MINUTE, clock_after_s=0.0)
    kitchen.taken_up()
    kitchen.says(0.0)
    assert kitchen.doubt is None
    kitchen.baking.set_clock(40 * MINUTE)
    again = kitchen.doubt
    assert again is not None
    assert (again.said_s, again.suspected_s) == (0.0, 40 * MINUTE)
    kitchen.says(40 * MINUTE)
    assert kitchen.doubt is None
    assert kitchen.baking.left_min == pytest.approx(70 - 10 - 40 - 20 / 60)


def test_a_length_that_the_baker_gave_holds_whatever_the_clock_does_then() -> None:
    kitchen = Kitchen.at_first_proof()
    kitchen.watched(10 * MINUTE)
    kitchen.power_cut(40 * MINUTE, clock_after_s=0.0)
    kitchen.taken_up()
    kitchen.says(40 * MINUTE)
    kitchen.baking.set_clock(41 * MINUTE)
    assert kitchen.doubt is None


def test_what_was_said_between_the_power_cut_and_the_answer_moves_with_the_time() -> None:
    kitchen = Kitchen.at_first_proof()
    kitchen.watched(30 * MINUTE)
    kitchen.power_cut(40 * MINUTE, clock_after_s=0.0, up_s=0.0)
    kitchen.taken_up()
    kitchen.baking.say(intents.Done())
    kitchen.baking.say(intents.Longer(5 * MINUTE))
    before_min = kitchen.baking.left_min
    kitchen.passes(MINUTE)
    kitchen.says(40 * MINUTE)
    # The proof was 40 min longer; the stage begun after the cut is not a second older for it.
    proof = kitchen.baking.state.stages[1]
    assert proof.begun_s is not None
    assert proof.ended_s == proof.begun_s + 70 * MINUTE
    assert kitchen.baking.left_min == pytest.approx(before_min - 1)


def test_a_start_that_was_planned_between_the_power_cut_and_the_answer_stays_as_far_off() -> None:
    baking = Baking(WHOLE, start_in_s=3600.0)
    baking.reboot(0.0)
    baking.say(intents.Back(0.0))
    baking.say(intents.PlanStart(1800.0, ready_in_s=9000.0))
    asked = doubt(baking.state, baking.now)
    assert asked is not None
    baking.say(intents.Rebase(asked.since, 600.0))
    assert (baking.state.start_s, baking.state.ready_by_s) == (600.0 + 1800.0, 600.0 + 9000.0)


def test_a_start_that_was_planned_after_a_wrong_answer_stays_as_far_off_when_that_is_put_right() -> None:
    baking = Baking(WHOLE, start_in_s=3600.0)
    baking.reboot(0.0)
    baking.say(intents.Back(0.0))
    asked = doubt(baking.state, baking.now)
    assert asked is not None
    baking.say(intents.Rebase(asked.since, 600.0))
    baking.say(intents.PlanStart(1800.0))
    baking.say(intents.Rebase(asked.since, 200.0))
    assert baking.state.start_s == pytest.approx(baking.now_s + 1800.0) == 2000.0
    baking.say(intents.Undo())
    assert baking.state.start_s == pytest.approx(baking.now_s + 1800.0) == 2400.0
    baking.say(intents.Undo())
    assert baking.state.start_s == pytest.approx(baking.now_s + 1800.0) == 1800.0


def test_two_windows_that_answer_apart_are_joined_to_one_answer() -> None:
    kitchen = Kitchen.at_first_proof()
    kitchen.watched(10 * MINUTE)
    kitchen.power_cut(40 * MINUTE, clock_after_s=0.0)
    common = kitchen.baking.state
    logs = []
    for _ in range(2):
        kitchen.baking.state = common
        kitchen.taken_up()
        kitchen.passes(1.0)
        kitchen.says(40 * MINUTE)
        logs.append(kitchen.baking.state)
    there, here = logs
    both = joined(there, here.events[shared(here.events, there.events) :], lambda event: f"in vain: {event.number}")
    assert both.now_s(kitchen.baking.now) == pytest.approx(there.now_s(kitchen.baking.now))
    assert not both.notes
    assert doubt(both, kitchen.baking.now) is None


def test_a_bake_that_has_not_begun_and_has_no_hour_is_asked_about_nothing() -> None:
    baking = Baking(WHOLE)
    baking.reboot(3600.0)
    baking.say(intents.Back(3600.0))
    assert doubt(baking.state, baking.now) is None


def test_the_answer_is_taken_back_like_anything_said_and_the_question_is_there_again() -> None:
    kitchen = Kitchen.at_first_proof()
    kitchen.watched(10 * MINUTE)
    kitchen.power_cut(40 * MINUTE, clock_after_s=0.0)
    kitchen.taken_up()
    asked, left_min = kitchen.doubt, kitchen.baking.left_min
    kitchen.says(25 * MINUTE)
    assert kitchen.baking.left_min == pytest.approx(left_min - 25)
    kitchen.baking.say(intents.Undo())
    assert kitchen.baking.left_min == left_min
    assert kitchen.doubt == asked
    kitchen.says(40 * MINUTE)
    assert kitchen.baking.left_min == pytest.approx(left_min - 40)


def test_a_length_that_was_wrong_can_be_said_again() -> None:
    kitchen = Kitchen.at_first_proof()
    kitchen.watched(10 * MINUTE)
    kitchen.power_cut(40 * MINUTE, clock_after_s=0.0)
    kitchen.taken_up()
    left_min, asked = kitchen.baking.left_min, kitchen.doubt
    assert asked is not None
    kitchen.says(50 * MINUTE)
    kitchen.baking.say(intents.Rebase(asked.since, 40 * MINUTE))
    assert kitchen.baking.left_min == pytest.approx(left_min - 40)
    assert kitchen.baking.refused(intents.Rebase(asked.since, 40 * MINUTE)).message == "That is already recorded."


def test_an_answer_that_cannot_be_is_refused() -> None:
    kitchen = Kitchen.at_first_proof()
    assert "not off there" in kitchen.baking.refused(intents.Rebase(3, 600.0)).message
    kitchen.watched(10 * MINUTE)
    kitchen.power_cut(40 * MINUTE, clock_after_s=0.0)
    kitchen.taken_up()
    asked = kitchen.doubt
    assert asked is not None
    for off_s in (-1.0, float("nan"), float("inf"), 15 * 86_400.0):
        assert "14 days" in kitchen.baking.refused(intents.Rebase(asked.since, off_s)).message
    kitchen.baking.say(intents.GiveUp())
    assert kitchen.doubt is None
    assert "given up" in kitchen.baking.refused(intents.Rebase(asked.since, 600.0)).message


def test_two_outages_on_a_clock_without_a_battery_are_asked_about_one_by_one() -> None:
    kitchen = Kitchen.at_first_proof()
    kitchen.watched(5 * MINUTE)
    kitchen.power_cut(20 * MINUTE, clock_after_s=0.0, up_s=0.0)
    kitchen.taken_up()
    kitchen.watched(5 * MINUTE)
    kitchen.power_cut(10 * MINUTE, clock_after_s=0.0, up_s=0.0)
    kitchen.taken_up()
    kitchen.baking.set_clock(30 * MINUTE)
    first = kitchen.doubt
    assert first is not None
    kitchen.says(20 * MINUTE)
    second = kitchen.doubt
    assert second is not None
    assert second.since > first.since
    # Of the 30 min that the clock was behind, 20 are the first outage's.
    assert second.suspected_s == 10 * MINUTE
    kitchen.says(10 * MINUTE)
    assert kitchen.doubt is None
    assert kitchen.baking.left_min == pytest.approx(70 - 5 - 20 - 5 - 10)


def test_a_reading_that_came_in_before_the_program_was_started_again_asks_the_same() -> None:
    kitchen = Kitchen.at_first_proof()
    kitchen.watched(10 * MINUTE)
    kitchen.power_cut(40 * MINUTE, clock_after_s=40 * MINUTE)
    kitchen.baking.say(intents.Read("dough temperature", "25", raw=25.0, source="probe"))
    kitchen.passes(MINUTE)
    kitchen.taken_up()
    asked = kitchen.doubt
    assert asked is not None
    assert (asked.suspected_s, asked.counted_s) == (40 * MINUTE, 40 * MINUTE)


def test_where_the_system_names_no_boot_a_new_process_is_no_power_cut() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.now = replace(baking.now, boot_id=f"{UNKNOWN_BOOT}1")
    baking.say(intents.AddNote("Covered."))
    opened = baking.state
    for wall_s, behind in ((600.0, False), (-600.0, True)):
        baking.state = opened
        stamp = replace(opened.last.stamp, boot_id=f"{UNKNOWN_BOOT}2")
        baking.now = replace(stamp, wall_us=stamp.wall_us + round(wall_s * 1e6), boot_us=9_000_000_000)
        baking.say(intents.Back(0.0))
        assert (doubt(baking.state, baking.now) is not None) is behind


def test_the_log_says_it_so_that_a_stranger_understands() -> None:
    said = event_words(kinds.TimeRebased(4, 40 * MINUTE, 40 * MINUTE), WHOLE)
    assert said == "The power was off for 40 min (said by the baker); the clock had counted 0 s"
    said = event_words(kinds.TimeRebased(4, 40 * MINUTE, 12.0), WHOLE)
    assert said == "The power was off for 40 min, as the clock had counted (said by the baker)"


def test_a_log_with_an_answer_tells_its_times_by_the_clock_as_it_read() -> None:
    kitchen = Kitchen.at_first_proof()
    kitchen.watched(10 * MINUTE)
    kitchen.power_cut(40 * MINUTE, clock_after_s=0.0)
    kitchen.taken_up()
    kitchen.baking.set_clock(40 * MINUTE)
    kitchen.passes(MINUTE)
    kitchen.says(40 * MINUTE)
    moments = Moments(kitchen.baking.state)
    for event in kitchen.baking.state.events:
        at_s = moments.event_s(event.number)
        assert moments.wall_us(at_s) == event.stamp.wall_us


@pytest.mark.parametrize("order", list(itertools.permutations(["cut", "step", "sleep", "stage"])))
def test_in_any_order_the_countdown_is_the_truth_once_the_baker_has_said_it(order: tuple[str, ...]) -> None:
    kitchen = Kitchen(Baking(WHOLE))
    kitchen.baking.to_stage(2)
    begun_s = 0.0
    for move in order:
        if move == "cut":
            kitchen.watched(3 * MINUTE)
            kitchen.power_cut(17 * MINUTE, clock_after_s=-MINUTE)
            kitchen.taken_up()
        elif move == "step":
            kitchen.baking.set_clock(18 * MINUTE)
        elif move == "sleep":
            kitchen.passes(9 * 3600.0)
        else:
            kitchen.baking.say(intents.Done())
            begun_s = kitchen.truth_s
    kitchen.says(17 * MINUTE)
    run = kitchen.baking.state.stages[kitchen.baking.state.current or 0]
    assert kitchen.baking.left_min * MINUTE == pytest.approx(run.length_s - (kitchen.truth_s - begun_s))


class Doubts(RuleBasedStateMachine):
    """Power cuts under a clock that may say anything, steps, sleep and stages; the baker answers with the truth."""

    def __init__(self) -> None:
        super().__init__()
        self.kitchen = Kitchen(Baking(WHOLE))
        self.kitchen.baking.say(intents.Begin())
        self.begun_s = [0.0]
        self.offs_s: list[float] = []

    @property
    def _baking(self) -> Baking:
        return self.kitchen.baking

    @rule(seconds=st.integers(0, 40_000) | st.integers(0, 400), watched=st.booleans())
    def time_passes_awake_or_asleep(self, seconds: int, watched: bool) -> None:  # noqa: FBT001 - drawn
        (self.kitchen.watched if watched else self.kitchen.passes)(float(seconds))

    @rule(by_s=st.integers(-90_000, 90_000))
    def the_clock_is_set(self, by_s: int) -> None:
        before_s = self._baking.now_s
        self._baking.set_clock(float(by_s))
        assert self._baking.now_s == before_s

    @rule()
    def the_program_ticks(self) -> None:
        before_s = self._baking.now_s
        self._baking.say(intents.Look())
        assert self._baking.now_s == before_s

    @precondition(lambda self: len(self.offs_s) < 4)
    @rule(off_s=st.integers(0, 20_000), wrong_s=st.integers(-50_000, 50_000) | st.just(0), up_s=st.integers(0, 300))
    def the_power_goes_and_comes_back(self, off_s: int, wrong_s: int, up_s: int) -> None:
        # What was not written down before a power cut nobody can know; the program writes once a minute.
        self.kitchen.watched(0.0)
        self.kitchen.power_cut(float(off_s), clock_after_s=float(off_s + wrong_s), up_s=float(up_s))
        self.kitchen.taken_up()
        self.offs_s.append(float(off_s))

    @precondition(lambda self: self._baking.state.closed is None and (self._baking.state.current or 0) < 6)
    @rule()
    def a_stage_ends(self) -> None:
        self._baking.say(intents.Done())
        self.begun_s.append(self.kitchen.truth_s)

    @rule()
    def the_log_is_read_again(self) -> None:
        rows = [to_row(event) for event in self._baking.state.events]
        again = fold(from_row(row) for row in rows)
        assert again == self._baking.state

    @rule()
    def the_baker_answers_and_takes_it_back(self) -> None:
        asked = self.kitchen.doubt
        if asked is not None:
            before_s = self._baking.now_s
            self.kitchen.says(1234.0)
            self._baking.say(intents.Undo())
            assert self._baking.now_s == before_s

    @invariant()
    def with_the_truth_said_all_is_true(self) -> None:
        """A copy of the bake is answered to the end, so that the doubt itself lives on."""
        state, now = self._baking.state, self._baking.now
        all_of_them = outages(state, now)
        assert len(all_of_them) == len(self.offs_s)
        for one, off_s in zip(all_of_them, self.offs_s, strict=True):
            decision = decide(state, intents.Rebase(one.since, off_s), now)
            assert not isinstance(decision, Refused)
            state = decided(state, decision)
        assert state.now_s(now) == pytest.approx(self.kitchen.truth_s, abs=0.001)
        for run, begun_s in zip(state.stages, self.begun_s, strict=False):
            assert run.begun_s == pytest.approx(begun_s, abs=0.001)


DoubtsTest = Doubts.TestCase
DoubtsTest.settings = settings(max_examples=60, stateful_step_count=25)
