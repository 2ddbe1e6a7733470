"""Each house formula in a cool, a usual and a warm kitchen: ready by its own model, inside what its dough forgives."""

from __future__ import annotations

import math

import pytest

from proofbell.bake.fermenting.cold import at_take_out
from proofbell.bake.fermenting.forgiven import forgives
from proofbell.bake.fermenting.terms import tau_s, terms
from proofbell.bake.rehearse import rehearse
from proofbell.bake.stamp import Stamp
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.formula.model import USUAL_ROOM_C, Rate
from proofbell.kitchen.model import Kitchen
from proofbell.places import house_formulas
from tests.support.bakes import house


@pytest.mark.parametrize("room_c", [18.0, USUAL_ROOM_C, 26.0])
@pytest.mark.parametrize("name", house_formulas())
def test_every_fermentation_ends_where_its_own_model_says_and_the_dough_forgives(name: str, room_c: float) -> None:
    formula, kitchen = house(name), Kitchen(room_c=room_c)
    state = rehearse(formula, weigh_out(formula, kitchen).batch, kitchen, start=Stamp(0, 0, "room"), version="0")
    for index, stage in enumerate(formula.stages):
        if stage.kind not in ("proof", "rest", "chill"):
            continue
        run, forgiven = state.stages[index], forgives(state, index).stretch
        assert run.begun_s is not None
        assert run.ended_s is not None
        assert forgiven is not None
        took_s = run.ended_s - run.begun_s
        assert forgiven[0] <= took_s <= forgiven[1], stage.name
        if room_c == USUAL_ROOM_C and stage.stretch is not None:  # The card's own figures are enough there.
            assert stage.stretch[0] <= took_s <= stage.stretch[1], stage.name
        asked = terms(state, index)
        if isinstance(stage.adjust, Rate) and asked is not None:
            assert took_s == pytest.approx(asked.estimate().seconds, abs=60), stage.name


@pytest.mark.parametrize("name", ["breakwater-flatbread", "regatta-brioche"])
def test_a_dough_out_of_the_fridge_is_as_cold_as_its_card_expects(name: str) -> None:
    formula, kitchen = house(name), Kitchen()
    state = rehearse(formula, weigh_out(formula, kitchen).batch, kitchen, start=Stamp(0, 0, "room"), version="0")
    night = next(index for index, stage in enumerate(formula.stages) if stage.kind == "chill")
    warm = next(index for index in range(night, len(formula.stages)) if formula.stages[index].kind == "proof")
    out, (check, *_) = at_take_out(state, night), formula.stages[warm].checks
    assert out is not None
    assert check.expect is not None
    assert (check.read, check.when) == ("dough temperature", "start")
    hands_s = sum(stage.time_s for stage in formula.stages[night + 1 : warm])
    warmed = 1 - math.exp(-hands_s / tau_s(state, warm))
    start_c = out.temp_c.value + (kitchen.room_c - out.temp_c.value) * warmed
    rule = formula.stages[warm].adjust
    assert isinstance(rule, Rate)
    assert check.expect[0] <= start_c <= check.expect[1]
    assert abs(rule.at_c - start_c) <= 3
