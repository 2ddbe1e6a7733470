"""What the baker changes by hand: longer, shorter, the start, the plan's proposals, giving up."""

from __future__ import annotations

import math

import pytest

from proofbell.bake import intents
from proofbell.bake.events import AsPlanned, StartPlanned
from proofbell.bake.prompts import prompts
from proofbell.bake.tasks import OvenTask, Weighed
from proofbell.bake.view import view
from tests.support.baking import FINAL_PROOF, FIRST_PROOF, WHOLE, Baking, adjustment, at_stage
from tests.support.prompted import ringing


def test_longer_adds_to_the_whole_length() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.wait(minutes=20)
    change = adjustment(baking.say(intents.Longer(300)))
    assert change is not None
    assert (change.by, change.reason) == ("hand", "5 min longer by hand.")
    assert baking.left_min == pytest.approx(55)


def test_longer_on_a_stage_that_is_over_counts_from_now() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.wait(minutes=77)
    change = adjustment(baking.say(intents.Longer(300)))
    assert change is not None
    assert change.reason == "5 min longer by hand after 7 min over, 1 h 22 min in all."
    assert view(baking.state, baking.now_s).why == change.reason
    assert baking.left_min == pytest.approx(5)


def test_shorter_ends_at_the_least_now() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.wait(minutes=67)
    baking.say(intents.Longer(-300))
    assert baking.left_min == pytest.approx(0)
    assert "due already" in baking.refused(intents.Longer(-300)).message


@pytest.mark.parametrize("by_s", [0.0, math.nan, math.inf, -math.inf])
def test_a_change_by_nothing_or_by_no_number_is_refused(by_s: float) -> None:
    at_stage(FIRST_PROOF).refused(intents.Longer(by_s))


def test_no_stage_lasts_longer_than_fourteen_days() -> None:
    baking = at_stage(FIRST_PROOF)
    assert "14 days" in baking.refused(intents.Longer(14 * 86400.0)).message
    assert "14 days" in baking.refused(intents.Accept(1, 14 * 86400.0 + 1, "Far too long.")).message


def test_nothing_can_be_longer_before_a_stage_runs() -> None:
    assert Baking(WHOLE).refused(intents.Longer(60)).remedy == "Begin the bake first."


def test_the_plans_length_is_taken_only_for_what_is_not_over() -> None:
    baking = Baking(WHOLE)
    baking.to_stage(2)
    baking.say(intents.Accept(4, 60 * 60.0, "So that the oven is free."))
    assert baking.state.stages[4].length_s == 3600
    assert "over" in baking.refused(intents.Accept(0, 600.0, "Too late.")).message
    assert "no such stage" in baking.refused(intents.Accept(9, 600.0, "Which?")).message
    assert "already" in baking.refused(intents.Accept(4, 3600.0, "Again.")).message


def test_a_bake_waits_for_its_start_and_rings_then() -> None:
    baking = Baking(WHOLE, start_in_s=1800)
    assert [prompt.kind for prompt in prompts(baking.state)] == ["start"]
    baking.wait(minutes=29)
    baking.say(intents.Task(Weighed(0)))
    assert ringing(baking.state, baking.now_s) == ()
    baking.wait(minutes=1)
    assert [prompt.words for prompt in ringing(baking.state, baking.now_s)] == ["begin: Mix"]
    baking.say(intents.PlanStart(600))
    assert ringing(baking.state, baking.now_s) == ()
    baking.say(intents.Begin())
    assert "begun" in baking.refused(intents.PlanStart(600)).message
    assert "begun" in baking.refused(intents.Begin()).message


@pytest.mark.parametrize("in_s", [math.nan, math.inf, 1e9])
def test_a_start_that_is_no_moment_or_too_far_off_is_refused(in_s: float) -> None:
    Baking(WHOLE).refused(intents.PlanStart(in_s))


def test_a_start_in_the_past_means_now() -> None:
    baking = Baking(WHOLE)
    baking.wait(minutes=3)
    (event,) = baking.say(intents.PlanStart(-500))
    assert isinstance(event.body, StartPlanned)
    assert event.body.at_s == pytest.approx(180)


def test_a_bake_that_is_given_up_stays_as_it_was_and_takes_notes_and_scores() -> None:
    baking = at_stage(FINAL_PROOF)
    baking.say(intents.GiveUp("the yeast was dead"))
    assert baking.state.closed is not None
    assert baking.state.closed.outcome == "given up"
    for intent in (
        intents.Done(),
        intents.Begin(),
        intents.Longer(60),
        intents.Task(OvenTask("oven on", 3)),
        intents.GiveUp(),
    ):
        assert baking.refused(intent).message == "This bake is given up."
    baking.say(intents.AddNote("Buy yeast."))
    baking.say(intents.GiveScore("crumb", 2))
    baking.read(800, "weight")
    assert baking.state.readings[-1].stage is None
    assert [note.text for note in baking.state.notes] == ["Buy yeast."]


def test_a_bake_that_is_through_is_finished_and_its_end_can_be_taken_back() -> None:
    baking = Baking(WHOLE)
    baking.to_stage(6)
    baking.say(intents.Done())
    assert baking.state.closed is not None
    assert baking.state.closed.outcome == "finished"
    baking.say(intents.Undo())
    assert baking.state.closed is None
    assert baking.state.current == 6


@pytest.mark.parametrize("points", [-1, 11])
def test_points_go_from_nought_to_ten(points: int) -> None:
    Baking(WHOLE).refused(intents.GiveScore("crumb", points))


def test_a_later_score_for_the_same_line_takes_over() -> None:
    baking = Baking(WHOLE)
    baking.say(intents.GiveScore("crumb", 4))
    baking.say(intents.GiveScore("crumb", 7, "better when cold"))
    assert [(score.line, score.points) for score in baking.state.scores] == [("crumb", 7)]


def test_words_are_trimmed_shortened_and_made_whole() -> None:
    baking = Baking(WHOLE)
    baking.say(intents.AddNote("  sticky \ud83d "))
    assert baking.state.notes[-1].text == "sticky ?"
    baking.say(intents.AddNote("x" * 5000))
    assert len(baking.state.notes[-1].text) == intents.MOST_NOTE
    baking.refused(intents.AddNote(" \n "))


def test_only_one_bake_is_opened_under_a_name() -> None:
    from proofbell.bake.decisions.decide import decide
    from proofbell.bake.intents import Refused

    baking = Baking(WHOLE)
    opened = baking.state.events[0].body
    again = intents.Open("b1", "B", WHOLE, opened.batch, opened.kitchen, "0")  # type: ignore[attr-defined]
    assert "already" in baking.refused(again).message
    assert isinstance(decide(None, intents.Begin(), baking.now), Refused)


def test_past_the_stretch_the_baker_may_go_on_and_is_told_so() -> None:
    # The demo proof forgives 50 to 100 minutes.
    baking = at_stage(FIRST_PROOF)
    up_to = adjustment(baking.say(intents.Longer(30 * 60)))
    assert up_to is not None
    assert up_to.reason == "30 min longer by hand."
    past = adjustment(baking.say(intents.Longer(60)))
    assert past is not None
    assert past.reason == "1 min longer by hand. That is past the 100 min that the formula allows."
    assert baking.length_min == pytest.approx(101)
    short = adjustment(at_stage(FIRST_PROOF).say(intents.Longer(-21 * 60)))
    assert short is not None
    assert short.reason == "21 min shorter by hand. That is short of the 50 min that the formula asks for."


def test_a_rule_with_minutes_by_hand_on_top_says_when_that_is_past_the_stretch() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.say(intents.Longer(40 * 60))
    cold = baking.read(22.0)
    assert cold is not None
    # 85 min by the formula's table and 40 by hand; a dough that takes 85 min for 70 forgives 121 for 100.
    assert cold.to_s == 125 * 60
    assert cold.reason.endswith("That is past the 121 min that this dough allows.")
    rate = at_stage(FINAL_PROOF)
    rate.say(intents.Longer(25 * 60))
    warm = rate.read(24.0)
    assert warm is not None
    assert warm.reason.endswith("That is past the 75 min that this dough allows.")


def test_a_length_that_the_plan_has_given_holds_while_the_dough_as_read_forgives_it() -> None:
    """The plan would only ask for it back. Of a dough too warm for it the rule has its say as ever."""
    baking = at_stage(FIRST_PROOF)
    baking.say(intents.Accept(baking.state.current or 0, 60 * 60.0, "so that oven and hands are free"))
    assert baking.read(25.5) is None
    assert baking.length_min == pytest.approx(60)

    hot = at_stage(FIRST_PROOF)
    hot.say(intents.Accept(hot.state.current or 0, 95 * 60.0, "so that oven and hands are free"))
    assert hot.read(29.0) is not None
    assert hot.length_min < 95


def test_a_planned_bake_calls_for_its_weigh_out_and_then_for_its_start() -> None:
    baking = Baking(WHOLE)
    weigh_s = WHOLE.weigh_s
    baking.say(intents.PlanStart(3600.0, "the plan"))
    start_s = baking.now_s + 3600

    def asked(at_s: float) -> tuple[str, float, bool]:
        (one,) = [each for each in prompts(baking.state, now_s=at_s) if each.kind == "start"]
        return one.words.split(":")[0], one.due_s, one.patient

    assert asked(start_s - 1) == ("weigh out, then begin", start_s - weigh_s, True)
    assert asked(start_s) == ("begin", start_s, False)
    baking.say(intents.Task(Weighed(0)))
    assert asked(start_s - 1) == ("begin", start_s, False), "somebody is at it"


def test_a_start_of_a_plan_names_its_weigh_out_until_somebody_is_at_it() -> None:
    baking = Baking(WHOLE)
    hours = tuple(60.0 * at for at in range(len(WHOLE.stages)))
    baking.say(intents.PlanStart(3600.0, "the plan", plan=AsPlanned(hours, hours, (None,) * len(hours))))
    start_s = baking.now_s + 3600

    def words() -> str:
        return next(one.words for one in prompts(baking.state, now_s=start_s) if one.kind == "start").split(":")[0]

    assert words() == "weigh out, then begin"
    baking.say(intents.Task(Weighed(0)))
    assert words() == "begin"


def test_a_weigh_out_that_the_plan_has_earlier_calls_then_and_is_named_until_somebody_is_at_it() -> None:
    baking = Baking(WHOLE)
    baking.say(intents.PlanStart(3600.0, "the plan", weigh_in_s=1200.0))
    begun_s = baking.now_s

    def asked(after_s: float) -> tuple[str, float]:
        (one,) = [each for each in prompts(baking.state, now_s=begun_s + after_s) if each.kind == "start"]
        return one.words.split(":")[0], one.due_s - begun_s

    assert asked(60) == ("weigh out, then begin", 1200.0)
    assert asked(3600) == ("weigh out, then begin", 3600.0), "nobody said that it is weighed"
    baking.say(intents.Task(Weighed(0)))
    assert asked(3600) == ("begin", 3600.0)
