"""The journal: a decision put on the disk, what is live found, and what a baker does with ten thousand bakes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from time import perf_counter, process_time
from typing import TypeVar

from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide, decided
from proofbell.bake.intents import Refused
from proofbell.clock import WallClock
from proofbell.journal.export.exports import FORMS, reviews
from proofbell.journal.index import bakes
from proofbell.journal.recovery.verify import verify
from proofbell.journal.reviews.compare import compare
from proofbell.journal.reviews.review import review
from proofbell.journal.reviews.search import Query, ordered, search
from proofbell.journal.storage.opening import apply_settings, connect
from proofbell.journal.storage.schema import transaction
from proofbell.journal.storage.store import Journal
from tests.benchmarks.speed.figures import Figure, Samples

T = TypeVar("T")


def timed(work: Callable[[], T], samples: Samples) -> T:
    """What it answers; how long it took goes to ``samples``."""
    with taking(samples):
        return work()


@contextmanager
def taking(samples: Samples) -> Iterator[None]:
    begun, spent = perf_counter(), process_time()
    yield
    samples.add(perf_counter() - begun, process_time() - spent)


def openings(few: Path, many: Path, count: int, runs: int) -> list[Figure]:
    """Opening the journal, and finding what is live: among many bakes, and among ten."""
    opened = Figure(f"open the journal of {count:,} bakes", "one of 10")
    found = Figure(f"find what is live among {count:,} bakes", "one of 10")
    for _ in range(runs):
        for path, which in ((many, "ours"), (few, "bare")):
            with timed(partial(Journal.open, path), getattr(opened, which)) as it:
                timed(it.live_bakes, getattr(found, which))
    return [opened, found]


def decisions(path: Path, runs: int) -> list[Figure]:
    """A note decided on and stored, beside one line that SQLite commits with the same settings."""
    figure = Figure("a decision, made and on the disk", "one commit of SQLite", by_processor=False)
    clock = WallClock()
    bare = connect(path.with_name("bare.sqlite"))
    apply_settings(bare)
    bare.execute("CREATE TABLE line (number INTEGER PRIMARY KEY, words TEXT)")
    with Journal.open(path) as journal:
        name = journal.live_bakes()[0]
        state = decided(None, journal.events_of(name))
        for number in range(20 * runs):
            with taking(figure.ours):
                events = decide(state, intents.AddNote(f"note {number}"), clock.stamp())
                if isinstance(events, Refused):
                    raise TypeError(events)
                journal.append(events, state.last.number)
                state = decided(state, events)
            with taking(figure.bare), transaction(bare):
                bare.execute("INSERT INTO line VALUES (?, ?)", (number, f"note {number}"))
    bare.close()
    return [figure]


def many(path: Path, count: int, runs: int) -> list[Figure]:
    """What looks at every bake, beside reading the file once; the long ones are done once."""
    with Journal.open(path) as journal:
        first = Figure(f"first list, {count:,} summaries made", "reading the file once")
        listed = timed(lambda: bakes(journal), first.ours)
        one, other = (journal.events_of(summary.bake) for summary in listed[:2])
        ids = journal.bake_ids()

        def written(form: str) -> int:
            return sum(map(len, FORMS[form].write(reviews(journal, ids), "0")))

        often: dict[str, Callable[[], object]] = {
            "list again": lambda: bakes(journal),
            "sort by score": lambda: ordered(listed, "score"),
            "search as one types": lambda: search(listed, Query(text="rye night")),
            "look at one bake": lambda: review(one),
            "compare two": lambda: compare(review(one), review(other)),
        }
        once: dict[str, Callable[[], object]] = {
            "export all as JSON": partial(written, "json"),
            "export all as CSV": partial(written, "csv"),
            "verify everything": lambda: verify(journal),
        }
        figures = [first]
        timed(path.read_bytes, first.bare)
        for times, works in ((runs, often), (1, once)):
            for name, work in works.items():
                figure = Figure(f"{name}, {count:,} bakes", "reading the file once")
                for _ in range(times):
                    timed(work, figure.ours)
                    timed(path.read_bytes, figure.bare)
                figures.append(figure)
    return figures
