"""How warm a dough is by the model at the moment of a reading, before that reading has its say."""

from __future__ import annotations

from dataclasses import replace

from proofbell.bake.fermenting.cold import dough_after, warm_terms
from proofbell.bake.state import BakeState
from proofbell.dough.fermenting.retard import Figure


def modelled_c(state: BakeState, index: int, at_s: float, number: int | None = None) -> Figure | None:
    """How warm a stage's dough is at a moment of its bake (°C, range); None where its formula does not tell.

    By what was read before the reading of that ``number`` (None: by all), and by where it came from and stands: the
    path that the stage's length goes by.
    """
    begun_s = state.stages[index].begun_s
    before = tuple(each for each in state.readings if number is None or each.number < number)
    asked = None if begun_s is None else warm_terms(replace(state, readings=before), index)
    return None if asked is None or begun_s is None else dough_after(asked, max(0.0, at_s - begun_s))
