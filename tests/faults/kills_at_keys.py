"""Kills of the whole app in a terminal while keys are pressed: what was shown as done is in the journal."""

from __future__ import annotations

import random
import signal
import tempfile
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from proofbell.bake import events as kinds
from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide, decided
from proofbell.bake.events import Event
from proofbell.bake.intents import Refused
from proofbell.clock import WallClock
from proofbell.journal.storage.store import Journal
from tests.faults.baker import KITCHEN
from tests.faults.looking import look, said, stored
from tests.support.making import BATCH, KNOTS
from tests.support.terminal import Terminal

if TYPE_CHECKING:
    from tests.faults.kills import Tally

AFTER_KEYS_S = 0.25
"""A kill within this comes while the keys are taken in, decided, stored or shown."""


def kill_app(folder: Path, rng: random.Random, tally: Tally) -> None:
    """Say some things with keys, kill the app while the last of them is on its way, and look.

    Raises:
        FAULTS: something that was shown as done is not there, or more than was on its way is; see ``look``.
    """
    wishes = [f"note {rng.getrandbits(30)}" if n % 2 else "longer" for n in range(rng.randint(2, 6))]
    with tempfile.TemporaryDirectory(dir=folder) as own:
        path = Path(own) / "journal.sqlite"
        begin(path)
        with Terminal(Path(own)) as terminal:
            terminal.until("stage 1 of 6")
            for wish in wishes[:-1]:
                terminal.press(keys(wish))
                terminal.until(answer(wish))
            terminal.press(keys(wishes[-1]))
            terminal.read(rng.uniform(0.0, AFTER_KEYS_S))
            terminal.signal(signal.SIGKILL)
            assert terminal.ended() == -signal.SIGKILL
            shown = len(wishes) - (answer(wishes[-1]) not in terminal.text)
        with Journal.open(path) as journal:
            events = stored(journal)
        found = [words for words in map(wished, events) if words]
        assert found in (wishes[:shown], wishes), f"shown were {shown} of {wishes}, stored are {found}"
        look(path, said(events), [], 0, WallClock().stamp())
    tally.kept_unasked += len(found) - shown
    tally.acknowledged += shown
    tally.kills += 1


def begin(path: Path) -> None:
    """A journal with one dough that is being kneaded."""
    # Under a name that no file here has: else it is told that the file differs, on the line that is waited for.
    knots = replace(KNOTS, name="Jetty knots")
    opened = decide(None, intents.Open("knots", "A", knots, BATCH, KITCHEN, "0.1.0"), WallClock().stamp())
    assert not isinstance(opened, Refused)
    begun = decide(decided(None, opened), intents.Begin(), WallClock().stamp())
    assert not isinstance(begun, Refused)
    with Journal.open(path) as journal:
        journal.append([*opened, *begun], 0)


def keys(wish: str) -> str:
    """What to press for it."""
    return "l" if wish == "longer" else f"n{wish}\r"


def answer(wish: str) -> str:
    """What the notice line says once it is stored; never the same twice in a row."""
    return "5 min longer." if wish == "longer" else "Noted."


def wished(event: Event) -> str:
    """The wish that an event answers; empty for what the program says by itself."""
    match event.body:
        case kinds.NoteAdded(text):
            return text
        case kinds.TimeAdjusted(by="hand"):
            return "longer"
    return ""
