"""What goes into the dough later: its bowl, what the bench says of it, and another size while it waits.

Salt after a rest of flour and water of 15 to 30 minutes is Calvel's autolysis (H. McGee, On Food and Cooking, 2004,
"Mixing and kneading"); with the levain in it already, as here, and butter once a dough is developed: common practice,
no source.
"""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide
from proofbell.bake.events import Event
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.record import NAMES, body_from, body_text
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import Weighed
from proofbell.bake.view import view
from proofbell.bake.weigh.in_bowl import in_bowl_g
from proofbell.bake.weigh.resizing import Resizing, resized
from proofbell.bake.weigh.taking_out import taken_out
from proofbell.bake.weigh.weigh_out import weigh_again, weigh_out
from proofbell.dough.weights import SizeWish
from proofbell.formula.dough_stages import division
from proofbell.formula.model import Formula
from proofbell.formula.read import load
from proofbell.kitchen.model import Kitchen
from tests.support.bakes import house
from tests.support.decided import at, bake, said

KITCHEN = Kitchen()
TO_THE_SALT: tuple[tuple[float, Intent], ...] = (
    (0, intents.Begin()), (300, intents.Done()), (36300, intents.Done()), (36660, intents.Done()),
    (38460, intents.Done()),
)  # fmt: skip
"""Levain fed, ripened; flour and water mixed, rested: in their nominal times."""


def line(state: BakeState, name: str) -> int:
    return next(n for n, each in enumerate(state.batch.lines) if each.name == name and not each.into)


def at_once(formula: Formula) -> Formula:
    """The same with all of the dough in the first bowl."""
    return replace(formula, ingredients=tuple(replace(each, at=()) for each in formula.ingredients))


@pytest.mark.parametrize(
    ("name", "what", "bowl"),
    [
        ("tidemark-sourdough", "salt", "Dough, for Add the salt"),
        ("regatta-brioche", "butter", "Dough, for Work in the butter"),
        ("harbour-knots", "butter", "Dough, for Knead"),
        ("pilots-milk-buns", "butter", "Dough, for Knead"),
    ],
)
def test_it_has_a_bowl_of_its_own_behind_the_dough_s(name: str, what: str, bowl: str) -> None:
    out = weigh_out(house(name), KITCHEN)
    titled = {one.words(out.stages): [each.name for each in one.lines] for one in out.bowls}
    assert titled[bowl] == [what]
    titles = [title for title in titled if title.startswith("Dough, ")]
    assert titles[1:] == [bowl]
    assert what not in titled[titles[0]]
    order = [[out.batch.lines[n].name for n in each] for each in out.batch.bowls]
    assert order == [[each.name for each in one.lines] for one in out.bowls]


@pytest.mark.parametrize("name", ["tidemark-sourdough", "regatta-brioche", "harbour-knots", "pilots-milk-buns"])
def test_everything_else_is_as_if_all_went_in_at_once(name: str) -> None:
    """The wanted temperature is that of the end of kneading, so butter that is worked in before it counts."""
    formula = house(name)
    out, once = weigh_out(formula, KITCHEN), weigh_out(at_once(formula), KITCHEN)
    assert (out.dough_g, out.shares, out.eu, out.us, out.size) == (
        once.dough_g,
        once.shares,
        once.eu,
        once.us,
        once.size,
    )
    assert [each.grams for each in out.lines] == [each.grams for each in once.lines]
    assert out.liquid == once.liquid
    assert division(formula) == division(at_once(formula))


def test_what_goes_in_once_the_dough_ferments_does_not_warm_or_cool_the_mix() -> None:
    """Heat balance: cold fruit at a fold is not in the bowl as the water is poured."""
    formula = house("tidemark-sourdough")
    fold = next(n for n, stage in enumerate(formula.stages) if stage.name == "Last fold")
    salt = formula.ingredients[-1]
    fruit = replace(salt, name="currants", kind="other", percent=30.0, origin="fridge")
    plain = weigh_out(formula, KITCHEN, SizeWish(flour_g=1000.0))
    found = {}
    for when in ((), (fold,)):
        made = replace(formula, ingredients=(*formula.ingredients, replace(fruit, at=when)))
        liquid = weigh_out(made, KITCHEN, SizeWish(flour_g=1000.0)).batch.liquid_c
        assert liquid is not None
        found[when] = liquid
    assert found[(fold,)] == plain.batch.liquid_c
    assert found[()] > found[(fold,)] + 1


def test_the_bench_says_what_goes_in_at_its_stage_and_has_it_ready_in_the_rest() -> None:
    state = bake("A", "tidemark-sourdough", *TO_THE_SALT[:3])
    assert state.stage(state.current or 0).name == "Mix flour and water"
    assert "salt" not in view(state, 36400.0).goes_in + view(state, 36400.0).outside
    state = said(state, 36660, intents.Done())
    assert (view(state, 36700.0).goes_in, view(state, 36700.0).outside) == ("", "For Add the salt: salt 21 g.")
    state = said(state, 38460, intents.Done())
    assert view(state, 38500.0).goes_in == "Into the dough: salt 21 g."
    assert view(state, 38500.0).outside == ""
    state = said(state, 38820, intents.Done())
    assert view(state, 38900.0).goes_in == ""


def test_who_has_the_dough_in_hand_is_told_of_nothing_that_comes_later() -> None:
    state = bake("A", "regatta-brioche", (0, intents.Begin()))
    seen = view(state, 60.0)
    assert "butter" not in seen.goes_in + seen.outside
    state = said(state, 960, intents.Done())
    butter = state.batch.lines[line(state, "butter")]
    assert view(state, 970.0).goes_in == f"Into the dough: butter {butter.grams:.0f} g."


def test_it_comes_out_of_the_fridge_for_its_own_stage() -> None:
    formula = house("regatta-brioche")
    out = {one.name: formula.stages[one.stage].name for one in taken_out(formula, weigh_out(formula, KITCHEN), KITCHEN)}
    assert out["butter"] == "Work in the butter"
    assert out["egg"] == "Mix and knead"


def test_it_is_in_the_dough_once_its_stage_has_begun() -> None:
    mixed = bake("A", "tidemark-sourdough", *TO_THE_SALT[:3])
    salt = line(mixed, "salt")
    there = in_bowl_g(mixed)
    assert there[salt] == 0
    assert there[line(mixed, "water")] == mixed.batch.lines[line(mixed, "water")].grams
    added = said(mixed, 38460, intents.Done(), intents.Done())
    assert in_bowl_g(added)[salt] == added.batch.lines[salt].grams == 21


def test_a_larger_dough_takes_more_of_what_is_in_it_and_all_of_what_waits() -> None:
    mixed = bake("A", "tidemark-sourdough", *TO_THE_SALT[:3])
    found = resized(mixed, SizeWish(flour_g=mixed.batch.flour_g * 1.02))
    # The levain is in the dough and cannot be made more of: a few grams are in the steps of the scale.
    assert not isinstance(found, Resizing)
    open_dough = bake("A", "regatta-brioche", (0, intents.Begin()))
    twice = resized(open_dough, SizeWish(pieces=32))
    assert isinstance(twice, Resizing)
    changed = {each.line.name: each for each in twice.lines}
    assert changed["butter"].in_bowl_g == 0
    assert (
        changed["butter"].add_g == changed["butter"].line.grams == pytest.approx(2 * changed["butter"].before_g, abs=2)
    )
    assert changed["strong white flour"].add_g == pytest.approx(changed["strong white flour"].before_g, abs=2)


def test_what_waits_in_its_own_bowl_holds_no_smaller_size_back_and_is_weighed_anew() -> None:
    """Butter for sixteen, weighed before anything is mixed, is too much for eight: nothing else says so."""
    state = bake("A", "regatta-brioche")
    butter = line(state, "butter")
    state = said(state, 10, intents.Task(Weighed(butter)))
    found = resized(state, SizeWish(pieces=8))
    assert isinstance(found, Resizing), found
    before_g = state.batch.lines[butter].grams
    state = said(state, 20, intents.Resize(SizeWish(pieces=8)))
    assert not state.done(Weighed(butter))
    assert state.batch.lines[butter].grams == pytest.approx(before_g / 2, abs=1)
    state = said(state, 30, intents.Begin(), intents.Done())
    assert in_bowl_g(state)[butter] == state.batch.lines[butter].grams
    refused = resized(state, SizeWish(pieces=4))
    assert not isinstance(refused, Resizing)
    assert "butter" in dict(refused.over)


def test_what_waits_and_is_too_little_is_not_to_be_added_to_the_bowl_of_the_dough() -> None:
    state = bake("A", "regatta-brioche", (0, intents.Begin()))
    state = said(state, 10, intents.Task(Weighed(line(state, "butter"))), intents.Resize(SizeWish(pieces=20)))
    added = view(state, 20.0).outside
    assert added.startswith("Add to the bowl: strong white flour")
    assert "butter" not in added
    butter = state.batch.lines[line(state, "butter")]
    assert view(said(state, 960, intents.Done()), 970.0).goes_in == f"Into the dough: butter {butter.grams:.0f} g."


def test_a_bake_keeps_it_in_its_log_and_is_weighed_again_the_same() -> None:
    state = bake("A", "tidemark-sourdough", *TO_THE_SALT)
    out = weigh_again(state.formula, state.kitchen, state.batch)
    assert out is not None
    assert out.batch.bowls == state.batch.bowls
    (event, *_) = _events(bake("A", "regatta-brioche"), intents.Resize(SizeWish(pieces=20)))
    assert body_from("resized", NAMES["resized"][1], json.loads(body_text(event.body))) == event.body


def _events(state: BakeState, intent: Intent) -> tuple[Event, ...]:
    found = decide(state, intent, at(5))
    assert not isinstance(found, Refused)
    return found


def rested_first() -> Formula:
    """Tidemark sourdough with its levain after the rest of flour and water, beside the salt."""
    text = house("tidemark-sourdough").text.replace(
        'kind     = "preferment"', 'kind = "preferment"\nat = "Add the salt"'
    )
    return load(text.encode(), "tidemark")


def test_a_levain_can_wait_until_flour_and_water_have_rested() -> None:
    formula = rested_first()
    out = weigh_out(formula, KITCHEN)
    titled = {one.words(out.stages): [each.name for each in one.lines] for one in out.bowls}
    assert titled["Dough, for Add the salt"] == ["ripe levain", "salt"]
    assert titled["Dough, for Mix flour and water"] == ["strong white flour", "wholemeal wheat flour", "water"]
    assert out.liquid == weigh_out(house("tidemark-sourdough"), KITCHEN).liquid  # it counts: no proof has begun
    state = bake("A", formula, *TO_THE_SALT)
    levain = line(state, "ripe levain")
    words = f"ripe levain {state.batch.lines[levain].grams:.0f} g, salt 21 g"
    rests = bake("A", formula, *TO_THE_SALT[:4])
    assert (view(rests, 36700.0).goes_in, view(rests, 36700.0).outside) == ("", f"For Add the salt: {words}.")
    assert in_bowl_g(rests)[levain] == 0
    assert view(state, 38500.0).goes_in == f"Into the dough: {words}."
    assert in_bowl_g(state)[levain] == state.batch.lines[levain].grams


def test_of_a_ripe_levain_that_waits_there_is_no_more() -> None:
    found = resized(bake("A", rested_first(), *TO_THE_SALT[:4]), SizeWish(pieces=4))
    assert not isinstance(found, Resizing)
    assert found.why == "preferment"
