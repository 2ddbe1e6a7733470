"""What a batch is made for: loaves of a weight once they are cool, and tins."""

from __future__ import annotations

from proofbell.dough.done import FITTED_LOW_G, fitted
from proofbell.dough.weights import Size, shares
from proofbell.formula.model import Formula, TinKind
from proofbell.formula.tin_load import Fill, tins
from proofbell.frozen import dataclass
from proofbell.words import counted, grams, percent, volume

_OTHER = 0.15
"""Pieces that weigh so much more or less (a share) bake in another time: common practice, no source."""


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
        if not self.learned and not fitted(self.cooled_g):
            small = self.cooled_g < FITTED_LOW_G
            whose += f" of 650 g to 1 kg of dough; {'smaller ones lose more' if small else 'larger ones lose less'}"
            whose += ", so weigh one before the oven and after"
        return f"for loaves of {grams(self.cooled_g)} once cool: bake loss {percent(self.bake_loss_percent)}, {whose}"


@dataclass(frozen=True, slots=True)
class InTin:
    """Pieces go into tins of ``tin_ml``; ``fill`` says how they sit there."""

    tin_ml: float
    kind: TinKind
    fill: Fill

    @property
    def words(self) -> str:
        """Whether that is sound, beside what is usual for such a tin and dough."""
        return f"in tins of {volume(self.tin_ml)}: {self.fill.words}"


def tin_words(pieces: int | None, in_tin: int | None) -> str:
    """How many tins the pieces fill: ``9 in a tin, 2 tins``; nothing where the formula does not say."""
    if pieces is None or in_tin is None:
        return ""
    return f"{in_tin} in a tin, {counted(tins(pieces, in_tin), 'tin')}"


def times_note(formula: Formula, size: Size) -> str:
    """That pieces much heavier or lighter than the formula's take another time than it says; or nothing."""
    batch = formula.batch
    flour_g = batch.flour_g and batch.flour_g * shares(formula.ingredients).total / 100
    own_g, made_g = batch.piece_g or batch.dough_g or flour_g, size.piece_g or size.dough_g
    if not own_g or abs(made_g / own_g - 1) < _OTHER:
        return ""
    pieces = f"pieces of {grams(own_g)}: these" if size.piece_g else f"{grams(own_g)} of dough: in one piece this"
    verbs = "prove and bake" if size.piece_g else "proves and bakes"
    return (
        f"The formula's times are for {pieces} {verbs} {'longer' if made_g > own_g else 'less long'}. Go by the core."
    )
