"""Strands of one chain: each goes its own way until a step joins them; reckoned by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.planner.objective import cost_of
from proofbell.planner.problem import Capacity, Chain, Flexibility, Problem, Step
from proofbell.planner.search import plan

MIN = 60
HOUR = 3600


def hands(name: str, minutes: int, after: tuple[int, ...] | None = None) -> Step:
    seconds = minutes * MIN
    return Step(name, "hands", seconds, seconds, seconds, None, flexibility=Flexibility.RIGID, wait_s=300, after=after)


def proof(name: str, least: float, nominal: float, most: float) -> Step:
    low_s, nominal_s, high_s = (round(hours * HOUR) for hours in (least, nominal, most))
    return Step(name, "proof", low_s, nominal_s, high_s, critical=True, flexibility=Flexibility.ELASTIC)


def two_preferments() -> tuple[Step, ...]:
    return (
        hands("feed", 5, ()),
        proof("levain", 7, 8, 9),
        hands("stir", 5, ()),
        proof("poolish", 11, 13, 15),
        hands("mix", 10, (1, 3)),
        proof("first proof", 1, 1.5, 2),
    )


def test_two_strands_stand_at_the_same_time_and_are_ripe_together() -> None:
    wanted_s = 20 * HOUR
    found = plan(Problem((Chain("A", two_preferments(), ready_by_s=wanted_s),)), 200)
    (times,) = found.times
    mix_s = wanted_s - round(1.5 * HOUR) - 10 * MIN
    assert found.feasible
    assert times.begins_s == (
        mix_s - 8 * HOUR - 5 * MIN,
        mix_s - 8 * HOUR,
        mix_s - 13 * HOUR - 5 * MIN,
        mix_s - 13 * HOUR,
        mix_s,
        mix_s + 10 * MIN,
    )
    assert times.ends_s == (
        times.begins_s[1],
        mix_s,
        times.begins_s[3],
        mix_s,
        mix_s + 10 * MIN,
        wanted_s,
    )
    assert found.cost == cost_of(found.problem, found.times)


def test_as_soon_as_can_be_the_longer_strand_begins_at_once_and_the_other_in_time_for_it() -> None:
    (times,) = plan(Problem((Chain("A", two_preferments()),)), 200).times
    assert times.begins_s[2] == 0
    assert times.ends_s[1] == times.ends_s[3] == times.begins_s[4]
    assert times.ready_s < 16 * HOUR


def test_one_pair_of_hands_is_never_at_both_strands_at_once() -> None:
    same = (
        hands("feed", 30, ()),
        proof("levain", 8, 8, 9),
        hands("stir", 30, ()),
        proof("poolish", 8, 8, 9),
        hands("mix", 10, (1, 3)),
    )
    found = plan(Problem((Chain("A", same, ready_by_s=12 * HOUR),), Capacity(people=1)), 200)
    (times,) = found.times
    assert found.feasible
    assert abs(times.begins_s[0] - times.begins_s[2]) >= 30 * MIN
    both = plan(Problem((Chain("A", same, ready_by_s=12 * HOUR),), Capacity(people=2)), 200)
    assert both.times[0].begins_s[0] == both.times[0].begins_s[2]


def test_a_strand_that_is_over_waits_for_the_other_and_both_may_run() -> None:
    feed, levain, stir, poolish, mix, rest = two_preferments()
    running = (
        replace(feed, begun_s=-6 * HOUR, ended_s=-6 * HOUR + 300),
        replace(levain, begun_s=-6 * HOUR + 300),
        replace(stir, begun_s=-11 * HOUR, ended_s=-11 * HOUR + 300),
        replace(poolish, begun_s=-11 * HOUR + 300),
        mix,
        rest,
    )
    found = plan(Problem((Chain("A", running),)), 200)
    (times,) = found.times
    assert found.feasible
    assert times.ends_s[1] == times.ends_s[3] == times.begins_s[4]
    assert 1 * HOUR < times.begins_s[4] < 3 * HOUR


def test_a_step_cannot_have_begun_before_all_that_it_follows_are_over() -> None:
    feed, levain, stir, poolish, mix, _rest = two_preferments()
    begun = replace(mix, begun_s=0)
    with pytest.raises(ValueError, match="in their order"):
        Chain("A", (feed, levain, stir, poolish, begun))
    with pytest.raises(ValueError, match="stand before it"):
        Chain("A", (feed, replace(levain, after=(1,))))
