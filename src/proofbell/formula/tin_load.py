"""How much dough a tin takes, by the kind of tin and the style of the dough."""

from __future__ import annotations

from typing import Literal

from proofbell.formula.model import Style, TinKind
from proofbell.frozen import dataclass
from proofbell.units import FLUID_OUNCE_ML, OUNCE_G, used


@dataclass(frozen=True, slots=True)
class Load:
    """Millilitres of tin for one gram of dough: below ``least_ml`` it overflows, above ``most_ml`` it stays low."""

    least_ml: float
    usual_ml: float
    most_ml: float
    tin: str


LOADS: dict[TinKind, Load] = {
    "open": Load(1.6, 2.3, 3.2, "an open home tin"),
    "lidded": Load(1.6, 1.9, 2.6, "a lidded tin"),
    "plant": Load(3.0, 4.12, 5.5, "a plant's tin"),
}
"""Open: home bakers fill 1.67 to 1.78 ml for each gram (risenflour.com.au), others 2.3 (eurotins.co.uk, 900 g in a 2 lb
tin); Whole Grain 100 rescales a loaf that has 3.06. Lidded: 1.8 to 2.0 for a firm crumb. Plant: 4.12 and 3.10 in US
Armed Forces recipe D01000, 4.39 for wholesale white bread. The bounds around these are choices.
"""

RYE = Load(1.3, 1.5, 2.2, "a rye dough's tin")
"""Rye rises little: its tin is filled by two thirds. Common practice, no source."""


def load(kind: TinKind, style: Style) -> Load:
    """Return what is usual for a kind of tin and a style of dough."""
    return RYE if style == "rye" and kind != "plant" else LOADS[kind]


@dataclass(frozen=True, slots=True)
class Fill:
    """How dough sits in its tin: ``loading_ml`` of tin for each gram, and whether that is sound.

    ``in_tin``: of so many pieces side by side. How much room they want is in no table that was found, only that they
    overflow where a loaf would.
    """

    loading_ml: float
    verdict: Literal["sound", "too full", "too empty"]
    load: Load
    in_tin: int = 1

    @property
    def words(self) -> str:
        """``sound, 2.3 ml for each gram, usual for an open home tin 1.6 to 3.2``."""
        usual = f"usual for {self.load.tin} {_of_each(self.load.least_ml)} to {_of_each(self.load.most_ml)}"
        loading = (
            f"{_of_each(self.loading_ml)} {'fl oz for each ounce' if used().weight == 'oz' else 'ml for each gram'}"
        )
        if self.in_tin > 1 and self.loading_ml > self.load.most_ml:
            return f"{loading}; {usual} with one loaf, for several pieces not known"
        return f"{self.verdict}, {loading}, {usual}"


def _of_each(loading_ml: float) -> str:
    """A volume for each gram, or in a kitchen of ounces for each ounce."""
    return f"{loading_ml * OUNCE_G / FLUID_OUNCE_ML if used().weight == 'oz' else loading_ml:.1f}"


def fill(tin_ml: float, piece_g: float, load: Load, in_tin: int = 1) -> Fill:
    """Return how full a tin of ``tin_ml`` is with ``in_tin`` pieces of ``piece_g``."""
    loading_ml = tin_ml / (piece_g * in_tin)
    if loading_ml < load.least_ml:
        return Fill(loading_ml, "too full", load, in_tin)
    empty = in_tin == 1 and loading_ml > load.most_ml
    return Fill(loading_ml, "too empty" if empty else "sound", load, in_tin)


def tins(pieces: int, in_tin: int) -> int:
    """Return how many tins so many pieces fill, the last perhaps in part."""
    return -(-pieces // in_tin)
