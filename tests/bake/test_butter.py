"""A butter dough that was read too warm and put into the cold for that: what is asked and told next follows from it.

20 to 30 min in the fridge firm up a soft butter dough: common practice, no source. 28 °C: IREKS Compendium.
"""

from __future__ import annotations

import pytest

from proofbell.bake import intents
from proofbell.bake.advice.advise import advise, said_of_reading
from proofbell.bake.decisions.ask_first import ask_first
from proofbell.bake.prompts import prompts
from proofbell.bake.view import view
from proofbell.kitchen.model import Kitchen
from tests.support.baking import Baking
from tests.support.prompted import ringing
from tests.support.walking import KNOTS, at, chilled, done, later, read

BRIOCHE = "regatta-brioche"


def asks(baking: Baking) -> list[tuple[str, float]]:
    """What is asked at the dough, and in how many minutes from now."""
    asked = prompts(baking.state, now_s=baking.now_s)
    return [(p.words, round((p.due_s - baking.now_s) / 60, 1)) for p in asked if p.kind in ("check", "due")]


def said(baking: Baking) -> set[str]:
    return {each.situation for each in advise(baking.state, baking.now_s)}


def advice(baking: Baking) -> str:
    """What the bench says is to be done."""
    found = view(baking.state, baking.now_s).advice
    return "" if found is None else found.do


def begins(baking: Baking, stage: str) -> float:
    """In how many minutes a stage is to begin."""
    found = view(baking.state, baking.now_s).spans
    begin_s = next(each.begin_s for each in found if baking.state.stage(each.stage).name == stage)
    return round((begin_s - baking.now_s) / 60, 1)


def soft(name: str, minutes: float = 3.0) -> Baking:
    """A first proof that was read at 31 °C, so many minutes after that."""
    return later(read(at(name, "First proof"), 31.0), minutes)


def test_it_is_read_once_after_twenty_minutes_and_goes_on_in_the_room() -> None:
    baking = soft(KNOTS)
    assert "butter melting" in said(baking)
    chilled(baking)
    assert said(baking) == {"butter chilling"}, "neither to be chilled again, nor a reading to be put right"
    assert asks(baking)[0] == ("read the dough's temperature again", 20.0)
    baking.wait(minutes=20)
    assert [p.words for p in ringing(baking.state, baking.now_s)] == ["read the dough's temperature again"]
    read(baking, 27.5)
    rise = "judge the rise, then take it out of the cold, divide and tie: 12 × 75 g"
    assert [words for words, _ in asks(baking)] == [rise]
    assert view(baking.state, baking.now_s).advice.to_do == "Take it out and let it rise on."  # type: ignore[union-attr]
    baking.say(intents.Move("room"))
    assert said(baking) == set()
    assert [words for words, _ in asks(baking)] == ["judge the rise, then divide and tie: 12 × 75 g"]
    # Its card has 55 min for a dough of 26 °C or more, of which 23 are past.
    assert 55 - 23 <= asks(baking)[0][1] <= 55 - 23 + 10


def test_one_that_is_soft_yet_is_left_a_little_longer_and_nothing_else_is_said() -> None:
    assert said(read(later(chilled(soft(KNOTS)), 20), 28.6)) == {"butter firm again"}


def test_where_the_cold_comes_next_by_the_card_the_proof_ends_as_it_goes_there() -> None:
    baking = soft(BRIOCHE)
    seen = view(baking.state, baking.now_s)
    assert (seen.do, seen.text, seen.why) == ("Fold and flatten", "", ""), "nothing but what is to be done now"
    assert advice(baking) == "flatten it and put it into the cold now"
    refused = baking.refused(intents.Move("fridge"))
    assert refused.remedy == "End it: Fold and flatten, then the cold."
    done(baking)
    assert "butter melting" not in said(baking)
    firm = later(soft(BRIOCHE), 1)
    firm.say(intents.Move(place_c=15.0))
    assert chilled(read(later(firm, 30), 26.0)).state.stages[2].stood[-1].place == "fridge"


def test_a_short_rest_of_a_proof_is_not_over_before_the_butter_is_firm() -> None:
    baking = chilled(soft(KNOTS, minutes=50))
    assert baking.left_min == pytest.approx(20, abs=0.5)
    assert "for its butter" in baking.state.stages[baking.state.current or 0].adjustments[-1].body.reason


def test_one_that_stays_in_the_cold_unread_is_taken_out_of_it_at_its_end() -> None:
    baking = later(chilled(soft(KNOTS)), 70)
    assert asks(baking)[0][0] == "read the dough again, then take it out of the cold, divide and tie: 12 × 75 g"
    assert said(done(baking)) & {"butter melting", "unlikely reading"} == set()


def test_a_dough_that_is_not_soft_or_not_worked_again_is_not_chilled_for_its_butter() -> None:
    assert "butter chilling" not in said(chilled(later(read(at(KNOTS, "First proof"), 25.0), 3)))
    assert "butter chilling" not in said(chilled(later(read(at("lamplighter-loaf", "First proof"), 31.0), 3)))
    assert "butter chilling" not in said(chilled(later(read(at(KNOTS, "Final proof"), 31.0), 3)))


def test_a_dough_that_is_read_only_in_the_cold_is_left_there() -> None:
    baking = read(later(chilled(at(KNOTS, "First proof")), 2), 29.5)
    told = next(each for each in advise(baking.state, baking.now_s) if each.situation == "butter melting")
    assert told.do == "leave it in the cold for 20 to 30 min"


def test_a_place_that_it_has_left_is_not_told_of_the_next() -> None:
    baking = chilled(later(read(at(KNOTS, "First proof", kitchen=Kitchen(room_c=21.5)), 31.0), 3))
    read(later(baking, 20), 27.5)
    baking.say(intents.Move(place_c=3.5))
    assert "Fridge" not in view(baking.state, baking.now_s).why


def test_a_butter_dough_that_is_soft_in_the_cold_is_not_over_until_it_was_read_again() -> None:
    baking = later(chilled(soft(KNOTS, minutes=50)), 20)
    for soft_c in (30.0, 28.5):
        read(baking, soft_c)
        later(baking, 4)
        seen = view(baking.state, baking.now_s)
        assert (seen.mode, round(seen.seconds / 60), seen.wants) == ("left", 6, ())
        assert seen.advice is not None
        assert seen.advice.do.startswith("leave it there 6 min more, read it again")
        later(baking, 6)
        assert view(baking.state, baking.now_s).do.startswith("Read the dough again, then take it out of the cold")
    read(baking, 27.5)
    assert view(baking.state, baking.now_s).do.startswith("Judge the rise, then take it out of the cold, divide")


def test_chilling_before_shaping_is_told_as_one_thing_and_no_more_once_hands_are_at_it() -> None:
    baking = later(read(at(KNOTS, "First proof", minutes=50), 31.0), 10)
    seen = view(baking.state, baking.now_s)
    assert seen.do == "Judge the rise, then chill it 20 to 30 min, then divide and tie: 12 × 75 g"
    done(baking)
    assert "butter melting" not in {each.situation for each in advise(baking.state, baking.now_s)}
    later(read(baking, 31.0), 1)
    assert "butter melting" in {each.situation for each in advise(baking.state, baking.now_s)}
    later(baking, 20)
    assert "butter melting" not in {each.situation for each in advise(baking.state, baking.now_s)}


@pytest.mark.parametrize("judged", [85.0, "ready"])
def test_what_was_ripe_before_the_fridge_is_not_told_to_rise_on_and_is_not_judged_again(judged: float | str) -> None:
    baking = later(read(at(KNOTS, "First proof"), 31.0), 50)
    baking.eye(judged) if isinstance(judged, str) else baking.read(judged, "rise")
    read(later(chilled(baking), 20), 26.5)
    assert advice(baking) == "take it out and go on: divide and tie"
    assert view(baking.state, baking.now_s).do == "Take it out of the cold, divide and tie: 12 × 75 g"
    assert "The rise is not judged." not in ask_first(baking.state, baking.now_s)
    assert done(baking).state.stages[2].missed == ()


def test_what_is_done_by_the_model_as_its_butter_is_firm_is_judged_and_goes_on() -> None:
    baking = read(later(chilled(soft(KNOTS, minutes=50)), 20), 26.5)
    assert advice(baking) == "judge its rise, then take it out and go on: divide and tie"
    soft_yet = read(later(chilled(soft(KNOTS, minutes=50)), 20), 28.9)
    assert "let it rise on" not in advice(soft_yet)


def test_what_was_judged_enough_and_stood_in_the_cold_for_hours_is_judged_again() -> None:
    baking = later(read(at(KNOTS, "First proof"), 31.0), 50)
    baking.read(85.0, "rise")
    read(later(chilled(baking), 20), 26.5).say(intents.Longer(90 * 60.0))
    assert [words for words, _ in asks(baking)] == [
        "judge the rise, then take it out of the cold, divide and tie: 12 × 75 g"
    ]


def test_a_dough_that_is_soft_while_it_is_made_cools_in_its_bowl_and_is_read_again() -> None:
    baking = read(at(BRIOCHE, "Work in the butter", minutes=4), 30.5)
    assert advice(baking) == "stop, bowl into the cold for 10 to 15 min, read it again, then go on"
    assert asks(baking) == [("read the dough's temperature again", 10.0)]
    assert begins(baking, "First proof") == 10, "no sooner than that"
    refused = baking.refused(intents.Move("fridge"))
    assert "End the stage" not in refused.remedy, "half of the butter is still to go in"
    assert advice(read(later(baking, 12), 27.0)) == (
        "chill it 10 min more before more butter goes in, and read it again"
    ), "butter stands no 27 °C as it is worked in"
    assert asks(baking) == [("read the dough's temperature again", 10.0)]
    assert "butter melting" not in said(read(later(baking, 10), 25.5))


def test_minutes_of_a_bowl_in_the_cold_are_not_those_of_its_machine() -> None:
    baking = later(read(at(BRIOCHE, "Work in the butter", minutes=8), 30.0), 11)
    assert "kneading too long" not in said(baking), "it was told to stop"
    assert "kneading too long" not in said(later(read(baking, 24.0), 10)), "it was read after its time"
    going_on = later(read(later(read(at(BRIOCHE, "Work in the butter", minutes=4), 30.0), 6), 24.0), 12)
    assert "kneading too long" in said(going_on), "12 min in the machine are over, and 4 more"


def test_a_dough_that_its_machine_may_have_warmed_since_is_read_as_its_proof_begins() -> None:
    baking = later(read(at(BRIOCHE, "Work in the butter", minutes=11), 24.0), 8)
    assert "kneading too long" in said(baking)
    assert asks(done(baking))[0] == ("read the dough's temperature", 0.0)
    read_since = done(later(read(at(BRIOCHE, "Work in the butter", minutes=19), 24.0), 2))
    assert "read the dough's temperature" not in dict(asks(read_since))


def test_a_dough_that_is_soft_long_before_it_is_shaped_is_told_what_to_do_now_as_well() -> None:
    baking = read(at(KNOTS, "First proof", kitchen=Kitchen(room_c=30.0)), 31.0)
    cooler = "stand it cooler, read it again in 20 to 30 min, and judge it early"
    assert advice(baking) == f"{cooler}; chill it 20 to 30 min before shaping"
    warm = read(at(KNOTS, "First proof", kitchen=Kitchen(room_c=30.0)), 27.5)
    assert advice(warm) == cooler.replace("cooler", "cooler, at 28 °C or less")


def test_who_reads_is_told_what_the_bench_says_after_it() -> None:
    baking = at(KNOTS, "First proof", kitchen=Kitchen(room_c=30.0))
    for value_c in (31.0, 31.0, 27.5, 27.5):
        before = baking.state
        told = said_of_reading(before, read(baking, value_c).state, baking.now_s)
        assert told is None or told.do == advice(baking), value_c


def test_what_follows_is_timed_with_the_chill_from_when_it_is_advised() -> None:
    baking = at(KNOTS, "First proof")
    baking.wait(minutes=50)
    read(baking, 31.0)
    shaped = begins(baking, "Divide and tie")
    assert shaped == pytest.approx(baking.left_min + 20, abs=0.1)
    later(baking, baking.left_min)
    assert begins(baking, "Divide and tie") == 20, "it is to be chilled yet"
    assert begins(chilled(baking), "Divide and tie") == 20, "nothing jumps as it is put there"


def test_a_dough_that_goes_into_the_cold_now_is_due_now_and_what_follows_is_timed_from_now() -> None:
    baking = soft(BRIOCHE)
    seen = view(baking.state, baking.now_s)
    assert (seen.mode, seen.until_us) == ("over", baking.now.wall_us - 3 * 60_000_000)
    assert begins(baking, "Fold and flatten") == 0
    assert begins(later(baking, 2), "Fold and flatten") == 0


def test_a_chill_before_shaping_is_not_skipped_unasked_and_what_was_enough_is_told_no_share() -> None:
    baking = later(read(at(KNOTS, "First proof"), 31.0), 52)
    assert not view(baking.state, baking.now_s - 600).chill_now
    baking.eye("ready")
    assert view(baking.state, baking.now_s).chill_now
    assert "It was not chilled for its butter." in ask_first(baking.state, baking.now_s)
    later(chilled(later(baking, 1)), 10)
    assert not view(baking.state, baking.now_s).chill_now
    assert "It was not chilled for its butter." not in ask_first(baking.state, baking.now_s)
    why = view(baking.state, baking.now_s).why
    assert "at take-out about" in why
    assert "done" not in why
    assert "night" not in why
