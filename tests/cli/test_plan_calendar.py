"""A plan's calendar that is written again replaces the one before: RFC 5545, read by the icalendar library.

3.8.4.7: a UID names one entry for good; 3.8.7.4: of two with one UID the greater SEQUENCE is the later revision;
3.8.7.2 and 3.8.7.3: stamp and LAST-MODIFIED are when an entry was revised last; 3.8.1.11: what is off is CANCELLED.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import icalendar
import pytest

from proofbell.cli import main
from proofbell.cli.arguments import planned
from proofbell.clock import WallClock

SATURDAY_US = 1_773_477_600_000_000
"""14 March 2026, 08:40 UTC."""
MINUTE_US = 60_000_000

Events = dict[str, icalendar.Component]
Write = Callable[..., Events]


@pytest.fixture(autouse=True)
def _kitchen(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(tmp_path / "kitchen.toml"))
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(tmp_path / "journal.db"))


@pytest.fixture(name="written")
def _written(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Write:
    """Write a plan to a file at so many minutes; its entries by UID."""
    stamp = WallClock().stamp()

    def write(minute: int, name: str, *said: str) -> Events:
        class Clock:
            def stamp(self) -> object:
                return type(stamp)(SATURDAY_US + minute * MINUTE_US, stamp.boot_us, stamp.boot_id, 0)

        monkeypatch.setattr(planned, "WallClock", Clock)
        path = tmp_path / name
        assert main(["plan", *said, "--ics", str(path), "--overwrite"]) == 0
        events = icalendar.Calendar.from_ical(path.read_bytes()).walk("VEVENT")
        found = {str(event["UID"]): event for event in events}
        assert len(found) == len(events), "each UID once"
        return found

    return write


def revision(event: icalendar.Component) -> int:
    return int(str(event["SEQUENCE"]))


def title(event: icalendar.Component) -> str:
    return str(event["SUMMARY"])[2:]


def test_another_hour_neighbour_or_letter_leaves_every_entry_its_name(written: Write) -> None:
    first = written(0, "one.ics", "harbour-knots", "--ready", "2026-03-14 16:00")
    again = written(7, "two.ics", "lantern-pittas", "harbour-knots", "harbour-knots", "--ready", "2026-03-14 18:30")

    ours = {uid for uid, event in first.items() if "Oven" not in str(event["SUMMARY"])}
    assert ours <= set(again)
    for uid in ours:
        old, new = first[uid], again[uid]
        assert title(old) == title(new)
        assert str(new["SUMMARY"]).startswith("B "), "the letter has changed, the bake has not"
        assert revision(new) > revision(old)
        assert new.decoded("LAST-MODIFIED") == new.decoded("DTSTAMP") > old.decoded("LAST-MODIFIED")
    assert sum(str(event["SUMMARY"]) == "Oven off" and uid in again for uid, event in first.items()) == 1
    tomorrow = written(9, "three.ics", "harbour-knots", "--ready", "2026-03-15 16:00")
    assert not set(tomorrow) & set(again), "another day is another bake"


def test_a_file_written_over_keeps_what_is_as_it_was_and_cancels_what_is_gone(written: Write) -> None:
    two = ("harbour-knots", "lantern-pittas", "--ready", "2026-03-14 18:00", "--ready", "2026-03-14 14:00")
    first = written(0, "day.ics", *two)
    same = written(3, "day.ics", *two)
    assert {uid: event.to_ical() for uid, event in same.items()} == {uid: e.to_ical() for uid, e in first.items()}

    less = written(5, "day.ics", "harbour-knots", "--ready", "2026-03-14 18:00")
    assert set(less) >= set(first)
    gone = {uid for uid, event in less.items() if str(event["STATUS"]) == "CANCELLED"}
    of = {str(less[uid]["DESCRIPTION"]).partition(".")[0] for uid in gone if "DESCRIPTION" in less[uid]}
    assert of == {"Lantern pittas"}
    assert all(not less[uid].walk("VALARM") and revision(less[uid]) > revision(first[uid]) for uid in gone)
    assert all(event.walk("VALARM") for uid, event in less.items() if uid not in gone)

    back = written(6, "day.ics", *two)
    assert all(str(event["STATUS"]) == "CONFIRMED" for uid, event in back.items() if uid in first)
    other = written(8, "day.ics", "harbour-knots", "--ready", "2026-03-15 18:00")
    assert all(str(event["STATUS"]) == "CONFIRMED" for event in other.values()), "another day's plan is left alone"


def test_the_entry_at_whose_end_it_is_ready_names_the_allergens(written: Write) -> None:
    # Regulation (EU) 1169/2011, article 44: they are named where food is handed out.
    entries = written(0, "day.ics", "harbour-knots", "--ready", "2026-03-14 16:00").values()
    told = [(event.decoded("DTEND"), str(event.get("DESCRIPTION", ""))) for event in entries]
    last = max(told, key=lambda each: (each[0], each[1]))
    assert last[1] == "Harbour knots. Ready at the end of this. Allergens: wheat, egg, milk."
    assert [each for _, each in told if "Allergens" in each] == [last[1]]
