"""Asking of a proof: why this long, how long for another dough, how warm a place for another time. Nothing changes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import groupby

from proofbell.bake.decisions.adjust import changed_by_hand
from proofbell.bake.events import DoughMoved, TimeAdjusted
from proofbell.bake.fermenting.place_words import named
from proofbell.bake.fermenting.terms import Terms, terms, with_readings
from proofbell.bake.state import BakeState
from proofbell.dough.fermenting.fermentation import Card, Estimate
from proofbell.dough.fermenting.leaven import Leaven
from proofbell.dough.fermenting.wanted_time import Place, TakeOut, place_for_time, when_to_take_out
from proofbell.dough.why import Working, proof_working
from proofbell.formula.dough_stages import STANDS
from proofbell.words import length, told_length


def stage_to_ask(state: BakeState) -> int | None:
    """The stage that ferments now, or else the next one that will; None when none is left."""
    ahead = [i for i, run in enumerate(state.stages) if run.ended_s is None and state.stage(i).kind in STANDS]
    if state.closed is not None or not ahead:
        return None
    return state.current if state.current in ahead else ahead[0]


def asked_of(state: BakeState, index: int) -> Terms | None:
    """What a stage's time is worked out from; before it begins, for the dough as hands before it read it last."""
    found, before = terms(state, index), index - 1
    if found is None or found.readings or before not in state.running or before not in state.formula.strand(index):
        return found
    read = [each.value for each in state.readings_in(before, "dough temperature") if each.value is not None]
    return with_readings(found, state, ((0.0, read[-1]),)) if read else found


def working(asked: Terms) -> Working:
    return proof_working(
        stage=asked.stage,
        card=asked.card,
        readings=asked.readings,
        place_c=asked.place_c,
        tau_s=asked.tau_s,
        estimate=asked.estimate(),
        tolerance_k=asked.tolerance_k,
        uncertainty_k=asked.uncertainty_k,
        mixed=asked.mixed,
        ahead_s=asked.ahead_s,
        stood=asked.stood,
    )


def how_it_came(state: BakeState, index: int) -> tuple[str, ...]:
    """How a stage came to the length that it has now, a line for each change; empty when nothing changed it.

    What was changed by hand several times over is told as one change; a move that changed nothing is told too.
    """
    stage, run = state.stage(index), state.stages[index]
    told = sorted([*_moves(state, index), *_changes(state, index)])
    if not told:
        return ()
    is_now = f"{stage.name} is {told_length(run.length_s)} long now; the formula has {length(stage.time_s)}."
    return (is_now, *(f"  {line}" for _, line in told))


def _changes(state: BakeState, index: int) -> Iterator[tuple[int, str]]:
    run = state.stages[index]
    for by_hand, group in groupby(run.adjustments, key=lambda each: each.body.by == "hand"):
        changes = list(group)
        if not by_hand:
            yield from ((change.number, change.body.reason) for change in changes)
            continue
        yield changes[0].number, changed_by_hand(state, index, changes)


def _moves(state: BakeState, index: int) -> Iterator[tuple[int, str]]:
    """The moves of its dough that changed nothing of its length: the others are told by their change."""
    changed = {e.decision for e in state.events if isinstance(e.body, TimeAdjusted) and e.body.stage == index}
    for event in state.events:
        body = event.body
        if isinstance(body, DoughMoved) and body.stage == index and event.number not in state.undone:
            where = named(body.place, body.place_c)
            if event.decision not in changed:
                yield event.number, f"{where[:1].upper()}{where[1:]}: its time stays as it was."


def here_c(asked: Terms) -> float:
    """How warm its place is (°C), as the readings show."""
    return asked.place_c + asked.estimate().path.shown_k


def how_long(asked: Terms, dough_c: float, place_c: float | None = None) -> Estimate:
    """How long the stage takes for a dough that starts at ``dough_c``, here or in another place (°C)."""
    where_c = here_c(asked) if place_c is None else place_c
    return replace(asked, readings=((0.0, dough_c),), place_c=where_c).estimate()


def _card_here(asked: Terms) -> Card:
    """The card's dough in what this one stands in: a question is asked of one time constant."""
    return replace(asked.card, tau_s=asked.tau_s)


WARMEST_PLACE_C: dict[Leaven, float] = {"yeast": 38.0, "sourdough": 30.0}
"""No dough is proofed warmer (°C): gas is made in the prover at 32 to 38 °C (AB Mauri, Factors affecting yeast
fermentation, 2017); a sourdough's yeast is past its best from 30 °C on (M. Gänzle, FAQ of rec.food.sourdough)."""


def how_warm(asked: Terms, seconds: float, dough_c: float | None = None) -> Place:
    """How warm a place makes a dough ready in ``seconds`` from the start of the stage; none that no dough stands in."""
    found = place_for_time(
        _card_here(asked),
        start_c=asked.dough_c if dough_c is None else dough_c,
        tau_s=asked.tau_s,
        seconds=seconds,
        ahead_s=asked.ahead_s,
    )
    too_warm = found.place_c is not None and found.place_c > WARMEST_PLACE_C[asked.card.leaven]
    return Place(None, "too short a time") if too_warm else found


def take_out(
    asked: Terms, seconds: float, dough_c: float | None = None, place_c: float | None = None
) -> TakeOut | None:
    """When a dough that goes into the cold instead must come out, to be ready ``seconds`` from then.

    It comes out to the stage's own place, or to ``place_c``. None when there is no colder place to go to.
    """
    if asked.cold_c is None:
        return None
    return when_to_take_out(
        _card_here(asked),
        start_c=asked.dough_c if dough_c is None else dough_c,
        cold_c=asked.cold_c,
        room_c=asked.place_c if place_c is None else place_c,
        tau_s=asked.tau_s,
        ready_after_s=seconds,
        cold_tau_s=asked.cold_tau_s,
        ahead_s=asked.ahead_s,
    )
