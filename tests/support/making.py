"""Bakes of a small harbour guesthouse, made event by event, for the tests of the journal."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from dataclasses import replace

from proofbell.bake import events as kinds
from proofbell.bake.events import Body, Event
from proofbell.bake.record import Row, chained_digest, make_event, to_row
from proofbell.bake.stamp import Stamp
from proofbell.bake.weigh.batch import Batch, BatchLine
from proofbell.formula.model import (
    Band,
    Bands,
    BatchSize,
    Check,
    DoughWish,
    Formula,
    Ingredient,
    OvenWish,
    Rate,
    Stage,
)
from proofbell.kitchen.model import Kitchen

MORNING_US = 1_773_471_600_000_000
"""14 March 2026, 07:00 UTC."""

KNOTS_TEXT = 'name = "Harbour knots"\n'

KNOTS = Formula(
    name="Harbour knots",
    style="enriched",
    batch=BatchSize(pieces=12, piece_g=75.0, loss_percent=2.0),
    dough=DoughWish(temperature_c=25.0, mixing="hand", rise_k=1.5),
    oven=OvenWish(temperature_c=190.0),
    ingredients=(
        Ingredient("strong white flour", 100.0, "flour", contains=("wheat",)),
        Ingredient("whole milk", 50.0, "milk", heat=True, contains=("milk",)),
        Ingredient("butter", 15.0, "fat", contains=("milk",)),
        Ingredient("salt", 1.8, "salt"),
        Ingredient("yeast", 1.5, "yeast", form="instant"),
    ),
    stages=(
        Stage("Knead", "hands", 540.0),
        Stage(
            "First proof",
            "proof",
            4200.0,
            stretch=(3000.0, 6000.0),
            checks=(Check("dough temperature", "start", expect=(24.0, 26.0)),),
            adjust=Bands("dough temperature", (Band(24.0, 5100.0), Band(26.0, 4200.0), Band(None, 3300.0))),
        ),
        Stage("Shape", "hands", 1080.0),
        Stage("Final proof", "proof", 3000.0, stretch=(2100.0, 4200.0), adjust=Rate(25.0, 22.0)),
        Stage("Bake", "bake", 960.0, stretch=(840.0, 1200.0), core=(88.0, 94.0)),
        Stage("Cool", "cool", 1800.0),
    ),
    text=KNOTS_TEXT,
    digest=hashlib.sha256(KNOTS_TEXT.encode()).hexdigest(),
)

BATCH = Batch(
    lines=(
        BatchLine("strong white flour", 545.0, 21.0),
        BatchLine("whole milk", 272.0, 31.0),
        BatchLine("butter", 82.0, 21.0),
        BatchLine("salt", 9.8),
        BatchLine("yeast", 8.2),
    ),
    dough_g=918.0,
    flour_g=545.0,
    pieces=12,
    piece_g=75.0,
    liquid="whole milk",
    liquid_c=31.0,
    expected_c=25.0,
)


def stamp(after_s: float, *, boot: str = "boot-1", wall_shift_s: float = 0.0) -> Stamp:
    """A moment ``after_s`` seconds after the morning began."""
    passed_us = round(after_s * 1_000_000)
    return Stamp(MORNING_US + passed_us + round(wall_shift_s * 1_000_000), 5_000_000_000 + passed_us, boot, 60)


def opened(formula: Formula = KNOTS, kitchen: Kitchen | None = None, letter: str = "A") -> kinds.BakeOpened:
    """The first event's body."""
    return kinds.BakeOpened(letter, formula, BATCH, kitchen or Kitchen(name="Guesthouse"), "0.1.0")


def chain(bake: str, bodies: Sequence[tuple[float, Body]], before: Sequence[Event] = ()) -> list[Event]:
    """Events for (seconds, body) pairs, each a decision of its own, after those ``before``."""
    events = list(before)
    for after_s, body in bodies:
        number = len(events) + 1
        events.append(make_event(bake, number, number, stamp(after_s), body, events[-1].digest if events else ""))
    return events[len(before) :]


def first_events(bake: str, notes: int = 2, letter: str = "A") -> list[Event]:
    """A bake that was opened, with some notes."""
    return chain(
        bake, [(0.0, opened(letter=letter)), *((float(n), kinds.NoteAdded(f"note {n}")) for n in range(1, notes + 1))]
    )


SINCE = {
    "batch": ("loaf_g", "tin_ml", "tin_kind", "rise_k", "rise_from", "rise_range_k"),
    "kitchen": ("pace", "drift", "drift_cold"),
}
"""What the first event of a bake gained after the first journals were written."""


def old_row() -> Row:
    """A bake's first line without the fields that came later, chained as it was then."""
    row = to_row(chain("b1", [(0.0, opened())])[0])
    plain = json.loads(row.body)
    for part, names in SINCE.items():
        for name in names:
            del plain[part][name]
    body = json.dumps(plain, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    bare = replace(row, body=body, digest="")
    return replace(bare, digest=chained_digest("", bare))
