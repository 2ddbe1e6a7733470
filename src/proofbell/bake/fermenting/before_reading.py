"""How warm a dough is by the model at the moment of a reading, before that reading has its say."""

from __future__ import annotations

from dataclasses import replace

from proofbell.bake.fermenting.cold import before_it, dough_after, in_the_cold, moved_dough, warm_terms
from proofbell.bake.fermenting.meant import meant_c
from proofbell.bake.fermenting.place import place_c
from proofbell.bake.state import BakeState
from proofbell.dough.fermenting.retard import Figure

SHOWN_K = 2.0
"""Two readings that show a place cooler by so much than was said of it are believed: common practice, no source."""


def shown_place_c(state: BakeState, index: int) -> float | None:
    """Where a dough stands (°C) by its last two readings, where that is cooler than what was said; None where not."""
    if state.stages[index].begun_s is None or sum(each.what == "dough temperature" for each in state.readings) < 2:
        return None
    asked = warm_terms(state, index)
    if asked is None or len(asked.readings) < 2:
        return None
    shown_k = asked.estimate().path.shown_k
    return place_c(state, index) + shown_k if shown_k <= -SHOWN_K else None


def likely_by_now(state: BakeState, index: int, at_s: float) -> Figure | None:
    """How warm a dough is likely to be at a moment of its bake (°C, range), where it was moved, or was in the cold.

    None where its card says how warm it is meant to be.
    """
    moved = moved_dough(state, index, at_s)
    if moved is not None or before_it(state, index) is None:
        return moved
    return modelled_c(state, index, at_s)


def likely_on_its_way(state: BakeState, index: int, at_s: float, check: int | None) -> Figure | None:
    """The same of a dough that was read before: in its proof, or beside what this proof's card means.

    ``check``: the number of the check that the reading answers, which says itself how warm it is meant; None for none.
    """
    found = likely_by_now(state, index, at_s)
    proof = state.stage(index).kind == "proof" and not in_the_cold(state, index)
    if found is not None or not proof or not any(each.what == "dough temperature" for each in state.readings):
        return found
    if check is None:
        return modelled_c(state, index, at_s) if state.readings_in(index, "dough temperature") else None
    meant, path = meant_c(state, index, check), modelled_c(state, index, at_s)
    return None if meant is None or path is None or meant[0] <= path.value <= meant[1] else path


def modelled_c(state: BakeState, index: int, at_s: float, number: int | None = None) -> Figure | None:
    """How warm a stage's dough is at a moment of its bake (°C, range); None where its formula does not tell.

    By what was read before the reading of that ``number`` (None: by all), and by where it came from and stands: the
    path that the stage's length goes by.
    """
    begun_s = state.stages[index].begun_s
    before = tuple(each for each in state.readings if number is None or each.number < number)
    asked = None if begun_s is None else warm_terms(replace(state, readings=before), index)
    return None if asked is None or begun_s is None else dough_after(asked, max(0.0, at_s - begun_s))
