"""The journal as the screens look into it: read in its own thread; a bake that is over can still be added to."""

from __future__ import annotations

import asyncio
import sqlite3
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TypeVar

from proofbell import __version__
from proofbell.app.keeping import JournalKeeper
from proofbell.app.live import Live
from proofbell.bake.decide import decide
from proofbell.bake.fold import ImpossibleError, fold
from proofbell.bake.intents import Intent, Refused
from proofbell.formula.fault import Refusal
from proofbell.journal.copying import whole_file
from proofbell.journal.exports import FORMS, Form, reviews
from proofbell.journal.index import bakes
from proofbell.journal.review import BakeReview, review
from proofbell.journal.store import Journal
from proofbell.journal.summary import Summary

T = TypeVar("T")

NO_JOURNAL = Refusal(
    "A rehearsal keeps no journal.", "Open Proofbell without rehearse to see the bakes that were made."
)


async def ask(live: Live, job: Callable[[Journal], T]) -> T:
    """Run a job in the journal's thread.

    Raises:
        Refusal: there is no journal here, or it cannot be read.
    """
    if not isinstance(live.keeper, JournalKeeper):
        raise NO_JOURNAL
    try:
        return await live.keeper.ask(job)
    except (sqlite3.Error, ImpossibleError) as error:
        raise Refusal(
            f"The journal cannot be read: {error}.", "proofbell journal verify says more.", status=1
        ) from error


async def all_bakes(live: Live, said: Callable[[int], None] | None = None) -> list[Summary]:
    """Every bake in one line; see `proofbell.journal.index.bakes`."""
    return await ask(live, lambda journal: bakes(journal, said))


async def look_back(live: Live, bake: str) -> BakeReview:
    """One bake, on the bench or in the journal.

    Raises:
        Refusal: it cannot be read.
    """
    state = live.state(bake)
    if state is not None:
        return review(state.events)

    def look(journal: Journal) -> BakeReview:
        events, problems = journal.read(bake)
        try:
            return review(events, problems)
        except ImpossibleError as error:
            raise Refusal(
                f"The log of {bake} cannot be read: {error}.", "proofbell journal verify says more."
            ) from error

    return await ask(live, look)


async def tell(live: Live, bake: str, intent: Intent) -> Refused | None:
    """Say something to a bake, also to one that is over and no longer on the bench.

    Raises:
        Refusal: it could not be stored.
    """
    if live.state(bake) is not None:
        return await live.say(bake, intent)
    now = live.clock.stamp()

    def say(journal: Journal) -> Refused | None:
        state = fold(journal.events_of(bake))
        decision = decide(state, intent, now)
        if isinstance(decision, Refused):
            return decision
        journal.append(decision, state.last.number)
        return None

    return await ask(live, say)


async def export(live: Live, chosen: Sequence[str], path: Path, *, overwrite: bool) -> None:
    """Write bakes to a file; its ending says in which form.

    Raises:
        Refusal: no such form, the file is there already, or it cannot be written.
    """
    form = form_for(path)
    if not form.together and len(chosen) != 1:
        raise Refusal(f"A picture shows one bake, not {len(chosen)}.", "Export one bake, or choose another ending.")
    if isinstance(live.keeper, JournalKeeper):
        await live.keeper.ask(lambda journal: _write(form, reviews(journal, chosen), path, overwrite=overwrite))
        return
    states = [state for state in map(live.state, chosen) if state is not None]
    looked_at = [review(state.events) for state in states]
    await asyncio.to_thread(_write, form, iter(looked_at), path, overwrite=overwrite)


def form_for(path: Path) -> Form:
    """The form that belongs to a file's ending.

    Raises:
        Refusal: there is none.
    """
    for form in FORMS.values():
        if path.suffix.casefold() == form.ending:
            return form
    endings = ", ".join(form.ending for form in FORMS.values())
    raise Refusal(f'"{path.name}" does not say in which form.', f"End its name in one of {endings}.")


def _write(form: Form, looked_at: Sequence[BakeReview] | object, path: Path, *, overwrite: bool) -> None:
    try:
        with whole_file(path, overwrite=overwrite) as file:
            for piece in form.write(looked_at, __version__):  # type: ignore[arg-type]
                file.write(piece.encode("utf-8"))
    except OSError as error:
        raise Refusal(f"{path} cannot be written: {error.strerror}.", "Choose another place.", status=1) from error
