"""A dough that hands left standing too long: it rose meanwhile, and that counts in the proof that follows."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.bake import intents
from proofbell.bake.outlook import next_bake
from proofbell.bake.view import view
from tests.support.baking import Baking
from tests.support.walking import KNOTS, at, done, later

TIDEMARK = "tidemark-sourdough"


def said_of(baking: Baking) -> str:
    advice = view(baking.state, baking.now_s).advice
    return "" if advice is None else advice.short


def left_min(minutes: float, read_c: float | None = None) -> float:
    """How long the sourdough's proof is after a last fold of so many minutes, by a reading at its start if any."""
    baking = done(at(TIDEMARK, "Last fold", minutes=minutes))
    if read_c is not None:
        baking.read(read_c)
    return baking.length_min


def test_a_dough_that_is_no_pieces_yet_is_not_told_to_be_shaped() -> None:
    told = said_of(at(TIDEMARK, "Last fold", minutes=60))
    assert "go on at once; First proof left alone may be up to 57 min shorter" in told
    assert "shaped" not in told
    assert "pieces" not in told
    assert "go on at once, and judge its rise before" in said_of(at(TIDEMARK, "Last fold", minutes=180))
    assert "cover what is shaped" in said_of(at(KNOTS, "Divide and tie", minutes=45))


@pytest.mark.parametrize("read_c", [None, 23.5])
def test_two_hours_in_the_last_fold_are_no_fresh_start(read_c: float | None) -> None:
    fresh_min, late_min = left_min(3, read_c), left_min(123, read_c)
    # At about the same warmth two hours more there are about two hours less here.
    assert fresh_min - late_min == pytest.approx(120, abs=20)
    if read_c is None:
        baking = done(at(TIDEMARK, "Last fold", minutes=63))
        assert view(baking.state, baking.now_s).why.startswith("It stood 1 h longer in Last fold; room 21 °C: about ")


@settings(max_examples=30, deadline=None)
@given(st.floats(0, 400), st.floats(0, 300), st.none() | st.floats(18, 28))
def test_the_longer_it_stood_the_sooner_it_is_ready(minutes: float, more_min: float, read_c: float | None) -> None:
    assert 1 <= left_min(minutes + more_min, read_c) <= left_min(minutes, read_c)


def test_pieces_count_half_of_it_as_the_first_stood_and_the_last_did_not() -> None:
    on_time, late = done(at(KNOTS, "Divide and tie", minutes=20)), done(at(KNOTS, "Divide and tie", minutes=60))
    assert 10 < on_time.length_min - late.length_min < 30


def test_a_few_minutes_more_at_the_bench_are_nothing() -> None:
    assert done(at(KNOTS, "Divide and tie", minutes=28)).length_min == 50


def test_kneading_is_no_standing_and_an_undone_end_takes_it_back() -> None:
    assert done(at(KNOTS, "Knead", minutes=90)).length_min == 70
    baking = done(at(TIDEMARK, "Last fold", minutes=123))
    baking.say(intents.Undo())
    assert baking.state.stages[(baking.state.current or 0) + 1].length_s == 2 * 3600


def test_a_dough_read_while_hands_are_at_it_leaves_the_bake_and_its_oven_where_they_were() -> None:
    baking = at(TIDEMARK, "Feed the levain")
    while baking.state.stage(baking.state.current or 0).name != "Last fold":
        done(later(baking, baking.length_min))
    before = next_bake(baking.state)
    baking.read(24.6)
    after, of_now = next_bake(baking.state), next_bake(baking.state, baking.now_s)
    assert before is not None
    assert after is not None
    assert of_now is not None
    assert after[1] == pytest.approx(before[1], abs=30 * 60)
    assert after[1] == pytest.approx(of_now[1], abs=5 * 60)
