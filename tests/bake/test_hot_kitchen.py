"""What a kitchen of 30 °C makes of doughs with butter: each thing is said where it fits, once, and is in the list."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from proofbell.bake import intents
from proofbell.bake.advice.advise import advise
from proofbell.bake.asking.judging import judged_soon
from proofbell.bake.tasks import OvenTask
from proofbell.bake.view import view
from proofbell.kitchen.model import Kitchen
from proofbell.words import told_length
from tests.support.baking import Baking
from tests.support.walking import KNOTS, at, chilled, done, later, read

BRIOCHE, BUNS = "regatta-brioche", "pilots-milk-buns"
HOT, COLD = Kitchen(room_c=30.0), Kitchen(room_c=16.0)


def said(baking: Baking) -> dict[str, str]:
    return {each.situation: each.short for each in advise(baking.state, baking.now_s)}


def coming(baking: Baking) -> list[tuple[str, int]]:
    """What comes up, and in how many minutes."""
    found = view(baking.state, baking.now_s)
    return [(p.words, round((p.due_s - baking.now_s) / 60)) for p in (*found.wants, *found.coming)]


def why(baking: Baking) -> str:
    return view(baking.state, baking.now_s).why


def balls(kitchen: Kitchen = HOT) -> Baking:
    """Brioche that went into the cold at 30 °C for its night, at the start of its final proof."""
    baking = done(later(done(later(read(at(BRIOCHE, "First proof", kitchen=kitchen), 30.0), 40)), 4))
    return done(later(done(later(read(later(baking, 1), 30.0), 12 * 60)), 18))


@pytest.mark.parametrize(("name", "minutes"), [(KNOTS, 20), (KNOTS, 60)])
def test_a_dough_that_is_chilled_for_minutes_is_told_of_no_night(name: str, minutes: float) -> None:
    baking = later(chilled(later(read(at(name, "First proof", kitchen=HOT), 31.0), minutes)), 5)
    assert "% done" in why(baking)
    assert "night" not in why(baking)
    assert "Its card allows" not in why(baking)
    later(baking, 120)
    assert "That is too far" in why(baking) or "past its limit" in said(baking), "left there, it is told so"


@pytest.mark.parametrize("judged", ["ready", 85.0])
def test_a_dough_that_is_too_far_by_the_model_is_judged_early_unless_it_was_measured(judged: str | float) -> None:
    baking = later(chilled(later(read(at(KNOTS, "First proof", kitchen=HOT), 31.0), 80)), 20)
    baking.eye(judged) if isinstance(judged, str) else baking.read(judged, "rise")
    final = done(later(done(baking), 20))
    told = said(final).get("came far", "")
    assert ("judge it early" in told) == (judged == "ready"), told
    assert ("judge the rise early" in dict(coming(final))) == (judged == "ready")


def test_a_proof_that_is_kept_to_its_least_is_judged_early_where_that_is_said() -> None:
    baking = read(balls(), 15.0)
    assert "kept to the 68 min that this dough needs" in why(baking)
    assert "judge it early" in said(baking)["dough too warm"]
    # The rate has it ready after 19 min, up to 56.
    assert dict(coming(baking))["judge the rise early"] == 34


def test_a_reading_is_doubted_by_where_its_dough_stood_when_it_was_taken() -> None:
    baking = read(later(read(balls(), 15.0), 60), 29.0)
    assert "unlikely reading" not in said(baking)
    assert "unlikely reading" not in said(chilled(later(baking, 2)))
    right = baking.state.readings[-1].number
    baking.say(intents.Correct(right, "28.6", raw=28.6))


def test_only_a_dough_in_one_piece_is_spread_flat() -> None:
    shaped = said(chilled(later(read(later(read(balls(), 15.0), 60), 29.0), 2)))["warm into the cold"]
    assert "flat" not in shaped
    assert "covered, on the coldest shelf, with air around them" in shaped
    whole = done(later(done(later(read(at(BRIOCHE, "First proof", kitchen=HOT), 31.0), 5)), 4))
    assert "spread it flat" in said(read(whole, 30.0))["warm into the cold"]


def test_a_dough_that_waits_in_the_cold_for_its_oven_is_not_taken_out_before() -> None:
    baking = later(chilled(later(read(balls(Kitchen(room_c=24.0)), 10.0), 60)), 20)
    baking.read(88.0, "rise")
    seen = view(baking.state, baking.now_s)
    assert seen.do == "Oven on, 190 °C"
    assert seen.besides == "Leave it in the cold, load when hot"
    assert "leave it in the cold until then" in said(baking)["oven not hot yet"]
    assert "not ready at take-out" not in said(baking), "its rise was enough"
    baking.say(intents.Task(OvenTask("oven on", (baking.state.current or 0) + 1)))
    assert coming(baking)[0] == ("when hot: out of the cold, load, 190 °C", 23), "what is done then, and not now"
    assert view(later(baking, 30).state, baking.now_s).do == "Is the oven hot? then out of the cold, load, 190 °C"
    baking.say(intents.Task(OvenTask("oven hot", (baking.state.current or 0) + 1)))
    assert view(baking.state, baking.now_s).do == "Take it out of the cold, load the oven"


def test_a_place_that_is_too_hot_for_butter_is_told_of_whatever_the_dough_was_read() -> None:
    for value_c in (9.0, 12.0, 15.0):
        baking = read(balls(), value_c)
        for _ in range(4):
            assert "stand it cooler, at 28 °C or less" in said(later(baking, 10))["butter melting"], value_c
    assert "butter melting" not in said(read(balls(Kitchen(room_c=24.0)), 12.0))


def test_a_dough_as_warm_as_its_time_reckons_with_is_told_of_by_what_is_meant() -> None:
    warm = read(at(BUNS, "First proof", kitchen=HOT), 29.8)
    read(later(warm, 20), 29.9)
    assert said(warm)["dough too warm"].startswith(
        "Dough 29.9 °C, as expected by now, warmer than meant: stand it cooler"
    )
    cold = read(at(KNOTS, "Final proof", kitchen=Kitchen(room_c=14.0)), 21.0)
    read(later(cold, 30), 18.0)
    assert said(cold)["dough too cold"].startswith(
        "Dough 18.0 °C, as expected by now, colder than meant: stand it warmer"
    )


def test_nothing_is_stood_warmer_in_the_last_sixth_of_its_proof() -> None:
    baking = read(at(KNOTS, "Final proof", kitchen=COLD), 19.0)
    later(baking, baking.left_min - baking.length_min / 6 - 1)
    assert "stand it warmer" in said(baking)["dough too cold"]
    assert "stand it warmer" not in said(later(baking, 2))["dough too cold"]


def test_a_rise_is_asked_to_be_judged_early_once() -> None:
    first = read(at(BUNS, "First proof", kitchen=HOT), 30.0)
    read(later(first, 14), 85.0, what="rise")
    # It came fast, and it is read too warm.
    final = read(later(done(done(first)), 1), 31.0)
    assert [words for words, _ in coming(final)].count("judge the rise early") == 1


def flattened(minutes: float = 4.0) -> Baking:
    """A brioche read at 30 °C in its first proof, flattened at once, and so long after that put into the cold."""
    return done(later(done(later(read(at(BRIOCHE, "First proof", kitchen=HOT), 30.0), 1)), minutes))


def test_a_dough_that_was_read_warm_before_hands_had_it_is_warm_as_it_comes_into_the_cold() -> None:
    baking = flattened()
    assert "about 30 °C into the cold, 24 °C meant" in said(baking)["warm into the cold"]
    spans = {baking.state.stage(each.stage).name: each.seconds for each in view(baking.state, baking.now_s).spans}
    assert spans["Final proof"] < 85 * 60, "by the card 97 min; the warm dough did part of it in the cold"
    assert "warm into the cold" not in said(flattened(minutes=40))


def test_a_dough_that_came_warm_into_the_cold_is_looked_at_there_twice() -> None:
    baking = flattened()
    assert "look at it in 1 h 30 min" in said(baking)["warm into the cold"]
    wanted = [
        each for each in coming(baking) if each[0] in ("read the dough's temperature again", "judge the rise early")
    ]
    assert wanted[0] == ("read the dough's temperature again", 90)
    assert wanted[1][0] == "judge the rise early"
    assert 120 < wanted[1][1] < 300
    read(later(baking, 90), 15.0)
    assert next(words for words, _ in coming(baking)) == "judge the rise early"


@settings(max_examples=40)
@given(minutes=st.integers(35, 180), read_c=st.floats(8.0, 27.0), colder_k=st.floats(0.5, 10.0))
@example(90, 22.0, 5.0)
def test_in_the_cold_a_colder_reading_brings_the_look_no_nearer_and_none_puts_it_off(
    minutes: int, read_c: float, colder_k: float
) -> None:
    unread, warmer, colder = (later(flattened(), minutes) for _ in range(3))
    warmer.read(read_c)
    colder.read(read_c - colder_k)
    looks = [dict(coming(baking))["judge the rise early"] for baking in (warmer, colder, unread)]
    assert looks == sorted(looks)


def test_a_dough_that_only_waits_in_the_cold_for_its_oven_is_told_nothing_of_a_warm_dough_there() -> None:
    baking = later(read(at(KNOTS, "Final proof", kitchen=HOT), 28.0), 12)
    baking.say(intents.Task(OvenTask("oven on", (baking.state.current or 0) + 1)))
    later(baking, 4).read(60.0, "rise")
    assert "into the fridge" in said(baking)["oven not hot yet"]
    chilled(later(baking, 1))
    assert "warm into the cold" not in said(later(baking, 14))


@pytest.mark.parametrize(("name", "stage"), [(KNOTS, "Final proof"), (BUNS, "First proof")])
def test_a_place_that_two_readings_show_to_be_cooler_is_not_told_to_be_left_again(name: str, stage: str) -> None:
    baking = read(at(name, stage, kitchen=HOT), 31.0)
    assert any("stand it cooler" in each for each in said(baking).values())
    for value_c in (28.0, 29.0):
        baking = read(later(read(at(name, stage, kitchen=HOT), 31.0), 20), value_c)
        assert "stand it cooler" not in " ".join(said(baking).values()), value_c
    warm = read(later(read(at(name, stage, kitchen=HOT), 31.0), 20), 30.8)
    assert "stand it cooler" in " ".join(said(warm).values()), "it stands as warm as was said"


def test_a_final_proof_that_may_be_over_long_before_its_end_is_judged_early_once_and_heats_no_oven_for_that() -> None:
    baking = read(balls(Kitchen(room_c=24.0)), 10.0)
    times = dict(coming(baking))
    assert times["judge the rise early"] == pytest.approx(baking.length_min / 2, abs=1), "not in its first half"
    assert times["oven on, 190 °C"] > times["judge the rise early"]
    later(baking, 50).read(40.0, "rise")
    assert "judge the rise early" not in dict(coming(baking))
    assert "judge the rise early" not in dict(coming(read(at(KNOTS, "Final proof"), 25.0)))


def test_a_dough_gone_too_far_in_the_evening_stays_in_the_cold_and_one_read_hotter_there_is_asked_about() -> None:
    baking = at("regatta-brioche", "Overnight in the cold", minutes=90)
    baking.read(17.0)
    assert baking.refused(intents.Read("dough temperature", "40", 40.0)).odd
    baking.eye("too far")
    far = next(each for each in advise(baking.state, baking.now_s) if each.situation == "over-proofed")
    assert far.do.startswith("knock it back and spread it flat on the coldest shelf again; judge Final proof early")
    baking.wait(minutes=9 * 60)
    late = next(each for each in advise(baking.state, baking.now_s) if each.situation == "over-proofed")
    assert late.do.startswith("knock it back and shape it at once")


def test_a_dough_that_has_risen_far_beyond_what_is_usual_in_the_cold_is_too_far_where_its_card_has_no_figure() -> None:
    night = at("regatta-brioche", "Overnight in the cold", minutes=90)
    night.read(140.0, "rise")
    assert "over-proofed" not in said(night)
    night.read(220.0, "rise")
    assert said(night)["over-proofed"].startswith("Rise 220 %, about 100 % is usual: knock it back and spread it flat")
    final = done(later(done(later(night, 10 * 60)), 18))
    assert "Overnight in the cold rose 220 %, about 100 % is usual" in said(final)["came far"]
    assert "judge the rise early" in dict(coming(final))


def test_a_proof_to_come_that_is_to_be_judged_early_is_judged_clearly_before_its_end() -> None:
    night = later(flattened(), 90)
    night.read(17.0)
    night.eye("too far")
    told = next(each for each in advise(night.state, night.now_s) if each.situation == "over-proofed")
    spans = {night.state.stage(each.stage).name: each.seconds for each in view(night.state, night.now_s).spans}
    minutes = round(spans["Final proof"] / 60)
    assert f"judge Final proof early, from {told_length(minutes * 60 * 0.75 // 60 * 60)} on" in told.do


def test_a_dough_that_does_not_cool_in_the_cold_is_told_so_and_read_again() -> None:
    good, slow = (read(later(flattened(), 90), value_c) for value_c in (17.0, 22.0))
    assert "slow to cool" not in said(good)
    told = said(slow)["slow to cool"]
    assert told.startswith("Dough 22.0 °C after 1 h 30 min in the cold: press it flatter on the coldest shelf")
    assert ("read the dough's temperature again", 45) in coming(slow)
    warming = read(later(slow, 26), 24.0)
    assert said(warming)["slow to cool"].startswith("Dough 24.0 °C in the cold, it was 22.0 °C: is the door shut")
    assert ("read the dough's temperature again", 20) in coming(warming)
    near = read(later(flattened(), 150), 23.0)
    later(near, 44).read(60.0, "rise")
    assert "read the dough's temperature again" in dict(coming(near)), "also about the time of its look"
    assert "slow to cool" not in said(read(later(warming, 20), 17.0))


def test_a_dough_that_was_moved_and_put_back_is_kept_to_its_least_as_one_that_was_left() -> None:
    left, moved = read(balls(), 11.0), read(balls(), 11.0)
    for place_c in (26.0, 30.0):
        later(moved, 5).say(intents.Move(place_c=place_c))
    assert moved.length_min >= left.length_min - 5, "by the rate alone 62 min"


def test_a_dough_that_goes_into_the_cold_at_once_is_not_told_as_well_to_be_stood_cooler() -> None:
    told = said(read(at(BRIOCHE, "First proof", kitchen=HOT), 30.0))
    assert "into the cold now" in told["butter melting"]
    assert "dough too warm" not in told


def test_a_reading_opens_on_the_rise_about_the_look_in_the_cold() -> None:
    night = later(flattened(), 90)
    night.read(17.0)
    minutes = dict(coming(night))["judge the rise early"]
    assert not judged_soon(night.state, night.now_s)
    assert judged_soon(night.state, night.now_s + (minutes - 1) * 60)


def test_a_butter_dough_that_went_too_far_is_told_first_that_its_place_is_too_warm() -> None:
    night = later(flattened(), 200)
    night.eye("too far")
    final = read(done(later(done(later(night, 9 * 60)), 18)), 10.0)
    told = [each.situation for each in advise(final.state, final.now_s)]
    assert told.index("butter melting") < told.index("came far")
    assert "judge the rise early" in dict(coming(final))


def test_a_butter_dough_that_rose_too_far_and_is_soft_is_told_one_thing_to_do_before_it_is_shaped() -> None:
    buns = read(at(KNOTS, "First proof", kitchen=HOT), 31.0)
    later(buns, 40).read(130.0, "rise")
    told = said(buns)["over-proofed"]
    assert "knock it back and chill it 20 to 30 min, then shape it" in told
    assert "at once" not in told


def test_a_dough_that_went_too_far_is_judged_no_later_than_one_that_did_not() -> None:
    looks = []
    for eye in ("ready", "too far"):
        night = later(flattened(), 200)
        night.eye(eye)
        final = read(done(later(done(later(night, 9 * 60)), 18)), 11.0)
        looks.append(dict(coming(final))["judge the rise early"])
    assert looks[1] <= looks[0]
