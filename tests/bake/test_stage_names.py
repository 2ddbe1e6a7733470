"""A stage's name is the baker's own: nothing that the program works out hangs on a word in it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import cast

import pytest

from proofbell.bake.decisions.ask_first import ask_first
from proofbell.bake.fermenting.terms import dough_mass_g
from proofbell.bake.fold import fold
from proofbell.bake.prompts import prompts
from proofbell.bake.rehearse import rehearse
from proofbell.bake.stamp import Stamp
from proofbell.bake.view import view
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.bench.board import board
from proofbell.bench.plan.planning_problem import Wish, problem_of
from proofbell.formula.dough_stages import division, first_proof
from proofbell.formula.model import Formula, Stage, StageKind
from proofbell.formula.read import read_formula
from proofbell.journal.learning.evidence import evidence
from proofbell.journal.reviews.review import review
from proofbell.kitchen.model import Kitchen
from proofbell.places import house_formulas
from proofbell.planner.search import plan
from tests.support.bakes import house
from tests.support.making import chain, opened

START = Stamp(1_773_471_600_000_000, 5_000_000_000, "boot-1", 60)
HOUSE = sorted(house_formulas())


def nonsense(formula: Formula) -> dict[str, str]:
    """A word without a meaning for each stage's name."""
    return {stage.name: f"Zq{chr(97 + index)}vx" for index, stage in enumerate(formula.stages)}


def renamed(formula: Formula, names: dict[str, str]) -> Formula:
    return replace(formula, stages=tuple(replace(stage, name=names[stage.name]) for stage in formula.stages))


def named_back(told: str, names: dict[str, str]) -> str:
    for name, word in names.items():
        told = told.replace(word, name).replace(word[:1].lower() + word[1:], name[:1].lower() + name[1:])
    return told


def figures(formula: Formula) -> Iterator[str]:
    """Everything that the program makes of a formula, as text."""
    kitchens = [Kitchen(region="us"), Kitchen(region="uk", room_c=32.0, drift=1.2), Kitchen(room_c=2.0, flour_c=2.0)]
    for kitchen in kitchens:
        yield f"weigh-out {weigh_out(formula, kitchen)}"
    kitchen = kitchens[0]
    batch = weigh_out(formula, kitchen).batch
    whole = rehearse(formula, batch, kitchen, start=START, version="test")
    for number, event in enumerate(whole.events, 1):
        state, now_s = fold(whole.events[:number]), whole.times_us[number - 1] / 1e6
        yield f"said {event.stamp} {event.body}"
        yield f"wanted {prompts(state, now_s=now_s)} {ask_first(state, now_s)}"
        yield f"seen {view(state, now_s)} {board([state], event.stamp).rings}"
    yield f"learned {evidence(whole)}"
    looked_back = review(whole.events)
    yield f"looked back {looked_back.stages} {looked_back.readings} {looked_back.adjustments} {looked_back.curves}"
    problem = problem_of([Wish("A", formula, 40 * 3_600_000_000)], kitchen, 0)
    yield f"planned {plan(problem, 40)}"


@pytest.mark.parametrize("name", HOUSE)
def test_with_every_stage_named_by_a_word_without_a_meaning_only_the_names_differ(name: str) -> None:
    formula = house(name)
    names = nonsense(formula)
    for told, of_nonsense in zip(figures(formula), figures(renamed(formula, names)), strict=True):
        assert named_back(of_nonsense, names) == told


@pytest.mark.parametrize("name", HOUSE)
def test_a_file_is_warned_of_in_the_same_way_whatever_its_stages_are_named(name: str) -> None:
    text = house_formulas()[name].read_text(encoding="utf-8")
    names = nonsense(house(name))
    other = text
    for stage, word in names.items():
        other = other.replace(f'"{stage}"', f'"{word}"')
    assert other != text
    for before, after in zip(read_formula(text, name)[1], read_formula(other, name)[1], strict=True):
        assert named_back(str(after), names) == str(before)


def test_a_dough_that_comes_out_cold_takes_longer_in_its_own_proof_and_not_in_the_preferments() -> None:
    loaf = house("lamplighter-loaf")
    names = nonsense(loaf)
    cold = Kitchen(room_c=2.0, flour_c=2.0)
    (warning,) = [words for words in weigh_out(renamed(loaf, names), cold).warnings if "comes out" in words]
    assert f"{names['First proof']} takes about 4 h 18 min instead of 1 h 30 min" in warning


def test_a_preferment_warms_and_cools_by_its_own_mass() -> None:
    loaf = house("lamplighter-loaf")
    batch = weigh_out(loaf, Kitchen()).batch
    state = fold(chain("b1", [(0.0, replace(opened(loaf), batch=batch))]))
    grams = {line.name: line.grams for line in batch.lines}
    begins = loaf.dough_begins
    assert begins == 2
    assert dough_mass_g(state, begins - 1) == grams["evening preferment"]
    assert dough_mass_g(state, begins) == batch.dough_g


def without(formula: Formula, *names: str) -> Formula:
    return replace(formula, stages=tuple(stage for stage in formula.stages if stage.name not in names))


def test_the_dough_begins_with_the_first_stage_that_is_for_no_preferment() -> None:
    loaf = house("lamplighter-loaf")
    assert loaf.dough_begins == 2
    second = replace(next(line for line in loaf.ingredients if line.kind == "preferment"), name="ripe levain")
    both = replace(loaf, ingredients=(*loaf.ingredients, second))
    assert both.dough_begins == 2
    assert house("harbour-knots").dough_begins == 0


def test_where_no_stage_says_what_it_is_for_nothing_is_guessed() -> None:
    loaf = house("lamplighter-loaf")
    unclear = replace(loaf, stages=tuple(replace(stage, made_for=None) for stage in loaf.stages))
    assert (unclear.dough_begins, first_proof(unclear), division(unclear)) == (None, None, None)
    (warning,) = [w for w in weigh_out(unclear, Kitchen(room_c=2.0, flour_c=2.0)).warnings if "comes out" in w]
    assert warning.endswith("The file does not tell which proof is the dough's first, so what it takes is not known.")


@pytest.mark.parametrize(
    ("kinds", "divided"),
    [
        ("hands proof hands proof bake", 2),
        ("hands hands proof hands proof hands proof bake", 5),
        ("hands proof hands rest hands proof bake", 2),
        ("hands proof chill hands proof hands bake", 3),
        ("hands proof hands bake", 2),
        ("hands rest hands proof bake", 2),
        ("hands rest hands bake cool", 2),
        ("hands proof bake", None),
        ("hands bake", None),
    ],
)
def test_a_dough_is_divided_where_its_pieces_begin(kinds: str, divided: int | None) -> None:
    stages = tuple(Stage(f"Stage {n}", cast("StageKind", kind), 600.0) for n, kind in enumerate(kinds.split()))
    assert division(replace(house("harbour-knots"), stages=stages)) == divided
