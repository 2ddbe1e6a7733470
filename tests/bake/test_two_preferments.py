"""Two preferments that stand at the same time: weighed, begun, read, timed and planned each by itself."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.bake import events as kinds
from proofbell.bake import intents
from proofbell.bake.decisions.as_opened import as_opened
from proofbell.bake.decisions.decide import decide
from proofbell.bake.fermenting.cold import warmer_k
from proofbell.bake.fermenting.place import place_c
from proofbell.bake.fermenting.place_words import places_told
from proofbell.bake.fermenting.terms import dough_mass_g, raised_by, terms
from proofbell.bake.fold import apply, fold
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.outlook import next_to_begin, outlook
from proofbell.bake.prompts import prompts
from proofbell.bake.record import from_row, to_row
from proofbell.bake.rehearse import rehearse
from proofbell.bake.stamp import Stamp
from proofbell.bake.steps import ImpossibleError
from proofbell.bake.view import view
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.bench.agenda import ahead
from proofbell.bench.board import board
from proofbell.bench.plan.planning_problem import Wish, problem_of
from proofbell.formula.model import Check, Formula
from proofbell.kitchen.model import Kitchen
from proofbell.planner.search import plan
from tests.support.planned import of_stage
from tests.support.preferments import BAKE, COOL, FEED, FIRST_PROOF, MIX, OVERNIGHT, RIPEN, SHAPE, STIR, headland
from tests.support.prompted import due

H = 3600.0
START = Stamp(1_773_471_600_000_000, 5_000_000_000, "boot-1", 60)
KITCHEN = Kitchen(room_c=21.0, flour_c=21.0, places=(("larder", 16.0),))
LOAF = headland()
BATCH = weigh_out(LOAF, KITCHEN).batch


class Evening:
    """A live bake and its own clock."""

    def __init__(self, kitchen: Kitchen = KITCHEN, loaf: Formula = LOAF) -> None:
        self.state = as_opened(loaf, BATCH, kitchen)
        self.now_s = 0.0

    @property
    def stamp(self) -> Stamp:
        passed_us = round(self.now_s * 1e6)
        opened = self.state.opened
        return replace(opened, wall_us=opened.wall_us + passed_us, boot_us=opened.boot_us + passed_us)

    def say(self, intent: Intent, at_s: float | None = None) -> None:
        self.now_s = self.now_s if at_s is None else at_s
        decision = decide(self.state, intent, self.stamp)
        assert not isinstance(decision, Refused), decision
        for event in decision:
            self.state = apply(self.state, event)


def both_stand(fed_h: float = 5.5) -> Evening:
    """The poolish is stirred, and so many hours later the levain is fed."""
    evening = Evening()
    evening.say(intents.Begin())
    evening.say(intents.Done(), 300)
    evening.say(intents.Begin(stage=FEED), fed_h * H)
    evening.say(intents.Done(), fed_h * H + 300)
    return evening


def test_the_one_that_takes_longer_is_begun_first_and_the_other_so_that_both_are_ripe_at_once() -> None:
    evening = Evening()
    assert next_to_begin(evening.state) == STIR
    evening.say(intents.Begin())
    assert evening.state.running == (STIR,)
    spans = outlook(evening.state, 0.0)
    assert spans[RIPEN].end_s == spans[OVERNIGHT].end_s == spans[MIX].begin_s
    assert spans[FEED].begin_s > 1 * H
    evening.say(intents.Done(), 300)
    (start,) = [each for each in prompts(evening.state) if each.kind == "start"]
    assert (start.stage, start.due_s, start.words) == (FEED, spans[FEED].begin_s, "begin: Feed")


def test_the_second_is_asked_for_only_when_no_hands_are_at_the_first_and_rings_once() -> None:
    evening = Evening()
    evening.say(intents.Begin())
    assert not [each for each in prompts(evening.state) if each.kind == "start"]
    evening.say(intents.Done(), 300)
    at_s = next(each.due_s for each in prompts(evening.state) if each.kind == "start")
    assert not [p for p in due(evening.state, at_s - 1) if p.kind == "start"]
    assert [p.stage for p in due(evening.state, at_s + 600) if p.kind == "start"] == [FEED]


def test_both_run_and_the_one_that_is_due_first_is_in_hand() -> None:
    evening = both_stand()
    state = evening.state
    assert set(state.running) == {RIPEN, OVERNIGHT}
    assert state.current == min(state.running, key=lambda index: state.stages[index].due_s or 0.0)
    other = next(index for index in state.running if index != state.current)
    words = {each.words for each in prompts(state) if each.stage == other}
    assert any(each.startswith(f"{LOAF.stages[other].made_for}: ") for each in words)


def test_of_two_that_are_due_at_once_the_rise_of_one_does_not_end_the_other() -> None:
    judged = replace(LOAF.stages[OVERNIGHT], checks=(Check("rise", "end"),))
    evening = Evening(loaf=replace(LOAF, stages=(*LOAF.stages[:OVERNIGHT], judged, *LOAF.stages[MIX:])))
    for intent, at_s in ((intents.Begin(), 0), (intents.Done(), 300), (intents.Begin(stage=FEED), 5 * H)):
        evening.say(intent, at_s)
    evening.say(intents.Done(), 5 * H + 300)
    runs = evening.state.stages
    assert runs[RIPEN].due_s == runs[OVERNIGHT].due_s
    assert {(p.stage, p.over) for p in prompts(evening.state) if p.over} == {(RIPEN, True), (OVERNIGHT, True)}


def test_the_dough_begins_when_the_last_of_them_is_over_and_the_first_waits() -> None:
    evening = both_stand()
    first = evening.state.current
    assert first is not None
    wait = view(evening.state, evening.now_s).then
    assert wait.startswith("keep it until the ")
    evening.say(intents.Done(), evening.state.stages[first].due_s)
    (left,) = evening.state.running
    assert {first, left} == {RIPEN, OVERNIGHT}
    assert view(evening.state, evening.now_s).then == "mix"
    evening.say(intents.Done(), evening.now_s + 1200)
    assert evening.state.running == (MIX,)


def test_a_reading_goes_to_the_one_that_asks_for_it_and_changes_its_time_alone() -> None:
    evening = both_stand()
    other = next(index for index in evening.state.running if index != evening.state.current)
    before = [run.length_s for run in evening.state.stages]
    evening.say(intents.Read("dough temperature", "21", 21.0))
    evening.say(intents.Read("dough temperature", "27", 27.0))
    assert {reading.stage for reading in evening.state.readings} == {RIPEN, OVERNIGHT}
    changed = {index for index, run in enumerate(evening.state.stages) if run.length_s != before[index]}
    assert changed <= {RIPEN, OVERNIGHT}
    assert other in changed


def test_a_correction_of_a_reading_works_on_the_stage_it_belongs_to() -> None:
    evening = both_stand()
    evening.say(intents.Read("dough temperature", "24", 24.0))
    evening.say(intents.Read("dough temperature", "22", 22.0))
    last = evening.state.readings[-1]
    assert last.stage is not None
    was_s = evening.state.stages[last.stage].length_s
    evening.say(intents.Correct(last.number, "28", 28.0))
    assert evening.state.stages[last.stage].length_s < was_s


def test_what_cannot_be_begun_is_refused_and_no_log_may_say_it() -> None:
    evening = Evening()
    evening.say(intents.Begin())
    refused = decide(evening.state, intents.Begin(stage=MIX), evening.stamp)
    assert isinstance(refused, Refused)
    evening.say(intents.Begin())
    assert set(evening.state.running) == {STIR, FEED}
    assert isinstance(decide(evening.state, intents.Begin(), evening.stamp), Refused)
    event = replace(evening.state.last, number=evening.state.last.number + 1, body=kinds.StageBegun(MIX))
    with pytest.raises(ImpossibleError, match="before stage"):
        apply(evening.state, event)


def test_a_log_of_both_replays_to_the_same_state() -> None:
    state = both_stand().state
    assert fold([from_row(to_row(event)) for event in state.events]) == state


# -- each by itself ---------------------------------------------------------------------------------------------------


def test_each_has_its_own_mass_leaven_and_rise() -> None:
    state = Evening().state
    grams = {line.name: line.grams for line in BATCH.lines}
    assert dough_mass_g(state, RIPEN) == grams["ripe levain"]
    assert dough_mass_g(state, OVERNIGHT) == grams["evening poolish"]
    assert dough_mass_g(state, FIRST_PROOF) == BATCH.dough_g
    assert raised_by(LOAF, RIPEN) == ("sourdough", False)
    assert raised_by(LOAF, OVERNIGHT) == ("yeast", False)
    assert raised_by(LOAF, FIRST_PROOF) == ("yeast", True)
    sour = replace(LOAF, dough=replace(LOAF.dough, raising="sourdough"))
    assert raised_by(sour, FIRST_PROOF) == ("sourdough", True)


def test_the_weigh_out_says_what_each_is_stirred_from_and_how_much_starter_there_must_be() -> None:
    """By hand: 22 % of all flour is levain, 20 of its 220 parts ripe starter."""
    found = weigh_out(LOAF, KITCHEN)
    levain = next(line for line in found.lines if line.name == "ripe levain")
    assert levain.starter_g == pytest.approx(found.size.flour_g * 0.22 * 20 / 220, abs=0.1)
    # On a scale of whole grams.
    assert dict(levain.stirred_from)["ripe starter"] == pytest.approx(levain.starter_g, abs=0.5)
    (told,) = [words for words in found.notes.warnings if "ripe starter" in words and "Have more" in words]
    assert (
        told
        == "The ripe levain takes 18.8 g of ripe starter. Have more than that, and keep some back for the next time."
    )


def test_a_preferment_stands_in_a_place_by_name_and_in_the_room_where_the_kitchen_lacks_it() -> None:
    assert place_c(Evening().state, RIPEN) == 16.0
    bare = Kitchen(room_c=21.0)
    assert place_c(Evening(bare).state, RIPEN) == 21.0
    assert "larder" in " ".join(places_told(Evening(bare).state))


@pytest.mark.parametrize(("room_c", "hours"), [(18.0, 17 + 35 / 60), (26.0, 10 + 28 / 60)])
def test_what_a_long_preferment_forgives_moves_with_it(room_c: float, hours: float) -> None:
    """A poolish of 14 h at 21 °C, which its card's stretch of 12 to 16 h does not hold.

    By the rate 17 h 35 min at 18 °C and 10 h 28 min at 26 °C: our own calculation, made before stretch moved.
    """
    poolish = replace(LOAF.stages[OVERNIGHT], time_s=14 * H, stretch=(12 * H, 16 * H))
    formula = replace(LOAF, stages=(*LOAF.stages[:OVERNIGHT], poolish, *LOAF.stages[OVERNIGHT + 1 :]))
    kitchen = replace(KITCHEN, room_c=room_c)
    whole = rehearse(formula, weigh_out(formula, kitchen).batch, kitchen, start=START, version="test")
    run = whole.stages[OVERNIGHT]
    assert run.begun_s is not None
    assert run.ended_s is not None
    assert (run.ended_s - run.begun_s) / H == pytest.approx(hours, rel=0.03)


def test_a_levains_time_moves_about_as_far_as_published_points_say() -> None:
    """M. Gänzle's points, see the rate of a sourdough: half of its best speed at 20 °C, all of it at 28 °C."""
    state = Evening(replace(KITCHEN, places=(("larder", 20.0),))).state
    cold = terms(state, RIPEN)
    assert cold is not None
    at = replace(cold, at_c=28.0, nominal_place_c=28.0, readings=((0.0, 20.0),), rise_percent=0.0)
    assert at.estimate().seconds / at.nominal_s == pytest.approx(2.0, rel=0.05)
    alone = replace(at, tolerance_k=0.0, uncertainty_k=0.0, tau_s=60.0, nominal_tau_s=60.0).estimate()
    assert alone.high_s / alone.low_s > 1.3


def test_a_dough_does_not_come_warmer_by_where_its_preferments_stood() -> None:
    state = Evening(replace(KITCHEN, room_c=30.0)).state
    assert warmer_k(state, FIRST_PROOF) == 0.0
    assert warmer_k(state, SHAPE) > 1.0


# -- the whole --------------------------------------------------------------------------------------------------------


def test_a_rehearsal_lets_both_stand_at_the_same_time() -> None:
    whole = rehearse(LOAF, BATCH, KITCHEN, start=START, version="test")
    ripen, night, mix = (whole.stages[index] for index in (RIPEN, OVERNIGHT, MIX))
    assert whole.closed is not None
    assert whole.closed.outcome == "finished"
    assert mix.begun_s == max(ripen.ended_s or 0.0, night.ended_s or 0.0)
    assert (whole.stages[COOL].ended_s or 0.0) < 24 * H
    assert all(run.missed == () for run in whole.stages)


def test_the_plan_lets_both_stand_at_the_same_time_before_and_while_they_run() -> None:
    wish = problem_of([Wish("A", LOAF, 24 * 3_600_000_000)], KITCHEN, 0)
    (times,) = plan(wish, 100).times
    stir, ripen, feed, overnight, mix = (
        of_stage(wish.chains[0], stage) for stage in (STIR, RIPEN, FEED, OVERNIGHT, MIX)
    )
    assert times.ends_s[ripen] == times.ends_s[overnight] == times.begins_s[mix]
    assert times.begins_s[stir] < times.begins_s[feed]
    evening = both_stand()
    problem = problem_of((), KITCHEN, evening.stamp.wall_us, [evening.state])
    (times,) = plan(problem, 100).times
    ripen, overnight, mix = (of_stage(problem.chains[0], stage) for stage in (RIPEN, OVERNIGHT, MIX))
    assert times.begins_s[mix] == max(times.ends_s[ripen], times.ends_s[overnight])
    evening = both_stand(fed_h=8)
    evening.say(intents.Done(), evening.state.stages[OVERNIGHT].due_s)
    assert plan(problem_of((), KITCHEN, evening.stamp.wall_us, [evening.state]), 100).feasible


def test_the_bench_tells_what_comes_up_of_both() -> None:
    evening = both_stand()
    bench = board([evening.state], evening.stamp)
    words = [each.words for each in ahead([evening.state], bench)]
    assert sum("mix" in each for each in words) >= 1
    assert words[-1] == "ready"
    (one,) = bench.views
    assert one.spans[BAKE].begin_s > one.spans[MIX].begin_s
