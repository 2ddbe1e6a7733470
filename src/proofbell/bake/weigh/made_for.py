"""What a batch is made for: loaves of a weight once they are cool, and tins."""

from __future__ import annotations

from dataclasses import dataclass

from proofbell.dough.tins import ROOMY_ML, TIGHT_ML, Fill
from proofbell.words import grams, percent


@dataclass(frozen=True, slots=True)
class Loaf:
    """The batch was sized by what one loaf weighs once it is cool (g): what the oven and cooling are to take.

    ``learned``: by past bakes here, else by the published figure.
    """

    cooled_g: float
    bake_loss_percent: float
    learned: bool

    @property
    def words(self) -> str:
        """What was reckoned with, and whose figure it is."""
        whose = "as past bakes here lost" if self.learned else "the published figure for wheat loaves"
        return f"for loaves of {grams(self.cooled_g)} once cool: bake loss {percent(self.bake_loss_percent)}, {whose}"


@dataclass(frozen=True, slots=True)
class InTin:
    """Each piece goes into a tin of ``tin_ml``; ``fill`` says how it sits there."""

    tin_ml: float
    fill: Fill

    @property
    def words(self) -> str:
        """Whether that is sound, and how much of the tin there is for each gram of dough, beside what is usual."""
        return (
            f"in tins of {self.tin_ml:.0f} ml: {self.fill.verdict}, {self.fill.loading_ml:.1f} ml for each gram, usual "
            f"{TIGHT_ML:.1f} to {ROOMY_ML:.1f}"
        )
