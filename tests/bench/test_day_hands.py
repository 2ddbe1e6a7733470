"""Who does what in a plan: acts that are one, shares that are fair."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from proofbell.bench.day_words import hands_words, who_words
from proofbell.bench.plan.day_hands import day_hands
from proofbell.bench.plan.planning_problem import Wish, problem_of
from proofbell.kitchen.model import Kitchen, Oven
from proofbell.planner.search import plan
from tests.support.bakes import house

HOUR_US = 3_600_000_000


def test_what_is_taken_out_as_the_next_goes_in_is_one_act_of_one_person() -> None:
    pittas = house("lantern-pittas")
    wide = replace(pittas, oven=replace(pittas.oven, trays=2))
    found = plan(problem_of([Wish("A", wide, 8 * HOUR_US)], Kitchen(), 0), 20)

    told = [hands_words(line) for line in day_hands(found, 0)]

    assert told[0] == "weigh out"
    assert told[-3:] == ["put load 1 of 2 in", "take load 1 of 2 out, put load 2 of 2 in", "take load 2 of 2 out"]
    (joint,) = [line for line in day_hands(found, 0) if len(line.acts) == 2]
    assert joint.ends_us - joint.begins_us == 120_000_000


def test_of_two_doughs_one_is_taken_out_and_the_other_loaded_in_one_act() -> None:
    wishes = [Wish(letter, house("harbour-knots"), 12 * HOUR_US) for letter in "AB"]
    found = plan(problem_of(wishes, Kitchen(hands=2), 0), 60)

    told = [hands_words(line) for line in day_hands(found, 0) if len(line.acts) > 1]

    assert told in (["take A out, load B"], ["take B out, load A"])


def test_hands_are_shared_out_fairly_and_nobody_is_in_two_places() -> None:
    wishes = [Wish(letter, house(name), 14 * HOUR_US) for letter, name in zip(
        "ABCD", ("harbour-knots", "quay-pan-loaf", "pilots-milk-buns", "lamplighter-loaf"), strict=True
    )]  # fmt: skip
    kitchen = Kitchen(hands=2, oven=Oven(trays=2))
    lines = day_hands(plan(problem_of(wishes, kitchen, 0), 30), 0)

    worked = [sum(line.ends_us - line.begins_us for line in lines if line.who == who) for who in (0, 1)]
    assert abs(worked[0] - worked[1]) <= 0.3 * sum(worked)
    for who in (0, 1):
        own = sorted((line.begins_us, line.ends_us) for line in lines if line.who == who)
        assert all(before[1] <= after[0] for before, after in pairwise(own))


def test_who_is_said_by_name_where_the_kitchen_has_names() -> None:
    assert [who_words(who, ("Ola",)) for who in (0, 1)] == ["Ola", "hands 2"]
