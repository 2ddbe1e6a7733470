"""How warm a dough is meant to be where it is read: the one source for the bench, the reading's page and its doubts."""

from __future__ import annotations

from proofbell.bake.fermenting.cold import in_the_cold
from proofbell.bake.fermenting.kneading import before_it_ferments
from proofbell.bake.fermenting.place import place_c
from proofbell.bake.state import BakeState
from proofbell.formula.model import Rate

DRIFT_K = 2.0
"""A dough warms itself by 1 to 2 K an hour (Plötzblog, Bäckerlatein; homebaking.at), and drifts to its place: a
reading on the way may lie so far beside what is expected at the start."""

ON_THE_WAY_K = 8.0
"""A dough that comes so much colder than its place is warming there: later it is meant to be nothing in particular.
Common practice, no source."""

WISH_K = 1.0
"""A formula's one dough temperature is meant to within a degree: common practice, no source."""

Span = tuple[float, float]


def meant_c(state: BakeState, index: int, check: int | None, *, carried: bool = False) -> Span | None:
    """How warm the dough is meant to be in a stage (°C, from, to); None where nobody says, or in the cold.

    ``check``: the number of the check that the reading answers; None for one on the way. ``carried``: it was taken as
    the stage before ended.
    """
    stage, wish_c = state.stage(index), state.formula.dough.temperature_c
    if in_the_cold(state, index) or stage.kind not in ("hands", "proof", "rest"):
        return None
    if (found := _by_checks(state, index, check, carried=carried)) is not None:
        (low_c, high_c), answered = found
        if answered:
            return low_c, high_c
        on_the_way = place_c(state, index) - (low_c + high_c) / 2 > ON_THE_WAY_K
        return None if on_the_way else (low_c - DRIFT_K, high_c + DRIFT_K)
    if stage.kind == "hands":
        return None if wish_c is None or not before_it_ferments(state, index) else (wish_c - WISH_K, wish_c + WISH_K)
    middle_c = stage.adjust.at_c if isinstance(stage.adjust, Rate) else wish_c
    return None if middle_c is None else (middle_c - WISH_K - DRIFT_K, middle_c + WISH_K + DRIFT_K)


def _by_checks(state: BakeState, index: int, check: int | None, *, carried: bool) -> tuple[Span, bool] | None:
    """What a check expects (°C), and whether the reading answers it; else the stage's first that expects anything."""
    asked = [
        (each.expect, number == check or (carried and each.when == "start"))
        for number, each in enumerate(state.stage(index).checks)
        if each.read == "dough temperature" and each.expect is not None
    ]
    return next((each for each in asked if each[1]), next(iter(asked), None))
