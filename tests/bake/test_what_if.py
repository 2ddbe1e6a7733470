"""Asking of a proof what would be if."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.bake import intents
from proofbell.bake.fermenting.terms import Terms, terms
from proofbell.bake.view import view
from proofbell.bake.what_if import asked_of, here_c, how_it_came, how_long, how_warm, take_out, working
from proofbell.dough.fermenting.drift import Drift
from proofbell.formula.model import ChillInstead, Stage
from proofbell.kitchen.model import Kitchen
from tests.support.baking import FIRST_PROOF, at_stage
from tests.support.walking import LAMPLIGHTER, at, read

ASKED = Terms("First proof", 4200.0, 25.0, 21.0, (), 21.0, 7000.0, 1.0, 1.0)


def test_a_dough_as_the_formula_has_it_takes_the_time_of_the_formula() -> None:
    assert how_long(ASKED, 25.0).seconds == pytest.approx(4200.0, abs=0.01)


@pytest.mark.parametrize("dough_c", [20.0, 23.0, 30.0])
def test_the_place_that_makes_it_ready_in_a_time_makes_it_take_that_time(dough_c: float) -> None:
    place = how_warm(ASKED, 4200.0, dough_c)

    assert place.place_c is not None
    assert how_long(ASKED, dough_c, place.place_c).seconds == pytest.approx(4200.0, rel=1e-6)


def test_the_working_ends_in_the_time_that_is_asked_about() -> None:
    assert "1 h 10 min" in "\n".join(working(ASKED).lines)


def test_a_dough_taken_out_of_the_cold_when_told_has_fermented_enough_when_it_is_wanted() -> None:
    chilled = replace(ASKED, cold_c=4.0, tau_s=3000.0)
    found = take_out(chilled, 3 * 3600.0)

    assert found is not None
    assert found.why == ""
    wanted_s = Drift(25.0, 21.0, 3000.0).amount_s(4200.0)
    cooling = Drift(25.0, 4.0, 3000.0)
    warming = Drift(cooling.temp_c(found.seconds), 21.0, 3000.0)
    done_s = cooling.amount_s(found.seconds) + warming.amount_s(3 * 3600.0 - found.seconds)
    assert done_s == pytest.approx(wanted_s, rel=1e-6)
    assert found.ready_c == pytest.approx(warming.temp_c(3 * 3600.0 - found.seconds))


def test_a_dough_goes_into_the_formulas_own_cold_place_or_the_fridge_and_never_into_a_warmer_one() -> None:
    def cold_c(stage: Stage) -> float | None:
        found = terms(at_stage(stage, Kitchen(fridge_c=5.0)).state, 1)
        assert found is not None
        return found.cold_c

    assert cold_c(FIRST_PROOF) == 5.0
    assert cold_c(replace(FIRST_PROOF, chill_instead=ChillInstead(3.0, 3600.0, 7200.0))) == 3.0
    assert cold_c(replace(FIRST_PROOF, place_c=4.5)) is None
    assert cold_c(Stage("Night", "chill", 36000.0, place_c=8.0)) is None
    assert take_out(ASKED, 3600.0) is None


def test_a_length_is_told_change_by_change_and_hands_as_one() -> None:
    baking = at_stage(FIRST_PROOF)
    assert how_it_came(baking.state, 1) == ()
    baking.read(27.0)
    for _ in range(10):
        baking.say(intents.Longer(300))
    assert how_it_came(baking.state, 1) == (
        "First proof is 1 h 45 min long now; the formula has 1 h 10 min.",
        f"  {baking.state.stages[1].adjustments[0].body.reason}",
        "  50 min longer by hand. That is past the 79 min that this dough allows.",
    )


def test_a_place_that_readings_show_to_be_warmer_is_told_and_asked_about() -> None:
    """From 17 to 21 °C in half an hour no larder of 14 °C makes a dough; it says how warm it takes the place to be."""
    baking = at(LAMPLIGHTER, "Preferment overnight", kitchen=Kitchen(places=(("larder", 14.0),)))
    baking.read(21.0)
    assert "goes as in" not in view(baking.state, baking.now_s).why
    for value in (17.0, 21.0):
        baking.wait(minutes=31)
        baking.read(value)
    asked = terms(baking.state, baking.state.current or 0)
    assert asked is not None
    assert here_c(asked) > 17
    assert f"goes as in {here_c(asked):.0f} °C" in view(baking.state, baking.now_s).why
    assert f"goes as in {here_c(asked):.1f} °C" in " ".join(working(asked).lines)
    assert how_long(asked, 21.0).seconds < how_long(asked, 21.0, 14.0).seconds


def test_a_proof_to_come_is_asked_of_for_the_dough_as_it_was_read_at_the_bench() -> None:
    baking = read(at("regatta-brioche", "Work in the butter"), 30.5)
    asked = asked_of(baking.state, 2)
    assert asked is not None
    assert "This dough read 30.5 °C at the start" in "\n".join(working(asked).lines)
