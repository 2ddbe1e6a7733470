"""Swapping one form of yeast for another."""

from __future__ import annotations

import re
from dataclasses import replace

from proofbell.formula.model import Ingredient, YeastForm
from proofbell.frozen import dataclass

PER_FRESH: dict[YeastForm, float] = {"fresh": 1.0, "active dry": 0.5, "instant": 0.35}
"""Weight that does the work of 1 g of fresh yeast: W. Gisslen, *Professional Cooking* (40 g fresh, 14 g instant)."""

PER_FRESH_RANGE: dict[YeastForm, tuple[float, float]] = {
    "fresh": (1.0, 1.0),
    "active dry": (0.4, 0.5),
    "instant": (0.33, 0.35),
}
"""What other books say: 0.4 and 0.33 in a bread textbook; 1/2 and 1/3, and 1/3, on sheets of a bakery and a mill."""

_FORM_WORDS = re.compile(r"(?i)\b(?:(?:instant|active) dry|instant|fresh|dry)\b")
"""How a line's name tells its form; "instant dry" is one form, so it is replaced whole."""


@dataclass(frozen=True, slots=True)
class Swap:
    """``ratio``: grams of the new form for one gram of the old. ``low`` to ``high``: what the sources span."""

    ratio: float
    low: float
    high: float


def swap(have: YeastForm, want: YeastForm) -> Swap:
    """Return the ratio of weights from one form of yeast to another."""
    low, high = PER_FRESH_RANGE[want]
    old_low, old_high = PER_FRESH_RANGE[have]
    return Swap(PER_FRESH[want] / PER_FRESH[have], low / old_high, high / old_low) if have != want else Swap(1, 1, 1)


def with_form(ingredient: Ingredient, want: YeastForm) -> Ingredient:
    """Return a line with its yeast in another form, its percentage changed by the ratio; other lines as they are.

    A yeast line without a form is fresh. A preferment's yeast is swapped where its form is told.
    """
    parts = ingredient.made_of
    if parts is not None and parts.form is not None and parts.yeast:
        yeast = parts.yeast * swap(parts.form, want).ratio
        made_of = replace(parts, yeast=yeast, form=want)
        return replace(ingredient, percent=ingredient.percent * made_of.total / parts.total, made_of=made_of)
    if ingredient.kind != "yeast":
        return ingredient
    if ingredient.form == want:
        return ingredient
    ratio = swap(ingredient.form or "fresh", want).ratio
    return replace(
        ingredient, percent=ingredient.percent * ratio, form=want, name=_renamed(ingredient, want), water_percent=None
    )


def _renamed(ingredient: Ingredient, want: YeastForm) -> str:
    """Put the new form into the line's name, in place of the old one."""
    renamed, count = _FORM_WORDS.subn(want, ingredient.name)
    return renamed if count else f"{ingredient.name} ({want})"


DOSE_FRESH_PERCENT = (0.17, 2.0)
"""Fresh yeast, percent of the flour, between which time goes by one over the dose. Below, cells grow, and above, dough
and sugar hold them up."""

DOSE_SPREAD = 1.25
"""By how much the published times lie apart from that line."""


def fresh_percent(ingredient: Ingredient) -> float:
    """Return what a line of yeast comes to as fresh yeast (percent of the flour)."""
    return ingredient.percent / PER_FRESH[ingredient.form or "fresh"]


def dose_times(old: Ingredient, new: Ingredient) -> tuple[float, float, float] | None:
    """Return how many times as long a first rise takes with another dose, with its range; None where nothing is known.

    Fitted to published doses and hours of doughs at about 22 °C, 0.17 to 2 % of fresh yeast: hours × percent = 2.3 to
    4.1, as in habe-ich-selbstgemacht.de (1 g fresh yeast in 600 g of flour 24 h, 2 g 12 h, 5 g 4 h).
    """
    low, high = DOSE_FRESH_PERCENT
    had, has = fresh_percent(old), fresh_percent(new)
    if not (low <= had <= high and low <= has <= high):
        return None
    return had / has, had / has / DOSE_SPREAD, had / has * DOSE_SPREAD
