"""Live bakes in a journal on the disk, and what a command printed of them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide, decided
from proofbell.bake.fold import fold
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.state import BakeState
from proofbell.cli import printed
from proofbell.clock import WallClock
from proofbell.journal.storage.store import Journal
from proofbell.kitchen.model import Kitchen
from tests.support.baking import BATCH, WHOLE

Captured = pytest.CaptureFixture[str]


def bake(path: Path, letter: str, *said: Intent) -> None:
    """Put a live bake into the journal."""
    state: BakeState | None = None
    with Journal.open(path) as journal:
        for intent in (intents.Open(f"bake-{letter}", letter, WHOLE, BATCH, Kitchen(), "0"), *said):
            decision = decide(state, intent, WallClock().stamp())
            assert not isinstance(decision, Refused)
            journal.append(decision, 0 if state is None else state.last.number)
            state = decided(state, decision)


PROVING = (intents.Begin(), intents.Done(), intents.Done())
"""Said after opening, they bring a bake into its first proof."""


def state_of(path: Path, letter: str) -> BakeState:
    with Journal.open(path) as journal:
        return fold(journal.events_of(f"bake-{letter}"))


def document(capsys: Captured, name: str) -> dict[str, Any]:
    """What was printed, which is as its schema says."""
    told: dict[str, Any] = json.loads(capsys.readouterr().out)
    schema = json.loads((Path(printed.__path__[0]) / f"{name}.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(told, schema, cls=jsonschema.Draft202012Validator)
    return told
