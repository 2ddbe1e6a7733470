"""A core that is hotter than any crumb is read again, and minutes that a core asked for are no lateness."""

from __future__ import annotations

from proofbell.bake.advice.advise import advise
from proofbell.bake.view import view
from tests.support.walking import KNOTS, at, later, read

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
