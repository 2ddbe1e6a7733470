"""Every way out that ``proofbell plan`` offers works when it is taken, and so does its command."""

from __future__ import annotations

import json
import random
import shlex
from pathlib import Path
from typing import Any

import pytest

from proofbell.cli import main
from proofbell.cli.arguments import planned
from proofbell.cli.arguments.plan_asked import Asked
from proofbell.clock import WallClock
from proofbell.planner.changes import LeaveOut, MorePeople, Overrun
from proofbell.planner.problem import Flexibility, Step

Captured = pytest.CaptureFixture[str]

SATURDAY_US = 1_773_477_000_000_000
"""14 March 2026, 08:30 UTC."""

QUICK = ("harbour-knots", "lantern-pittas", "mooring-plait", "pilots-milk-buns", "quay-pan-loaf", "ropewalk-wholemeal")
KITCHENS = ("", "hands = 2\n", 'quiet = ["16:00", "23:00"]\n', '[oven]\nheat_up = "50 min"\n')


@pytest.fixture(autouse=True)
def _saturday(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    stamp = WallClock().stamp()

    class Clock:
        def stamp(self) -> object:
            return type(stamp)(SATURDAY_US, stamp.boot_us, stamp.boot_id, 0)

    monkeypatch.setenv("PROOFBELL_KITCHEN", str(tmp_path / "kitchen.toml"))
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(tmp_path / "journal.db"))
    monkeypatch.setattr(planned, "WallClock", Clock)
    monkeypatch.setattr(planned, "STEPS", {12: 20})


def document(capsys: Captured, said: list[str]) -> dict[str, Any]:
    main([*said, "--json"])
    captured = capsys.readouterr()
    assert captured.err == ""
    found: dict[str, Any] = json.loads(captured.out)
    return found


def trouble(found: dict[str, Any]) -> tuple[int, int]:
    """Seconds kept too long and seconds late, over all doughs."""
    return sum(r["over_seconds"] for r in found["reasons"]), sum(r["late_seconds"] for r in found["reasons"])


@pytest.mark.parametrize("number", range(5))
def test_every_way_out_of_a_random_day_works_when_taken_and_as_a_command(
    number: int, tmp_path: Path, capsys: Captured
) -> None:
    rng = random.Random(number)
    (tmp_path / "kitchen.toml").write_text(rng.choice(KITCHENS), encoding="utf-8")
    said = ["plan", *rng.choices(QUICK, k=rng.choice((2, 3))), "--ready", f"in {rng.randint(160, 210)} min"]
    before = document(capsys, said)
    ways = [words for reason in before["reasons"] for words in reason["ways_out"]]
    assert ways

    for at, words in rng.sample(list(enumerate(ways, 1)), k=min(2, len(ways))):
        taken = document(capsys, [*said, "--take", str(at)])
        told = taken.pop("taken")
        assert told["words"] == words
        assert trouble(taken) < trouble(before), words
        again = document(capsys, shlex.split(told["command"])[1:])
        assert again == taken, told["command"]


def test_each_sort_of_way_out_is_a_command_that_is_read_back(capsys: Captured) -> None:
    asked = Asked(("harbour-knots", "quay-pan-loaf"), (SATURDAY_US + 36_000_000_000,) * 2, awake=True)
    proof = Step("Final proof", "proof", 60, 60, 60, flexibility=Flexibility.ELASTIC)
    longer = asked.taken(Overrun("B", proof, 900), SATURDAY_US).taken(MorePeople(3), SATURDAY_US)
    without = longer.taken(LeaveOut("A"), SATURDAY_US)

    assert "--longer 'B Final proof = 15 min' --awake" in longer.command
    assert "--hands 3 --longer 'A Final proof = 15 min'" in without.command
    for each in (longer, without):
        found = document(capsys, shlex.split(each.command)[1:])
        assert found["feasible"]


@pytest.mark.parametrize(
    ("said", "told"),
    [
        (["--take", "1"], "nothing is late"),
        (["--longer", "B Final proof = 15 min"], "names no stage of a dough"),
        (["--longer", "A Third proof = 15 min"], "A has no stage"),
        (["--longer", "A Final proof = soon"], "--longer"),
        (["--hands", "0"], "no number of pairs of hands"),
    ],
)
def test_what_cannot_be_taken_is_told_in_words(said: list[str], told: str, capsys: Captured) -> None:
    assert main(["plan", "harbour-knots", "--ready", "in 9 h", *said]) == 2

    assert told in capsys.readouterr().err


def test_a_batch_wider_than_the_oven_is_made_as_two_halves(capsys: Captured) -> None:
    """49 knots are five loads of twelve; the last would wait longer than they forgive."""
    said = ["plan", "harbour-knots", "quay-pan-loaf", "--ready", "tomorrow 18:00", "--pieces", "A = 49"]
    before = document(capsys, said)
    ways = [words for reason in before["reasons"] for words in reason["ways_out"]]
    at = ways.index("make A as two half batches, A and C")

    taken = document(capsys, [*said, "--take", str(at + 1)])
    told = taken.pop("taken")

    assert not before["feasible"]
    assert taken["feasible"]
    assert told["command"].endswith("--pieces 'A = 25' --pieces 'C = 24'")
    assert document(capsys, shlex.split(told["command"])[1:]) == taken
    loads = {bake["letter"]: [len(s["loads"]) for s in bake["stages"] if "loads" in s] for bake in taken["bakes"]}
    assert loads == {"A": [3], "B": [1], "C": [2]}


@pytest.mark.parametrize("text", ["A", "A = none", "A = 0", "C = 12"])
def test_a_number_of_pieces_that_is_none_is_refused(text: str, capsys: Captured) -> None:
    assert main(["plan", "harbour-knots", "quay-pan-loaf", "--pieces", text]) == 2

    assert 'Write --pieces "A = 12".' in capsys.readouterr().err
