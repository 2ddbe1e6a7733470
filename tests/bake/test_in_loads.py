"""A batch wider than the oven on the bench: each load is loaded, rung, turned and cored for itself."""

from __future__ import annotations

import json
from dataclasses import replace

from proofbell.bake import intents
from proofbell.bake.core import core_in
from proofbell.bake.decisions.as_opened import ready_in_s
from proofbell.bake.decisions.ask_first import ask_first
from proofbell.bake.decisions.decide import decide, decided
from proofbell.bake.events import Resized
from proofbell.bake.fold import fold
from proofbell.bake.intents import Open, Refused
from proofbell.bake.prompts import prompts
from proofbell.bake.record import from_row, to_row
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.oven_places import oven_places
from proofbell.bake.weigh.size_typed import read_size
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.bench.plan.planning_problem import problem_of
from proofbell.formula.model import Formula
from proofbell.journal.reviews.wording import event_words
from proofbell.kitchen.model import Kitchen, Oven
from proofbell.planner.search import plan
from tests.support.bakes import house
from tests.support.decided import at


def wide(name: str, trays: int) -> Formula:
    formula = house(name)
    return replace(formula, oven=replace(formula.oven, trays=trays))


def opened(formula: Formula, kitchen: Kitchen) -> BakeState:
    batch = weigh_out(formula, kitchen).batch
    decision = decide(None, Open("b", "A", formula, batch, kitchen, ""), at(0))
    assert not isinstance(decision, Refused)
    return decided(None, decision)


def walked(state: BakeState, *steps: tuple[float, intents.Intent]) -> BakeState:
    for seconds, intent in steps:
        decision = decide(state, intent, at(seconds))
        assert not isinstance(decision, Refused), decision
        state = decided(state, decision)
    return state


KNOTS = wide("harbour-knots", 2)
TO_LOAD_1 = (
    (0.0, intents.Begin()),
    (360.0, intents.Done()),
    (960.0, intents.Done()),
    (5160.0, intents.Done()),
    (6360.0, intents.Done()),
    (9360.0, intents.Done()),
)


def test_each_load_is_a_bake_of_its_own() -> None:
    state = opened(KNOTS, Kitchen())

    bakes = [(index, stage) for index, stage in enumerate(state.formula.stages) if stage.kind == "bake"]
    assert [stage.load for _, stage in bakes] == [(1, 2), (2, 2)]
    assert [stage.turn_s for _, stage in bakes] == [9 * 60, 9 * 60]
    assert all(core_in(state, index) is not None for index, _ in bakes)
    assert state.formula.oven.trays == 1, "no load takes more than the oven has"
    assert opened(KNOTS, replace(Kitchen(), oven=replace(Kitchen().oven, trays=2))).formula == KNOTS


def test_the_hour_at_which_it_would_be_ready_counts_every_load() -> None:
    two_places = replace(Kitchen(), oven=replace(Kitchen().oven, trays=2))
    batch = weigh_out(KNOTS, Kitchen()).batch
    bake_s = next(stage.time_s for stage in KNOTS.stages if stage.kind == "bake")

    at_once, in_two = (ready_in_s(KNOTS, batch, kitchen) for kitchen in (two_places, Kitchen()))
    assert at_once == sum(stage.time_s for stage in KNOTS.stages)
    assert in_two == at_once + bake_s


def test_at_the_end_of_a_load_the_next_goes_in_at_once_and_the_oven_is_not_asked_for() -> None:
    state = walked(opened(KNOTS, Kitchen()), *TO_LOAD_1)

    told = {prompt.words for prompt in prompts(state, now_s=9400.0)}
    assert any("take load 1 of 2 out, put load 2 in" in words for words in told)
    assert not any("oven" in words for words in told), told
    second = walked(state, (9360.0 + 960.0, intents.Done()))
    assert (second.current, second.stage(second.current or 0).load) == (6, (2, 2))
    assert not any("oven" in asked for asked in ask_first(second, 11_280.0) if "off" not in asked)
    assert any(prompt.words.endswith("then take it out") for prompt in prompts(second, now_s=11_280.0))


def test_the_plan_beside_the_bench_has_the_second_load_wait_no_longer_than_it_forgives() -> None:
    state = walked(opened(KNOTS, Kitchen()), *TO_LOAD_1[:5])

    problem = problem_of([], Kitchen(), 6_400_000_000, [state])
    found = plan(problem, 20)

    (chain,), (times,) = problem.chains, found.times
    assert [step.since for step in chain.steps] == [None, None, None, None, None, None, 4, None]
    assert found.feasible
    assert times.begins_s[6] >= times.ends_s[5]
    assert times.begins_s[6] - times.begins_s[4] <= chain.steps[4].most_s


def names_from(state: BakeState, index: int) -> list[str]:
    return [stage.name for stage in state.formula.stages[index:]]


def test_more_pieces_make_more_loads_and_fewer_make_fewer() -> None:
    """Harbour knots: twelve pieces fill the one place that this oven has."""
    one = walked(opened(house("harbour-knots"), Kitchen()), (0.0, intents.Begin()))
    two = walked(one, (60.0, read_size("24")))
    three = walked(two, (120.0, read_size("25")))

    assert ", in 2 loads" in event_words(two.last.body, two.formula)
    assert names_from(one, 5) == ["Bake", "Cool"]
    assert names_from(two, 5) == ["Bake, load 1 of 2", "Bake, load 2 of 2", "Cool"]
    assert names_from(three, 5)[:3] == [f"Bake, load {number} of 3" for number in (1, 2, 3)]
    for state in (two, three):
        assert len(state.stages) == len(state.formula.stages)
        assert [run.length_s for run in state.stages] == [stage.time_s for stage in state.formula.stages]
        assert oven_places(state.formula, state.batch) == 1, "no load takes more than the oven has"
        assert fold(state.events) == state
    back = walked(opened(house("harbour-knots"), Kitchen()), (0.0, read_size("24")), (60.0, read_size("12")))
    assert back.formula == house("harbour-knots")
    assert len(back.stages) == len(back.formula.stages)


def test_a_size_that_is_taken_back_has_its_loads_again() -> None:
    one = walked(opened(house("harbour-knots"), Kitchen()), (0.0, intents.Begin()))

    again = walked(one, (60.0, read_size("24")), (90.0, intents.Undo()))

    assert (again.formula, again.batch, again.stages) == (one.formula, one.batch, one.stages)


def test_how_many_loads_there_are_goes_by_the_kitchens_oven() -> None:
    wide_oven = Kitchen(oven=Oven(trays=2))

    state = walked(opened(house("harbour-knots"), wide_oven), (0.0, read_size("48")))

    assert [stage.load for stage in state.formula.stages if stage.kind == "bake"] == [(1, 2), (2, 2)]
    assert names_from(walked(state, (60.0, read_size("24"))), 5) == ["Bake", "Cool"]


def test_what_is_brushed_on_after_the_bake_still_is() -> None:
    formula = house("harbour-knots")
    brushed = replace(formula, outside=tuple(replace(line, at=(6,)) for line in formula.outside))

    two = walked(opened(brushed, Kitchen()), (0.0, read_size("24")))

    assert [[names_from(two, 0)[at] for at in line.at] for line in two.formula.outside] == [["Cool"]]
    assert [line.at for line in two.batch.lines if line.use != "dough"] == [(7,)]


def test_loads_of_a_row_of_an_older_program_stay_as_they_were() -> None:
    """Before 2 the event had no loads: its bake went on in as many as it was opened with."""
    one = walked(opened(house("harbour-knots"), Kitchen()), (0.0, read_size("24")))
    row = to_row(one.events[-1])
    body = {key: value for key, value in json.loads(row.body).items() if key != "loads"}

    old = from_row(replace(row, schema=1, body=json.dumps(body)))

    assert isinstance(old.body, Resized)
    assert names_from(fold((*one.events[:-1], old)), 5) == ["Bake", "Cool"]


def test_the_plan_beside_the_bench_has_a_place_in_the_oven_for_each_load_of_a_bigger_size() -> None:
    state = walked(opened(house("harbour-knots"), Kitchen()), (0.0, intents.Begin()), (60.0, read_size("24")))
    final_proof = walked(state, *TO_LOAD_1[1:5])

    (chain,) = problem_of([], Kitchen(), 6_400_000_000, [final_proof]).chains
    found = plan(problem_of([], Kitchen(), 6_400_000_000, [final_proof]), 20)

    bakes = [at for at, step in enumerate(chain.steps) if step.heats]
    assert [(chain.steps[at].trays, chain.steps[at].since) for at in bakes] == [(1, None), (1, 4)]
    assert found.times[0].begins_s[bakes[1]] >= found.times[0].ends_s[bakes[0]]
    smaller = walked(state, (120.0, read_size("13")))
    assert len([step for step in problem_of([], Kitchen(), 200_000_000, [smaller]).chains[0].steps if step.heats]) == 2
