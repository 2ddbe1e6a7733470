"""How the journal's size shows: a journal of many bakes against one of few, and against what the disk could do at best.

    python -m tests.benchmarks.journal_size [BAKES]

Times differ from machine to machine and from hour to hour, so everything is told as a ratio: to the same work on a
hundred bakes, and to a bare yardstick (reading the file once from end to end; sorting as many numbers).
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from time import perf_counter

from proofbell.journal.course.course import course
from proofbell.journal.export.exports import FORMS, reviews
from proofbell.journal.index import bakes
from proofbell.journal.learning.recall import habits
from proofbell.journal.recovery.verify import verify
from proofbell.journal.reviews.compare import compare
from proofbell.journal.reviews.review import review
from proofbell.journal.reviews.search import Query, ordered, search
from proofbell.journal.storage.store import Journal
from proofbell.kitchen.model import Kitchen
from tests.journal.generate import fill


def timed(work: Callable[[], object], times: int = 3) -> float:
    """The shortest of some runs (s): the least disturbed one."""
    best = float("inf")
    for _ in range(times):
        begun = perf_counter()
        work()
        best = min(best, perf_counter() - begun)
    return best


def measures(path: Path) -> dict[str, float]:
    """Seconds for each thing that a baker may do with the whole journal."""

    def opened() -> None:
        with Journal.open(path) as journal:
            journal.live_bakes()

    found = {"open, and find what is live": timed(opened)}
    with Journal.open(path) as journal:
        found["list for the first time (all summaries made)"] = timed(lambda: bakes(journal), 1)
        listed = bakes(journal)
        one, two = (journal.events_of(summary.bake) for summary in listed[:2])
        found["list again"] = timed(lambda: bakes(journal))
        found["course of a formula, the list read first"] = timed(lambda: course(listed[0].formula, bakes(journal)))
        found["search as one types"] = timed(lambda: search(listed, Query(text="rye night")))
        found["sort by score"] = timed(lambda: ordered(listed, "score"))
        found["look at one bake"] = timed(lambda: review(journal.events_of(listed[0].bake)))
        found["compare two"] = timed(lambda: compare(review(one), review(two)))
        found["what the kitchen does"] = timed(lambda: habits(journal, Kitchen(name="Guesthouse")).all(), 1)
        found["verify everything"] = timed(lambda: verify(journal), 1)
        ids = journal.bake_ids()
        for name, form in FORMS.items():
            found[f"export everything as {name}"] = timed(
                lambda form=form: sum(map(len, form.write(reviews(journal, ids), "0"))), 1  # type: ignore[misc]
            )  # fmt: skip
    found["yardstick: read the file"] = timed(path.read_bytes)
    found["yardstick: sort as many numbers"] = timed(lambda: sorted(range(len(listed), 0, -1)))
    return found


def main(count: int) -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as folder:
        few, many = Path(folder) / "few.db", Path(folder) / "many.db"
        fill(few, 100)
        fill(many, count)
        small, large = measures(few), measures(many)
        size = many.stat().st_size / few.stat().st_size
    print(f"{count} bakes against 100; the file is {size:.0f} times as large.")
    print(f"{'':<48}{'against 100':>14}{'against reading the file':>28}{'seconds here':>16}")
    for name, seconds in large.items():
        against = seconds / large["yardstick: read the file"]
        print(f"{name:<48}{seconds / small[name]:>13.1f}×{against:>27.2f}×{seconds:>16.4f}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 10_000)
