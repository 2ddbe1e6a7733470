"""Each house formula beside what is published for such breads."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from proofbell.dough.weights import shares
from proofbell.formula.dough_stages import division
from proofbell.formula.model import Formula, Stage
from proofbell.formula.read import load
from proofbell.places import house_formulas
from tests.formula.published_ranges import PUBLISHED

HOUSE = house_formulas()
AS_INSTANT = {"fresh": 0.33, "active dry": 0.75, "instant": 1.0}
DOUGH_ML_PER_G = 1 / 1.1
"""A wheat dough after mixing is of 1100 to 1200 kg/m³: Rask 1989, from memory; what it keeps of its gas is left out."""


def house(name: str) -> Formula:
    return load(HOUSE[name].read_bytes(), name)


def of_kind(formula: Formula, kind: str) -> float:
    return sum(line.percent for line in formula.ingredients if line.kind == kind)


def yeast_percent(formula: Formula) -> float:
    """All yeast, as instant, in percent of the flour."""
    found = sum(line.percent * AS_INSTANT[line.form or ""] for line in formula.ingredients if line.kind == "yeast")
    for line in formula.ingredients:
        if line.made_of is not None and line.made_of.yeast:
            found += line.percent * line.made_of.yeast / line.made_of.total * AS_INSTANT[line.made_of.form or ""]
    return found


def proofs_min(stages: tuple[Stage, ...]) -> float:
    return sum(stage.time_s for stage in stages if stage.kind == "proof") / 60


def figures(formula: Formula) -> Iterator[tuple[str, float]]:
    """Every figure of a formula that may have a published range, under the range's name."""
    share, stages = shares(formula.ingredients), formula.stages
    begins, divided = formula.dough_begins, division(formula)
    assert begins is not None
    assert divided is not None
    yield from (("all water", share.water), ("water", share.hydration), ("prefermented", share.prefermented))
    yield from ((kind, of_kind(formula, kind)) for kind in ("egg", "milk", "dry milk", "fat", "sugar", "salt"))
    yield "yeast", yeast_percent(formula)
    assert formula.dough.temperature_c is not None
    yield "dough", formula.dough.temperature_c
    for line in formula.ingredients:
        if line.made_of is not None and line.made_of.yeast:
            yield "preferment's yeast", 100 * line.made_of.yeast / line.made_of.flour
    yield from (("preferment", stage.time_s / 3600) for stage in stages[:begins] if stage.kind == "proof")
    yield "first proof", proofs_min(stages[begins:divided])
    yield "final proof", proofs_min(stages[divided:])
    yield from (("retard", stage.time_s / 3600) for stage in stages if stage.kind == "chill")
    for stage in stages:
        if stage.chill_instead is not None:
            yield from (("retard", each / 3600) for each in (stage.chill_instead.least_s, stage.chill_instead.most_s))
        if stage.kind == "bake":
            yield "bake", stage.time_s / 60
            assert formula.oven.temperature_c is not None
            yield from (("oven", heat) for heat in (formula.oven.temperature_c, *(p.oven_c for p in stage.phases)))
            yield from (("core", core_c) for core_c in stage.core or ())
    if formula.batch.piece_g is not None:
        yield "piece", formula.batch.piece_g
        if formula.batch.tin_ml is not None:
            yield "tin", formula.batch.tin_ml / formula.batch.piece_g


def test_there_are_ranges_for_every_house_formula() -> None:
    assert set(PUBLISHED) == set(HOUSE)


@pytest.mark.parametrize("name", HOUSE)
def test_a_house_formula_is_inside_what_is_published_for_such_breads(name: str) -> None:
    published, found = PUBLISHED[name], list(figures(house(name)))
    ranges = published.ranges | published.by_custom
    assert ranges.keys() <= {what for what, _ in found}
    outside = [(what, value) for what, value in found if what in ranges and not _inside(value, ranges[what])]
    assert outside == []


def _inside(value: float, bounds: tuple[float, float]) -> bool:
    return bounds[0] - 1e-6 <= value <= bounds[1] + 1e-6


ALONE_IN_A_TIN = [name for name in HOUSE if house(name).batch.tin_ml and house(name).batch.in_tin is None]
"""For several pieces in one tin no figure was found: they may stand far below its rim."""


@pytest.mark.parametrize("name", ALONE_IN_A_TIN)
def test_a_piece_that_has_risen_as_it_should_fills_its_tin_and_does_not_run_over(name: str) -> None:
    formula = house(name)
    (rise,) = [stage.rise for stage in formula.stages if stage.rise is not None]
    size = formula.batch
    assert size.piece_g is not None
    assert size.tin_ml is not None
    least, most = (size.piece_g * DOUGH_ML_PER_G * (1 + percent / 100) / size.tin_ml for percent in rise.wanted)
    assert 0.75 <= least < most <= 1.0
