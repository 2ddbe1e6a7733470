"""Asking of a proof: why this long, how long for another dough, how warm a place for another time. Nothing changes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import groupby

from proofbell.bake.checks import carried
from proofbell.bake.decisions.adjust import nominal_s, past_stretch, place_c, tau_s
from proofbell.bake.state import BakeState
from proofbell.dough.fermentation import (
    Estimate,
    Place,
    TakeOut,
    equal_time,
    place_for_time,
    when_to_take_out,
)
from proofbell.dough.path import Readings
from proofbell.dough.why import Working, proof_working
from proofbell.formula.model import Rate
from proofbell.words import length

FERMENTS = ("proof", "rest", "chill")


@dataclass(frozen=True, slots=True)
class Terms:
    """What the time of a stage that ferments is worked out from; names as in :func:`equal_time`.

    ``cold_c`` is where it could be retarded (°C); None when it stands in the cold anyway.
    """

    stage: str
    nominal_s: float
    at_c: float
    nominal_place_c: float
    readings: Readings
    place_c: float
    tau_s: float
    tolerance_k: float
    uncertainty_k: float
    cold_c: float | None = None

    @property
    def dough_c(self) -> float:
        """The dough at the start of the stage: as it was read, or as the formula has it (°C)."""
        return self.readings[0][1] if self.readings else self.at_c

    def estimate(self) -> Estimate:
        """How long it takes as things are."""
        return equal_time(
            nominal_s=self.nominal_s,
            at_c=self.at_c,
            nominal_place_c=self.nominal_place_c,
            readings=self.readings,
            place_c=self.place_c,
            tau_s=self.tau_s,
            tolerance_k=self.tolerance_k,
            uncertainty_k=self.uncertainty_k,
        )


def stage_to_ask(state: BakeState) -> int | None:
    """The stage that ferments now, or else the next one that will; None when none is left."""
    ahead = [i for i, run in enumerate(state.stages) if run.ended_s is None and state.stage(i).kind in FERMENTS]
    return None if state.closed is not None or not ahead else ahead[0]


def terms(state: BakeState, index: int) -> Terms | None:
    """What a stage's time is worked out from; None when the formula does not say how warm the dough should be."""
    stage, begun_s = state.stage(index), state.stages[index].begun_s
    rule = stage.adjust if isinstance(stage.adjust, Rate) else None
    at_c = state.formula.dough.temperature_c if rule is None else rule.at_c
    if at_c is None or stage.kind not in FERMENTS:
        return None
    here_c = place_c(state, index)
    meant_c = None if rule is None else rule.place_c
    if meant_c is None:
        meant_c = stage.place_c if stage.place_c is not None else here_c
    pace = state.kitchen.pace
    readings = () if begun_s is None else _readings(state, index, begun_s)
    return Terms(
        stage=stage.name if pace == 1 else f"{stage.name}, by this kitchen's pace ({pace:.2f} times the formula's)",
        nominal_s=nominal_s(state, index),
        at_c=at_c,
        nominal_place_c=meant_c,
        readings=readings,
        place_c=here_c,
        tau_s=tau_s(state, index),
        tolerance_k=state.kitchen.probe.good_to_k(readings[-1][1] if readings else at_c),
        uncertainty_k=state.kitchen.uncertainty_k,
        cold_c=_cold_c(state, index, here_c),
    )


def _cold_c(state: BakeState, index: int, here_c: float) -> float | None:
    """The formula's own cold place for a retard, or else the fridge."""
    instead = state.stage(index).chill_instead
    cold_c = state.kitchen.fridge_c if instead is None else instead.place_c
    return cold_c if cold_c < here_c and state.stage(index).kind != "chill" else None


def _readings(state: BakeState, index: int, begun_s: float) -> Readings:
    before = carried(state, index, "dough temperature")
    first = [] if before is None or before.value is None else [(0.0, before.value)]
    inside = [(r.at_s - begun_s, r.value) for r in state.readings_in(index, "dough temperature") if r.value is not None]
    return (*first, *inside)


def working(asked: Terms) -> Working:
    """The working of a stage's time, line by line."""
    return proof_working(
        stage=asked.stage,
        nominal_s=asked.nominal_s,
        at_c=asked.at_c,
        nominal_place_c=asked.nominal_place_c,
        readings=asked.readings,
        place_c=asked.place_c,
        tau_s=asked.tau_s,
        estimate=asked.estimate(),
        tolerance_k=asked.tolerance_k,
        uncertainty_k=asked.uncertainty_k,
    )


def how_it_came(state: BakeState, index: int) -> tuple[str, ...]:
    """How a stage came to the length that it has now, a line for each change; empty when nothing changed it.

    What was changed by hand several times over is told as one change.
    """
    stage, run = state.stage(index), state.stages[index]
    told: list[str] = []
    for by_hand, group in groupby(run.adjustments, key=lambda each: each.body.by == "hand"):
        changes = [each.body for each in group]
        if not by_hand:
            told += [change.reason for change in changes]
            continue
        by_s = changes[-1].to_s - changes[0].from_s
        word = "longer" if by_s >= 0 else "shorter"
        told.append(f"{length(abs(by_s))} {word} by hand.{past_stretch(stage, changes[-1].to_s)}")
    if not told:
        return ()
    first = f"{stage.name} is {length(run.length_s)} long now; the formula has {length(stage.time_s)}."
    return (first, *(f"  {line}" for line in told), "What the rate says:")


def how_long(asked: Terms, dough_c: float, place_c: float | None = None) -> Estimate:
    """How long the stage takes for a dough that starts at ``dough_c``, here or in another place (°C)."""
    where_c = asked.place_c if place_c is None else place_c
    return replace(asked, readings=((0.0, dough_c),), place_c=where_c).estimate()


def how_warm(asked: Terms, seconds: float, dough_c: float | None = None) -> Place:
    """How warm a place makes a dough ready in ``seconds`` from the start of the stage."""
    return place_for_time(
        nominal_s=asked.nominal_s,
        at_c=asked.at_c,
        nominal_place_c=asked.nominal_place_c,
        start_c=asked.dough_c if dough_c is None else dough_c,
        tau_s=asked.tau_s,
        seconds=seconds,
    )


def take_out(
    asked: Terms, seconds: float, dough_c: float | None = None, place_c: float | None = None
) -> TakeOut | None:
    """When a dough that goes into the cold instead must come out, to be ready ``seconds`` from then.

    It comes out to the stage's own place, or to ``place_c``. None when there is no colder place to go to.
    """
    if asked.cold_c is None:
        return None
    return when_to_take_out(
        nominal_s=asked.nominal_s,
        at_c=asked.at_c,
        nominal_place_c=asked.nominal_place_c,
        start_c=asked.dough_c if dough_c is None else dough_c,
        cold_c=asked.cold_c,
        room_c=asked.place_c if place_c is None else place_c,
        tau_s=asked.tau_s,
        ready_after_s=seconds,
    )
