"""What a formula comes to in the size, warmth and yeast that were typed, by what past bakes teach of it. Pure."""

from __future__ import annotations

from textual.content import Content

from proofbell.app.drawing.content import outside, own
from proofbell.app.start.sizing import Sized
from proofbell.app.start.start_words import comes_to, kept_by
from proofbell.bake.stamp import Stamp
from proofbell.bake.weigh.dose import SLOWER, dosed, yeast_to_dose
from proofbell.bake.weigh.weigh_out import WeighOut, weigh_out
from proofbell.formula.model import Formula, YeastForm
from proofbell.frozen import dataclass
from proofbell.journal.learning.habits import Habits
from proofbell.journal.learning.use import Use, use
from proofbell.kitchen.model import Kitchen


@dataclass(frozen=True, slots=True)
class Asked:
    """A formula and what was typed beside it; ``yeast`` None is the formula's own form."""

    formula: Formula
    sized: Sized
    yeast: YeastForm | None


def worked_out(
    asked: Asked, kitchen: Kitchen, habits: Habits | None, now: Stamp
) -> tuple[tuple[WeighOut, Use], list[Content]]:
    """The weigh-out, what is known of the formula, and both in words.

    Raises:
        Failure: it cannot be weighed out in that size.
    """
    formula, dose = _dosed(asked)
    today = asked.sized.today.over(kitchen)
    known = use(habits or Habits((), today), today, formula)
    out = weigh_out(
        known.weigh_formula,
        known.kitchen,
        asked.sized.wish,
        tin_ml=asked.sized.tin_ml,
        yeast=asked.yeast,
        learned_rise_k=known.rise_k,
        learned_rise_range_k=known.rise_range_k,
        learned_loss_percent=known.bake_loss_percent,
    )
    size, *others = comes_to(formula, out, known, now, asked.yeast)
    beside = [own(SLOWER, "dim")] if dose else []
    return (out, known), [size, *dose, *others, *beside, *kept_by(asked.sized.today.places)]


def _dosed(asked: Asked) -> tuple[Formula, list[Content]]:
    """The formula with the dose of yeast that was typed, and what that does."""
    if asked.sized.dose_percent is None or yeast_to_dose(asked.formula) is None:
        return asked.formula, []
    changed, words = dosed(asked.formula, asked.sized.dose_percent, asked.yeast)
    return changed, [outside(words[:1].upper() + words[1:], most=400)]
