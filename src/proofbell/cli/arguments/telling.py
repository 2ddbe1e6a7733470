"""Says something to a live bake for a command: what is meant is looked up at the bench as it is, then decided."""

from __future__ import annotations

import argparse
from collections.abc import Callable

from proofbell import places
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.state import BakeState
from proofbell.bench.done_means import is_same_press
from proofbell.bench.oven.heat import also_off
from proofbell.cli.arguments.live_bake import add_bake, live_in, no_bake
from proofbell.cli.printed.bench_text import Seen, seen_at
from proofbell.cli.printed.journal_waiting import say_if_busy
from proofbell.cli.printed.told import Told
from proofbell.clock import Patience, WallClock
from proofbell.errors import Failure
from proofbell.journal.files.place import is_there
from proofbell.journal.storage.deciding import opened, patiently, say
from proofbell.kitchen.file import load_kitchen


def add_telling(parser: argparse.ArgumentParser) -> None:
    """Declare what every word to a bake takes."""
    add_bake(parser)
    parser.add_argument("--json", action="store_true", help="one JSON document on standard output")


def tell(named: str | None, word: Intent, meant: Callable[[BakeState, Seen], Intent]) -> Told:
    """Say ``word`` to the bake that is ``named``; ``meant`` makes of it what it means for that bake now.

    Raises Failure: there is no such bake, or it cannot be said of it. Nothing is changed then.
    """
    clock, retry = WallClock(), Patience()
    pressed = clock.stamp()
    path, kitchen = places.journal_file(), load_kitchen(places.kitchen_file())
    if not is_there(path):
        raise no_bake()
    say_if_busy(path)
    with opened(path, retry) as journal:
        live = patiently(lambda: live_in(journal), retry)
        state = live.chosen(named)
        others = [one for one in live.states if one.id != state.id]
        if is_same_press(state, word, pressed):
            return Told(state, (), seen_at(live.states, kitchen, clock.stamp()))
        intent = meant(state, seen_at(live.states, kitchen, pressed))
        said = say(journal, state.id, intent, clock.stamp, retry, seen=state)
        if isinstance(said, Refused):
            now = next((one for one in patiently(lambda: live_in(journal), retry).states if one.id == state.id), state)
            if is_same_press(now, word, pressed):
                return Told(now, (), seen_at([*others, now], kitchen, clock.stamp()))
            raise Failure(said.message, said.remedy, status=1)
        for other, off in also_off(others, state.id, intent):
            say(journal, other, off, clock.stamp, retry)
    return Told(said.state, said.events, seen_at([*others, said.state], kitchen, clock.stamp()))
