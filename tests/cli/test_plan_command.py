"""The plan from the command line: whole minutes, what cannot be in time, and what contradicts itself."""

from __future__ import annotations

import json
import re
import shlex
from datetime import datetime
from pathlib import Path

import pytest

from proofbell.cli import main
from proofbell.cli.arguments import planned
from proofbell.clock import WallClock

Captured = pytest.CaptureFixture[str]

AT_US = 1_773_477_037_123_456
"""37 seconds and something after 14 March 2026, 08:30 UTC."""


@pytest.fixture(autouse=True)
def _odd_second(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    stamp = WallClock().stamp()

    class Clock:
        def stamp(self) -> object:
            return type(stamp)(AT_US, stamp.boot_us, stamp.boot_id, 0)

    monkeypatch.setenv("PROOFBELL_KITCHEN", str(tmp_path / "kitchen.toml"))
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(tmp_path / "journal.db"))
    monkeypatch.setattr(planned, "WallClock", Clock)


def test_what_is_wanted_at_a_full_hour_is_planned_in_whole_minutes(capsys: Captured) -> None:
    assert main(["plan", "harbour-knots", "--ready", "2026-03-14 18:00", "--json"]) == 0

    document = json.loads(capsys.readouterr().out)
    stages = document["bakes"][0]["stages"]
    assert all(datetime.fromisoformat(stage["begins"]).second == 0 for stage in stages)
    assert datetime.fromisoformat(document["ready"]).strftime("%H:%M:%S") == "18:00:00"


def test_a_time_that_cannot_be_kept_ends_with_status_1_and_a_way_out(capsys: Captured) -> None:
    assert main(["plan", "harbour-knots", "--ready", "in 1 h"]) == 1

    told = capsys.readouterr().out
    assert " late\n" in told
    assert "with no stage shortened" in told


OVENS = {
    'kind = "fan"': {"170 °C fan", "195 °C fan", "220 °C fan"},
    'kind = "gas"': {"gas mark 5", "gas mark 7", "gas mark 9"},
    'dial = [{ conventional = "190 °C", dial = "375 °F" }, { conventional = "215 °C", dial = "420 °F" }]': {
        "375 °F",
        "420 °F",
        "465 °F",
    },
}
"""An oven in the kitchen file, and what it is set to for 190, 215 and 240 °C."""


@pytest.mark.parametrize("oven", OVENS)
def test_the_plan_on_paper_its_document_and_its_calendar_tell_the_heats_of_this_oven_alone(
    oven: str, tmp_path: Path, capsys: Captured
) -> None:
    (tmp_path / "kitchen.toml").write_text(f"[oven]\n{oven}\n", encoding="utf-8")
    asked = ["plan", "harbour-knots", "lamplighter-loaf", "--ready", "2026-03-16 18:00"]
    assert main([*asked, "--ics", str(tmp_path / "day.ics")]) == 0
    heat = re.compile(r"\b\d{3} °[CF](?: fan)?|gas mark \d+")
    folded = (tmp_path / "day.ics").read_text(encoding="utf-8").replace("\n ", "")
    assert set(heat.findall(" ".join(capsys.readouterr().out.split()))) == OVENS[oven]
    assert set(heat.findall(folded)) == OVENS[oven]
    assert main([*asked, "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)["oven"]
    assert {row["dial"] for row in rows} - {"off"} == OVENS[oven]


def test_a_start_after_the_time_wanted_is_refused_in_plain_words(capsys: Captured) -> None:
    assert main(["plan", "harbour-knots", "--ready", "in 1 h", "--start", "in 2 h"]) == 2

    assert "not before the --ready time" in capsys.readouterr().err


def test_one_time_holds_for_all_and_two_do_not_go_with_three(capsys: Captured) -> None:
    two = ["plan", "harbour-knots", "quay-pan-loaf"]
    assert main([*two, "--ready", "in 9 h"]) == 0
    assert main([*two, "harbour-knots", "--ready", "in 9 h", "--ready", "in 8 h"]) == 2

    assert "times for 3 formulas" in capsys.readouterr().err


LATE = "Hands are needed between Tue 17 23:00 and Wed 18 05:00, first at Wed 18 03:06. If nobody works then: "


@pytest.mark.parametrize(
    ("kitchen", "more", "said"),
    [
        ("", [], 1),
        ('quiet = ["21:00", "02:00"]\n', [], 0),
        ("", ["--awake"], 0),
    ],
)
def test_hands_in_the_night_that_nobody_asked_for_are_said_once_with_what_to_set(
    kitchen: str, more: list[str], said: int, tmp_path: Path, capsys: Captured
) -> None:
    """Wanted at 06:30, harbour knots take 3 h 17 min and a weigh-out of 7 min: begun at 03:06."""
    (tmp_path / "kitchen.toml").write_text(kitchen, encoding="utf-8")
    asked = ["plan", "harbour-knots", "--ready", "2026-03-18 06:30", *more]

    assert main(asked) == 0

    told = capsys.readouterr().out
    assert told.count("Hands are needed") == said
    if said:
        (line,) = [line for line in told.splitlines() if line.startswith(LATE)]
        command = shlex.split(line.removeprefix(LATE))
        assert command[:3] == ["proofbell", "kitchen", "set"]
        assert main(command[1:]) == 0
        capsys.readouterr()
        main(asked)
        after = capsys.readouterr().out
        assert "Hands are needed" not in after
        assert not re.search(r"Wed 18 0[0-4]:.* (Mix|Knead|load)", after)


def test_a_bake_that_is_wanted_in_the_night_has_its_hands_there_without_a_word(capsys: Captured) -> None:
    assert main(["plan", "harbour-knots", "--ready", "2026-03-18 04:30"]) == 0

    assert "Hands are needed" not in capsys.readouterr().out
