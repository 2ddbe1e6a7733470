"""What a week came to, by sums that were done by hand."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from proofbell.bake.stamp import Stamp
from proofbell.cli import main
from proofbell.cli.of_journal import many_bakes
from proofbell.cli.printed.week_text import markdown, text_lines
from proofbell.journal.course.week import Week, remarks, week
from proofbell.journal.reviews.figures import figures_from, kept_figures
from proofbell.journal.reviews.summary import Summary
from tests.support.year import fill_year, summaries

MONDAY = date(2026, 3, 9)
NINE_US = 1_773_047_400_000_000
"""Monday 9 March 2026, 09:10 UTC."""

HOUR_US, DAY_US = 3_600_000_000, 86_400_000_000
HARM = "| \x1b]0;x\x07 [x](http://a.example) # *"
Out = pytest.CaptureFixture[str]


def baked(after_us: int, ovens: tuple[tuple[int, int], ...] = (), why: str = "", **other: object) -> Summary:
    """A bake that began so long after Monday, nine o'clock, with the oven on from hour to hour after that."""
    model = next(each for each in summaries() if each.outcome == "finished")
    (found,) = figures_from([model.figures])
    assert found is not None
    spans = tuple((NINE_US + begin * HOUR_US, NINE_US + end * HOUR_US) for begin, end in ovens)
    kept = kept_figures(found._replace(ovens_us=spans, flour_g=1000.0, hands_s=600.0, why=why))
    return replace(model, bake=f"b{after_us}", began_us=NINE_US + after_us, figures=kept, offset_min=0, **other)  # type: ignore[arg-type]


def made() -> Week:
    return week(
        [
            baked(0, ((0, 2),), formula="Rye", pieces=2, score=8.0),
            baked(1, ((1, 3),), formula="Rye", pieces=2, score=7.0),
            baked(6 * DAY_US, ((144, 145),), formula="Knots", pieces=None, score=None),
            baked(DAY_US, formula=HARM, outcome="given up", why=HARM),
            baked(2 * DAY_US, formula="Knots", outcome=""),
            replace(baked(3 * DAY_US), figures="", fault="damaged"),
            baked(-10 * HOUR_US, ((0, 99),), formula="of the Sunday before"),
            baked(7 * DAY_US, ((0, 99),), formula="of the Monday after"),
        ],
        MONDAY,
        date(2026, 3, 15),
    )


def test_a_week_is_what_was_begun_from_its_first_day_to_its_last() -> None:
    found = made()
    assert "Still on the bench: Knots" in remarks(found)
    assert [(each.formula, each.bakes, each.pieces, each.points) for each in found.formulas] == [
        ("Knots", 1, 0, None),
        ("Rye", 2, 4, 7.5),
    ]
    assert (found.bakes, found.not_read) == (3, 1)
    assert (found.flour_g, found.lost_g, found.hands_s) == (5000.0, 1000.0, 3000.0)
    assert [summary.formula for summary in found.unfinished] == ["Knots"]


def test_an_oven_that_two_bakes_share_is_counted_once() -> None:
    assert made().oven_s == 4 * 3600.0  # 0 to 3 by two of them, and an hour on Sunday


def test_what_was_given_up_says_why_and_harms_nobody() -> None:
    lines = list(text_lines(made()))
    told = next(line for line in lines if "given up:" in line)
    assert told.startswith("Tue 10 Mar 2026: |")
    page = markdown(made())
    assert "\x1b" not in page + "".join(lines)
    assert "[x](http" not in page
    assert page.startswith("# Mon 9 Mar 2026 to Sun 15 Mar 2026\n")
    assert "| Rye | 2 | 4 | 2000 g | 7.5 |" in page


def test_the_command_takes_any_span_and_by_itself_this_week(
    path: Path, capsys: Out, monkeypatch: pytest.MonkeyPatch
) -> None:
    fill_year(path)

    class Clock:
        def stamp(self) -> Stamp:
            return Stamp(1_763_200_000_000_000, 0, "boot-1", 60)  # Saturday 15 November 2025

    monkeypatch.setattr(many_bakes, "WallClock", Clock)

    def said(*words: str) -> dict[str, object]:
        assert main(["journal", "week", *words, "--json"]) == 0
        found: dict[str, object] = json.loads(capsys.readouterr().out)
        return found

    this = said()
    assert (this["schema"], this["from"], this["to"], this["bakes"]) == (1, "2025-11-10", "2025-11-16", 0)
    assert this["given_up"] == [
        {
            "bake": "2025-11-14-harbour-knots",
            "formula": "Harbour knots",
            "began": "2025-11-14T07:01:00+01:00",
            "why": "the power was off",
        }
    ]
    assert said("--from", "2025-01-01", "--to", "2025-12-31")["bakes"] == 51
    assert said("--to", "2025-01-09")["from"] == "2025-01-03"
    assert main(["journal", "week", "--from", "2025-02-02", "--to", "2025-02-01"]) == 2
    assert main(["journal", "week", "--from", "soon"]) == 2
