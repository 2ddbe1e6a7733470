"""How warm the liquid must be in this kitchen, so that the dough comes to its temperature."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from proofbell.dough import liquid as liquids
from proofbell.dough.heat import specific_heat_kj
from proofbell.dough.liquid import Liquid, Part
from proofbell.dough.rounding import Weight
from proofbell.dough.why import FactorMethod, Working, liquid_working
from proofbell.formula.model import Formula, Ingredient, Mixing
from proofbell.kitchen.model import Kitchen
from proofbell.words import difference

RiseFrom = Literal["learned", "formula", "kitchen", "usual"]


@dataclass(frozen=True, slots=True)
class LiquidAdvice:
    """How warm the liquid is poured (°C), how much of it is ice (g), and what the bench card would say (°C).

    ``rise_k`` is the warming by kneading that was reckoned with (K), ``rise_from`` whose figure that is.
    """

    name: str
    answer: Liquid
    factor_method: FactorMethod
    working: Working
    rise_k: float
    rise_from: RiseFrom
    rise_by: Mixing

    @property
    def rise_words(self) -> str:
        """What kneading was reckoned with: ``kneading warms it by 1.5 °C, the formula's figure``."""
        return f"kneading warms it by {difference(self.rise_k)}, {rise_from_words(self.rise_from, self.rise_by)}"

    @property
    def limited(self) -> bool:
        """Whether the wanted dough temperature cannot be reached."""
        return self.answer.limit != ""


def stored_c(line: Ingredient, kitchen: Kitchen) -> float:
    """Return the temperature (°C) at which an ingredient comes to the bowl, when nobody warms it."""
    if line.origin_c is not None:
        return line.origin_c
    if line.origin == "fridge":
        return kitchen.fridge_c
    if line.kind == "flour" and kitchen.flour_c is not None:
        return kitchen.flour_c
    return kitchen.room_c


def rise_k(formula: Formula, kitchen: Kitchen, learned_rise_k: float | None = None) -> tuple[float, RiseFrom]:
    """Return the warming by kneading (K), and whose figure that is."""
    by_hand = formula.dough.mixing == "hand"
    own_k = kitchen.rise_hand_k if by_hand else kitchen.rise_machine_k
    if learned_rise_k is not None:
        return learned_rise_k, "learned"
    if formula.dough.rise_k is not None:
        return formula.dough.rise_k, "formula"
    if own_k is not None:
        return own_k, "kitchen"
    return (liquids.RISE_HAND_K if by_hand else liquids.RISE_MACHINE_K), "usual"


def rise_from_words(rise_from: RiseFrom, mixing: Mixing) -> str:
    """Whose figure the warming by kneading is, in words."""
    match rise_from:
        case "learned":
            return "learned from past bakes"
        case "formula":
            return "the formula's figure"
        case "kitchen":
            return f"this kitchen's figure by {mixing}"
        case "usual":
            return f"the usual figure by {mixing}"


def liquid_advice(
    formula: Formula,
    lines: Sequence[Ingredient],
    weights: Sequence[Weight],
    temps: Sequence[float],
    kitchen: Kitchen,
    learned_rise_k: float | None,
) -> LiquidAdvice | None:
    """Work out the liquid; None when the formula names none, or no dough temperature.

    ``weights`` and ``temps`` (°C) go with ``lines``.
    """
    wanted_c = formula.dough.temperature_c
    heated = next((index for index, line in enumerate(lines) if line.heat), None)
    if wanted_c is None or heated is None or weights[heated].grams <= 0:
        return None
    line, liquid_g = lines[heated], weights[heated].grams
    others = [
        Part(other.name, weight.grams, temp_c, specific_heat_kj(other))
        for index, (other, weight, temp_c) in enumerate(zip(lines, weights, temps, strict=True))
        if index != heated
    ]
    warming_k, rise_from = rise_k(formula, kitchen, learned_rise_k)
    water = line.kind == "water"
    answer = liquids.liquid_for(
        others,
        liquid_g=liquid_g,
        liquid_kj=specific_heat_kj(line),
        dough_temp_c=wanted_c,
        rise_k=warming_k,
        coldest_c=kitchen.tap_c if water else min(kitchen.fridge_c, temps[heated]),
        ice=water,
        ice_c=kitchen.freezer_c,
    )
    method = _factor_method(lines, temps, kitchen, wanted_c, warming_k)
    working = liquid_working(
        name=line.name,
        liquid_g=liquid_g,
        liquid_kj=specific_heat_kj(line),
        others=others,
        dough_temp_c=wanted_c,
        rise_k=warming_k,
        rise_from=rise_from_words(rise_from, formula.dough.mixing),
        liquid=answer,
        ice_c=kitchen.freezer_c,
        factor_method=method,
    )
    return LiquidAdvice(line.name, answer, method, working, warming_k, rise_from, formula.dough.mixing)


def _factor_method(
    lines: Sequence[Ingredient], temps: Sequence[float], kitchen: Kitchen, wanted_c: float, warming_k: float
) -> FactorMethod:
    """Return the bench card's answer: room and flour, and the preferment when there is one."""
    flour_c = kitchen.room_c if kitchen.flour_c is None else kitchen.flour_c
    factors = [("room", kitchen.room_c), ("flour", flour_c)]
    factors += [("preferment", temp_c) for line, temp_c in zip(lines, temps, strict=True) if line.kind == "preferment"][
        :1
    ]
    friction_k = liquids.friction_from_rise_k(warming_k, len(factors) + 1)
    answer_c = liquids.factor_method(wanted_c, friction=friction_k, factors=[value for _, value in factors])
    return FactorMethod(tuple(factors), friction_k, answer_c)
