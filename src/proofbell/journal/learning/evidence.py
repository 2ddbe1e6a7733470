"""What one closed bake shows of its kitchen's habits. A new habit is one function and one line in ``LOOKS``.

What a bake was reckoned with at the time does not count: everything is measured against the plain model and the
formula, so that a habit that is used does not teach itself.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from proofbell.bake.heats import first_heat_c
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask
from proofbell.dough.fermenting.rate import COLD_C
from proofbell.dough.liquid import RISE_BEFORE_K
from proofbell.dough.oven import FROM_20_TO_200_K
from proofbell.frozen import dataclass
from proofbell.journal.learning.estimate import Shown
from proofbell.journal.learning.fermenting import drift_shown, pace_shown
from proofbell.journal.learning.quantities import QuantityName
from proofbell.journal.reviews.figures import SOON_S
from proofbell.journal.reviews.losses import bake_loss_percent, make_up_loss_percent


@dataclass(frozen=True, slots=True)
class Evidence:
    """One thing that one bake shows. ``stage`` is named where the habit is a stage's own."""

    quantity: QuantityName
    stage: str
    shown: Shown


@dataclass(frozen=True, slots=True)
class BakeEvidence:
    """Everything that one bake shows; nothing when it is live, given up or not typical."""

    bake: str
    kitchen: str
    formula: str
    items: tuple[Evidence, ...]


def evidence(state: BakeState) -> BakeEvidence:
    counts = state.closed is not None and state.closed.outcome == "finished" and state.typical
    items = tuple(item for look in LOOKS for item in look(state)) if counts else ()
    return BakeEvidence(state.id, state.kitchen.name, state.formula.name, items)


def _value(quantity: QuantityName, value: float, doubt: float = 0.0, stage: str = "") -> Iterator[Evidence]:
    if math.isfinite(value):
        yield Evidence(quantity, stage, Shown(value, value, doubt))


def _rise(state: BakeState) -> Iterator[Evidence]:
    """The first dough temperature soon after kneading, against the heat balance without its warming."""
    batch, formula = state.batch, state.formula
    by_hand = formula.dough.mixing == "hand"
    first = next((r for r in state.readings if r.what == "dough temperature" and r.value is not None), None)
    if batch.expected_c is None or first is None or first.value is None or first.stage is None:
        return
    stages = formula.stages[: first.stage + 1]
    kneaded = [i for i, stage in enumerate(stages) if stage.kind == "hands"]
    if not kneaded or any(stage.kind != "hands" for stage in stages[: first.stage]):
        return
    ended_s = state.stages[kneaded[-1]].ended_s
    if ended_s is not None and first.at_s - ended_s > SOON_S:
        return
    reckoned_k = batch.rise_k
    if reckoned_k is None:
        own_k = state.kitchen.rise_hand_k if by_hand else state.kitchen.rise_machine_k
        usual_k = RISE_BEFORE_K[formula.dough.mixing]
        reckoned_k = next(k for k in (formula.dough.rise_k, own_k, usual_k) if k is not None)
    name: QuantityName = "rise by hand" if by_hand else "rise by machine"
    yield from _value(name, reckoned_k + first.value - batch.expected_c)


def _oven(state: BakeState) -> Iterator[Evidence]:
    """From "oven on" to "oven hot", as the time it would take from 20 to 200 °C; from a cold oven only."""
    at = {mark.task: mark.at_s for mark in state.marks if mark.from_c is None}
    for index in range(len(state.stages)):
        on_s, hot_s = at.get(OvenTask("oven on", index)), at.get(OvenTask("oven hot", index))
        heat_c = first_heat_c(state, index) if state.stage(index).kind == "bake" else None
        if on_s is None or hot_s is None or heat_c is None or hot_s <= on_s or heat_c - state.kitchen.room_c < 50:
            continue
        share = (heat_c - state.kitchen.room_c) / FROM_20_TO_200_K
        yield from _value("oven heat-up", math.log((hot_s - on_s) / share))


def _hands(state: BakeState) -> Iterator[Evidence]:
    for index, run in enumerate(state.stages):
        stage = state.stage(index)
        if stage.kind != "hands" or run.begun_s is None or run.ended_s is None or run.ended_s - run.begun_s < 5:
            continue
        yield from _value("hands", math.log((run.ended_s - run.begun_s) / stage.time_s), stage=stage.name)


def _losses(state: BakeState) -> Iterator[Evidence]:
    made_up, baked = make_up_loss_percent(state), bake_loss_percent(state)
    if made_up is not None:
        yield from _value("make-up loss", made_up)
    if baked is not None:
        yield from _value("bake loss", baked)


def _drift(state: BakeState) -> Iterator[Evidence]:
    for place_c, shown in drift_shown(state):
        yield Evidence("drift in the cold" if place_c < COLD_C else "drift", "", shown)


def _pace(state: BakeState) -> Iterator[Evidence]:
    for shown in pace_shown(state):
        yield Evidence("pace", "", shown)


LOOKS: tuple[Callable[[BakeState], Iterator[Evidence]], ...] = (_rise, _drift, _pace, _oven, _hands, _losses)
