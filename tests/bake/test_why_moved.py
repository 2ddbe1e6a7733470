"""A move and a reading: the sentence under the countdown and the page behind it name what changed, and by how much."""

from __future__ import annotations

from dataclasses import replace

from proofbell.bake import intents
from proofbell.bake.fermenting.terms import terms
from proofbell.bake.view import view
from proofbell.bake.what_if import how_it_came, stage_to_ask, working
from proofbell.kitchen.model import Kitchen
from tests.support.bakes import house
from tests.support.baking import Baking
from tests.support.walking import KNOTS, LAMPLIGHTER, at, later

WITH_A_BOX = Kitchen(room_c=18.0, places=(("proving box", 28.0),))


def why(baking: Baking) -> str:
    return view(baking.state, baking.now_s).why


def moved(name: str = LAMPLIGHTER) -> Baking:
    """Read cold, and ten minutes later put into the proving box."""
    baking = at(name, "First proof", kitchen=WITH_A_BOX)
    baking.read(19.0)
    later(baking, 10).say(intents.Move("proving box"))
    return baking


def test_after_a_move_the_place_is_named_and_not_the_reading_before_it() -> None:
    for name in (LAMPLIGHTER, KNOTS):
        baking = moved(name)
        before_s, after_s = (a.body for a in baking.state.stages[baking.state.current or 0].adjustments[-2:])
        assert why(baking).startswith("Room 18 °C → proving box 28 °C: ")
        assert f"{before_s.to_s / 60:.0f} → {after_s.to_s / 60:.0f} min" in why(baking)


def test_a_reading_after_a_move_is_named_where_it_is_what_changed_the_time() -> None:
    baking = moved()
    later(baking, 30).read(24.0)
    assert why(baking).startswith("Dough 24.0 °C: ")


def test_a_room_that_was_read_is_named_and_not_the_dough_that_was_read_before() -> None:
    for name in (LAMPLIGHTER, KNOTS):
        baking = at(name, "First proof", kitchen=WITH_A_BOX)
        baking.read(23.0)
        later(baking, 10).read(26.0, "room temperature")
        assert why(baking).startswith("Room 26 °C")
        assert " → " in why(baking)


def test_a_reading_out_of_the_cold_is_named_with_its_place() -> None:
    made = house(LAMPLIGHTER)
    made = replace(made, stages=tuple(replace(each, chill_instead=None) for each in made.stages))
    baking = at(made, "Final proof")
    baking.say(intents.Move("fridge"))
    later(baking, 300).say(intents.Move("room"))
    later(baking, 30).read(8.0)
    assert why(baking) == "Dough 8.0 °C, out of the cold, and far enough by the rate."


def test_the_page_tells_each_change_in_turn_and_where_the_dough_stood() -> None:
    baking = moved()
    index = stage_to_ask(baking.state)
    assert index == baking.state.current
    assert index is not None
    told = how_it_came(baking.state, index)
    assert [line.split(":")[0] for line in told[-2:]] == ["  Dough 19.0 °C", "  Room 18 °C → proving box 28 °C"]
    asked = terms(baking.state, index)
    assert asked is not None
    assert "Before that it stood in 18.0 °C until 10 min." in working(asked).lines


def test_a_move_that_changes_no_time_is_told_on_the_page_too() -> None:
    """A chill that stays in the cold, and a formula that says of no dough how warm it should be."""
    chill = at("breakwater-flatbread", "Overnight in the cold")
    chill.say(intents.Move(place_c=6.0))
    plain = house("breakwater-flatbread")
    stages = tuple(replace(each, adjust=None) for each in plain.stages)
    unread = at(replace(plain, dough=replace(plain.dough, temperature_c=None), stages=stages), "First proof")
    unread.say(intents.Move("fridge"))
    for baking, line in (
        (chill, "  6 °C: its time stays as it was."),
        (unread, "  Fridge 4 °C: its time stays as it was."),
    ):
        assert how_it_came(baking.state, baking.state.current or 0)[-1] == line
