"""A baker who says things at random, decided and stored as the app decides and stores them."""

from __future__ import annotations

import random
from collections.abc import Sequence

from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide
from proofbell.bake.events import Event
from proofbell.bake.fold import fold
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bench.board import free_letter
from proofbell.journal.storage.store import Journal
from proofbell.kitchen.model import Kitchen
from tests.support.making import BATCH, KNOTS

DOUGHS = 4
"""So many are on the bench at most: more would only make each shorter."""

KITCHEN = Kitchen(name="Guesthouse")


def live_states(journal: Journal) -> list[BakeState]:
    """The bakes that are on, each folded from its events, digests checked."""
    return [fold(journal.events_of(bake)) for bake in journal.live_bakes()]


def another(rng: random.Random, states: Sequence[BakeState]) -> intents.Open:
    """One dough more, under the first letter that is free as far as this baker can see."""
    letter = free_letter(state.letter for state in states)
    assert letter is not None, "the bench is full"
    return intents.Open(f"{rng.getrandbits(64):016x}", letter, KNOTS, BATCH, KITCHEN, "0.1.0")


def wish(rng: random.Random, states: Sequence[BakeState]) -> tuple[BakeState | None, Intent]:
    """Something that a baker may want of one of the doughs, or another dough; it may well be refused."""
    if not states or (len(states) < DOUGHS and rng.random() < 0.15):
        return None, another(rng, states)
    state = rng.choice(states)
    if not state.begun:
        return state, intents.Begin()
    c = round(rng.uniform(22.0, 30.0), 1)
    wishes: tuple[Intent, ...] = (
        intents.Done(),
        intents.Read("dough temperature", f"{c:g}", raw=c, sure=True),
        intents.Longer(60.0 * rng.randint(1, 9)),
        intents.AddNote("the ferry was late " * rng.randint(1, 60)),
        intents.Undo(),
        intents.GiveUp("dropped"),
    )
    return state, rng.choices(wishes, weights=(6, 5, 3, 5, 2, 1))[0]


def decision(rng: random.Random, states: Sequence[BakeState], now: Stamp) -> tuple[tuple[Event, ...], int]:
    """The events of something that was not refused, and the number they come after."""
    while True:
        state, intent = wish(rng, states)
        events = decide(state, intent, now)
        if not isinstance(events, Refused):
            return events, 0 if state is None else state.last.number


def opening(rng: random.Random, states: Sequence[BakeState], now: Stamp) -> tuple[tuple[Event, ...], int]:
    """The events of one dough more, and the number they come after."""
    events = decide(None, another(rng, states), now)
    assert not isinstance(events, Refused)
    return events, 0
