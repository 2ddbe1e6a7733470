"""Long work in the journal's thread lets whatever is to be saved go first, and is left off cleanly."""

from __future__ import annotations

import threading
from concurrent.futures import Future
from contextlib import closing
from functools import partial
from pathlib import Path

import pytest

from proofbell.bake.events import Event
from proofbell.journal.faults import JournalFault
from proofbell.journal.index import bakes_in_steps
from proofbell.journal.recovery import verify
from proofbell.journal.recovery.verify import damage, file_problems
from proofbell.journal.storage.opening import connect
from proofbell.journal.storage.store import Journal
from proofbell.journal.storage.writer import JournalThread, Steps
from tests.journal.generate import fill
from tests.support.damaging import PAGE, index_of
from tests.support.making import first_events

COUNT = 40


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A journal that came from elsewhere: no summaries yet."""
    path = tmp_path / "journal.db"
    fill(path, COUNT)
    return path


def save(events: list[Event], journal: Journal) -> None:
    journal.append(events, 0)


def held(thread: JournalThread) -> threading.Event:
    """Keep the thread busy until the event is set, so that what is handed in meanwhile stands in its queue."""
    go = threading.Event()
    begun: Future[None] = Future()

    def wait(_: Journal) -> None:
        begun.set_result(None)
        go.wait(30)

    thread.submit(wait)
    begun.result(30)
    return go


def test_a_save_handed_in_while_ten_thousand_wait_to_be_read_is_done_after_one_step_at_most(path: Path) -> None:
    thread = JournalThread(path)
    steps = [0]

    def counted(journal: Journal) -> Steps[int]:
        for _ in bakes_in_steps(journal):
            steps[0] += 1
            yield
        return steps[0]

    go = held(thread)
    listed = thread.submit_long(counted)
    saved = [
        thread.submit(partial(save, first_events(name, letter=letter))) for name, letter in (("one", "A"), ("two", "B"))
    ]
    at: list[int] = []
    for future in saved:
        future.add_done_callback(lambda _: at.append(steps[0]))
    go.set()
    assert listed.result(30) > COUNT
    assert at[0] <= 1
    assert at[1] <= 2
    assert [future.exception() for future in saved] == [None, None]
    thread.close()


def test_two_long_jobs_take_turns(path: Path) -> None:
    thread = JournalThread(path)
    order: list[str] = []

    def long(name: str, _journal: Journal) -> Steps[None]:
        for _ in range(100):
            order.append(name)
            yield

    go = held(thread)
    both = [thread.submit_long(partial(long, name)) for name in "ab"]
    go.set()
    for one in both:
        one.result(30)
    thread.close()
    assert order.index("b") < 100
    assert order.count("a") == order.count("b") == 100


def test_a_long_job_that_nobody_wants_any_more_is_left_off(path: Path) -> None:
    thread = JournalThread(path)
    ended: Future[int] = Future()

    def long(_: Journal) -> Steps[None]:
        done = 0
        try:
            while True:
                done += 1
                yield
        finally:
            ended.set_result(done)

    job = thread.submit_long(long)
    thread.submit(lambda _: None).result(30)
    job.cancel()
    assert ended.result(30) > 0
    thread.close()


def test_closing_leaves_long_work_off_and_finishes_what_is_to_be_saved(path: Path) -> None:
    thread = JournalThread(path)
    go = held(thread)
    listed = thread.submit_long(bakes_in_steps)
    saved = thread.submit(partial(save, first_events("one")))
    go.set()
    thread.close()
    assert saved.exception() is None
    assert listed.cancelled() or listed.done()
    with Journal.open(path) as journal:
        assert journal.count() == COUNT + 1


def test_a_fault_in_long_work_goes_to_whoever_waits_and_the_thread_goes_on(path: Path) -> None:
    thread = JournalThread(path)

    def faulty(_: Journal) -> Steps[None]:
        yield
        raise ValueError("no flour")

    with pytest.raises(ValueError, match="no flour"):
        thread.submit_long(faulty).result(30)
    assert thread.submit(lambda journal: journal.count()).result(30) == COUNT
    thread.close()


def test_a_save_that_was_called_off_before_it_began_holds_nothing_up(path: Path) -> None:
    thread = JournalThread(path)
    go = held(thread)
    thread.submit(lambda _: None).cancel()
    go.set()
    thread.submit(lambda _: None).result(30)
    assert not thread.is_wanted()
    thread.close()


def test_a_save_goes_through_while_the_file_is_checked(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """SQLite's own check reads the whole file in one go; it does so in a copy, which is made page by page."""
    monkeypatch.setattr("proofbell.journal.recovery.verify.PAGES", 1)
    looks = [0]

    with Journal.open(path) as journal:

        def look() -> bool:
            looks[0] += 1
            if looks[0] == 3:
                journal.append(first_events("one"), 0)
            return True

        assert file_problems(path, look) == ()
        assert looks[0] > 10
        assert journal.count() == COUNT + 1


def test_the_check_of_the_file_is_left_off_when_nobody_wants_it(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("proofbell.journal.recovery.verify.PAGES", 1)
    looks = [0]

    def look() -> bool:
        looks[0] += 1
        return looks[0] < 3

    assert file_problems(path, look) == ()
    assert looks[0] == 3


def test_a_file_too_large_for_a_copy_in_memory_is_checked_where_it_is() -> None:
    checked: list[object] = []

    class Source:
        """A file that no memory holds."""

        def backup(self, *_: object, **__: object) -> None:
            raise MemoryError

        def set_progress_handler(self, *_: object) -> None:
            pass

        def execute(self, statement: str) -> list[tuple[str]]:
            checked.append(statement)
            return [("ok",)]

    assert verify.sqlite_check(Source(), None, lambda: True) == ["ok"]  # type: ignore[arg-type]
    assert checked == ["PRAGMA integrity_check(20)"]


def test_reading_that_was_left_off_goes_on_where_it_was(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("proofbell.journal.index.AT_ONCE", 10)
    told: list[tuple[int, int]] = []
    with Journal.open(path) as journal:
        steps = bakes_in_steps(journal, lambda _fresh, read, of: told.append((read, of)))
        while not told or told[-1][0] < 20:
            next(steps)
        steps.close()
        told.clear()
        for _ in bakes_in_steps(journal, lambda _fresh, read, of: told.append((read, of))):
            pass
    assert told == [(20, 40), (30, 40), (40, 40)]


def test_sqlites_own_part_of_the_check_is_left_off_too(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of a damaged file too nothing is said then: what was not looked at to its end is not called damaged."""
    index_of("corrections")(path, "")
    assert damage(path)
    monkeypatch.setattr("proofbell.journal.recovery.verify.LOOKED_AT", 1)
    asked = [0]

    def all_copied() -> bool:
        asked[0] += 1
        return asked[0] < copies + 3

    copies = path.stat().st_size // PAGE // verify.PAGES + 1
    assert damage(path, all_copied) == ()
    assert asked[0] == copies + 3


def test_a_file_that_another_program_keeps_locked_is_not_called_damaged(path: Path) -> None:
    with closing(connect(path)) as other:
        other.execute("BEGIN EXCLUSIVE")
        with pytest.MonkeyPatch.context() as patched:
            patched.setattr("proofbell.journal.recovery.verify.connect", partial(connect, wait_s=0.0))
            with pytest.raises(JournalFault, match="another program"):
                file_problems(path)
        other.execute("ROLLBACK")
    assert file_problems(path) == ()
