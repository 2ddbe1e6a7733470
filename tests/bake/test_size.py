"""Another size for a bake that is on: what is to be added to the bowl, what cannot be, and what follows from it."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.bake import intents
from proofbell.bake.decisions.still_meant import still_meant
from proofbell.bake.events import Resized
from proofbell.bake.fermenting.terms import dough_mass_g, tau_s
from proofbell.bake.fold import fold
from proofbell.bake.record import body_from, body_text, from_row, to_row
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import Weighed
from proofbell.bake.view import view
from proofbell.bake.weigh.in_bowl import in_bowl_g
from proofbell.bake.weigh.oven_places import oven_places
from proofbell.bake.weigh.resizing import Resizing, resized, weigh_on
from proofbell.bake.weigh.size_typed import read_size
from proofbell.bake.weigh.ways import ways
from proofbell.bake.weigh.ways_words import way_words
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.bench.plan.planning_problem import chain_of_state
from proofbell.dough.rounding import dissolve
from proofbell.dough.weights import SizeWish
from proofbell.formula.model import BatchSize, Formula, Ingredient, OvenWish, Stage
from proofbell.journal.reviews.wording import event_words
from proofbell.kitchen.model import Kitchen, Scale
from proofbell.quantities import QuantityError
from tests.support.bakes import house
from tests.support.baking import WHOLE, Baking, adjustment
from tests.support.preferments import headland

LB_G = 453.59237

PUBLISHED = replace(
    WHOLE,
    batch=BatchSize(flour_g=500.0),
    ingredients=(
        Ingredient("flour", 100.0, "flour"),
        Ingredient("water", 65.0, "water"),
        Ingredient("salt", 2.0, "salt"),
        Ingredient("yeast", 2.0, "yeast", form="fresh"),
    ),
)
"""100 / 65 / 2 / 2 %, 169 % in all: the worked example of Artisan Bakers (Sonoma), "Baker's Percentage"."""


def on(made: Formula = PUBLISHED, *ticked: int, wish: SizeWish | None = None, kitchen: Kitchen | None = None) -> Baking:
    """A bake with some lines in the bowl, not begun."""
    where = kitchen or Kitchen()
    baking = Baking(made, where, batch=weigh_out(made, where, wish).batch)
    for number in ticked:
        baking.say(intents.Task(Weighed(number)))
    return baking


def to_add(baking: Baking, typed: str) -> dict[str, float]:
    """What a size that can be has added, by name."""
    asked = read_size(typed)
    found = resized(baking.state, asked.wish, same_dough=asked.same_dough)
    assert isinstance(found, Resizing), found
    return {each.line.name: each.add_g for each in found.lines if each.add_g}


def sized(state: BakeState) -> tuple[int | None, float | None, float]:
    return (
        state.batch.pieces,
        None if state.batch.piece_g is None else round(state.batch.piece_g, 1),
        state.batch.dough_g,
    )


# -- weights -----------------------------------------------------------------------------------------------------------


def test_more_dough_in_the_bowl_is_the_published_sum_less_what_is_there() -> None:
    baking = on(PUBLISHED, 0, 1, 2, 3)

    # "3 lb of dough": 1.775 lb of flour and 1.15 lb of water; of it 500, 325, 10 and 10 g are in the bowl.
    added = to_add(baking, "3 lb dough")

    assert added["flour"] == pytest.approx(1.775 * LB_G - 500, abs=1)
    assert added["water"] == pytest.approx(1.15 * LB_G - 325, abs=0.005 * LB_G + 1)  # printed to 0.01 lb
    # 2 % of 805 g is 16 g; in all 3 lb, less 845 g.
    assert (added["salt"], added["yeast"]) == (6.0, 6.0)
    assert sum(added.values()) == round(3 * LB_G) - 845


LINES = st.lists(
    st.tuples(st.sampled_from(["water", "salt", "yeast", "fat", "sugar", "other"]), st.floats(0.02, 90)), max_size=6
)
SCALES = st.sampled_from([Scale(1.0), Scale(1.0, 0.1), Scale(5.0), Scale(2.0, 0.01), Scale(0.1)])
SIZES = st.floats(40, 20_000)


@settings(max_examples=120, deadline=None)
@given(LINES, SCALES, st.lists(SIZES, min_size=2, max_size=4), st.data())
def test_what_is_in_the_bowl_and_what_is_added_is_the_new_weigh_out(
    lines: list[tuple[str, float]], scale: Scale, flours: list[float], data: st.DataObject
) -> None:
    ingredients = [Ingredient("flour", 100.0, "flour")]
    ingredients += [Ingredient(f"{kind} {n}", part, kind) for n, (kind, part) in enumerate(lines)]  # type: ignore[arg-type]
    kitchen = Kitchen(scale=scale)
    made = replace(PUBLISHED, ingredients=tuple(ingredients))
    baking = on(made, wish=SizeWish(flour_g=flours[0]), kitchen=kitchen)
    for flour_g in flours[1:]:
        for number in data.draw(st.sets(st.integers(0, len(ingredients) - 1))):
            if not baking.state.done(Weighed(number)):
                baking.say(intents.Task(Weighed(number)))
        before, there = baking.state, in_bowl_g(baking.state)
        found = resized(before, SizeWish(flour_g=flour_g))
        if not isinstance(found, Resizing):
            # Nothing was to be taken out of a bowl that is to hold as much or more.
            assert found.why == "the same" or (any(there) and flour_g < before.batch.flour_g)
            continue
        anew = weigh_out(made, kitchen, SizeWish(flour_g=flour_g))
        for each, line in zip(found.lines, anew.lines, strict=True):
            assert each.add_g >= 0
            assert each.in_bowl_g + each.add_g == pytest.approx(each.line.grams)
            assert abs(each.line.grams - line.grams) <= max(line.step_g, scale.step_g) + 1e-6
        assert sum(line.grams for line in found.batch.lines) == pytest.approx(found.batch.dough_g)
        assert found.batch.dough_g >= sum(there) - 1e-6
        baking.say(intents.Resize(SizeWish(flour_g=flour_g)))
        assert in_bowl_g(baking.state) == pytest.approx(there)


def test_rounding_to_a_sum_takes_nothing_out_of_the_bowl() -> None:
    # In steps of 5 g 11 % is 60 g in 511 g of flour, and 55 g in 514 g: others get the step then.
    parts = {"flour": 100.0, "water": 50.0, "salt": 2.0, "butter": 11.0}
    made = replace(PUBLISHED, ingredients=tuple(Ingredient(name, part, "other") for name, part in parts.items()))
    baking = on(made, 3, wish=SizeWish(flour_g=511), kitchen=Kitchen(scale=Scale(5.0)))
    baking.say(read_size("514 g flour"))
    weights = [line.grams for line in baking.state.batch.lines]
    assert (weights[3], sum(weights)) == (60, 840)
    assert baking.state.done(Weighed(3))


# -- by hand -----------------------------------------------------------------------------------------------------------


def test_sixteen_pieces_in_place_of_twelve_with_flour_and_milk_in_the_bowl() -> None:
    baking = on(house("harbour-knots"), 0, 1)
    flour_g, milk_g = (line.grams for line in baking.state.batch.lines[:2])

    (event,) = baking.say(read_size("16"))

    assert sized(baking.state)[:2] == (16, 75.0)
    new = baking.state.batch.lines
    assert new[0].grams == pytest.approx(flour_g * 16 / 12, abs=1)
    assert not baking.state.done(Weighed(0))
    assert in_bowl_g(baking.state)[:3] == (flour_g, milk_g, 0.0)
    words = event_words(event.body, baking.state.formula)
    assert words == (
        f"Size changed to 16 × 75 g, {baking.state.batch.dough_g:.0f} g of dough, in 2 loads; to add to the bowl: "
        f"strong white flour {new[0].grams - flour_g:.0f} g, whole milk {new[1].grams - milk_g:.0f} g"
    )

    baking.say(intents.Undo())
    assert sized(baking.state)[:2] == (12, 75.0)
    assert (baking.state.done(Weighed(0)), baking.state.done(Weighed(1))) == (True, True)
    assert in_bowl_g(baking.state)[:2] == (flour_g, milk_g)


def test_a_size_and_back_again_finds_the_bowl_as_it_was() -> None:
    baking = on(house("harbour-knots"), 0, 1)
    first = baking.state
    baking.say(read_size("16"))
    baking.say(read_size("12"))
    assert sized(baking.state) == sized(first)
    assert [line.grams for line in baking.state.batch.lines] == [line.grams for line in first.batch.lines]
    assert baking.state.done(Weighed(0))
    # Taken back: not in the bowl at all.
    baking.say(intents.Task(Weighed(0), done=False))
    assert in_bowl_g(baking.state)[0] == 0.0


@pytest.mark.parametrize(
    ("typed", "pieces", "piece_g"),
    [("16", 16, 75.0), ("80 g each", 12, 80.0), ("10 x 90 g", 10, 90.0), ("1.8 kg dough", 24, 73.5)],
)
def test_what_is_not_said_of_a_size_stays(typed: str, pieces: int, piece_g: float) -> None:
    baking = on(house("harbour-knots"))
    baking.say(read_size(typed))
    assert sized(baking.state)[:2] == (pieces, piece_g)


def test_less_flour_than_thought_makes_less_of_everything() -> None:
    baking = on(house("harbour-knots"), wish=SizeWish(flour_g=1000))
    baking.say(read_size("only 700 g flour"))
    assert baking.state.batch.lines[0].grams == 700
    assert baking.state.batch.lines[1].grams == 336  # 48 %
    baking.say(read_size("butter 60 g"))  # 15 %
    assert baking.state.batch.lines[0].grams == 400


def test_what_is_in_the_bowl_is_never_taken_out() -> None:
    baking = on(house("harbour-knots"), 0, 1)
    refused = baking.refused(read_size("10"))
    assert refused.message == "Cannot be taken out of the bowl: strong white flour 79 g, whole milk 38 g."
    assert refused.remedy == "What can be: 10 × 90 g, the same dough."

    baking.say(intents.Resize(SizeWish(pieces=10), same_dough=True))
    assert sized(baking.state) == (10, 90.0, 918.0)

    baking.say(read_size("20 x 75 g"))
    found = ways(baking.state, read_size("11 x 75 g"))
    # While more is still to be added the smallest size is what the bowl holds.
    assert [way_words(way) for way in found.all] == ["12 × 75 g", "11 × 82 g"]


# -- by stage ----------------------------------------------------------------------------------------------------------


def test_a_mix_that_has_begun_holds_all_of_it_and_the_bench_says_what_to_add() -> None:
    baking = on(house("harbour-knots"))
    baking.to_stage(0)
    baking.say(read_size("16"))
    assert view(baking.state, baking.now_s).outside.startswith(
        "Add to the bowl: strong white flour 158 g, whole milk 76"
    )
    baking.say(intents.Task(Weighed(0)))
    assert view(baking.state, baking.now_s).outside.startswith("Add to the bowl: whole milk 76 g")
    # What the next stage works on is all of it, ticked or not.
    baking.say(intents.Done())
    assert view(baking.state, baking.now_s).outside == ""
    assert in_bowl_g(baking.state)[1] == baking.state.batch.lines[1].grams


def test_once_it_ferments_only_its_pieces_can_be_others() -> None:
    baking = on(house("harbour-knots"))
    baking.to_stage(2)
    refused = baking.refused(read_size("700 g flour"))
    assert refused.message == "The first proof has begun: nothing more goes into the dough, and 918 g of it are there."
    baking.say(read_size("10"))
    assert sized(baking.state) == (10, 90.0, 918.0)
    baking.say(read_size("60 g each"))
    assert sized(baking.state) == (15, 60.0, 918.0)
    assert "cannot have both" in baking.refused(read_size("10 x 60 g")).message


def test_a_divided_dough_keeps_its_size() -> None:
    baking = on(house("harbour-knots"))
    baking.to_stage(3)
    baking.say(read_size("10"))  # It is being divided.
    baking.to_stage(4)
    assert baking.refused(read_size("12")).message == "The dough is in pieces or in the oven: its size stays."


def test_a_preferment_that_ripens_bounds_the_size() -> None:
    baking = on(headland())
    baking.say(intents.Begin())
    poolish = next(n for n, line in enumerate(baking.state.batch.lines) if line.into == "evening poolish")
    more = to_add(baking, "3 pieces")
    assert more[baking.state.batch.lines[poolish].name] > 0
    baking.say(intents.Done())  # It is left to ripen.
    poolish_g = next(line.grams for line in baking.state.batch.lines if line.name == "evening poolish")
    refused = baking.refused(read_size("3"))
    assert refused.message.startswith(f"There are only {poolish_g:.0f} g of evening poolish")
    assert refused.remedy == "What can be: 3 × 533 g, the same dough."
    # Less of it is no trouble: what is too much of a preferment stays in its own bowl.
    baking.say(read_size("1"))
    assert baking.state.batch.lines[poolish].grams == in_bowl_g(baking.state)[poolish]
    # Of what is left over there is enough for the size that it was made for.
    baking.say(read_size("2"))
    assert sized(baking.state)[:2] == (2, 800.0)


# -- what follows ------------------------------------------------------------------------------------------------------


def test_a_bigger_dough_keeps_its_warmth_longer_and_the_proof_follows() -> None:
    formula = house("harbour-knots")
    baking = on(formula, kitchen=Kitchen(room_c=14.0))
    proof = next(n for n, stage in enumerate(formula.stages) if stage.kind == "proof")
    small, before_s = baking.state, baking.state.stages[proof].length_s
    change = adjustment(baking.say(read_size("48")))
    assert dough_mass_g(baking.state, proof) == baking.state.batch.dough_g
    assert tau_s(baking.state, proof) > tau_s(small, proof)
    assert change is not None
    assert (change.by, baking.state.stages[proof].length_s) == ("place", change.to_s)
    assert change.to_s < before_s  # Warm dough in a cold room.


def test_twice_the_pieces_take_twice_the_oven() -> None:
    baking = on(replace(house("harbour-knots"), oven=OvenWish(190.0, trays=1)))
    assert oven_places(baking.state.formula, baking.state.batch) == 1
    baking.say(read_size("24"))
    chain = chain_of_state(baking.state, 0)
    assert [step.trays for step in chain.steps if step.kind == "bake"] == [1, 1], "the oven has one place"
    assert [stage.load for stage in baking.state.formula.stages if stage.kind == "bake"] == [(1, 2), (2, 2)]


def test_tins_that_are_too_full_are_said_before() -> None:
    baking = on(house("quay-pan-loaf"))
    piece_g = baking.state.batch.piece_g
    assert piece_g is not None
    (way,) = ways(baking.state, read_size(f"{piece_g * 1.6:.0f} g each")).all
    assert any("too full" in words for words in way.found.warnings)


def test_a_size_that_was_shown_for_another_bowl_is_not_taken() -> None:
    baking = on(house("harbour-knots"), 0)
    before = baking.state
    baking.say(intents.Task(Weighed(1)))  # Said in another window.
    assert not still_meant(before, baking.state, read_size("16"))
    baking.say(intents.AddNote("butter from the fridge"))
    assert still_meant(replace(baking.state, notes=()), baking.state, read_size("16"))


# -- kept --------------------------------------------------------------------------------------------------------------


def test_it_is_stored_and_read_back() -> None:
    baking = on(house("harbour-knots"), 0)
    (event,) = baking.say(read_size("butter 90 g"))
    assert isinstance(event.body, Resized)
    assert event.body.wish == SizeWish(have=("butter", 90.0))
    assert body_from("resized", 2, json.loads(body_text(event.body))) == event.body
    assert fold(from_row(to_row(each)) for each in baking.state.events) == baking.state


def test_a_batch_of_an_older_program_without_preferments_bowls_is_sized_too() -> None:
    baking = on(house("tidemark-sourdough"))
    old = baking.state.batch
    old = replace(old, lines=tuple(line for line in old.lines if not line.into), rise_from="", tin_ml=None)
    baking = Baking(house("tidemark-sourdough"), batch=old)
    baking.say(read_size("3"))
    assert [line.name for line in baking.state.batch.lines] == [line.name for line in old.lines]
    assert baking.state.batch.dough_g == pytest.approx(old.dough_g * 1.5, abs=2)


def test_a_size_that_changes_nothing_or_makes_no_batch_is_refused() -> None:
    baking = on(house("harbour-knots"))
    assert baking.refused(read_size("12")).message == "It has that size already."
    assert "has no" in baking.refused(read_size("plums 3 kg")).message
    assert baking.refused(intents.Resize(SizeWish(pieces=0))).message == "0 pieces cannot be baked."
    baking.say(intents.GiveUp())
    assert baking.refused(read_size("14")).message == "This bake is given up."


@pytest.mark.parametrize(
    ("typed", "wish"),
    [
        ("16", SizeWish(pieces=16)),
        ("16 pieces", SizeWish(pieces=16)),
        ("16 x 80 g", SizeWish(pieces=16, piece_g=80.0)),
        ("16×80", SizeWish(pieces=16, piece_g=80.0)),
        ("10 pieces of 95 g", SizeWish(pieces=10, piece_g=95.0)),
        ("80 g each", SizeWish(piece_g=80.0)),
        ("80g a piece", SizeWish(piece_g=80.0)),
        ("piece 80 g", SizeWish(piece_g=80.0)),
        ("1.8 kg dough", SizeWish(dough_g=1800.0)),
        ("dough 1,8 kg", SizeWish(dough_g=1800.0)),
        ("only 700 g of flour", SizeWish(flour_g=700.0)),
        ("butter=200 g", SizeWish(have=("butter", 200.0))),
        ("2 lb whole milk", SizeWish(have=("whole milk", pytest.approx(2 * LB_G)))),  # type: ignore[arg-type]
    ],
)
def test_a_size_as_people_type_it(typed: str, wish: SizeWish) -> None:
    assert read_size(typed) == intents.Resize(wish)
    assert read_size(f"{typed}, the same dough") == intents.Resize(wish, same_dough=True)


@pytest.mark.parametrize("typed", ["", "80 g", "many", "x", "16 x"])
def test_what_is_no_size(typed: str) -> None:
    with pytest.raises(QuantityError):
        read_size(typed)


def test_a_file_that_never_divides_its_dough_is_sized_until_the_oven() -> None:
    stages = (Stage("Mix", "hands", 60.0), Stage("Bake", "bake", 600.0), Stage("Cool", "cool", 60.0))
    baking = on(replace(PUBLISHED, stages=stages))
    baking.say(intents.Begin())
    baking.say(read_size("600 g flour"))
    baking.say(intents.Done())
    assert "in the oven" in baking.refused(read_size("700 g flour")).message


def test_of_what_is_in_the_bowl_only_what_is_to_be_added_is_too_little_for_the_scale() -> None:
    # 18 g of flour take 0.36 g of salt, 25 g take 0.5 g (2 %): 0.14 g is to be added to what is in the bowl.
    baking = on(PUBLISHED, 0, 1, 2, 3, wish=SizeWish(flour_g=18.0), kitchen=Kitchen(scale=Scale(1.0)))
    there_g = in_bowl_g(baking.state)[2]
    asked = read_size("25 g flour")
    found = resized(baking.state, asked.wish)
    assert isinstance(found, Resizing)
    salt = next(each for each in found.lines if each.line.name == "salt")
    assert 0 < salt.add_g < there_g
    told = next(words for words in found.warnings if "salt" in words)
    assert told.startswith(f"{salt.add_g:g} g of salt to add is too little")

    baking.say(asked)
    after = weigh_on(baking.state)
    assert after is not None
    told = next(words for words in after.notes.warnings if "salt" in words)
    assert told.startswith(f"{salt.add_g:g} g of salt to add is too little")
    # The water that comes with the solution is taken off what is still to be poured, as long as there is so much.
    water = next(each for each in found.lines if each.line.name == "water")
    assert ("less of the formula's liquid" in told) == (dissolve(salt.add_g, 1.0).liquid_less_g <= water.add_g)


def test_a_word_that_is_no_size_is_met_with_what_can_be_typed() -> None:
    with pytest.raises(QuantityError) as refused:
        read_size("banana")
    assert refused.value.message == '"banana" is no size.'
    assert (
        refused.value.remedy == "Write 16, 16 x 80 g, 80 g each, 1.8 kg dough, or what there is, such as 700 g flour."
    )
