"""Steam is let out in the same words on the bench, in a plan, on paper and in a calendar, with its caution."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import icalendar
import pytest

from proofbell.app.widgets.notice_line import rings_line
from proofbell.bake import intents
from proofbell.bake.prompts import prompts
from proofbell.bench.board import board
from proofbell.bench.oven.acts import act_words, oven_acts
from proofbell.bench.plan.planning_problem import Wish, problem_of
from proofbell.bench.plan.timetable import timetable
from proofbell.cli import main
from proofbell.formula.model import Formula, Phase
from proofbell.kitchen.model import Kitchen
from proofbell.planner.search import plan
from tests.support.bakes import house
from tests.support.walking import LAMPLIGHTER, at

OUT = ("let the steam out by door or vent", "stand back, it burns")


def acts(made: Formula) -> list[str]:
    """What is done at the oven on the day of one dough."""
    table = timetable(plan(problem_of([Wish("A", made)], Kitchen(), 0), 2), 0)
    return [act_words(act, f"{act.heat_c:g} °C" if act.heat_c else "") for act in oven_acts(table, Kitchen().oven)]


def with_heats(*phases: Phase) -> Formula:
    made = house(LAMPLIGHTER)
    stages = tuple(replace(each, phases=phases) if each.kind == "bake" else each for each in made.stages)
    return replace(made, stages=stages)


def test_the_bench_the_plan_the_sheet_the_page_and_the_calendar_say_it(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(tmp_path / "journal.db"))
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(tmp_path / "kitchen.toml"))
    said = ["plan", LAMPLIGHTER, "--ready", "in 30 h"]
    assert main([*said, "--ics", str(tmp_path / "day.ics")]) == 0
    text = capsys.readouterr().out
    assert max(len(line) for line in text.splitlines() if "oven" in line) <= 80
    assert main([*said, "--sheet", "--html", str(tmp_path / "day.html")]) == 0
    calendar = icalendar.Calendar.from_ical((tmp_path / "day.ics").read_bytes())
    told = {
        "plan": text,
        "sheet": capsys.readouterr().out,
        "page": (tmp_path / "day.html").read_text(encoding="utf-8"),
        "calendar": " ".join(str(event["SUMMARY"]) for event in calendar.walk("VEVENT")),
        "bench": " ".join(each.words for each in prompts(at(LAMPLIGHTER, "Bake").state)),
    }
    for where, words in told.items():
        plain = re.sub(r"\s+", " ", words)
        assert all(each in plain for each in OUT), where


def test_steam_that_goes_at_the_same_heat_is_an_act_too_and_none_is_made_up() -> None:
    assert acts(with_heats(Phase(900.0, 230.0, steam=True), Phase(1500.0, 230.0)))[1:-1] == [
        f"oven 230 °C, {OUT[0]}, for A: {OUT[1]}"
    ]
    assert acts(with_heats(Phase(900.0, 240.0), Phase(1500.0, 210.0)))[1:-1] == ["oven down to 210 °C, for A"]
    assert acts(with_heats(Phase(900.0, 210.0), Phase(1500.0, 240.0, steam=True)))[1:-1] == [
        "oven up to 240 °C, with steam, for A"
    ]
    assert acts(with_heats(Phase(900.0, 240.0, steam=True), Phase(1500.0, 210.0, steam=True)))[1:-1] == [
        "oven down to 210 °C, for A"
    ]


def test_it_is_answered_as_one_act_with_the_heat() -> None:
    baking = at(LAMPLIGHTER, "Bake", minutes=15)
    heat = next(each for each in prompts(baking.state) if each.kind == "heat")
    assert heat.task is not None
    baking.say(intents.Task(heat.task))
    assert not any("steam" in each.words for each in prompts(baking.state))


@pytest.mark.parametrize("width", [58, 78, 118])
def test_the_caution_stands_whole_in_the_line_of_alarms(width: int) -> None:
    baking = at(LAMPLIGHTER, "Bake", minutes=16)
    line = rings_line(board([baking.state], baking.now).rings, None, width).plain

    assert len(line) <= width
    assert line.startswith("◆  A  oven to ")
    assert "steam out" in line
    assert "stand back, it burns" in line
    assert line.endswith("q quiet") == (width >= 78)
