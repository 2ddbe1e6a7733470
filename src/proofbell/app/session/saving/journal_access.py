"""The journal as the screens look into it: read in its own thread; a bake that is over can still be added to."""

from __future__ import annotations

import asyncio
import contextlib
import sqlite3
import threading
from collections.abc import AsyncIterator, Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import IO, ParamSpec, TypeVar

from proofbell import __version__
from proofbell.app.session.live import Live
from proofbell.app.session.saving.keeper import OpenJournal
from proofbell.bake.decisions.decide import decide
from proofbell.bake.fold import fold
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.steps import ImpossibleError
from proofbell.errors import Failure
from proofbell.journal.export.exports import Form, form_for, formula_bytes, left_out_words, reviews
from proofbell.journal.faults import unreadable
from proofbell.journal.files.copying import whole_file
from proofbell.journal.index import bakes_in_steps
from proofbell.journal.learning.habits import Habits
from proofbell.journal.learning.recall import habits_in_steps
from proofbell.journal.recovery.backup import back_up
from proofbell.journal.recovery.verify import Verdict, file_problems, logs_in_steps
from proofbell.journal.reviews.review import BakeReview, review
from proofbell.journal.reviews.summary import Summary
from proofbell.journal.storage.store import Journal
from proofbell.journal.storage.writer import Steps, to_the_end
from proofbell.private_folder import make_private_folder

T = TypeVar("T")
P = ParamSpec("P")

EVERY = 50
"""How often (bakes) an export says how far it is."""

NO_JOURNAL = Failure(
    "A rehearsal keeps no journal.", "Open Proofbell without rehearse to see the bakes that were made."
)


async def ask(live: Live, job: Callable[[Journal], T]) -> T:
    """Run a job in the journal's thread.

    Raises:
        Failure: there is no journal here, or it cannot be read.
    """
    try:
        return await _journal(live).ask(job)
    except (sqlite3.Error, ImpossibleError) as error:
        raise _unreadable(error) from error


async def ask_long(live: Live, job: Callable[[Journal], Steps[T]]) -> T:
    """Run long work in the journal's thread, step by step: what is to be saved goes first.

    Raises:
        Failure: there is no journal here, or it cannot be read.
    """
    try:
        return await _journal(live).ask_long(job)
    except (sqlite3.Error, ImpossibleError) as error:
        raise _unreadable(error) from error


def _journal(live: Live) -> OpenJournal:
    if live.keeper.journal is None:
        raise NO_JOURNAL
    return live.keeper.journal


def _unreadable(error: Exception) -> Failure:
    return Failure(f"The journal cannot be read: {error}.", "Run proofbell journal verify to see more.", status=1)


async def all_bakes(live: Live, said: Callable[[Sequence[Summary], int, int], None]) -> list[Summary]:
    """Every bake in one line. ``said`` is called in the screen's thread."""
    tell = here(said)
    return await ask_long(live, lambda journal: bakes_in_steps(journal, tell))


async def check_all(live: Live, said: Callable[[int, int], None]) -> Verdict:
    """Check the whole journal; ``said`` is told in the screen's thread how many bakes are done, of how many.

    Raises:
        Failure: there is no journal here, or it cannot be read.
    """
    path, tell = _journal(live).path, here(said)
    left_off = threading.Event()
    try:
        found = await asyncio.to_thread(file_problems, path, lambda: not left_off.is_set())
        verdict = await ask_long(live, lambda journal: logs_in_steps(journal, tell))
    finally:
        left_off.set()
    return replace(verdict, problems=(*found, *verdict.problems))


async def copy_all(live: Live, path: Path, said: Callable[[int, int], None], *, overwrite: bool) -> Verdict:
    """Copy the journal and check the copy, beside the journal's own thread.

    Raises:
        Failure: there is no journal here, the file is there already, or the copy cannot be made.
    """
    kept_at, tell = _journal(live).path, here(said)
    left_off = threading.Event()

    def tell_or_stop(done: int, of: int) -> None:
        if left_off.is_set():
            raise Failure("The backup was stopped.")
        tell(done, of)

    def copy() -> Verdict:
        with Journal.open(kept_at) as journal:
            return back_up(journal, path, overwrite=overwrite, said=tell_or_stop)

    try:
        return await asyncio.to_thread(copy)
    except asyncio.CancelledError:
        left_off.set()
        raise
    except sqlite3.Error as error:
        raise Failure(f"No backup could be made: {error}.", "Is there room on that disk?", status=1) from error


def here(said: Callable[P, object]) -> Callable[P, None]:
    """``said``, to be called from any thread: it runs in this one soon, or not at all once the screens are gone."""
    loop = asyncio.get_running_loop()

    def tell(*args: P.args, **kwargs: P.kwargs) -> None:
        with contextlib.suppress(RuntimeError):
            loop.call_soon_threadsafe(partial(said, *args, **kwargs))

    return tell


async def habits_of(live: Live) -> Habits | None:
    """What the journal has to teach; None without a journal, or when learning is switched off.

    Raises:
        Failure: the journal cannot be read.
    """
    kitchen = live.kitchen
    if live.keeper.journal is None or not kitchen.learn:
        return None
    return await ask_long(live, lambda journal: habits_in_steps(journal, kitchen))


async def look_back(live: Live, bake: str) -> BakeReview:
    """One bake, on the bench or in the journal.

    Raises:
        Failure: it cannot be read.
    """
    state = live.state(bake)
    if state is not None:
        return review(state.events)

    def look(journal: Journal) -> BakeReview:
        events, problems = journal.read(bake)
        try:
            return review(events, problems)
        except ImpossibleError as error:
            if problems:
                raise unreadable(bake, problems) from error
            raise Failure(
                f"The log of {bake} cannot be read: {error}.", "Run proofbell journal verify to see more."
            ) from error

    return await ask(live, look)


async def tell(live: Live, bake: str, intent: Intent) -> Refused | None:
    """Say something to a bake, also to one that is over and no longer on the bench.

    Raises:
        Failure: it could not be stored.
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


async def export(
    live: Live, chosen: Sequence[str], path: Path, said: Callable[[int, int], None], *, overwrite: bool
) -> str:
    """Write bakes to a file; its ending says in which form. ``said`` is told how many are written, of how many.

    Returns what had to be left out, in words; nothing as a rule.

    Raises:
        Failure: no such form, the file is there already, or it cannot be written.
    """
    form = form_for(path)
    if not form.together and len(chosen) != 1:
        raise Failure(f"A picture shows one bake, not {len(chosen)}.", "Export one bake, or choose another ending.")
    tell = here(said)
    states = [state for state in map(live.state, chosen) if state is not None]
    left_out: list[str] = []
    try:
        async with _whole_file(path, overwrite=overwrite) as file:
            if live.keeper.journal is not None:
                await live.keeper.journal.ask_long(
                    lambda journal: _written(
                        form, _counted(reviews(journal, chosen, left_out.append), len(chosen), tell), file
                    )
                )
            else:
                to_the_end(_written(form, (review(state.events) for state in states), file))
    except OSError as error:
        raise Failure(f"{path} cannot be written: {error.strerror}.", "Choose another place.", status=1) from error
    return left_out_words(left_out)


async def take_out_formula(live: Live, bake: str, path: Path, own: Path) -> None:
    """Write the formula of a bake as the file that was opened. ``own``, the folder for such files, is made if need be.

    Raises:
        AlreadyThere: the file is there, and is never replaced.
        Failure: the log has no such text, or it cannot be written.
    """
    data = formula_bytes(bake, (await look_back(live, bake)).state.formula)

    def write() -> None:
        if path.parent == own:
            make_private_folder(own)
        with whole_file(path, overwrite=False) as file:
            file.write(data)

    try:
        await asyncio.to_thread(write)
    except OSError as error:
        raise Failure(f"{path} cannot be written: {error.strerror}.", "Choose another place.", status=1) from error


@contextlib.asynccontextmanager
async def _whole_file(path: Path, *, overwrite: bool) -> AsyncIterator[IO[bytes]]:
    """As `whole_file`, with what waits for the disk in a thread of its own."""
    with contextlib.ExitStack() as stack:
        yield await asyncio.to_thread(stack.enter_context, whole_file(path, overwrite=overwrite))
        await asyncio.to_thread(stack.close)


def _counted(looked_at: Iterable[BakeReview], of: int, said: Callable[[int, int], None]) -> Iterator[BakeReview]:
    for done, one in enumerate(looked_at):
        if done % EVERY == 0:
            said(done, of)
        yield one


def _written(form: Form, looked_at: Iterable[BakeReview], file: IO[bytes]) -> Steps[None]:
    for piece in form.write(looked_at, __version__):
        file.write(piece.encode("utf-8"))
        yield
