"""How hot the oven is when the plan is made: what is in it says so first, and until it is said to be off it is on."""

from __future__ import annotations

from dataclasses import replace

from proofbell.bake import intents
from proofbell.bake.tasks import OvenTask
from proofbell.bench.board import board
from proofbell.bench.oven.heat import oven_heat_c
from proofbell.bench.oven.now import oven_now
from proofbell.formula.model import OvenWish
from tests.support.decided import TO_FINAL_PROOF, at, bake

KNOTS_BAKE, LOAF_BAKE = 5, 6
OUT: tuple[tuple[float, intents.Intent], ...] = (*TO_FINAL_PROOF, (9360, intents.Done()), (10320, intents.Done()))
SECOND_US = 1_000_000


def test_an_oven_that_nobody_has_turned_on_is_cold() -> None:
    assert oven_heat_c([bake("A", "harbour-knots", *TO_FINAL_PROOF)], 6400 * SECOND_US) is None


def test_until_somebody_says_that_it_is_off_an_oven_is_as_hot_as_the_last_bake_left_it() -> None:
    out = bake("A", "harbour-knots", *OUT)
    off = bake("A", "harbour-knots", *OUT, (10_330, intents.Task(OvenTask("oven off", KNOTS_BAKE))))

    assert oven_heat_c([out], 10_400 * SECOND_US) == 190.0
    assert oven_heat_c([off], 10_400 * SECOND_US) is None


def test_what_is_said_of_the_oven_now_goes_before_how_a_bake_left_it() -> None:
    out = bake("A", "harbour-knots", *OUT)
    loaf = bake("B", "quay-pan-loaf", (0, intents.Begin()), (10_000, intents.Task(OvenTask("oven on", LOAF_BAKE))))
    hot = bake(
        "B", "quay-pan-loaf", (0, intents.Begin()), (10_000, intents.Task(OvenTask("oven on", LOAF_BAKE))),
        (10_200, intents.Task(OvenTask("oven hot", LOAF_BAKE))),
    )  # fmt: skip

    assert oven_heat_c([out, loaf], 10_300 * SECOND_US) == 190.0, "turned on for more, it still has what it had"
    assert oven_heat_c([out, hot], 10_300 * SECOND_US) == 220.0


def test_an_oven_that_one_bake_has_said_to_be_off_is_off_for_all_that_were_out_before() -> None:
    first = bake("A", "harbour-knots", *OUT)
    later = [(seconds + 900, said) for seconds, said in OUT]
    off = bake("B", "harbour-knots", *later, (11_300, intents.Task(OvenTask("oven off", KNOTS_BAKE))))
    seen = board([first, off], at(11_400))

    assert oven_heat_c([first, off], 11_400 * SECOND_US) is None
    assert oven_now([first, off], at(11_400), seen.before, seen.oven).doing == "unused"

    # Said off before the other came out, it says nothing of what that one left on.
    early = bake("B", "harbour-knots", *OUT, (10_330, intents.Task(OvenTask("oven off", KNOTS_BAKE))))
    last_out = bake("A", "harbour-knots", *later)
    assert oven_heat_c([last_out, early], 11_400 * SECOND_US) == 190.0


def test_an_oven_is_as_hot_as_the_bake_left_it_that_was_out_last() -> None:
    first = bake("A", "harbour-knots", *OUT)
    cooler = bake("B", "harbour-knots", *((seconds + 900, said) for seconds, said in OUT))
    cooler = replace(cooler, formula=replace(cooler.formula, oven=OvenWish(170.0)))
    seen = board([first, cooler], at(11_400))

    assert oven_heat_c([first, cooler], 11_400 * SECOND_US) == 170.0
    assert oven_now([first, cooler], at(11_400), seen.before, seen.oven).heat_c == 170.0
