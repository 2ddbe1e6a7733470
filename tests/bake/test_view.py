"""What is said of a bake at one moment, and where its stages lie on the day."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from proofbell.bake import intents
from proofbell.bake.outlook import outlook, planned
from proofbell.bake.tasks import OvenTask
from proofbell.bake.view import view
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.dough.weights import SizeWish
from proofbell.formula.model import Stage
from proofbell.kitchen.model import Kitchen, Scale
from proofbell.words import length
from tests.support.bakes import house
from tests.support.baking import BATCH, MORNING_US, WHOLE, Baking
from tests.support.walking import LAMPLIGHTER, at


def spans(baking: Baking) -> list[tuple[int, int, str]]:
    """Begin, end (whole minutes) and tense of each stage."""
    seen = outlook(baking.state, baking.now_s)
    return [(round(span.begin_s / 60), round(span.end_s / 60), span.when) for span in seen]


def test_a_bake_that_waits_says_what_to_do_first() -> None:
    seen = view(Baking(WHOLE).state, 0.0)
    assert (seen.mode, seen.stage, seen.do, seen.then) == ("waiting", "Weigh out", "Weigh out, then begin", "mix")
    assert seen.size == "12 × 70 g"


def test_dividing_says_how_many_of_which_weight() -> None:
    baking = Baking(WHOLE)
    baking.to_stage(2)
    assert view(baking.state, baking.now_s).then == "divide and shape: 12 × 70 g"
    baking.to_stage(3)
    seen = view(baking.state, baking.now_s)
    assert (seen.mode, seen.do, seen.then) == ("up", "Divide and shape: 12 × 70 g", "final proof, 50 min")


def test_what_comes_after_a_proof_and_a_bake_is_said_as_something_to_do() -> None:
    baking = Baking(WHOLE)
    baking.to_stage(4)
    assert view(baking.state, baking.now_s).then == "load the oven"
    baking.to_stage(5)
    assert view(baking.state, baking.now_s).then == "take it out, then cool"
    baking.to_stage(6)
    assert view(baking.state, baking.now_s).then == "ready"
    baking.say(intents.Task(OvenTask("oven off", 5)))
    baking.say(intents.Done())
    seen = view(baking.state, baking.now_s)
    assert (seen.mode, seen.stage, seen.then, seen.wants) == ("closed", "Finished", "", ())


def test_the_newest_reason_stands_beside_the_countdown() -> None:
    baking = Baking(WHOLE)
    baking.to_stage(2)
    assert view(baking.state, baking.now_s).why == ""
    baking.read(27.0)
    assert view(baking.state, baking.now_s).why.startswith("Dough 27.0 °C")
    baking.say(intents.Longer(300))
    told = view(baking.state, baking.now_s).why
    assert told.startswith("Dough 27.0 °C, 26 °C or warmer: 70 → 60 min by the formula and 5 min more by hand")


def test_due_moments_are_told_by_the_wall() -> None:
    baking = Baking(WHOLE)
    baking.to_stage(2)
    seen = view(baking.state, baking.now_s)
    assert seen.until_us == MORNING_US + 70 * 60 * 1_000_000
    # 70 + 18 + 50 + 16 + 30 minutes.
    assert seen.ready_us == MORNING_US + 184 * 60 * 1_000_000


def test_the_strip_shows_what_was_what_runs_and_what_is_to_come() -> None:
    baking = Baking(replace(WHOLE, stages=(*WHOLE.stages[:3], Stage("Bake", "bake", 960.0))))
    baking.say(intents.Begin())
    baking.wait(minutes=8)
    baking.say(intents.Done())
    baking.wait(minutes=5)
    assert spans(baking) == [
        (0, 8, "past"),
        (8, 17, "now"),
        (17, 87, "coming"),
        (87, 103, "coming"),
    ]
    baking.wait(minutes=10)
    # Kneading runs over: what follows is pushed along.
    assert spans(baking)[1:3] == [(8, 23, "now"), (23, 93, "coming")]
    assert [span.begin_s / 60 for span in planned(baking.state)] == [0, 6, 15, 85]


def test_a_bake_that_is_given_up_keeps_only_what_was() -> None:
    baking = Baking(WHOLE)
    baking.to_stage(1)
    baking.wait(minutes=3)
    baking.say(intents.GiveUp())
    baking.wait(minutes=60)
    assert [when for _, _, when in spans(baking)] == ["past", "past"]
    assert spans(baking)[-1][1] == 3


def test_a_planned_start_that_has_passed_moves_everything_along() -> None:
    baking = Baking(WHOLE, start_in_s=600)
    assert spans(baking)[0][0] == 10
    baking.wait(minutes=25)
    assert spans(baking)[0][0] == 25
    seen = view(baking.state, baking.now_s)
    assert seen.mode == "over"
    assert seen.seconds == pytest.approx(900)


def test_a_dough_without_pieces_is_told_by_its_weight() -> None:
    baking = Baking(WHOLE)
    loaf = replace(baking.state, batch=replace(BATCH, pieces=None, piece_g=None))
    assert view(loaf, 0.0).size == "840 g dough"


def test_a_finished_bake_says_how_long_it_took_and_a_dropped_one_does_not() -> None:
    baking = Baking(WHOLE)
    baking.to_stage(6)
    baking.wait(minutes=240)
    baking.say(intents.Done())
    dropped = Baking(WHOLE)
    dropped.to_stage(3)
    dropped.say(intents.GiveUp("It was dropped."))

    nominal_s = sum(stage.time_s for stage in WHOLE.stages)
    spent = view(baking.state, baking.now_s).text

    assert spent.endswith(f"by the formula's own times {length(nominal_s)}.")
    assert spent.startswith(f"Made in {length(baking.now_s - (baking.state.stages[0].begun_s or 0.0))};")
    assert "own times" not in view(dropped.state, dropped.now_s).text


def test_a_bake_that_was_given_up_asks_for_nothing_and_says_where_and_why_it_ended() -> None:
    baking = Baking(WHOLE)
    baking.to_stage(1)
    baking.read(27.0)
    baking.wait(minutes=3)
    given_up = Baking(WHOLE)
    given_up.to_stage(1)
    given_up.wait(minutes=3)
    given_up.say(intents.GiveUp("The mixer broke."))
    given_up.wait(minutes=60)
    baking.say(intents.GiveUp())
    noted = view(baking.state, baking.now_s)
    seen = view(given_up.state, given_up.now_s)
    name = WHOLE.stages[1].name

    assert (seen.mode, seen.stage, seen.do, seen.then, seen.why) == ("closed", "Given up", "", "", "")
    assert (seen.kind, seen.place) == ("", ""), "no stage runs"
    assert seen.text == f"In {name}, 3 min after it began: The mixer broke."
    assert (noted.why, noted.text) == ("", f"In {name}, 3 min after it began.")
    baking.say(intents.AddNote("The yard door was open"))
    assert view(baking.state, baking.now_s).text == f"In {name}, 3 min after it began: The yard door was open."


def test_a_bake_that_was_given_up_before_it_began_says_so() -> None:
    baking = Baking(WHOLE)
    baking.say(intents.GiveUp())
    assert view(baking.state, baking.now_s).text == "Before it began."


def test_how_a_loaf_is_loaded_gives_way_while_it_bakes_and_what_burns_stays() -> None:
    baking = at(LAMPLIGHTER, "Bake")
    loading, hot = (view(baking.state, baking.now_s + seconds).text for seconds in (60.0, 360.0))
    assert loading.startswith("Turn out, slash, load with steam. Steam burns")
    assert hot.startswith("Steam burns before it is seen")


def test_a_pinch_of_yeast_says_how_it_is_weighed_where_it_is_stirred_in() -> None:
    text = view(at(LAMPLIGHTER, "Stir the preferment").state, 0.0).text
    assert "For the instant yeast, stir 10 g into 390 g of cool water, use 10 g of that, and 10 g less of the" in text
    fine = at(LAMPLIGHTER, "Stir the preferment", kitchen=Kitchen(scale=Scale(1.0, 0.01)))
    assert "cool water" not in view(fine.state, 0.0).text


@pytest.mark.parametrize("pieces", range(3, 24))
def test_a_pinch_is_weighed_by_the_same_figures_on_the_bench_and_in_the_weigh_out(pieces: int) -> None:
    made = house("boathook-baguettes")
    out = weigh_out(made, Kitchen(), SizeWish(pieces=pieces))
    baking = Baking(made, Kitchen(), batch=out.batch)
    baking.say(intents.Begin())
    how = "stir [^.]*preferment's water"

    assert re.findall(how, view(baking.state, baking.now_s).text) == re.findall(how, " ".join(out.notes.warnings))
