"""A re-plan of a day under way: what hands have still to weigh and to read takes them, each thing once.

Harbour knots by their own minutes: mix 6, knead 10, proof 70, tie 20, proof 50, bake 16, the tray turned after 9. After
`TO_FINAL_PROOF` the final proof runs from 6360 s to 9360 s; it asks for the dough's temperature at its start, and for
the rise at its end.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from proofbell.bake import intents
from proofbell.bake.asking.stage_end import check_id
from proofbell.bake.intents import Intent
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask, Skipped, Weighed
from proofbell.bench.plan.day_hands import HandsLine, day_hands
from proofbell.bench.plan.planning_problem import problem_of
from proofbell.dough.weights import SizeWish
from proofbell.kitchen.model import Kitchen
from proofbell.planner.plan import Plan
from proofbell.planner.problem import Problem
from proofbell.planner.repair.minimal_change import least_disruptive, uncoordinated_times
from proofbell.planner.repair.replan import carried_over, replan, shifted
from proofbell.planner.search import plan
from tests.support.decided import TO_FINAL_PROOF, bake, said

SECOND_US = 1_000_000
FINAL_PROOF, BAKE = 4, 5
RISE = 1


def day(now_s: int, *states: BakeState, hands: int = 1) -> Problem:
    return problem_of([], Kitchen(hands=hands), now_s * SECOND_US, states)


def lines(found: Plan, now_s: int) -> tuple[HandsLine, ...]:
    return day_hands(found, now_s * SECOND_US)


def acts(found: Plan, now_s: int, letter: str = "A") -> list[tuple[str, int, tuple[str, ...]]]:
    """What hands do for one bake: what, from which second of the bench's clock, and what is read."""
    return [
        (act.does, line.begins_us // SECOND_US, act.reads)
        for line in lines(found, now_s)
        for act in line.acts
        if act.letter == letter and act.does != "stage"
    ]


def test_what_runs_wants_its_reading_its_loading_and_its_turn() -> None:
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF)

    found = acts(plan(day(6400, state), 20), 6400)

    # The temperature at the start was due 40 s ago: it rings, and is taken as it is answered.
    expected = [("read", 9300, ("rise",)), ("load", 9360, ()), ("turn", 9900, ()), ("unload", 10260, ())]
    assert [(does, begins_s, what) for does, begins_s, what in found] == expected


@pytest.mark.parametrize(
    "answer",
    [
        intents.Read("rise", "ready", eye="ready"),
        intents.Task(Skipped(check_id(bake("A", "harbour-knots", *TO_FINAL_PROOF), FINAL_PROOF, RISE))),
    ],
)
def test_a_reading_that_was_taken_or_skipped_is_not_wanted_again(answer: Intent) -> None:
    state = said(bake("A", "harbour-knots", *TO_FINAL_PROOF), 9200, answer)

    assert [does for does, *_ in acts(plan(day(9200, state), 20), 9200)].count("read") == 0


def test_a_tray_that_was_turned_is_not_turned_again() -> None:
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF, (9360, intents.Done()))
    turned = said(state, 9850, intents.Task(OvenTask("turn", BAKE)))

    assert [does for does, *_ in acts(plan(day(9800, state), 20), 9800)] == ["turn", "unload"]
    assert [does for does, *_ in acts(plan(day(9850, turned), 20), 9850)] == ["unload"]


def test_a_dough_that_waits_is_weighed_out_before_its_start() -> None:
    """Nine lines: a minute, and 40 s for each."""
    state = bake("A", "harbour-knots", start_in_s=3600)

    (chain,) = day(0, state).chains
    found = plan(day(0, state), 20)

    assert len(state.batch.lines) == 9
    assert (chain.steps[0].kind, chain.steps[0].nominal_s) == ("weigh", 420)
    assert acts(found, 0)[0] == ("weigh", 3180, ())
    assert found.times[0].begins_s[1] == 3600
    assert uncoordinated_times(day(0, state))[0].begins_s[:2] == (3180, 3600)


def test_what_is_in_the_bowl_is_not_weighed_again() -> None:
    state = bake("A", "harbour-knots", start_in_s=3600)
    third = said(state, 60, *(intents.Task(Weighed(line)) for line in range(3)))
    all_of_it = said(third, 90, *(intents.Task(Weighed(line)) for line in range(3, 9)))
    begun = said(state, 120, intents.Begin())

    assert day(100, third).chains[0].steps[0].nominal_s == 280
    assert {step.kind for step in day(100, all_of_it).chains[0].steps} == {"hands", "proof", "bake", "cool"}
    assert {step.kind for step in day(120, begun).chains[0].steps} == {"hands", "proof", "bake", "cool"}


def test_more_of_everything_is_weighed_again() -> None:
    state = bake("A", "harbour-knots", start_in_s=3600)
    weighed = said(state, 60, *(intents.Task(Weighed(line)) for line in range(9)))
    more = said(weighed, 90, intents.Resize(SizeWish(pieces=2 * (state.batch.pieces or 0))))

    assert day(100, more).chains[0].steps[0].nominal_s == 420


def test_a_start_that_is_near_is_not_put_off_by_lines_that_nobody_ticked() -> None:
    state = bake("A", "harbour-knots", start_in_s=3600)

    assert day(3500, state).chains[0].steps[0].nominal_s == 100
    assert day(3700, state).chains[0].steps[0].kind == "hands"


def test_a_day_where_a_weigh_out_meets_another_dough_at_the_bench() -> None:
    """A is tied from 5160 s for 20 min; B is to begin at 6360 s, and is weighed out before A is tied."""
    states = [bake("A", "harbour-knots", *TO_FINAL_PROOF[:3]), bake("B", "harbour-knots", start_in_s=6360)]
    before = plan(day(1000, states[0]), 20)

    found = next(least_disruptive(replan(day(1000, *states), before)))

    weighs = [line for line in lines(found, 1000) if line.acts[0].does == "weigh"]
    assert [act.letter for line in weighs for act in line.acts] == ["B"]
    assert weighs[0].ends_us <= 5160 * SECOND_US
    assert one_at_a_time(found, 1000)


def test_a_day_where_a_reading_meets_another_dough_at_the_bench() -> None:
    """B is wanted in hand from 9300 s on, as A's rise is judged and A is loaded: with one pair of hands it waits."""
    states = [bake("A", "harbour-knots", *TO_FINAL_PROOF), bake("B", "quay-pan-loaf", start_in_s=9300)]
    alone = plan(day(6400, states[0]), 20)

    one = next(least_disruptive(replan(day(6400, *states), alone)))
    two = next(least_disruptive(replan(day(6400, *states, hands=2), alone)))

    assert one_at_a_time(one, 6400)
    reads = [(does, what) for does, _, what in acts(one, 6400) if does == "read"]
    assert reads == [("read", ("rise",))]
    assert one.of("B").begins_s[1] > 9300 - 6400
    assert two.of("B").begins_s[1] == 9300 - 6400


def test_times_so_far_are_kept_when_a_weigh_out_is_over() -> None:
    waiting = bake("B", "harbour-knots", start_in_s=6360)
    states = [bake("A", "harbour-knots", *TO_FINAL_PROOF[:3]), waiting]
    found = plan(day(1000, *states), 20)
    # As if the plan had B half an hour later than there is room for it.
    before = replace(found, times=(found.times[0], shifted(found.times[1], 1800)))
    weighed = said(waiting, 5000, *(intents.Task(Weighed(line)) for line in range(9)))

    kept = carried_over(day(5000, states[0], weighed), before, shift_s=1000 - 5000)

    assert kept[1].begins_s == tuple(moment - 4000 for moment in before.of("B").begins_s[1:])


def one_at_a_time(found: Plan, now_s: int) -> bool:
    return all(one.ends_us <= other.begins_us for one, other in pairwise(lines(found, now_s)))


def test_a_weigh_out_that_was_called_for_takes_no_hands_again_before_its_start() -> None:
    state = bake("A", "harbour-knots", (0.0, intents.PlanStart(3600.0, weigh_in_s=600.0)))
    weigh_s = round(state.formula.weigh_s)
    assert 600 + weigh_s < 2400
    assert [act for act in acts(plan(day(300, state), 20), 300) if act[0] == "weigh"] != []
    assert [act for act in acts(plan(day(2400, state), 20), 2400) if act[0] == "weigh"] == []
