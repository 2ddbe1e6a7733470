"""A core that is hotter than any crumb is read again, and minutes that a core asked for are no lateness."""

from __future__ import annotations

from proofbell.bake.advice.advise import advise
from proofbell.bake.advice.core_words import core_says
from proofbell.bake.view import view
from tests.support.walking import KNOTS, at, done, later, read

CORE = "core temperature"


def test_a_core_that_no_crumb_can_have_is_read_again_before_the_bread_comes_out() -> None:
    baking = read(at(KNOTS, "Bake", minutes=16), 101.0, what=CORE)
    assert view(baking.state, baking.now_s).do == "Read the middle again, then take it out, then cool"
    said = [each.situation for each in advise(baking.state, baking.now_s)]
    assert said[0] == "tip in the crust"
    assert "core high" not in said


def test_who_baked_the_minutes_longer_that_were_asked_for_is_not_late() -> None:
    baking = read(at(KNOTS, "Bake", minutes=16), 86.5, what=CORE)
    assert "2 min longer" in view(baking.state, baking.now_s).do
    read(later(baking, 2.2), 90.0, what=CORE)
    assert view(baking.state, baking.now_s).do == "Take it out, then cool"
    assert "bake far over" not in [each.situation for each in advise(baking.state, baking.now_s)]
    later(baking, 3)
    assert "bake far over" in [each.situation for each in advise(baking.state, baking.now_s)]


def test_bread_that_cools_is_neither_baked_longer_nor_odd() -> None:
    baking = at("regatta-brioche", "Bake", minutes=29)
    baking.read(90.0, "core temperature")
    done(baking)
    assert core_says(baking.state, baking.state.current, 91.0, baking.now_s) == (
        "Too warm to cut yet: 40 °C inside, or less.",
    )
    baking.wait(minutes=25)
    assert core_says(baking.state, baking.state.current, 48.0, baking.now_s) == (
        "Too warm to cut yet: 40 °C inside, or less.",
    )
    baking.wait(minutes=30)
    baking.read(30.0, "core temperature")  # Refused, were it odd.
    assert core_says(baking.state, baking.state.current, 30.0, baking.now_s) == ("Cool enough to cut.",)


def test_bread_that_came_out_too_soon_goes_back() -> None:
    baking = done(at("tidemark-sourdough", "Bake", minutes=40))
    baking.wait(seconds=40)
    assert core_says(baking.state, baking.state.current, 93.0, baking.now_s) == (
        "Core 93.0 °C, 95 wanted: put it back, and undo the end of Bake.",
    )
    egg = done(at("regatta-brioche", "Bake", minutes=20))
    assert "at least 70 °C" in core_says(egg.state, egg.state.current, 66.0, egg.now_s)[1]
