"""What can be saved of a damaged journal: all that is untouched, nothing that was not there."""

from __future__ import annotations

import random
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from proofbell.bake import events as kinds
from proofbell.bake.fold import fold
from proofbell.bake.record import Row
from proofbell.journal.faults import CannotOpen, NotAJournal
from proofbell.journal.files.copying import AlreadyThere
from proofbell.journal.files.lock import Lead
from proofbell.journal.recovery.carving import carve
from proofbell.journal.recovery.damage import Damage
from proofbell.journal.recovery.image import InUse
from proofbell.journal.recovery.rescue import rescue, salvage
from proofbell.journal.recovery.salvage import put_together
from proofbell.journal.recovery.verify import verify
from proofbell.journal.storage.store import Journal
from tests.journal.generate import Truth, simulated_bakes
from tests.support.making import chain, first_events, opened, stamp

NOW = stamp(40_000.0)
FLIPS, SHARES = 200, 4
SEED = 20


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """A journal of six bakes: loaves that are over, knots that are live."""
    path = tmp_path_factory.mktemp("whole") / "journal.db"
    with Journal.open(path) as journal:
        for state in simulated_bakes(7, Truth(), 3):
            journal.append(state.events, 0)
        for bake, letter in (("quay", "A"), ("mole", "B"), ("jetty", "C")):
            journal.append(first_events(bake, 8, letter), 0)
    return path.read_bytes()


@pytest.fixture
def path(whole: bytes, tmp_path: Path) -> Path:
    """That journal, to be damaged."""
    path = tmp_path / "journal.db"
    path.write_bytes(whole)
    return path


def rows_in(path: Path) -> dict[str, list[Row]]:
    with Journal.open(path, read_only=True) as journal:
        return {bake: journal.rows_of(bake) for bake in journal.bake_ids()}


def spoil(path: Path, statement: str, *values: object) -> None:
    """Change the file as no decision could have."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            connection.execute(f"DROP TRIGGER {name}")
        connection.execute("PRAGMA ignore_check_constraints = ON")
        connection.execute(statement, values)


def of(damage: Damage, bake: str) -> tuple[int, tuple[int, ...], int]:
    """How much of a bake is saved, lost, and not joined on."""
    saved = next(one for one in damage.bakes if one.bake == bake)
    return saved.saved, saved.lost, len(saved.not_joined)


def test_of_a_sound_journal_all_is_saved(path: Path, tmp_path: Path) -> None:
    before = rows_in(path)
    damage = rescue(path, tmp_path / "new.db", NOW)
    assert damage.nothing_lost
    assert damage.events == sum(map(len, before.values()))
    assert rows_in(tmp_path / "new.db") == before
    with Journal.open(tmp_path / "new.db") as journal:
        assert verify(journal).problems == ()
        assert not journal.reading_only


def place_of(image: bytes, row: Row) -> set[int]:
    """The bytes of the file in which an event lies: those between the pieces of it that are found."""
    page = 4096
    body, digest = row.body.encode(), row.digest.encode()
    places: set[int] = set()
    for begin in range(0, len(image), page):
        one = image[begin : begin + page]
        at = one.find(row.id.encode() + row.bake.encode())
        while at >= 0 and b"\x00" in one[max(0, at - 30) : at]:
            # The length, the sequence number and the types of the columns stand before; 60 bytes hold them.
            length = sum(len(str(v).encode()) for v in (row.id, row.bake, row.boot_id, row.name)) + len(body) + 80
            places |= set(range(begin + max(0, at - 60), begin + min(page, at + length)))
            at = one.find(row.id.encode() + row.bake.encode(), at + 1)
        if len(body) > 400 and (one[4:100] in body or digest[-8:] in one[:4090]):
            places |= set(range(begin, begin + page))
    return places


@pytest.mark.parametrize("share", range(SHARES))
def test_bits_flipped_anywhere_lose_only_what_they_hit_and_invent_nothing(
    share: int, path: Path, tmp_path: Path
) -> None:
    """One bit at a time. All that is lost is the event that was hit, and of its bake what came after."""
    sound, before = path.read_bytes(), rows_in(path)
    flipped = tmp_path / "flipped.db"
    dice = random.Random(SEED)
    hits = [(dice.randrange(len(sound)), dice.randrange(8)) for _ in range(FLIPS)]
    losses = 0
    for turn, (place, bit) in list(enumerate(hits))[share::SHARES]:
        told = f"seed {SEED}, turn {turn}: bit {bit} of byte {place}"
        data = bytearray(sound)
        data[place] ^= 1 << bit
        flipped.write_bytes(data)
        found = salvage(flipped)
        assert flipped.read_bytes() == bytes(data), told
        got = {log.bake: list(log.rows) for log in found.salvaged.logs}
        for bake, rows in got.items():
            assert rows == before.get(bake, [])[: len(rows)], told
        for bake, rows in before.items():
            saved = len(got.get(bake, []))
            if saved < len(rows):
                losses += 1
                assert place in place_of(sound, rows[saved]), told
                assert not found.damage.nothing_lost or saved == len(rows) - 1, told
    # Most turned bits are turned back, or hit nothing but SQLite's own order.
    assert losses <= FLIPS // SHARES // 10


@pytest.mark.parametrize("flips", [3, 20, 200])
def test_many_bits_flipped_at_once_raise_nothing_and_invent_nothing(flips: int, path: Path, tmp_path: Path) -> None:
    sound, before = path.read_bytes(), rows_in(path)
    flipped = tmp_path / "flipped.db"
    dice = random.Random(SEED + flips)
    for turn in range(4):
        data = bytearray(sound)
        for _ in range(flips):
            data[dice.randrange(100, len(data))] ^= 1 << dice.randrange(8)
        flipped.write_bytes(data)
        new = tmp_path / f"new-{turn}.db"
        rescue(flipped, new, NOW)
        told = f"seed {SEED + flips}, turn {turn}"
        for bake, rows in rows_in(new).items():
            same = [one.digest for one in rows] == [one.digest for one in before[bake][: len(rows)]]
            # What rescue adds at the end says that it does.
            added = [row for row in rows if row not in before[bake]]
            assert same or "was rescued on" in added[0].body, told
            assert {row.name for row in added} <= {"note added", "bake marked", "bake closed", "letter given"}, told
        with Journal.open(new) as journal:
            assert verify(journal).problems == (), told


def test_one_turned_bit_in_an_event_is_turned_back(path: Path, tmp_path: Path) -> None:
    before = rows_in(path)
    spoil(path, "UPDATE events SET body = replace(body, 'note 4', 'note 5') WHERE bake = 'mole' AND number = 5")
    spoil(path, "UPDATE events SET bake = 'quax' WHERE bake = 'quay' AND number = 3")
    spoil(path, "UPDATE events SET wall_us = wall_us + 64 WHERE bake = 'jetty' AND number = 1")
    digest = before["mole"][7].digest
    turned = digest[:-1] + chr(ord(digest[-1]) ^ 1)
    spoil(path, "UPDATE events SET digest = ? WHERE bake = 'mole' AND number = 8", turned)
    damage = rescue(path, tmp_path / "new.db", NOW)
    assert damage.nothing_lost
    assert [one.mended for one in damage.bakes[3:]] == [(3,), (5, 8), (1,)]
    assert rows_in(tmp_path / "new.db") == before


def test_what_follows_a_break_is_not_dropped_but_told(path: Path, tmp_path: Path) -> None:
    before = rows_in(path)
    spoil(path, "UPDATE events SET body = '{\"text\":\"something else\"}' WHERE bake = 'mole' AND number = 4")
    spoil(path, "DELETE FROM events WHERE bake = 'quay' AND number IN (5, 6)")
    spoil(path, "DELETE FROM events WHERE bake = 'jetty' AND number = 1")
    damage = rescue(path, tmp_path / "new.db", NOW)
    assert not damage.nothing_lost
    assert of(damage, "mole") == (3, (), 6)
    assert of(damage, "quay") == (4, (5, 6), 3)
    assert of(damage, "jetty") == (0, (1,), 8)
    with Journal.open(tmp_path / "new.db") as journal:
        assert verify(journal).problems == ()
        assert journal.rows_of("quay")[:4] == before["quay"][:4]
        assert "jetty" not in journal.bake_ids()
        state = fold(journal.events_of("quay"))
    assert not state.typical
    note = state.notes[-1].text
    assert "Lost: events 5–6." in note
    assert "event 9, 2026-03-14 08:00:08: Note: note 8" in note
    quay = next(one for one in damage.bakes if one.bake == "quay")
    assert next(iter(quay.words())) == (
        "Harbour knots, bake A of Sat 14 Mar 2026 08:00 (quay): events 1–4 saved, events 5–6 lost, "
        "3 later events could not be joined on"
    )


def test_a_bake_that_was_over_does_not_come_back_to_the_bench(path: Path, tmp_path: Path) -> None:
    with Journal.open(path) as journal:
        over = next(iter(journal.bake_ids()))
        end = journal.rows_of(over)[-1]
        live = set(journal.live_bakes())
    spoil(path, "DELETE FROM events WHERE bake = ? AND number = 6", over)
    rescue(path, tmp_path / "new.db", NOW)
    with Journal.open(tmp_path / "new.db") as journal:
        assert set(journal.live_bakes()) == live
        state = fold(journal.events_of(over))
    assert state.closed is not None
    assert state.closed.outcome == "finished"
    assert state.events[-1].stamp.wall_us == end.wall_us


def test_wrong_types_invalid_text_and_missing_tables_hide_nothing_else(path: Path, tmp_path: Path) -> None:
    before = rows_in(path)
    spoil(path, "UPDATE events SET body = CAST(x'7bff7d' AS TEXT) WHERE bake = 'mole' AND number = 9")
    spoil(path, "DROP TABLE summaries")
    spoil(path, "DROP INDEX openings")
    damage = rescue(path, tmp_path / "new.db", NOW)
    assert of(damage, "mole") == (8, (9,), 0)
    now = rows_in(tmp_path / "new.db")
    assert now["mole"][:8] == before["mole"][:8]
    assert {bake: rows for bake, rows in now.items() if bake != "mole"} == {
        bake: rows for bake, rows in before.items() if bake != "mole"
    }


@pytest.mark.parametrize("spoiled", ["no beginning", "no page 1", "no page size", "other reserve", "tail more"])
def test_a_file_that_sqlite_cannot_open_is_read_all_the_same(path: Path, tmp_path: Path, spoiled: str) -> None:
    before = rows_in(path)
    data = bytearray(path.read_bytes())
    match spoiled:
        case "no beginning":
            data[:100] = bytes(100)
        case "no page 1":
            data[:4096] = b"\xff" * 4096
        case "no page size":
            data[16:18] = b"\x11\x00"
        case "other reserve":
            data[20] ^= 64
        case _:
            data += b"more than there should be"
    path.write_bytes(data)
    assert rescue(path, tmp_path / "new.db", NOW).nothing_lost
    assert rows_in(tmp_path / "new.db") == before
    assert path.read_bytes() == bytes(data)


def test_of_a_file_that_was_cut_off_what_is_there_is_saved(path: Path, tmp_path: Path) -> None:
    sound, before = path.read_bytes(), rows_in(path)
    saved = []
    for pages in range(1, len(sound) // 4096, 3):
        path.write_bytes(sound[: pages * 4096 + 700])
        got = {log.bake: list(log.rows) for log in salvage(path).salvaged.logs}
        assert all(rows == before[bake][: len(rows)] for bake, rows in got.items())
        saved.append(sum(map(len, got.values())))
    assert saved == sorted(saved)
    assert saved[-1] > 0.8 * sum(map(len, before.values()))


def test_a_file_that_must_be_read_directly_is_left_alone_while_proofbell_is_open(path: Path, tmp_path: Path) -> None:
    path.write_bytes(b"x" * 100 + path.read_bytes()[100:])
    other = Lead(path)
    assert other.take()
    try:
        with pytest.raises(InUse, match="Proofbell is open"):
            rescue(path, tmp_path / "new.db", NOW)
    finally:
        other.let_go()
    assert rescue(path, tmp_path / "new.db", NOW).nothing_lost


def test_nothing_is_overwritten_and_other_peoples_files_are_refused(path: Path, tmp_path: Path) -> None:
    dear = tmp_path / "dear.db"
    dear.write_text("dear")
    with pytest.raises(AlreadyThere):
        rescue(path, dear, NOW)
    assert dear.read_text() == "dear"
    foreign = tmp_path / "foreign.db"
    with closing(sqlite3.connect(foreign)) as connection:
        connection.execute("CREATE TABLE recipes (name TEXT)")
    with pytest.raises(NotAJournal):
        rescue(foreign, tmp_path / "new.db", NOW)
    with pytest.raises(CannotOpen):
        rescue(tmp_path / "none.db", tmp_path / "new.db", NOW)
    with pytest.raises(CannotOpen, match="no such folder"):
        rescue(path, tmp_path / "nowhere" / "new.db", NOW)
    assert not (tmp_path / "new.db").exists()
    assert [one.name for one in tmp_path.iterdir() if one.name.startswith(".")] == []


def test_a_long_event_over_several_pages_is_read_whole(tmp_path: Path) -> None:
    path = tmp_path / "journal.db"
    long = chain("pier", [(0.0, opened()), (1.0, kinds.NoteAdded("rye " * 5000)), (2.0, kinds.NoteAdded("done"))])
    with Journal.open(path) as journal:
        journal.append(long, 0)
        before = journal.rows_of("pier")
    logs = put_together(carve(path.read_bytes())).logs
    assert [list(log.rows) for log in logs] == [before]


def test_of_two_live_bakes_with_one_letter_the_later_gets_another(tmp_path: Path) -> None:
    """That the first is over is lost; it stands on the bench again, and the second has its letter by now."""
    path = tmp_path / "journal.db"
    over = first_events("pier", 2)
    over += chain("pier", [(50.0, kinds.BakeClosed("given up"))], over)
    with Journal.open(path) as journal:
        journal.append(over, 0)
        journal.append(first_events("quay", 2), 0)
    spoil(path, "DELETE FROM events WHERE bake = 'pier' AND number = 4")
    damage = rescue(path, tmp_path / "new.db", NOW)
    assert damage.letters == {"quay": "B"}
    with Journal.open(tmp_path / "new.db") as journal:
        assert journal.letters() == {"A": "pier", "B": "quay"}
        assert fold(journal.events_of("quay")).letter == "B"
        assert verify(journal).problems == ()
