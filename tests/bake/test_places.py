"""Where a dough stands: the room, a place of the kitchen, where the baker puts it, and what that makes of its times."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.bake import events as kinds
from proofbell.bake import intents
from proofbell.bake.decisions.as_opened import as_opened, in_its_places
from proofbell.bake.decisions.decide import decide
from proofbell.bake.fermenting.before_reading import likely_on_its_way
from proofbell.bake.fermenting.place import card_place_c, place_c
from proofbell.bake.fermenting.place_words import about_words, places_told
from proofbell.bake.fermenting.terms import terms
from proofbell.bake.fold import fold
from proofbell.bake.intents import Refused
from proofbell.bake.record import body_from, body_text
from proofbell.bake.view import view
from proofbell.formula.model import Rate, Stage
from proofbell.kitchen.model import Kitchen
from tests.support.baking import BATCH, FINAL_PROOF, FIRST_PROOF, WHOLE, Baking, adjustment, at_stage, formula
from tests.support.fermentation import equal_time
from tests.support.walking import PAN, at, done

CELLAR = Kitchen(places=(("cellar", 14.0),))
PLAIN = Stage("First proof", "proof", 90 * 60.0, place_c=23.0)


def lengths(kitchen: Kitchen, *stages: Stage) -> list[float]:
    made = formula(*stages) if stages else WHOLE
    return [run.length_s / 60 for run in as_opened(made, BATCH, kitchen).stages]


def proof_min(baking: Baking, index: int = 1) -> float:
    return baking.state.stages[index].length_s / 60


# -- the room ---------------------------------------------------------------------------------------------------------


def test_a_temperature_in_the_file_is_the_cards_and_the_dough_stands_in_the_room() -> None:
    state = as_opened(formula(PLAIN), BATCH, Kitchen(room_c=12.0))
    assert (place_c(state, 0), card_place_c(PLAIN, state.kitchen)) == (12.0, 23.0)


@pytest.mark.parametrize(
    "proof",
    [PLAIN, replace(PLAIN, place_c=None), replace(PLAIN, adjust=Rate(25.0, 23.0)), replace(FIRST_PROOF, time_s=5400.0)],
    ids=["no rule", "no place", "rate", "bands"],
)
def test_a_cold_room_makes_every_proof_longer_and_a_warm_one_shorter(proof: Stage) -> None:
    (cold,), (usual,), (warm,) = (lengths(Kitchen(room_c=c), proof) for c in (12.0, 21.0, 30.0))
    assert cold > usual > warm
    assert usual == 90


def test_what_a_place_does_is_equal_fermentation_by_the_model_with_its_range() -> None:
    state = as_opened(formula(PLAIN), BATCH, Kitchen(room_c=12.0))
    asked = terms(state, 0)
    assert asked is not None
    found = equal_time(
        nominal_s=5400.0,
        at_c=25.0,
        nominal_place_c=23.0,
        readings=(),
        place_c=12.0,
        tau_s=asked.tau_s,
        tolerance_k=2.5,
        rise_percent=100.0,
    )
    assert state.stages[0].length_s == pytest.approx(found.seconds, abs=30)
    (said,) = places_told(state)
    assert said.startswith("Room 12 °C: First proof about 1 h ")
    assert said.endswith(", not 1 h 30 min.")


def test_a_long_proof_takes_about_twice_as_long_nine_or_ten_degrees_colder() -> None:
    """17.2 → 26.7 °C doubles the speed (trade rule, in dough-facts C1 with 15 → 25 and the like beside it)."""
    slow = Stage("Long proof", "proof", 12 * 3600.0, adjust=Rate(26.7, 26.7))
    (warm,), (cold,) = (lengths(Kitchen(room_c=c), replace(slow, adjust=Rate(c, 26.7))) for c in (26.7, 17.2))
    assert cold / warm == pytest.approx(2.0, rel=0.15)


def test_a_dough_that_has_stood_in_the_cold_room_comes_colder_to_the_next_proof() -> None:
    kitchen = Kitchen(room_c=12.0)
    final = replace(FINAL_PROOF, adjust=Rate(25.0, 22.0))
    (alone,) = lengths(kitchen, final)
    *_, after = lengths(kitchen, PLAIN, final)
    assert after > alone + 5


def test_a_room_that_was_read_counts_for_the_stage_that_runs_and_for_those_to_come() -> None:
    baking = Baking(formula(PLAIN, Stage("Shape", "hands", 600.0), FINAL_PROOF))
    baking.to_stage(0)
    before = [run.length_s for run in baking.state.stages]
    baking.read(30.0, "room temperature")
    after = [run.length_s for run in baking.state.stages]
    assert after[0] < before[0]
    assert after[1] == before[1]
    assert after[2] < before[2]


def test_a_band_is_told_for_the_cards_place_and_goes_with_another() -> None:
    cold, usual = at_stage(FIRST_PROOF, Kitchen(room_c=10.5)), at_stage(FIRST_PROOF, Kitchen())
    cold.read(27.0)
    usual.read(27.0)
    assert usual.length_min == 55
    assert 55 < cold.length_min < 75
    assert "the formula's 55 min and the room's 10.5 °C" in cold.state.stages[1].adjustments[-1].body.reason


def test_what_a_dough_forgives_goes_with_the_place() -> None:
    planned = in_its_places(formula(FINAL_PROOF), BATCH, Kitchen(room_c=12.0)).stages[0]
    assert planned.stretch is not None
    share = planned.time_s / FINAL_PROOF.time_s
    assert share > 1
    assert planned.stretch == pytest.approx((35 * 60 * share, 70 * 60 * share), abs=30)


def test_how_a_bake_was_opened_is_not_undone() -> None:
    baking = Baking(formula(PLAIN), Kitchen(room_c=12.0))
    assert isinstance(decide(baking.state, intents.Undo(), baking.now), Refused)


# -- places of the kitchen ---------------------------------------------------------------------------------------------


def test_a_place_of_the_kitchen_is_where_the_proof_stands_whatever_the_room() -> None:
    in_cellar = replace(PLAIN, place_c=None, place_name="Cellar")
    state = as_opened(formula(in_cellar), BATCH, replace(CELLAR, room_c=30.0))
    assert place_c(state, 0) == card_place_c(in_cellar, state.kitchen) == 14.0
    assert state.stages[0].length_s == PLAIN.time_s


def test_a_place_that_the_kitchen_lacks_counts_as_the_room_and_is_asked_for() -> None:
    state = as_opened(formula(replace(PLAIN, place_c=None, place_name="larder")), BATCH, Kitchen(room_c=21.0))
    assert place_c(state, 0) == 21.0
    (said,) = places_told(state)
    used = "the room's temperature is used for First proof until you say how warm it is there."
    assert said == f"This kitchen has no “larder”: {used}"


def test_a_place_in_the_cold_is_the_kitchens_fridge() -> None:
    kitchen = Kitchen(fridge_c=6.0, room_c=30.0)
    for stage in (
        replace(PLAIN, place_c=4.0),
        Stage("Night", "chill", 36000.0),
        Stage("Night", "chill", 36000.0, place_c=4.0),
    ):
        state = as_opened(formula(stage), BATCH, kitchen)
        assert place_c(state, 0) == 6.0
    cool = as_opened(formula(Stage("Night", "chill", 36000.0, place_c=12.0)), BATCH, kitchen)
    assert place_c(cool, 0) == 12.0


# -- where the baker puts it -------------------------------------------------------------------------------------------


def test_a_dough_that_is_put_into_the_fridge_is_told_when_to_come_out_and_what_follows() -> None:
    baking = at_stage(FIRST_PROOF, Kitchen())
    baking.wait(minutes=20)
    change = adjustment(baking.say(intents.Move("fridge")))
    assert change is not None
    assert change.by == "place"
    assert change.to_s > 70 * 60
    said = view(baking.state, baking.state.now_s(baking.now)).why
    assert said.startswith("Fridge 4 °C: at take-out about ")


def test_moved_a_while_ago_is_what_it_would_have_been_if_it_had_been_said_then() -> None:
    then, late = at_stage(FIRST_PROOF, Kitchen()), at_stage(FIRST_PROOF, Kitchen())
    then.wait(minutes=10)
    then.say(intents.Move("", 6.0))
    late.wait(minutes=30)
    late.say(intents.Move("", 6.0, ago_s=20 * 60))
    assert late.length_min == then.length_min
    moved = late.state.stages[1].stood[-1]
    assert moved.at_s - (late.state.stages[1].begun_s or 0.0) == pytest.approx(600)


def test_there_and_back_again_lies_between_never_and_all_the_time() -> None:
    usual, between, cold = (at_stage(replace(FIRST_PROOF, adjust=Rate(25.0)), Kitchen()) for _ in range(3))
    for baking in (between, cold):
        baking.wait(minutes=10)
        baking.say(intents.Move("fridge"))
    between.wait(minutes=40)
    between.say(intents.Move("room"))
    assert usual.length_min < between.length_min < cold.length_min
    asked = terms(between.state, 1)
    assert asked is not None
    path = asked.estimate().path
    assert path.temp_c(600) > path.temp_c(1800) > path.temp_c(2990)
    assert path.temp_c(5 * 3600) == pytest.approx(21.0, abs=2.0)


def test_a_warmer_place_makes_it_ready_sooner_and_a_reading_there_is_taken() -> None:
    baking = at_stage(FINAL_PROOF, Kitchen(room_c=22.0, places=(("proofer", 32.0),)))
    baking.wait(minutes=5)
    baking.say(intents.Move("proofer"))
    assert baking.length_min < 50
    warmer = baking.length_min
    baking.wait(minutes=15)
    baking.read(31.0)
    assert baking.length_min < warmer


@pytest.mark.parametrize(
    ("intent", "words"),
    [
        (intents.Move("attic"), "This kitchen has no attic."),
        (intents.Move("", 90.0), "No dough stands there."),
        (intents.Move("fridge", ago_s=3600.0), "First proof began 5 min ago."),
        (intents.Move("fridge", ago_s=float("nan")), "First proof began 5 min ago."),
        (intents.Move("", float("nan")), "No dough stands there."),
    ],
)
def test_a_place_or_a_moment_that_cannot_be_is_refused(intent: intents.Move, words: str) -> None:
    baking = at_stage(FIRST_PROOF, Kitchen())
    baking.wait(minutes=5)
    refused = decide(baking.state, intent, baking.now)
    assert isinstance(refused, Refused)
    assert refused.message == words


def test_hands_work_stands_nowhere() -> None:
    baking = Baking(WHOLE)
    baking.to_stage(0)
    refused = decide(baking.state, intents.Move("fridge"), baking.now)
    assert isinstance(refused, Refused)


def test_undone_it_stands_where_it_stood() -> None:
    baking = at_stage(FIRST_PROOF, Kitchen())
    baking.say(intents.Move("fridge"))
    baking.say(intents.Undo())
    assert baking.length_min == 70
    assert place_c(baking.state, 1) == 21.0


# -- ended a while ago -------------------------------------------------------------------------------------------------


def test_a_stage_that_ended_a_while_ago_begins_the_next_one_then() -> None:
    then, late = Baking(WHOLE), Baking(WHOLE)
    for baking in (then, late):
        baking.to_stage(1)
        baking.wait(minutes=9)
    then.say(intents.Done())
    then.wait(minutes=20)
    late.wait(minutes=20)
    late.say(intents.Done(ago_s=20 * 60))
    for baking in (then, late):
        baking.read(27.0)
    one, other = then.state, late.state
    assert other.stages[1].ended_s == other.stages[2].begun_s == one.stages[2].begun_s
    assert other.stages[2].due_s == one.stages[2].due_s
    assert fold(late.state.events).stages == late.state.stages


def test_what_was_read_since_belongs_to_the_next_stage() -> None:
    baking = Baking(WHOLE)
    baking.to_stage(1)
    baking.wait(minutes=20)
    baking.read(28.0)
    baking.wait(minutes=5)
    baking.say(intents.Done(ago_s=15 * 60))
    (reading,) = baking.state.readings
    assert reading.stage == 2
    assert baking.state.stages[2].length_s == 55 * 60


def test_no_stage_ended_before_it_began() -> None:
    baking = Baking(WHOLE)
    baking.to_stage(1)
    baking.wait(minutes=5)
    for ago_s in (360.0, -60.0, float("nan"), float("inf")):
        refused = decide(baking.state, intents.Done(ago_s=ago_s), baking.now)
        assert isinstance(refused, Refused), ago_s


# -- stored ------------------------------------------------------------------------------------------------------------


def test_older_rows_of_stages_read_as_ended_and_begun_when_they_were_said() -> None:
    assert body_from("stage begun", 1, {"stage": 1, "why": ""}) == kinds.StageBegun(1)
    assert body_from("stage ended", 1, {"stage": 1, "why": "", "missed": []}) == kinds.StageEnded(1)


def test_a_move_is_stored_and_read_back() -> None:
    import json

    body = kinds.DoughMoved(2, 4.0, "fridge", 1200.0)
    assert body_from("dough moved", 1, json.loads(body_text(body))) == body


def test_a_place_that_comes_to_the_cards_own_time_is_not_told_as_a_change() -> None:
    """To five minutes 42 are the card's 40: nobody is told "about 40 min, not 40 min"."""
    assert about_words(2520.0, 2100.0, 3000.0, 2400.0) == "about 40 min (35 min to 50 min)"
    assert about_words(2760.0, 2400.0, None, 2400.0) == "about 45 min (40 min or more), not 40 min"


def test_a_range_that_tells_nothing_is_not_told() -> None:
    assert about_words(49_800, 300, 190_800, 49_800) == "about 13 h 50 min, a rough guess"
    assert about_words(4_500, 3_900, 5_400, 4_200) == "about 1 h 15 min (1 h 05 min to 1 h 30 min), not 1 h 10 min"


def test_a_dough_beside_its_card_is_expected_as_the_one_before_was_read() -> None:
    def at_the_final_proof(room_c: float, read_c: float) -> Baking:
        baking = at(PAN, "First proof", kitchen=Kitchen(room_c=room_c))
        baking.read(read_c)
        while baking.state.stage(baking.state.current or 0).name != "Final proof":
            baking.wait(minutes=baking.length_min)
            done(baking)
        return baking

    cold, as_meant = at_the_final_proof(14.0, 20.5), at_the_final_proof(22.0, 25.5)
    likely = likely_on_its_way(cold.state, cold.state.current or 0, cold.now_s, 0)
    assert likely is not None
    assert 14 < likely.value < 20.5
    assert likely_on_its_way(as_meant.state, as_meant.state.current or 0, as_meant.now_s, 0) is None
