"""What comes out of the fridge, for which stage, and how long before it: of one dough."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from proofbell.bake.weigh.weigh_liquid import stored_c
from proofbell.bake.weigh.weigh_out import WeighOut
from proofbell.dough.heat import specific_heat_kj
from proofbell.dough.tempering import Span, tempering
from proofbell.formula.foods.measured import EGG_G
from proofbell.formula.foods.water import water_percent
from proofbell.formula.model import Formula, Ingredient, IngredientKind
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Kitchen

How = Literal["cold", "tempered", "too warm", "ripe"]
"""Straight from the fridge; beforehand; warmer than the room makes it; ripe starter, which is fed beforehand."""

MOST_OUT_S = 2 * 3600.0
"""No longer than this do egg and milk stand in the room: WHO, Five Keys to Safer Food Manual, 2006, key 4."""

LITTLE_G = 20.0
"""Less than this takes on the warmth of the bowl by itself: common practice, no source."""


@dataclass(frozen=True, slots=True)
class TakenOut:
    """One thing that is kept cold, for the stage ``stage`` (its index) of its dough.

    ``wanted_c``: how warm the formula reckons with it. ``before``: how long ahead of the stage it comes out, where it
    is tempered; ``cut``: it would have to stand for longer than is safe, and does not.
    """

    name: str
    kind: IngredientKind
    grams: float
    dough: str
    stage: int
    how: How
    wanted_c: float | None = None
    before: Span | None = None
    cut: bool = False


def taken_out(formula: Formula, weighed: WeighOut, kitchen: Kitchen) -> tuple[TakenOut, ...]:
    """What of a dough comes from the fridge, in the order of the bowls.

    Butter, egg and milk are kept cold whatever the formula says of them; where it reckons with them warmer, they come
    out beforehand.
    """
    return tuple(_found(formula, weighed, kitchen))


def _found(formula: Formula, weighed: WeighOut, kitchen: Kitchen) -> Iterator[TakenOut]:
    known = {line.name: line for line in (*formula.ingredients, *formula.outside)}
    for bowl in weighed.bowls:
        for line in bowl.lines:
            stage = min(line.at, default=bowl.at if bowl.at is not None else formula.dough_begins)
            own = None if line.into else known.get(line.name)
            if line.grams <= 0 or stage is None:
                continue
            if line.into and line.kind == "preferment":
                yield TakenOut(line.name, line.kind, line.grams, formula.name, stage, "ripe")
            elif own is not None and own.origin == "fridge" and own.origin_c is None:
                yield TakenOut(line.name, line.kind, line.grams, formula.name, stage, "cold", kitchen.fridge_c)
            elif own is not None and bowl.vessel == "dough" and line.grams >= LITTLE_G and not own.heat and _keeps(own):
                yield _tempered(own, line.grams, formula.name, stage, kitchen)


def _keeps(line: Ingredient) -> bool:
    """Whether it is kept in the fridge as a rule; oil is a fat without water."""
    return line.kind in ("egg", "milk") or (line.kind == "fat" and water_percent(line) >= 1)


def _tempered(line: Ingredient, grams: float, dough: str, stage: int, kitchen: Kitchen) -> TakenOut:
    wanted_c = stored_c(line, kitchen)
    # Eggs stand one by one.
    lump_g = min(grams, EGG_G["M"][0]) if line.kind == "egg" else grams
    before = tempering(lump_g, specific_heat_kj(line), from_c=kitchen.fridge_c, to_c=wanted_c, room_c=kitchen.room_c)
    if before is None:
        return TakenOut(line.name, line.kind, grams, dough, stage, "too warm", wanted_c)
    if before.seconds <= 0:
        return TakenOut(line.name, line.kind, grams, dough, stage, "cold", wanted_c)
    cut = line.kind in ("egg", "milk") and before.seconds > MOST_OUT_S
    if line.kind in ("egg", "milk"):
        before = Span(*(min(each, MOST_OUT_S) for each in (before.seconds, before.low_s, before.high_s)))
    return TakenOut(line.name, line.kind, grams, dough, stage, "tempered", wanted_c, before, cut)
