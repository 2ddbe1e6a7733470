"""``proofbell plan``: what it prints, the document scripts rely on, the calendar, and what it refuses."""

from __future__ import annotations

import json
import re
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import icalendar
import pytest

from proofbell.bake.heats import STEAM_BURNS, STEAM_OUT
from proofbell.cli import main
from proofbell.cli.arguments import planned
from proofbell.clock import WallClock
from proofbell.formula.read import load
from proofbell.kitchen.model import Kitchen
from proofbell.words import length
from tests.support.day_rules import faults

Captured = pytest.CaptureFixture[str]

FORMULAS = Path(__file__).parents[2] / "formulas"
SATURDAY_US = 1_773_477_000_000_000
"""14 March 2026, 08:30 UTC."""

DAY = ["plan", "quay-pan-loaf", "harbour-knots", "--ready", "in 9 h", "--ready", "in 8 h"]


@pytest.fixture(autouse=True)
def _saturday(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    stamp = WallClock().stamp()

    class Clock:
        def stamp(self) -> object:
            return type(stamp)(SATURDAY_US, stamp.boot_us, stamp.boot_id, 0)

    monkeypatch.setenv("PROOFBELL_KITCHEN", str(tmp_path / "kitchen.toml"))
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(tmp_path / "journal.db"))
    monkeypatch.setattr(planned, "WallClock", Clock)


def document(capsys: Captured, *said: str) -> dict[str, Any]:
    main([*said, "--json"])
    captured = capsys.readouterr()
    assert captured.err == ""
    found: dict[str, Any] = json.loads(captured.out)
    return found


def moment(text: str) -> int:
    """Seconds from the plan's own moment; the offset is written, so that nothing has to be guessed."""
    at = datetime.fromisoformat(text)
    assert at.tzinfo is not None
    return round(at.timestamp()) - SATURDAY_US // 1_000_000


def test_the_document_has_the_fields_that_scripts_rely_on(capsys: Captured) -> None:
    found = document(capsys, *DAY)

    fields = ["schema", "ready", "bakes", "oven", "hands", "quiet", "clashes", "reasons", "feasible"]
    assert list(found) == fields
    # By the ingredients of the two files and Regulation (EU) 1169/2011, Annex II; the FASTER Act of 2021.
    allergens_by_hand = {
        "A": {"eu": ["cereals containing gluten (wheat)", "milk"], "us": ["milk", "wheat"]},
        "B": {"eu": ["cereals containing gluten (wheat)", "egg", "milk"], "us": ["milk", "egg", "wheat"]},
    }
    for bake in found["bakes"]:
        assert list(bake) == ["letter", "formula", "allergens", "stages"]
        assert bake["allergens"] == allergens_by_hand[bake["letter"]]
        for stage in bake["stages"]:
            loads = ["loads"] if stage["kind"] == "bake" else []
            assert list(stage) == ["name", "kind", "begins", "ends", "seconds", "nominal_seconds", *loads]
            assert moment(stage["ends"]) - moment(stage["begins"]) == stage["seconds"]
    for use in found["oven"]:
        assert list(use) == ["begins", "ends", "temperature_c", "state", "letter", "dial"]
        assert use["state"] in {"heating", "cooling", "holding", "baking", "turned down", "turned up", "off"}
    for row in found["hands"]:
        assert list(row) == ["begins", "ends", "letter", "does", "who"]
    assert [bake["letter"] for bake in found["bakes"]] == ["A", "B"]
    assert found["feasible"] is True
    assert (found["quiet"], found["reasons"]) == ([], [])
    assert found["clashes"] == []


def test_the_printed_day_keeps_the_rules_of_the_kitchen(capsys: Captured) -> None:
    found = document(capsys, *DAY)

    formulas = {
        letter: load((FORMULAS / f"{name}.toml").read_bytes(), name)
        for letter, name in (("A", "quay-pan-loaf"), ("B", "harbour-knots"))
    }
    assert faults(found, formulas, Kitchen(), SATURDAY_US / 1e6) == []
    assert [bake["stages"][-1]["ends"][11:16] for bake in found["bakes"]] == [
        f"{datetime.fromtimestamp(SATURDAY_US / 1e6).astimezone() + timedelta(hours=hours):%H:%M}" for hours in (9, 8)
    ]
    assert moment(found["ready"]) == 9 * 3600


def test_a_clash_in_the_document_names_two_stages_and_ways_out(capsys: Captured) -> None:
    found = document(capsys, "plan", "harbour-knots", "harbour-knots", "--ready", "in 2 h 50 min")

    (clash,) = found["clashes"]
    assert list(clash) == ["first", "second", "about", "ways_out"]
    for side in ("first", "second"):
        assert list(clash[side]) == ["letter", "stage", "begins"]
    assert {clash["first"]["letter"], clash["second"]["letter"]} == {"A", "B"}
    assert clash["about"] in {"hands", "oven"}
    assert 1 <= len(clash["ways_out"]) <= 3


def test_the_text_says_when_to_begin_and_goes_through_the_day_in_order(capsys: Captured) -> None:
    assert main(DAY) == 0
    lines = capsys.readouterr().out.splitlines()

    assert lines[0].startswith("A  Quay pan loaf  begin ")
    assert lines[1].startswith("B  Harbour knots  begin ")
    assert lines[0].endswith(", on time")
    assert lines[2:5] == ["Allergens A: wheat, milk", "Allergens B: wheat, egg, milk", ""]
    rows = lines[5:]
    assert len([row for row in rows if "oven on, " in row]) >= 1
    assert any(row.endswith("  oven off") for row in rows)
    for words in ("Mix and knead, 14 min", "Divide and tie, 20 min"):
        assert any(row.endswith(words) for row in rows)
    clocks = [row.strip().split("  ")[0] for row in rows]
    assert clocks == sorted(clocks)


OVENS = [
    (
        '[oven]\nkind = "fan"\n',
        ["oven on, 220 °C fan, for A", f"oven down to 195 °C fan, {STEAM_OUT}, for A: {STEAM_BURNS}", "oven off"],
    ),
    (
        '[oven]\nkind = "gas"\n',
        ["oven on, gas mark 9, for A", f"oven down to gas mark 7, {STEAM_OUT}, for A: {STEAM_BURNS}", "oven off"],
    ),
    (
        '[oven]\ndial = [{conventional = "215 °C", dial = "420 °F"}, {conventional = "240 °C", dial = "465 °F"}]\n',
        ["oven on, 465 °F, for A", f"oven down to 420 °F, {STEAM_OUT}, for A: {STEAM_BURNS}", "oven off"],
    ),
]
"""A kitchen file, and what is done there at the oven for a loaf of 240 °C and a quarter of an hour later 215 °C.

Fan: 20 °C less; gas: marks 9 (475 °F) and 7 (425 °F), as in the charts that `dough.oven` names.
"""


@pytest.mark.parametrize(("kitchen", "told"), OVENS)
def test_paper_document_and_calendar_tell_the_same_heats_for_this_kitchens_oven(
    capsys: Captured, tmp_path: Path, kitchen: str, told: list[str]
) -> None:
    (tmp_path / "kitchen.toml").write_text(kitchen, encoding="utf-8")
    said = ["plan", "lamplighter-loaf", "--ready", "in 30 h"]
    assert main([*said, "--ics", str(tmp_path / "day.ics")]) == 0
    # What does not fit on a line of 80 goes on below its words.
    text = re.sub(r"\n +(?=\D)", " ", capsys.readouterr().out)
    rows = [row for row in text.splitlines() if "  oven " in row]
    found = document(capsys, *said)["oven"]
    calendar = icalendar.Calendar.from_ical((tmp_path / "day.ics").read_bytes())

    assert [row[row.index("oven ") :] for row in rows] == told
    turns = [str(event["SUMMARY"]) for event in calendar.walk("VEVENT") if str(event["SUMMARY"]).startswith("Oven ")]
    assert turns == [words[:1].upper() + words[1:] for words in told]
    assert [use["state"] for use in found] == ["heating", "baking", "turned down", "baking", "off"]
    assert [use["temperature_c"] for use in found] == [240.0, 240.0, 215.0, 215.0, None]
    for use, words in zip(found, [told[0], told[0], told[1], told[1], told[2]], strict=True):
        assert f" {use['dial']}" in words
    assert found[2]["begins"] == found[3]["begins"] == found[1]["ends"]
    assert found[4]["begins"] == found[3]["ends"]


def test_a_day_over_midnight_says_the_weekday_and_the_date(capsys: Captured) -> None:
    assert main(["plan", "breakwater-flatbread", "--ready", "in 30 h"]) == 0

    out = capsys.readouterr().out
    assert "Sun 15 " in out.splitlines()[0]
    assert any(line.lstrip().startswith("Sun 15 ") for line in out.splitlines()[2:])


def test_the_calendar_is_one_that_calendars_read(capsys: Captured, tmp_path: Path) -> None:
    path = tmp_path / "day.ics"
    found = document(capsys, *DAY, "--ics", str(path))

    read = icalendar.Calendar.from_ical(path.read_bytes())
    events = list(read.walk("VEVENT"))
    weighed = [event for event in events if str(event["SUMMARY"]).endswith(" weigh out")]
    assert [str(event["SUMMARY"]) for event in weighed] == ["A weigh out", "B weigh out"]
    events = [event for event in events if event not in weighed]
    stages = [(bake["letter"], stage) for bake in found["bakes"] for stage in bake["stages"]]
    heats = [use for use in found["oven"] if use["state"] in ("heating", "cooling", "off")]
    oven = events[len(stages) :]
    assert heats
    assert [event.decoded("DTSTART") for event in oven] == [datetime.fromisoformat(use["begins"]) for use in heats]
    assert all(use["dial"] in str(event["SUMMARY"]) for use, event in zip(heats, oven, strict=True))
    for event, (letter, stage) in zip(events[: len(stages)], stages, strict=True):
        assert str(event["SUMMARY"]) == f"{letter} {stage['name']}"
        assert event.decoded("DTSTART") == datetime.fromisoformat(stage["begins"])
        assert event.decoded("DTEND") == datetime.fromisoformat(stage["ends"])
        assert [str(alarm["ACTION"]) for alarm in event.walk("VALARM")] == ["DISPLAY"]
    assert len({str(event["UID"]) for event in events}) == len(events)


def test_a_calendar_file_that_is_there_is_left_alone_until_it_may_be_replaced(capsys: Captured, tmp_path: Path) -> None:
    path = tmp_path / "day.ics"
    path.write_text("something of mine", encoding="utf-8")
    said = ["plan", "harbour-knots", "--ready", "in 5 h", "--ics", str(path)]

    assert main(said) == 1
    assert "--overwrite" in capsys.readouterr().err
    assert path.read_text(encoding="utf-8") == "something of mine"
    assert main([*said, "--overwrite"]) == 0
    assert path.read_text(encoding="utf-8").startswith("BEGIN:VCALENDAR")


@pytest.mark.parametrize(
    "said",
    [
        ["no-such-formula", "--ready", "in 5 h"],
        ["harbour-knots", "--ready", "teatime"],
        ["harbour-knots", "--ready", "2020-01-01 10:00"],
        ["harbour-knots", "--start", "whenever"],
        ["harbour-knots"] * 13,
        ["harbour-knots", "--ready"],
        [],
    ],
)
def test_wrong_input_is_told_in_words_with_status_2(said: list[str], capsys: Captured) -> None:
    try:
        status = main(["plan", *said])
    except SystemExit as end:
        status = end.code if isinstance(end.code, int) else 1

    captured = capsys.readouterr()
    assert status == 2
    assert captured.out == ""
    assert captured.err.strip()
    assert "Traceback" not in captured.err


def test_a_night_and_two_people_are_told_in_words_and_in_the_document(capsys: Captured, tmp_path: Path) -> None:
    (tmp_path / "kitchen.toml").write_text('quiet = ["22:30", "06:00"]\nnames = ["Ola", "Tir"]\n', encoding="utf-8")
    said = ["plan", "tidemark-sourdough", "lantern-pittas", "--ready", "tomorrow 12:00"]

    assert main(said) == 0
    lines = capsys.readouterr().out.splitlines()
    found = document(capsys, *said)

    (night,) = [line for line in lines if line.startswith("Nobody works from 22:30 to Sun 15 06:00: ")]
    assert re.search(r"A (proofs|chills)( in the cold)? for \d+ h", night)
    assert any(line.endswith("take load 1 of 3 out, put load 2 of 3 in: Bake, 5 min (Ola)") for line in lines) or any(
        line.endswith("take load 1 of 3 out, put load 2 of 3 in: Bake, 5 min (Tir)") for line in lines
    )
    assert {row["who"] for row in found["hands"]} <= {"Ola", "Tir"}
    assert [row["begins"][11:16] for row in found["quiet"]] == ["22:30"]
    (bake,) = [stage for stage in found["bakes"][1]["stages"] if stage["kind"] == "bake"]
    assert [list(load) for load in bake["loads"]] == [["begins", "ends", "places"]] * 3
    assert [load["places"] for load in bake["loads"]] == [1, 1, 1]


def test_each_dough_is_tried_alone_before_two_are_said_to_clash(capsys: Captured) -> None:
    said = ["plan", "tidemark-sourdough", "harbour-knots", "--ready", "in 8 h"]

    assert main(said) == 1
    out = capsys.readouterr().out
    found = document(capsys, *said)

    (reason,) = found["reasons"]
    assert (reason["letter"], reason["cause"], found["clashes"]) == ("A", "length", [])
    assert moment(reason["earliest"]) == reason["needs_seconds"]
    assert moment(found["bakes"][0]["stages"][-1]["ends"]) == moment(reason["earliest"]), "no sooner, and no later"
    assert f"A needs {length(reason['needs_seconds'])}; ready at the earliest at " in out
    assert len(re.findall(r" late\b", out)) == 1, "how late it is is said once"


def test_hands_at_any_hour_are_there_for_the_asking(capsys: Captured, tmp_path: Path) -> None:
    (tmp_path / "kitchen.toml").write_text('quiet = ["22:30", "06:00"]\n', encoding="utf-8")
    said = ["plan", "harbour-knots", "--ready", "tomorrow 04:00"]

    main(said)
    kept = capsys.readouterr().out
    assert main([*said, "--awake"]) == 0
    awake = capsys.readouterr().out

    assert kept.splitlines()[0].endswith("early")
    assert awake.splitlines()[0].endswith("ready Sun 15 04:00, on time")
