"""What the oven does between bakes, each figure by hand: 6 s for each degree up, 9 s down, a room of 20 °C."""

from __future__ import annotations

from dataclasses import replace

from proofbell.planner.objective import cost_of
from proofbell.planner.oven_timeline import oven_day
from proofbell.planner.plan import Plan, Times
from proofbell.planner.problem import Capacity, Chain, Problem, Step
from tests.support.made import MIN, baking

KITCHEN = Capacity(trays=2, up_s_per_k=6.0, down_s_per_k=9.0)

Use = tuple[int, int, float, str, str]


def uses(*bakes: tuple[str, Step, int], capacity: Capacity = KITCHEN, now_min: int = 0) -> list[Use]:
    """The oven's day (minutes) of bakes that go in at these minutes."""
    chains = tuple(Chain(letter, (step,)) for letter, step, _ in bakes)
    times = tuple(
        Times(letter, (at * MIN,), (at * MIN + step.nominal_s,)) for letter, step, at in bakes
    )  # fmt: skip
    problem = Problem(chains, capacity, now_min * MIN)
    found = oven_day(Plan(problem, times, cost_of(problem, times)))
    return [(use.begins_s // MIN, use.ends_s // MIN, use.oven_c, use.state, use.letter) for use in found]


def test_heating_begins_so_that_the_oven_is_hot_in_time() -> None:
    # 200 K × 6 s = 20 min.
    assert uses(("A", baking(30, 220.0), 60)) == [
        (40, 60, 220.0, "heating", "A"),
        (60, 90, 220.0, "baking", "A"),
    ]


def test_a_short_gap_is_held_hot_and_a_long_one_is_off() -> None:
    loaf = baking(30, 220.0)

    assert uses(("A", loaf, 60), ("B", loaf, 105))[2:] == [
        (90, 105, 220.0, "holding", "B"),
        (105, 135, 220.0, "baking", "B"),
    ]
    # From 90 to 130 is longer than the 20 min of heating up afresh.
    assert uses(("A", loaf, 60), ("B", loaf, 130))[2:] == [
        (110, 130, 220.0, "heating", "B"),
        (130, 160, 220.0, "baking", "B"),
    ]


def test_the_change_comes_last_in_the_gap_and_holding_before_it() -> None:
    # 20 K up take 2 min; 40 K down take 6 min.
    assert uses(("A", baking(30, 200.0), 60), ("B", baking(30, 220.0), 100))[2:4] == [
        (90, 98, 200.0, "holding", "B"),
        (98, 100, 220.0, "heating", "B"),
    ]
    assert uses(("A", baking(30, 220.0), 60), ("B", baking(30, 180.0), 96))[2:] == [
        (90, 96, 180.0, "cooling", "B"),
        (96, 126, 180.0, "baking", "B"),
    ]


def test_a_bake_of_two_heats_is_shown_in_both() -> None:
    assert uses(("A", baking(40, 240.0, 210.0), 60))[1:] == [
        (60, 80, 240.0, "baking", "A"),
        (80, 100, 210.0, "baking", "A"),
    ]


def test_two_of_one_heat_share_the_oven_without_heating_again() -> None:
    loaf = baking(30, 220.0)

    assert uses(("A", loaf, 60), ("B", loaf, 75)) == [
        (40, 60, 220.0, "heating", "A"),
        (60, 90, 220.0, "baking", "A"),
        (75, 105, 220.0, "baking", "B"),
    ]


def test_a_bake_that_runs_is_not_heated_for_again() -> None:
    running = replace(baking(30, 220.0), begun_s=0)

    assert uses(("A", running, 0), capacity=replace(KITCHEN, oven_c=220.0), now_min=10) == [
        (0, 30, 220.0, "baking", "A"),
    ]


def test_an_oven_that_is_hot_already_is_held() -> None:
    assert uses(("A", baking(30, 220.0), 15), capacity=replace(KITCHEN, oven_c=220.0)) == [
        (0, 15, 220.0, "holding", "A"),
        (15, 45, 220.0, "baking", "A"),
    ]


def test_a_day_without_an_oven_leaves_it_off() -> None:
    assert uses(("A", Step("Cool", "cool", MIN, MIN, MIN), 5)) == []
