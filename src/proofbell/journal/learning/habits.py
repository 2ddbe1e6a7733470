"""What a kitchen does, and what it does with one formula, by the bakes that were shown.

Two steps of the same estimate: the kitchen's value from all its bakes, and a formula's (or one of its stages')
from its own bakes, with the kitchen's value by its other formulas as the prior. So a formula without bakes is
thought to be like the kitchen's others, and one with many stands on its own.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from functools import cache

from proofbell.frozen import dataclass
from proofbell.journal.learning.estimate import RANGE, Estimate, Shown, estimate
from proofbell.journal.learning.evidence import BakeEvidence
from proofbell.journal.learning.quantities import QUANTITIES, Prior, Quantity, QuantityName, prior_for
from proofbell.kitchen.model import Kitchen
from proofbell.words import difference, length, percent


@dataclass(frozen=True, slots=True)
class Learned:
    """One habit: its value, the range in which it lies 19 times of 20, from how many bakes, and the prior's value.

    In K for warming, percent for losses, seconds for the oven, and shares (1: as the model or the formula has it) for
    the rest. ``formula`` and ``stage`` are empty when it is the whole kitchen's. ``used_in`` says what reckons with it.
    """

    quantity: QuantityName
    title: str
    formula: str
    stage: str
    value: float
    low: float
    high: float
    bakes: int
    prior: float
    used_in: str

    @property
    def words(self) -> str:
        """``from 14 bakes: 1.8 °C, 1.2 to 2.3 °C``."""
        count = "no bakes yet" if not self.bakes else "from 1 bake" if self.bakes == 1 else f"from {self.bakes} bakes"
        return f"{count}: {self.said(self.value)}, {self.said(self.low)} to {self.said(self.high)}"

    def said(self, value: float) -> str:
        """A value of this habit, with its unit."""
        if self.quantity in ("rise by hand", "rise by machine"):
            return difference(value)
        if self.quantity in ("make-up loss", "bake loss"):
            return percent(value)
        return length(value) if self.quantity == "oven heat-up" else f"{value:.2f} times"


class Habits:
    """Everything learned about one kitchen; asked for one habit at a time."""

    def __init__(self, shown: Iterable[BakeEvidence], kitchen: Kitchen) -> None:
        self._kitchen = kitchen
        self._shown = [found for found in shown if found.kitchen == kitchen.name]
        self._asked = cache(self._work_out)

    def of(self, quantity: QuantityName, formula: str = "", stage: str = "") -> Learned:
        """What the kitchen does; with this formula; in this stage of it."""
        return self._asked(quantity, formula, stage)

    def formula_like(self, part: str) -> str:
        """The newest formula whose name is or holds ``part``; ``part`` itself when there is none."""
        names = [bake.formula for bake in reversed(self._shown)] if part else []
        return next((n for n in names if n == part), next((n for n in names if part.casefold() in n.casefold()), part))

    def all(self, formula: str = "") -> tuple[Learned, ...]:
        """Every habit; with a formula also those of its hands stages that bakes have shown."""
        found = [self.of(name, formula) for name in QUANTITIES if formula == "" or name != "hands"]
        stages = {
            item.stage: None
            for bake in self._shown
            if bake.formula == formula
            for item in bake.items
            if item.quantity == "hands"
        }
        return (*found, *(self.of("hands", formula, stage) for stage in stages))

    def _work_out(self, name: QuantityName, formula: str, stage: str) -> Learned:
        quantity = QUANTITIES[name]
        prior = prior_for(quantity, self._kitchen)
        if not formula:
            found, bakes = self._of_kitchen(quantity, prior, without=("", ""))
            return _learned(quantity, found, bakes, prior, "", "")
        whole, others = self._of_kitchen(quantity, prior, without=(formula, stage))
        spread = math.hypot(whole.deviation, prior.formulas) or prior.kitchens
        own = replace(prior, middle=whole.value) if others else prior
        shown = [self._one(bake, name, stage) for bake in self._shown if bake.formula == formula]
        items = [item for each in shown for item in each]
        return _learned(quantity, estimate(own, spread, items), sum(map(bool, shown)), prior, formula, stage)

    def _of_kitchen(self, quantity: Quantity, prior: Prior, *, without: tuple[str, str]) -> tuple[Estimate, int]:
        """The kitchen's value and the bakes it rests on; a formula (or its stage) can be left out."""
        items: list[Shown] = []
        formulas: set[str] = set()
        bakes = 0
        for bake in self._shown:
            left_out = without[1] if bake.formula == without[0] else None
            if left_out == "":
                continue
            shown = self._one(bake, quantity.name, "", but=left_out)
            items += shown
            bakes += bool(shown)
            if shown:
                formulas.add(bake.formula)
        found = estimate(prior, prior.kitchens, items)
        if not formulas:
            return found, 0
        # A few formulas may not be typical of the kitchen: what they lie apart stays in doubt.
        wider = math.hypot(found.deviation, prior.formulas / math.sqrt(len(formulas)))
        half = max(found.high - found.value, RANGE * wider)
        return Estimate(found.value, found.value - half, found.value + half, wider, bakes), bakes

    @staticmethod
    def _one(bake: BakeEvidence, name: QuantityName, stage: str, but: str | None = None) -> list[Shown]:
        shown = [
            item.shown
            for item in bake.items
            if item.quantity == name and (not stage or item.stage == stage) and (but is None or item.stage != but)
        ]
        if name == "hands" and len(shown) > 1:
            # One person's stages on one day are alike: together they are one look at that person.
            mean = math.fsum(item.low for item in shown) / len(shown)
            return [Shown(mean, mean)]
        return shown


def _learned(quantity: Quantity, found: Estimate, bakes: int, prior: Prior, formula: str, stage: str) -> Learned:
    low, high = quantity.shown(found.low), quantity.shown(found.high)
    return Learned(
        quantity=quantity.name,
        title=quantity.title,
        formula=formula,
        stage=stage,
        value=quantity.shown(found.value),
        low=low,
        high=high,
        bakes=bakes,
        prior=quantity.shown(prior.middle),
        used_in=quantity.used_in,
    )
