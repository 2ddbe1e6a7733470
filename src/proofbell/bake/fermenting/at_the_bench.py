"""A dough that hands left standing: what it fermented there beyond its card's time counts in the proof that follows."""

from __future__ import annotations

import math
from dataclasses import replace

from proofbell.bake.fermenting.place import room_c
from proofbell.bake.fermenting.terms import Terms, tau_s
from proofbell.bake.state import BakeState
from proofbell.dough.fermenting.drift import Drift
from proofbell.dough.fermenting.fermentation import Ahead
from proofbell.dough.fermenting.leaven import CURVES
from proofbell.formula.dough_stages import STANDS, is_divided
from proofbell.formula.model import Stage

LONG_S, LONG_SHARE = 600.0, 0.5
"""So much longer than meant, and by so great a share, is too long at the bench: common practice, no source."""


def too_long_at_the_bench(stage: Stage, late_s: float) -> bool:
    """Whether hands took so much longer over a dough (s) that it rose meanwhile."""
    return late_s >= max(LONG_S, LONG_SHARE * stage.time_s)


def stood_over(state: BakeState, index: int) -> tuple[str, float] | None:
    """The hands' stage just before a proof that went on too long: its name, and by how much (s); None: it did not."""
    before, strand = index - 1, state.formula.strand(index)
    stage = state.stage(before) if before in strand else None
    if stage is None or stage.kind != "hands" or state.stage(index).kind not in STANDS:
        return None
    if not any(state.stage(each).kind in STANDS for each in range(strand.start, before)):
        return None  # it is being mixed yet
    run = state.stages[before]
    if run.begun_s is None or run.ended_s is None:
        return None
    late_s = run.ended_s - run.begun_s - stage.time_s
    return (stage.name, late_s) if too_long_at_the_bench(stage, late_s) else None


def with_the_bench(state: BakeState, index: int, asked: Terms) -> Terms:
    """A stage's terms with what its dough is ahead by from the bench.

    A whole dough stood for all that time. Of pieces the first did and the last did not: half of it is taken, as the
    middle one has it. Common practice, no source.
    """
    found = stood_over(state, index)
    if found is None:
        return asked
    room = Drift(asked.dough_c, room_c(state), tau_s(state, index, room_c(state)))
    amount_s = room.amount_s(found[1], curve=CURVES[asked.leaven])
    before = Ahead() if asked.ahead is None else asked.ahead
    low_s, likely_s = (0.0, amount_s / 2) if is_divided(state.formula, index) else (amount_s, amount_s)
    ahead = Ahead(
        before.amount_s + likely_s,
        min(before.low_s, before.amount_s) + low_s,
        max(before.high_s, before.amount_s) + amount_s,
    )
    return replace(asked, ahead=ahead)


def gained_s(state: BakeState, index: int, asked: Terms) -> float:
    """How much shorter (s) a stage is by what its dough did at the bench."""
    if stood_over(state, index) is None:
        return 0.0
    less_s = asked.estimate().seconds - with_the_bench(state, index, asked).estimate().seconds
    return less_s if math.isfinite(less_s) else 0.0
