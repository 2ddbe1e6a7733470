"""A made-up year in the guesthouse: knots once a week, a probe that reads high from June on, an oven that weakens.

The probe reads 1.5 °C too warm from 2 June on. The oven heats slower and slower from the middle of July and is
repaired on 12 September, when its new heat-up time is written into the kitchen file.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import cache
from pathlib import Path

from proofbell.bake import events as kinds
from proofbell.bake.events import Body, Event
from proofbell.bake.fold import fold
from proofbell.bake.record import make_event, to_row
from proofbell.bake.stamp import Stamp
from proofbell.bake.tasks import OvenTask
from proofbell.journal.reviews.figures import figures_from, kept_figures
from proofbell.journal.reviews.summary import Summary, summarise
from proofbell.journal.storage.rows import INSERT, values_of
from proofbell.journal.storage.schema import transaction
from proofbell.journal.storage.store import Journal
from proofbell.kitchen.model import Kitchen, Oven
from tests.support.making import BATCH, KNOTS

READS_HIGH = date(2025, 6, 2)
WEAKENS, REPAIRED = date(2025, 7, 14), date(2025, 9, 12)
HOT_DAY, GIVEN_UP = date(2025, 8, 8), date(2025, 11, 14)
HIGH_K = 1.5

OLD = Kitchen(name="Guesthouse", oven=Oven(heat_up_s=35 * 60.0))
NEW = replace(OLD, oven=Oven(heat_up_s=24 * 60.0))


def days() -> Iterator[date]:
    """Every Friday."""
    at = date(2025, 1, 3)
    while at.year == 2025:
        yield at
        at += timedelta(days=7)


def year(seed: int = 6) -> Iterator[list[Event]]:
    """The bakes, each as its events."""
    chance = random.Random(seed)
    for day in days():
        yield _bake(chance, day)


@cache
def summaries() -> tuple[Summary, ...]:
    """The year as the journal's list has it, the newest first."""
    return tuple(summarise(fold(events)) for events in reversed([*year()]))


def with_note(kept: str, note: str) -> str:
    """A bake's figures with another note."""
    (found,) = figures_from([kept])
    assert found is not None
    return kept_figures(found._replace(note=note))


def fill_year(path: Path) -> None:
    """Write a journal of that year."""
    with Journal.open(path) as journal, transaction(journal.connection):
        for events in year():
            journal.connection.executemany(INSERT, [values_of(to_row(event)) for event in events])


def _bake(chance: random.Random, day: date) -> list[Event]:
    high_k = HIGH_K if day >= READS_HIGH else 0.0
    weak = max(0, (day - WEAKENS).days) / 7 if day < REPAIRED else 0.0
    hot = day == HOT_DAY
    dough_c = 25.0 + chance.gauss(0, 0.35) + high_k + (2.6 if hot else 0.0)
    over_s, bake_s = abs(chance.gauss(0, 150)), 960 + chance.gauss(0, 25) + 38 * weak
    late_s = 240 * weak
    bodies: list[tuple[float, Body]] = [
        (0, kinds.BakeOpened("A", KNOTS, BATCH, OLD if day < REPAIRED else NEW, "0.1.0")),
        (60, kinds.StageBegun(0)),
    ]
    if day == REPAIRED:
        bodies.append((70, kinds.NoteAdded("Oven repaired: a new element.")))
    if hot:
        bodies.append((80, kinds.ReadingTaken("room temperature", 29.5, "29.5", stage=0)))
        bodies.append((90, kinds.NoteAdded("Hot day, the milk stood out.")))
    at_s = 600.0
    bodies += [(at_s, kinds.StageEnded(0)), (at_s, kinds.StageBegun(1))]
    bodies.append((at_s + 30, kinds.ReadingTaken("dough temperature", round(dough_c, 1), "", stage=1, check=0)))
    if day == GIVEN_UP:
        return _chain(day, [*bodies, (3000, kinds.BakeClosed("given up", "the power was off"))])
    at_s += 4200 + over_s
    bodies += [(at_s, kinds.StageEnded(1)), (at_s, kinds.StageBegun(2))]
    at_s += 1080 + chance.gauss(0, 60)
    bodies += [(at_s, kinds.StageEnded(2)), (at_s, kinds.StageBegun(3))]
    bodies.append((at_s + 600, kinds.TaskDone(OvenTask("oven on", 4), 3)))
    bodies.append((at_s + 3000 + late_s, kinds.TaskDone(OvenTask("oven hot", 4), 3)))
    at_s += 3000 + late_s + 60
    bodies.append((at_s - 5, kinds.ReadingTaken("weight", 915.0, "915", stage=3)))
    bodies += [(at_s, kinds.StageEnded(3)), (at_s, kinds.StageBegun(4))]
    at_s += bake_s
    core_c = 91.0 + chance.gauss(0, 0.5) + high_k
    bodies.append((at_s - 5, kinds.ReadingTaken("core temperature", round(core_c, 1), "", stage=4)))
    bodies += [
        (at_s, kinds.StageEnded(4)),
        (at_s, kinds.TaskDone(OvenTask("oven off", 4), 4)),
        (at_s, kinds.StageBegun(5)),
    ]
    at_s += 1800
    loss_percent = 11.0 + chance.gauss(0, 0.35) + 0.35 * weak
    bodies.append((at_s - 5, kinds.ReadingTaken("weight", round(915 * (1 - loss_percent / 100)), "", stage=5)))
    bodies += [(at_s, kinds.StageEnded(5)), (at_s, kinds.BakeClosed("finished"))]
    points = max(1, min(10, round(chance.gauss(8 - 0.2 * weak, 0.8))))
    bodies += [(at_s, kinds.ScoreGiven(line, points)) for line in ("volume", "crumb")]
    return _chain(day, bodies)


def _chain(day: date, bodies: list[tuple[float, Body]]) -> list[Event]:
    begin_us = round(datetime(day.year, day.month, day.day, 6, tzinfo=UTC).timestamp() * 1_000_000)
    bake, events = f"{day:%Y-%m-%d}-harbour-knots", list[Event]()
    for number, (after_s, body) in enumerate(bodies, start=1):
        at_us = round(after_s * 1_000_000)
        stamp = Stamp(begin_us + at_us, 10**9 + at_us, f"boot-{day}", 60)
        events.append(make_event(bake, number, number, stamp, body, events[-1].digest if events else ""))
    return events
