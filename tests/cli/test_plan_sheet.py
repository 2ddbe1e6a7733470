"""``plan --sheet`` and ``--html``: what hangs on the wall says what the plan's document says."""

from __future__ import annotations

import json
import re
import time
from datetime import datetime
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from proofbell.cli import main
from proofbell.cli.arguments import planned
from proofbell.clock import WallClock

Captured = pytest.CaptureFixture[str]

FRIDAY_US = 1_773_388_800_000_000
"""13 March 2026, 08:00 UTC."""

KITCHEN = """
name = "Guesthouse <b>&amp; quay"
hands = 2
names = ["Anke", "Jo"]
quiet = ["22:30", "05:00"]
[oven]
kind = "fan"
"""
DAY = ["plan", "harbour-knots", "lamplighter-loaf", "pilots-milk-buns", "--ready", "2026-03-14 12:00"]
BLANKS = {"read the dough's temperature": "dough ____ °c", "judge the rise": "rise ____ %"}
"""What is read has room to be written down."""
ROW = re.compile(r"^\[ \] (\d\d:\d\d)  ([A-L ]+?)  +(Anke|Jo)?  *(\S.*)$")


@pytest.fixture(autouse=True)
def _friday(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    stamp = WallClock().stamp()

    class Clock:
        def stamp(self) -> object:
            return type(stamp)(FRIDAY_US, stamp.boot_us, stamp.boot_id, 0)

    (tmp_path / "kitchen.toml").write_text(KITCHEN, encoding="utf-8")
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(tmp_path / "kitchen.toml"))
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(tmp_path / "journal.db"))
    monkeypatch.setattr(planned, "WallClock", Clock)
    monkeypatch.setattr(planned, "STEPS", {12: 20})


def printed(capsys: Captured, *said: str) -> str:
    assert main([*DAY, *said]) == 0
    return capsys.readouterr().out


def minutes(clock: str) -> int:
    hours, rest = clock.split(":")
    return int(hours) * 60 + int(rest)


def test_whatever_hands_and_oven_do_has_a_box_at_its_time_and_nothing_else_has(capsys: Captured) -> None:
    document: dict[str, Any] = json.loads(printed(capsys, "--json"))
    text = printed(capsys, "--sheet")
    day, weighed = text.split("\n\nA  Harbour knots\n   ", 1)
    assert len(re.findall(r"g  water, at \d+\.\d °C", weighed)) == 2, "the loaf's, and its preferment's"
    # A row that goes on below its words is one; what goes on by itself begins with a point.
    whole = re.sub(r"\n {10,}(?=[^ ·])", " ", day)
    rows = [row for line in whole.splitlines() if (row := ROW.match(line))]
    assert len(rows) == day.count("[ ]")

    for act in document["hands"]:
        at = f"{datetime.fromisoformat(act['begins']):%H:%M}"
        # In one go with what came before it, or in a row of its own.
        same = [
            row[4].lower()
            for row in rows
            if act["letter"] in row[2].split()
            and row[3] == act["who"]
            and 0 <= (minutes(at) - minutes(row[1])) % 1440 < 45
        ]
        words = [BLANKS.get(each, each.lower()) for each in act["does"].split(", ")]
        assert any(all(each in row for each in words) for row in same), act
    for use in document["oven"]:
        if use["state"] in ("heating", "cooling", "turned up", "turned down", "off"):
            at = f"{datetime.fromisoformat(use['begins']):%H:%M}"
            turn = "oven off" if use["dial"] == "off" else use["dial"]
            told = [row for row in rows if turn in row[4] and "ven" in row[4]]
            assert any(0 <= minutes(at) - minutes(row[1]) <= 1 for row in told), use
    assert "Nobody works until Sat 05:00" in day
    assert not re.search(r"\[ \].*(proof|Rest|Cool)\b(?!.*min)", day), "what goes on by itself has no box"
    assert max(map(len, text.splitlines())) <= 80
    for letter, formula in zip("ABC", DAY[1:4], strict=True):
        main(["weigh", formula, "--json"])
        batch = json.loads(capsys.readouterr().out)
        card = weighed if letter == "A" else weighed.split(f"\n{letter}  ", 1)[1]
        card = card.split("\n\n")[0]
        for line in (line for bowl in batch["bowls"] for line in bowl["ingredients"]):
            grams = line["grams"] if line.get("too_small") else round(line["grams"])
            assert re.search(rf"\[ \] +{'about ' if line.get('guess') else ''}{grams:g}\d* g  {line['name']}", card), (
                line
            )
        assert f"Allergens: {', '.join(batch['allergens']['eu'])}." in " ".join(card.split())


class Page(HTMLParser):
    """Open elements, what is loaded from elsewhere, boxes, and the words."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.names: set[str] = set()
        self.from_elsewhere: list[str] = []
        self.boxes = 0
        self.words = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.names.add(tag)
        if tag != "meta":
            self.open.append(tag)
        self.from_elsewhere += [name for name, _ in attrs if name in ("src", "href", "style") or name.startswith("on")]
        self.boxes += any(name == "class" and value == "box" for name, value in attrs)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words += data


def test_the_page_says_the_same_needs_nothing_from_outside_and_takes_names_for_words(
    capsys: Captured, tmp_path: Path
) -> None:
    path = tmp_path / "day.html"
    text = printed(capsys, "--sheet", "--html", str(path))
    html = path.read_text(encoding="utf-8")
    page = Page()
    page.feed(html)

    assert page.open == []
    assert page.from_elsewhere == []
    assert not {"script", "link", "img", "iframe", "b&amp;"} & page.names
    assert not re.search(r"url\(|@import|@font-face|https?:", html)
    assert page.boxes == text.count("[ ]")
    assert "Guesthouse <b>&amp; quay" in page.words
    assert "break-before: page" in html

    assert main([*DAY, "--html", str(path)]) == 1
    assert "--overwrite" in capsys.readouterr().err


def test_the_day_the_clocks_change_says_so(capsys: Captured, monkeypatch: pytest.MonkeyPatch) -> None:
    if not hasattr(time, "tzset"):
        pytest.skip("this system keeps its zone elsewhere")
    with monkeypatch.context() as patch:
        patch.setenv("TZ", "Europe/Berlin")
        time.tzset()
        assert main(["plan", "lamplighter-loaf", "--ready", "2026-03-29 12:00", "--sheet"]) == 0
        assert main(["plan", "lamplighter-loaf", "--ready", "2026-03-29 02:30", "--sheet"]) == 2
    time.tzset()
    told = capsys.readouterr()
    assert "03:00 The clocks go forward on Sun 29 Mar 2026, from 02:00 to 03:00" in " ".join(told.out.split())
    assert "02:30 does not come on Sun 29 Mar 2026" in told.err


def test_a_bake_goes_on_until_it_is_taken_out_one_time_for_both(capsys: Captured) -> None:
    day = printed(capsys, "--sheet").split("\n\nA  ", 2)[1]
    untils = re.findall(r"· Bake[^\n]* until (\d\d:\d\d)", day)
    assert untils
    for until in untils:
        assert re.search(rf"\[ \] {until}  .*[Tt]ake", day), until


def test_bread_that_cools_before_it_is_wanted_is_ready_then_on_paper_in_the_list_and_for_scripts(
    capsys: Captured,
) -> None:
    bread = ["plan", "quay-pan-loaf", "--ready", "2026-03-14 06:00"]

    def told(*said: str) -> str:
        assert main([*bread, *said]) == 0
        return capsys.readouterr().out

    (cool,) = (stage for stage in json.loads(told("--json"))["bakes"][0]["stages"] if stage["kind"] == "cool")
    ready, stands = (datetime.fromisoformat(cool[key]) for key in ("ends", "stands_until"))
    assert (cool["seconds"], f"{stands:%a %H:%M}") == (7200, "Sat 06:00")
    assert f"Cool until Sat {ready:%H:%M}, ready; it stands until Sat 06:00" in told("--sheet")
    assert f"Cool, 2 h, ready Sat 14 {ready:%H:%M}; it stands until Sat 14 06:00" in " ".join(told().split())


def test_a_reading_of_which_nothing_is_expected_says_what_to_do(capsys: Captured) -> None:
    assert main(["plan", "lamplighter-loaf", "--ready", "in 30 h", "--sheet"]) == 0
    sheet = " ".join(capsys.readouterr().out.split())

    assert "Final proof: read the dough's temperature, rise 60 to 90 %" in sheet
