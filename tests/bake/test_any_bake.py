"""What holds for every formula and everything that is said, in any order, whatever the clocks do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields

from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.bake import events as kinds
from proofbell.bake import intents
from proofbell.bake.asking.looking_again import looks_again
from proofbell.bake.core import core_short
from proofbell.bake.decisions.decide import Decision, decide, decided
from proofbell.bake.fermenting.short_rise import short_at_the_end
from proofbell.bake.fold import fold
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.prompts import prompts
from proofbell.bake.record import chained_digest, from_row, to_row
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import Silenced
from proofbell.bake.view import view
from proofbell.formula.model import Formula
from proofbell.kitchen.model import Kitchen
from tests.support.baking import INTENTS, KITCHENS, READS, STEPS, Baking, adjustment, formulas, passed
from tests.support.prompted import due, ringing

Steps = list[tuple[tuple[str, float], Intent]]

SOME = settings(max_examples=60)
FEW = settings(max_examples=40)


def played(made: Formula, kitchen: Kitchen, steps: Steps) -> Iterator[tuple[Baking, BakeState, Intent, Decision]]:
    """Every step of a bake that begins: the bake after it, the state before it, and what came of the intent."""
    baking = Baking(made, kitchen)
    baking.say(intents.Begin())
    for step, intent in steps:
        passed(baking, step)
        before = baking.state
        decision = decide(before, intent, baking.now)
        if not isinstance(decision, Refused):
            baking.state = decided(before, decision)
        yield baking, before, intent, decision


def ended(made: Formula, kitchen: Kitchen, steps: Steps) -> Baking:
    """The bake after all steps."""
    return list(played(made, kitchen, steps))[-1][0]


@SOME
@given(formulas(), KITCHENS, STEPS)
def test_what_is_decided_can_always_happen_and_deciding_changes_nothing(
    made: Formula, kitchen: Kitchen, steps: Steps
) -> None:
    for baking, before, intent, decision in played(made, kitchen, steps):
        assert decide(before, intent, baking.now) == decision
        if isinstance(decision, Refused):
            assert decision.message.endswith(".")


@SOME
@given(formulas(), KITCHENS, STEPS)
def test_time_never_runs_backwards(made: Formula, kitchen: Kitchen, steps: Steps) -> None:
    logged_us, seen_s, boot = 0, 0.0, ""
    for baking, before, _, _ in played(made, kitchen, steps):
        assert list(baking.state.times_us) == sorted(baking.state.times_us)
        if baking.state.shifts != before.shifts:
            logged_us, boot = 0, ""  # The baker said how long the power was off, or took it back.
        assert baking.state.timeline.run_us >= logged_us
        logged_us = baking.state.timeline.run_us
        # Until something is said in a new boot only the log is known: a clock behind it stands still.
        assert baking.now_s >= logged_us / 1_000_000
        if baking.state.timeline.anchor.boot_id == baking.now.boot_id:
            assert baking.now_s >= (seen_s if baking.now.boot_id == boot else 0.0)
            seen_s, boot = baking.now_s, baking.now.boot_id
        for run in baking.state.stages:
            assert run.length_s >= 0
            assert run.begun_s is None or run.ended_s is None or run.begun_s <= run.ended_s


@SOME
@given(formulas(), KITCHENS, STEPS)
def test_replaying_the_stored_log_gives_the_same_state(made: Formula, kitchen: Kitchen, steps: Steps) -> None:
    state = ended(made, kitchen, steps).state
    rows = [to_row(event) for event in state.events]
    assert fold(from_row(row) for row in rows) == state
    digest = ""
    for row in rows:
        digest = chained_digest(digest, row)
        assert digest == row.digest
    assert len({row.id for row in rows}) == len(rows)


@SOME
@given(formulas(), KITCHENS, STEPS)
def test_a_length_is_the_formulas_and_every_change_that_stands(made: Formula, kitchen: Kitchen, steps: Steps) -> None:
    for baking, _, _, _ in played(made, kitchen, steps):
        for index, run in enumerate(baking.state.stages):
            length_s = baking.state.formula.stages[index].time_s  # Another size may bake in other loads.
            for change in run.adjustments:
                assert change.body.from_s == length_s
                length_s = change.body.to_s
            assert run.length_s == length_s


@SOME
@given(formulas(), KITCHENS, STEPS)
def test_a_correction_never_loses_the_first_value(made: Formula, kitchen: Kitchen, steps: Steps) -> None:
    state = ended(made, kitchen, steps).state
    taken = {e.number: e.body for e in state.events if isinstance(e.body, kinds.ReadingTaken)}
    for reading in state.readings:
        first = reading.earlier[0] if reading.earlier else reading
        assert (first.value, first.typed) == (taken[reading.number].value, taken[reading.number].typed)


@SOME
@given(formulas(), KITCHENS, STEPS)
def test_a_reading_said_twice_in_one_moment_changes_nothing_more(made: Formula, kitchen: Kitchen, steps: Steps) -> None:
    for baking, _, intent, decision in played(made, kitchen, steps):
        if isinstance(intent, intents.Read) and not isinstance(decision, Refused):
            again = decide(baking.state, intent, baking.now)
            assert not isinstance(again, Refused)
            assert adjustment(again) is None


LOG = ("events", "times_us", "timeline", "undone")


def picture(state: BakeState) -> dict[str, object]:
    """Everything about a bake but its log."""
    return {f.name: getattr(state, f.name) for f in fields(state) if f.name not in LOG}


@SOME
@given(formulas(), KITCHENS, STEPS)
def test_undo_restores_what_was_before(made: Formula, kitchen: Kitchen, steps: Steps) -> None:
    kept = intents.Undo | intents.PlanStart | intents.Back | intents.Look
    for baking, before, intent, decision in played(made, kitchen, steps):
        if isinstance(decision, Refused) or isinstance(intent, kept):
            continue
        if isinstance(intent, intents.Task) and isinstance(intent.task, Silenced):
            continue
        undone = decide(baking.state, intents.Undo(), baking.now)
        assert not isinstance(undone, Refused)
        assert picture(decided(baking.state, undone)) == picture(before)


@FEW
@given(formulas(), KITCHENS, STEPS)
def test_undoing_to_the_end_leaves_a_bake_that_was_only_opened(made: Formula, kitchen: Kitchen, steps: Steps) -> None:
    baking = ended(made, kitchen, steps)
    for _ in range(len(baking.state.events)):
        decision = decide(baking.state, intents.Undo(), baking.now)
        if isinstance(decision, Refused):
            break
        baking.state = decided(baking.state, decision)
    state = baking.state
    assert not state.begun
    assert (state.closed, state.readings, state.notes, state.scores, state.typical) == (None, (), (), (), True)
    assert [mark.task for mark in state.marks if not isinstance(mark.task, Silenced)] == []


@SOME
@given(formulas(), KITCHENS, STEPS)
def test_prompts_have_one_name_each_and_are_quiet_once_silenced(made: Formula, kitchen: Kitchen, steps: Steps) -> None:
    for baking, _, _, _ in played(made, kitchen, steps):
        names = [prompt.id for prompt in prompts(baking.state)]
        assert len(set(names)) == len(names)
        quiet = baking.state
        for prompt in due(quiet, baking.now_s):
            decision = decide(quiet, intents.Task(Silenced(prompt.id)), baking.now)
            assert not isinstance(decision, Refused)
            quiet = decided(quiet, decision)
        assert ringing(quiet, baking.now_s) == ()
        # Nothing but a new due time rings again, however long nobody comes; an oven waits for a stage that runs over,
        # what was missed in the oven is asked for no more, a core that was low or a rise that was short has a moment
        # at which it is asked about again, a look that nobody took gives way to what became due since, and a core that
        # the card has read as the bread is taken out is asked for no more once it is late to be taken out. A weigh-out
        # gives way to the start that it is for.
        coming = [prompt for prompt in prompts(quiet, now_s=baking.now_s) if prompt.due_s > baking.now_s]
        later = {prompt.id for prompt in coming}
        rings = {prompt.id for prompt in ringing(quiet, baking.now_s + 3e6)}
        now_in = quiet.current
        low = now_in is not None and (core_short(quiet, now_in) or short_at_the_end(quiet, now_in)) is not None
        weighed = set() if quiet.begun else {"start"}
        again = {"due"} if low else set()
        # An oven that was on too long before is to be off meanwhile; who leaves it on is asked whether it is hot.
        again |= {"oven hot"} if any(each.kind == "oven off" for each in due(baking.state, baking.now_s)) else set()
        assert {prompt.kind for prompt in prompts(quiet) if prompt.id in rings - later} <= again | weighed
        gone = {"oven on", "turn", "heat", *weighed, *({"check"} if low or looks_again(quiet, ()) else ())}
        taken_out = {each.stage for each in rings if each.kind == "due"}
        gone_ids = {
            prompt.id for prompt in coming if prompt.kind in gone or (prompt.ends and prompt.stage in taken_out)
        }
        assert later - rings <= gone_ids


@FEW
@given(formulas(), KITCHENS, STEPS)
def test_a_bake_can_be_shown_at_any_moment(made: Formula, kitchen: Kitchen, steps: Steps) -> None:
    for baking, _, _, _ in played(made, kitchen, steps):
        seen = view(baking.state, baking.now_s)
        assert seen.seconds >= 0
        assert [span.begin_s for span in seen.spans] == sorted(span.begin_s for span in seen.spans)
        for change in (change for run in baking.state.stages for change in run.adjustments):
            assert change.body.reason.endswith(".")
            assert "\n" not in change.body.reason


@FEW
@given(formulas(), KITCHENS, st.lists(READS | st.builds(intents.Longer, st.floats(-600, 600)), max_size=8), INTENTS)
def test_nothing_changes_once_a_bake_is_closed_but_what_is_remembered_of_it(
    made: Formula, kitchen: Kitchen, said: list[Intent], last: Intent
) -> None:
    baking = Baking(made, kitchen)
    baking.say(intents.Begin())
    baking.say(intents.GiveUp())
    stages = baking.state.stages
    for intent in (*said, last):
        if isinstance(intent, intents.Undo):
            continue
        decision = decide(baking.state, intent, baking.now)
        if not isinstance(decision, Refused):
            baking.state = decided(baking.state, decision)
        assert baking.state.stages == stages
        assert baking.state.closed is not None
