"""A batch wider than the oven on the bench: each load is loaded, rung, turned and cored for itself."""

from __future__ import annotations

from dataclasses import replace

from proofbell.bake import intents
from proofbell.bake.core import core_in
from proofbell.bake.decisions.ask_first import ask_first
from proofbell.bake.decisions.decide import decide, decided
from proofbell.bake.intents import Open, Refused
from proofbell.bake.prompts import prompts
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.bench.planning_problem import problem_of
from proofbell.formula.model import Formula
from proofbell.kitchen.model import Kitchen
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
