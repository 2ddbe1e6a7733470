"""The one key to the next dough that wants something."""

from __future__ import annotations

from proofbell.app.widgets.notice_line import rings_line
from proofbell.bake import intents
from proofbell.bake.tasks import OvenTask, Silenced
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


def test_what_rings_comes_first_whichever_dough_is_in_hand() -> None:
    """A and C are past the 6 min of their mixing, and want hands; B is to begin at 500 s, and rings."""
    states = [bake("A", "harbour-knots", (0, intents.Begin())), bake("C", "harbour-knots", (10, intents.Begin()))]
    states += [bake("B", "harbour-knots", start_in_s=500)]

    seen = board(states, at(600))

    assert seen.ringing == ("B-bake",)
    assert seen.after("A-bake") == "B-bake"
    assert seen.after("C-bake") == "B-bake"
    there = ["B-bake"]
    for _ in range(3):
        there.append(seen.after(there[-1], on=True) or "")
    assert there == ["B-bake", "C-bake", "A-bake", "B-bake"], "pressed on, it reaches each that wants something"


def test_a_dough_that_waits_for_the_oven_comes_after_those_that_can_go_on_and_before_those_that_want_nothing() -> None:
    """A bakes until 10320 s. B was judged ready at 9510 s and is to be loaded once A is out. C's mixing is over."""
    later = tuple((at_s + 140, told) for at_s, told in TO_FINAL_PROOF)
    read = (intents.Read("dough temperature", "25", raw=25.0), intents.Read("rise", "ready", eye="ready"))
    states = [
        bake("A", "harbour-knots", *TO_FINAL_PROOF, (9360, intents.Done())),
        bake("B", "harbour-knots", *later, (9505, read[0]), (9510, read[1])),
        bake("C", "harbour-knots", (9000, intents.Begin())),
    ]

    seen = board(states, at(9600))

    assert [view.do for view in seen.views if view.letter == "B"] == ["Load once A is out, 02:52"]
    assert seen.after("A-bake") == "C-bake"
    assert seen.after("C-bake") == "B-bake", "not A, which wants nothing before its tray is turned"
    assert seen.after("B-bake") == "C-bake"


def test_a_dough_whose_bell_was_silenced_still_wants_something() -> None:
    rang = board([bake("A", "harbour-knots", *TO_FINAL_PROOF[:3])], at(5200)).rings
    quiet = tuple((5190.0, intents.Task(Silenced(one.prompt.id))) for one in rang)
    states = [bake("A", "harbour-knots", *TO_FINAL_PROOF[:3], *quiet), bake("B", "harbour-knots", start_in_s=5100)]
    states += [bake("C", "harbour-knots", (5180, intents.Begin()))]

    seen = board(states, at(5200), people=2)

    assert seen.ringing == ("B-bake",)
    assert seen.after("B-bake") == "A-bake"
    assert seen.after("A-bake", on=True) == "B-bake", "C is at work and wants nothing yet"


def test_a_machine_that_runs_on_rings_before_what_can_wait_and_is_seen_at_80_columns() -> None:
    """The pan loaf's mixer runs 14 min, until 5340 s; B has waited for its begin since 5000 s."""
    begin = bake("B", "harbour-knots", start_in_s=5000)
    proof = bake("A", "harbour-knots", *TO_FINAL_PROOF[:3])
    states = [begin, proof, bake("C", "quay-pan-loaf", (4500, intents.Begin()))]

    seen = board(states, at(5400))

    assert seen.rings[0].prompt.words == "stop the mixer: mix and knead is over"
    assert rings_line(seen.rings, None, 78).plain.startswith("◆ 4  C  stop the mixer")
    assert seen.urgent == "C-bake"


def test_what_is_in_the_oven_rings_before_a_machine() -> None:
    states = [bake("A", "harbour-knots", *TO_FINAL_PROOF, (9360, intents.Done()))]
    states += [bake("C", "quay-pan-loaf", (8000, intents.Begin()))]

    seen = board(states, at(9910))

    assert [ring.letter for ring in seen.rings][:2] == ["A", "C"]
    assert seen.urgent == "A-bake"
