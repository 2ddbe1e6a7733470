"""How warm the liquid must be in this kitchen, so that the dough comes to its temperature."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from proofbell.bake.fermenting.place import stands_c
from proofbell.dough import liquid as liquids
from proofbell.dough.heat import FLOUR_KJ, WATER_KJ, specific_heat_kj
from proofbell.dough.liquid import Liquid, Part
from proofbell.dough.rounding import Weight
from proofbell.dough.why import FactorMethod, Working, liquid_working
from proofbell.formula.dough_stages import FERMENTS, goes_to_ferment
from proofbell.formula.model import Formula, Ingredient, Mixing, Rate
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Kitchen
from proofbell.units import METRIC, said_in, used
from proofbell.words import difference, differences, temperatures

RiseFrom = Literal["learned", "formula", "kitchen", "usual"]


@dataclass(frozen=True, slots=True)
class Rise:
    """The warming by kneading that is reckoned with (K), whose figure that is, and its range (None: not known)."""

    k: float
    source: RiseFrom
    by: Mixing
    range_k: tuple[float, float] | None = None

    @property
    def whose(self) -> str:
        """Whose figure it is, in words."""
        return {
            "learned": "learned from past bakes",
            "formula": "the formula's figure",
            "kitchen": f"this kitchen's figure by {self.by}",
            "usual": f"the usual figure by {self.by}",
        }[self.source]


@dataclass(frozen=True, slots=True)
class LiquidAdvice:
    """How warm the liquid is poured (°C), how much of it is ice (g), and what the bench card would say (°C).

    ``range_c`` is how warm it would be poured at either end of the range of that warming (None: no range is known).
    """

    name: str
    answer: Liquid
    factor_method: FactorMethod
    working: Working
    rise: Rise
    range_c: tuple[float, float] | None = None

    @property
    def rise_words(self) -> str:
        """What kneading was reckoned with: ``kneading warms it by 1.5 °C, the formula's figure``."""
        span = "" if self.rise.range_k is None else f" ({differences(*self.rise.range_k)})"
        return f"kneading warms it by {difference(self.rise.k)}{span}, {self.rise.whose}"

    @property
    def between(self) -> str:
        """``anything from 24.1 to 29.2 °C may be right``; nothing where no range is known or it makes no difference."""
        if self.range_c is None or self.range_c[1] - self.range_c[0] < 0.1:
            return ""
        return f"anything from {temperatures(*self.range_c)} may be right"

    @property
    def limited(self) -> bool:
        """Whether the wanted dough temperature cannot be reached."""
        return self.answer.limit != ""


def ripens_c(formula: Formula, kitchen: Kitchen, line: Ingredient) -> float | None:
    """Return where the formula has a preferment ripen (°C); None where it is bought, or the file does not tell.

    After its hours there it is as warm as that place: common practice, no source.
    """
    own = [stage for stage in formula.stages if stage.made_for == line.name and stage.kind in FERMENTS]
    return stands_c(own[-1], kitchen) if own else None


def stirred_with_c(formula: Formula, kitchen: Kitchen, line: Ingredient) -> float | None:
    """Return how warm a preferment's water is to be (°C), so that it begins as warm as its proof is timed for.

    Stirring warms nothing: common practice, no source. None where nobody says how warm that is.
    """
    parts, proof = (
        line.made_of,
        next((s for s in formula.stages if s.made_for == line.name and s.kind in FERMENTS), None),
    )
    if parts is None or proof is None or not isinstance(proof.adjust, Rate) or parts.water <= 0:
        return None
    flour_c = kitchen.room_c if kitchen.flour_c is None else kitchen.flour_c
    starter_kj = FLOUR_KJ * (parts.all_flour - parts.flour) + WATER_KJ * (parts.all_water - parts.water)
    others = [Part("flour", parts.flour, flour_c, FLOUR_KJ), Part("ripe starter", 1.0, kitchen.room_c, starter_kj)]
    return liquids.liquid_for(
        others,
        liquid_g=parts.water,
        liquid_kj=WATER_KJ,
        dough_temp_c=proof.adjust.at_c,
        rise_k=0.0,
        coldest_c=kitchen.tap_c,
    ).temp_c


def stored_c(line: Ingredient, kitchen: Kitchen, preferment_c: float | None = None) -> float:
    """Return the temperature (°C) at which an ingredient comes to the bowl, when nobody warms it.

    ``preferment_c`` is where the formula has it ripen, if it is a preferment.
    """
    if line.origin_c is not None:
        return line.origin_c
    if line.origin == "fridge":
        return kitchen.fridge_c
    if line.kind == "flour" and kitchen.flour_c is not None:
        return kitchen.flour_c
    if line.kind == "preferment" and preferment_c is not None:
        return preferment_c
    return kitchen.room_c


def rise(formula: Formula, kitchen: Kitchen) -> Rise:
    """Return the warming by kneading, when past bakes have shown none."""
    by = formula.dough.mixing
    own_k = kitchen.rise_hand_k if by == "hand" else kitchen.rise_machine_k
    if formula.dough.rise_k is not None:
        return Rise(formula.dough.rise_k, "formula", by)
    if own_k is not None:
        return Rise(own_k, "kitchen", by)
    return Rise(liquids.RISE_K[by], "usual", by, liquids.RISE_RANGE_K[by])


def liquid_advice(
    formula: Formula,
    lines: Sequence[Ingredient],
    weights: Sequence[Weight],
    temps: Sequence[float],
    kitchen: Kitchen,
    warming: Rise,
) -> LiquidAdvice | None:
    """Work out the liquid; None when the formula names none, or no dough temperature.

    The wanted temperature is that of the dough as its kneading ends and it is left to ferment: cold butter that is
    worked in before that counts, whenever it goes in, and what goes in after that does not. How warm the dough is
    between, as it takes the butter in, is not modelled: the share of the warming on either side is not known.
    ``weights`` and ``temps`` (°C) go with ``lines``.
    """
    wanted_c = formula.dough.temperature_c
    heated = next((index for index, line in enumerate(lines) if line.heat), None)
    if wanted_c is None or heated is None or weights[heated].grams <= 0:
        return None
    line, liquid_g = lines[heated], weights[heated].grams
    ferments = goes_to_ferment(formula)
    others = [
        Part(other.name, weight.grams, temp_c, specific_heat_kj(other))
        for index, (other, weight, temp_c) in enumerate(zip(lines, weights, temps, strict=True))
        if index != heated and not (other.at and ferments is not None and other.at[0] > ferments)
    ]
    water = line.kind == "water"

    def answered(rise_k: float) -> Liquid:
        return liquids.liquid_for(
            others,
            liquid_g=liquid_g,
            liquid_kj=specific_heat_kj(line),
            dough_temp_c=wanted_c,
            rise_k=rise_k,
            coldest_c=kitchen.tap_c if water else min(kitchen.fridge_c, temps[heated]),
            ice=water,
            ice_c=kitchen.freezer_c,
        )

    answer = answered(warming.k)
    span = None
    if warming.range_k is not None:
        span = answered(warming.range_k[1]).temp_c, answered(warming.range_k[0]).temp_c
    method = _factor_method(lines, temps, kitchen, wanted_c, warming.by)
    with said_in(METRIC):  # its specific heats are for g and °C
        working = liquid_working(
            name=line.name,
            liquid_g=liquid_g,
            liquid_kj=specific_heat_kj(line),
            others=others,
            dough_temp_c=wanted_c,
            rise_k=warming.k,
            rise_from=warming.whose if warming.range_k is None else f"{warming.whose}, {differences(*warming.range_k)}",
            between="" if span is None else f"At either end of that range it would be {temperatures(*span)}.",
            liquid=answer,
            ice_c=kitchen.freezer_c,
            factor_method=method,
        )
    if used() != METRIC:
        working = replace(working, lines=("In °C and g, as the specific heats are.", *working.lines))
    return LiquidAdvice(line.name, answer, method, working, warming, span)


def _factor_method(
    lines: Sequence[Ingredient], temps: Sequence[float], kitchen: Kitchen, wanted_c: float, mixing: Mixing
) -> FactorMethod:
    """Return the bench card's answer: room and flour, and the preferment when there is one."""
    flour_c = kitchen.room_c if kitchen.flour_c is None else kitchen.flour_c
    factors = [("room", kitchen.room_c), ("flour", flour_c)]
    factors += [("preferment", temp_c) for line, temp_c in zip(lines, temps, strict=True) if line.kind == "preferment"][
        :1
    ]
    friction_k = liquids.FRICTION_K[mixing]
    answer_c = liquids.factor_method(wanted_c, friction=friction_k, factors=[value for _, value in factors])
    return FactorMethod(tuple(factors), friction_k, answer_c)
