"""The one key to the next dough that wants something."""

from __future__ import annotations

from proofbell.bake import intents
from proofbell.bake.tasks import OvenTask
from proofbell.bench.board import board
from tests.support.decided import TO_FINAL_PROOF, at, bake

# Harbour knots mix for 6 min, knead until 960 s, and are in their first proof until 5160 s.
MIXING = ((900.0, intents.Begin()),)
PROOFING = (*TO_FINAL_PROOF[:3], (970.0, intents.Read("dough temperature", "25", raw=25.0)))


def test_hands_that_are_past_their_time_come_before_doughs_that_want_nothing() -> None:
    states = [bake("A", "harbour-knots", *PROOFING), bake("B", "harbour-knots", *TO_FINAL_PROOF[:2])]
    states += [bake("C", "harbour-knots", *MIXING)]

    seen = board(states, at(1000))

    assert seen.after("C-bake") == "B-bake", "B's kneading was over at 960 s"
    assert seen.after("A-bake") == "B-bake"


def test_what_rings_comes_before_hands_that_are_past_their_time() -> None:
    states = [bake("A", "harbour-knots", *PROOFING), bake("B", "harbour-knots", (4000, intents.Begin()))]
    states += [bake("C", "harbour-knots", (5000, intents.Begin()))]

    seen = board(states, at(5200), people=2)

    assert [one.bake for one in seen.rings][:1] == ["A-bake"]
    assert seen.after("C-bake") == "A-bake"
    assert seen.after("A-bake") == "B-bake", "then B, whose mixing was over at 4360 s"
    assert seen.after("B-bake") == "A-bake", "and back: C wants nothing yet"


def test_when_no_other_wants_anything_the_key_goes_on_to_all_in_turn() -> None:
    states = [bake(letter, "harbour-knots", *PROOFING) for letter in "ABC"]
    seen = board(states, at(1000.0))

    here, met = "A-bake", []
    for _ in states:
        here = seen.after(here) or ""
        met.append(here)

    assert sorted(met) == ["A-bake", "B-bake", "C-bake"]


def test_a_finished_dough_is_passed_by_unless_all_are() -> None:
    done = tuple((at_s, intents.Done()) for at_s in (9360.0, 10_320.0, 10_500.0))
    off = (10_330.0, intents.Task(OvenTask("oven off", 5)))
    finished = [bake(letter, "harbour-knots", *TO_FINAL_PROOF, *done[:2], off, done[2]) for letter in "AB"]
    live = bake("C", "harbour-knots", *((at_s + 6000, said) for at_s, said in PROOFING))
    assert all(state.closed is not None for state in finished)

    assert board([*finished, live], at(10_600)).after("C-bake") == "C-bake"
    assert board([*finished, live], at(10_600)).after("A-bake") == "C-bake"
    assert board(finished, at(10_600)).after("A-bake") == "B-bake"
