"""What the weigh-out warns of: a liquid that cannot do it, tins, weights too small for the scale, and safety."""

from __future__ import annotations

import math
from collections.abc import Sequence

from proofbell.bake.fermenting.place import card_place_c, stands_c
from proofbell.bake.weigh.made_for import InTin
from proofbell.dough.allergens import contained, eu_allergens, us_allergens
from proofbell.dough.fermenting.fermentation import Card, equal_time
from proofbell.dough.fermenting.time_constant import time_constant_s
from proofbell.dough.liquid import Liquid
from proofbell.dough.rounding import dissolve, telling_step_g
from proofbell.dough.safety import (
    SOLD_G,
    Caution,
    Stand,
    allergen_caution,
    core_caution,
    oven_caution,
    packed_short_g,
    raw_flour_caution,
    standing,
    standing_caution,
)
from proofbell.formula.danger_zone import stands_raw
from proofbell.formula.dough_stages import first_proof
from proofbell.formula.foods.contains import not_known
from proofbell.formula.model import Bands, Formula, IngredientKind, Rate, Stage
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Kitchen
from proofbell.words import grams, length, temperature, told_length, volume


@dataclass(frozen=True, slots=True)
class TooSmall:
    """Something of which there is too little for the finest scale, in steps of ``step_g``; it goes into ``liquid``.

    ``adding``: it comes on top of what is in the bowl. ``liquid_g`` of the liquid can give way to a solution of it.
    """

    name: str
    kind: IngredientKind
    grams: float
    step_g: float
    liquid: str = "the formula's liquid"
    adding: bool = False
    liquid_g: float = math.inf


@dataclass(frozen=True, slots=True)
class Notes:
    """``warnings`` are about this batch; ``cautions`` are about safety, with their sources."""

    warnings: tuple[str, ...]
    cautions: tuple[Caution, ...]


def notes(
    formula: Formula,
    kitchen: Kitchen,
    *,
    kinds: frozenset[IngredientKind],
    dough_g: float,
    piece_g: float | None,
    tin: InTin | None,
    loaf_g: float | None,
    too_small: Sequence[TooSmall],
    pourable: bool,
) -> Notes:
    """Gather everything that the weigh-out should say beside the weights."""
    warnings = [_small_note(one, pourable=pourable) for one in too_small]
    if tin is not None and tin.fill.verdict != "sound":
        put = grams(piece_g) if tin.fill.in_tin == 1 else f"{tin.fill.in_tin} × {grams(piece_g)}"
        warnings.append(f"{put} in a tin of {volume(tin.tin_ml)} is {tin.fill.words}.")
    if loaf_g is not None and kitchen.region == "uk" and SOLD_G[0] <= loaf_g <= SOLD_G[1]:
        short_g = packed_short_g(loaf_g)
        warnings.append(
            f"Sold by weight as {grams(loaf_g)} in the United Kingdom: loaves weigh that on average, few may weigh "
            f"less than {loaf_g - short_g:.4g} g and none less than {loaf_g - 2 * short_g:.4g} g (average system, "
            f"gov.uk). Local trading rules and licensed advice come first."
        )
    return Notes(tuple(warnings), _cautions(formula, kitchen, kinds, dough_g))


def _cautions(
    formula: Formula, kitchen: Kitchen, kinds: frozenset[IngredientKind], dough_g: float
) -> tuple[Caution, ...]:
    contains = contained(formula)
    listed = us_allergens(contains) if kitchen.region == "us" else eu_allergens(contains)
    found = [allergen_caution(listed, not_known(formula))]
    if stands_raw(formula.ingredients):
        long = standing(_stands(formula, kitchen, dough_g), kitchen.region)
        found.append(standing_caution(long, kitchen.region) if long.over else None)
    if "egg" in kinds:
        found.append(core_caution(kitchen.region))
    if "flour" in kinds:
        found.append(raw_flour_caution())
    if any(stage.kind == "bake" for stage in formula.stages):
        found.append(oven_caution())
    return tuple(caution for caution in found if caution is not None)


def _stands(formula: Formula, kitchen: Kitchen, dough_g: float) -> list[Stand]:
    """Follow the dough to the bake, in one mass, at the formula's times; from the first stage where none is its own."""
    temp_c = kitchen.room_c if formula.dough.temperature_c is None else formula.dough.temperature_c
    modelled_s = time_constant_s(dough_g, "covered")
    stands: list[Stand] = []
    for stage in formula.stages[formula.dough_begins or 0 :]:
        if stage.kind in ("bake", "cool"):
            break
        place_c = stands_c(stage, kitchen)
        stands.append(Stand(temp_c, place_c, modelled_s * kitchen.drift_at(place_c), stage.time_s, stage.name))
        temp_c = stands[-1].end_c
    return stands


DISSOLVE = frozenset({"yeast", "salt", "sugar", "dry milk"})


def _small_note(one: TooSmall, *, pourable: bool) -> str:
    step_g = one.step_g
    told = grams(one.grams, telling_step_g(one.grams))
    what = f"{told} of {one.name} to add" if one.adding else f"{told} of {one.name}"
    need = f"{what} is too little for a scale in steps of {grams(step_g, step_g)}"
    if one.kind not in DISSOLVE or not pourable or dissolve(one.grams, step_g).liquid_less_g > one.liquid_g:
        return f"{need}: borrow a finer one."
    return f"{need}: {dissolved(one.grams, step_g, one.liquid)}."


def dissolved(wanted_g: float, step_g: float, liquid: str) -> str:
    """``stir 10 g into 390 g of cool water, use 10 g of that, and 10 g less of`` a ``liquid``."""
    part = dissolve(wanted_g, step_g)
    less_g = round(part.liquid_less_g / step_g) * step_g
    stock, water, take, less = (grams(each, step_g) for each in (part.stock_g, part.water_g, part.take_g, less_g))
    return f"stir {stock} into {water} of cool water, use {take} of that, and {less} less of {liquid}"


def limit_note(formula: Formula, kitchen: Kitchen, name: str, answer: Liquid, dough_g: float) -> str:
    """Say what follows when the liquid cannot bring the dough to its temperature."""
    poured = f"{name} at {temperature(answer.temp_c)}" + (f" with {grams(answer.ice_g)} of ice" if answer.ice_g else "")
    said = (
        f"The {name} would have to be {temperature(answer.wanted_c)}, which is {answer.limit}. "
        f"With {poured} the dough comes out at {temperature(answer.dough_c)}"
    )
    wanted_c = formula.dough.temperature_c
    if formula.dough_begins is None:
        return f"{said}. The file does not tell which proof is the dough's first, so what it takes is not known."
    stage = first_proof(formula)
    if stage is None or wanted_c is None:
        return said + "."
    return f"{said}, and {stage.name} takes {_proof_words(stage, kitchen, wanted_c, answer.dough_c, dough_g)}."


def _proof_words(stage: Stage, kitchen: Kitchen, wanted_c: float, comes_c: float, dough_g: float) -> str:
    place_c = stands_c(stage, kitchen)
    rate = stage.adjust if isinstance(stage.adjust, Rate) else Rate(wanted_c)
    nominal_s = stage.time_s * kitchen.pace
    tau_s = time_constant_s(dough_g, "covered") * kitchen.drift_at(place_c)
    card = Card(nominal_s, rate.at_c, card_place_c(stage, kitchen), tau_s)
    estimate = equal_time(card, readings=[(0.0, comes_c)], place_c=place_c, tau_s=tau_s)
    here = "" if kitchen.pace == 1 else " at this kitchen's pace"
    told, usual = told_length(estimate.seconds), length(nominal_s)
    by_rate = f"about {told}" + (f" instead of {usual}{here}" if told != usual else f", as usual{here}")
    if isinstance(stage.adjust, Bands) and stage.adjust.read == "dough temperature":
        band = next(band for band in stage.adjust.bands if band.below is None or comes_c < band.below)
        return f"{length(band.time_s)} by the formula's table (by the rate {by_rate})"
    return by_rate
