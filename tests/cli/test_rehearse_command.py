"""``proofbell rehearse`` at once: a whole bake as text and as JSON, with readings of one's own; nothing is kept."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from proofbell.cli import main
from proofbell.journal.storage.store import Journal
from proofbell.units import METRIC, use

Captured = pytest.CaptureFixture[str]

DEMO = """
name  = "Cardamom knots"
style = "enriched"
[batch]
pieces = 12
piece  = "75 g"
[dough]
temperature = "25 °C"
[oven]
temperature = "190 °C"
[[ingredients]]
name = "strong white flour"
percent = 100
kind = "flour"
[[ingredients]]
name = "whole milk"
percent = 50
kind = "milk"
heat = true
[[ingredients]]
name = "salt"
percent = 1.8
kind = "salt"
[[stages]]
name = "Mix"
kind = "hands"
time = "6 min"
[[stages]]
name = "First proof"
kind = "proof"
time = "70 min"
stretch = ["50 min", "100 min"]
  [[stages.checks]]
  read = "dough temperature"
  when = "start"
  expect = ["24 °C", "26 °C"]
  [stages.adjust]
  by = "bands"
  read = "dough temperature"
  bands = [{ below = "24 °C", time = "85 min" }, { below = "26 °C", time = "70 min" }, { time = "55 min" }]
[[stages]]
name = "Final proof"
kind = "proof"
time = "50 min"
stretch = ["35 min", "70 min"]
place = "22 °C"
adjust = { by = "rate", at = "25 °C", place = "22 °C" }
rise = { wanted = ["50 %", "70 %"], extend = "8 min", at_most = 3 }
  [[stages.checks]]
  read = "rise"
  when = "end"
[[stages]]
name = "Bake"
kind = "bake"
time = "16 min"
turn = "9 min"
[[stages]]
name = "Cool"
kind = "cool"
time = "30 min"
"""


@pytest.fixture(autouse=True)
def _nothing_of_ones_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(tmp_path / "kitchen.toml"))
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(tmp_path / "journal.sqlite"))
    yield
    use(METRIC)


@pytest.fixture
def demo(tmp_path: Path) -> str:
    path = tmp_path / "demo.toml"
    path.write_text(DEMO, encoding="utf-8")
    return str(path)


def rehearsed(capsys: Captured, *arguments: str) -> list[dict[str, Any]]:
    """The bakes of a rehearsal."""
    assert main(["rehearse", *arguments, "--json"]) == 0
    said = capsys.readouterr()
    assert said.err == ""
    document = json.loads(said.out)
    assert set(document) == {"schema", "bakes"}
    bakes: list[dict[str, Any]] = document["bakes"]
    return bakes


def refused(capsys: Captured, *arguments: str) -> str:
    """What is said of wrong input."""
    assert main(["rehearse", *arguments]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    return said.err


def test_without_readings_everything_takes_its_nominal_time(demo: str, capsys: Captured) -> None:
    (bake,) = rehearsed(capsys, demo)
    assert [stage["begun_s"] for stage in bake["stages"]] == [0, 360, 4560, 7560, 8520]
    assert [stage["ended_s"] for stage in bake["stages"]] == [360, 4560, 7560, 8520, 10320]
    for stage in bake["stages"]:
        assert stage["actual_s"] == stage["planned_s"]
        assert stage["adjustments"] == []


def test_the_fields_are_those_that_scripts_rely_on(demo: str, capsys: Captured) -> None:
    (bake,) = rehearsed(capsys, demo, "--reading", "First proof: dough temperature = 27 °C")
    assert set(bake) == {"letter", "formula", "stages", "events"}
    stage = bake["stages"][1]
    assert set(stage) == {"name", "kind", "begun_s", "ended_s", "planned_s", "actual_s", "adjustments", "advice"}
    assert all(
        set(each) - set(stage) == ({"core", "core_outlook"} if each["kind"] == "bake" else set())
        for each in bake["stages"]
    )
    (change,) = stage["adjustments"]
    assert set(change) == {"from_s", "to_s", "by", "reason", "rate_s", "rate_low_s", "rate_high_s"}
    assert (change["from_s"], change["to_s"], change["by"]) == (4200, 3300, "bands")
    assert change["rate_low_s"] < change["rate_s"] < change["rate_high_s"]
    assert (stage["planned_s"], stage["actual_s"]) == (4200, 3300)
    assert [event["number"] for event in bake["events"]] == list(range(1, len(bake["events"]) + 1))
    assert bake["events"][-1]["event"] == "bake closed"
    assert bake["events"][-1]["at_s"] == bake["stages"][-1]["ended_s"]


def test_what_is_advised_stands_on_its_stage_with_its_moment(demo: str, capsys: Captured) -> None:
    said = ("--reading", "First proof: dough temperature = 31 °C at 10 min", "--reading", "Final proof: rise = 180 %")
    (bake,) = rehearsed(capsys, demo, *said)
    first = {each["situation"]: each for each in bake["stages"][1]["advice"]}
    assert set(first["dough too warm"]) == {"at_s", "situation", "says"}
    assert first["dough too warm"]["at_s"] == 600
    assert first["dough too warm"]["says"].startswith("Dough 31.0 °C, ")
    (over,) = (each for each in bake["stages"][2]["advice"] if each["situation"] == "over-proofed")
    assert over["at_s"] == bake["stages"][2]["actual_s"]
    assert "180 %" in over["says"]
    assert [each["advice"] for each in rehearsed(capsys, demo)[0]["stages"]] == [[]] * len(bake["stages"])


@pytest.mark.parametrize(("value", "seconds"), [("27 °C", 3300), ("80.6 °F", 3300), ("27", 3300), ("23,5", 5100)])
def test_readings_have_units_at_the_door(demo: str, value: str, seconds: int, capsys: Captured) -> None:
    (bake,) = rehearsed(capsys, demo, "--reading", f"first PROOF :dough temperature= {value} ")
    assert bake["stages"][1]["actual_s"] == seconds


def test_a_short_rise_extends_as_often_as_it_is_short(demo: str, capsys: Captured) -> None:
    short = ("--reading", "Final proof: rise = not yet")
    (bake,) = rehearsed(capsys, demo, *short, *short)
    assert bake["stages"][2]["actual_s"] == (50 + 8 + 8) * 60
    assert [change["by"] for change in bake["stages"][2]["adjustments"]] == ["rise", "rise"]
    (bake,) = rehearsed(capsys, demo, "--reading", "Final proof: rise = 40 %")
    # Full of gas since it was shaped, 5 % besides: 45 % in 50 min, so the 10 % that lack take 11.1.
    assert bake["stages"][2]["actual_s"] == 62 * 60


def test_a_reading_that_no_check_asks_for_is_given_as_the_stage_begins(demo: str, capsys: Captured) -> None:
    (bake,) = rehearsed(capsys, demo, "--reading", "Final proof: dough temperature = 22 °C")
    (change,) = bake["stages"][2]["adjustments"]
    assert change["by"] == "rate"
    assert change["to_s"] > change["from_s"]


def test_every_reading_is_used_even_more_than_were_asked_for(demo: str, capsys: Captured) -> None:
    many = [part for value in ("27", "25", "23") for part in ("--reading", f"First proof: dough temperature = {value}")]
    (bake,) = rehearsed(capsys, demo, *many)
    taken = [e["body"]["value"] for e in bake["events"] if e["event"] == "reading taken" and e["body"]["stage"] == 1]
    assert taken == [27.0, 25.0, 23.0]


def test_several_formulas_get_letters_and_readings_go_where_the_stage_is(demo: str, capsys: Captured) -> None:
    bakes = rehearsed(capsys, demo, "quay-pan-loaf", "--reading", "Mould into tins: dough temperature = 26 °C")
    assert [(bake["letter"], bake["formula"]) for bake in bakes] == [("A", "Cardamom knots"), ("B", "Quay pan loaf")]
    assert all(bake["events"][-1]["event"] == "bake closed" for bake in bakes)


def test_the_room_and_the_size_may_be_todays(demo: str, capsys: Captured) -> None:
    (bake,) = rehearsed(capsys, demo, "--room", "77 °F", "--pieces", "24")
    assert bake["events"][0]["body"]["batch"]["pieces"] == 24


@pytest.mark.parametrize(
    ("reading", "words"),
    [
        ("First prof: dough temperature = 27", "Did you mean First proof?"),
        ("First proof: dough temprature = 27", "Did you mean dough temperature?"),
        ("First proof: dough temperature = warm", "is not a dough temperature"),
        ("First proof: dough temperature = 27 g", "is read in °C"),
        ("First proof: dough temperature = 250 °C", "cannot be"),
        ("First proof: dough temperature", "is not a reading"),
        ("27 °C", "is not a reading"),
        ("", "is not a reading"),
        (": rise = 5", "is not a reading"),
    ],
)
def test_a_wrong_reading_is_refused_with_what_to_do(demo: str, reading: str, words: str, capsys: Captured) -> None:
    assert words in refused(capsys, demo, "--json", "--reading", reading)


@pytest.mark.parametrize(
    ("flags", "words"),
    [
        (("--speed", "0"), "--speed"),
        (("--speed", "nan"), "--speed"),
        (("--speed", "fast"), "--speed"),
        (("--print", "--pieces", "0"), "--pieces"),
        (("--print", "--pieces", "-2"), "--pieces"),
        (("--print", "--room", "25"), "--room"),
        (("--reading", "Mix: weight = 900 g"), "--print or --json"),
    ],
)
def test_a_wrong_flag_is_named(demo: str, flags: tuple[str, ...], words: str, capsys: Captured) -> None:
    assert words in refused(capsys, demo, *flags)


def test_the_text_tells_every_change_and_why(demo: str, capsys: Captured) -> None:
    assert main(["rehearse", demo, "--print", "--reading", "First proof: dough temperature = 27 °C"]) == 0
    text = capsys.readouterr().out
    assert "First proof  55 min  (planned 1 h 10 min)" in text
    assert "Dough 27.0 °C, 26 °C or warmer: 70 → 55 min by the formula" in text
    assert re.search(r"2:\d\d  ready\n$", text)


@pytest.mark.parametrize(
    ("typed", "told"), [("78", "78 °F"), ("78 F", "78 °F"), ("78,5", "78.5 °F"), ("26 °C", "26 °C")]
)
def test_a_reading_is_told_as_it_was_typed_in_a_kitchen_of_fahrenheit(
    demo: str, tmp_path: Path, typed: str, told: str, capsys: Captured
) -> None:
    (tmp_path / "kitchen.toml").write_text('[units]\ntemperature = "°F"\n', encoding="utf-8")
    assert main(["rehearse", demo, "--print", "--reading", f"First proof: dough temperature = {typed}"]) == 0
    assert f"dough temperature: {told}\n" in capsys.readouterr().out


def test_the_text_says_from_when_its_times_count(demo: str, capsys: Captured) -> None:
    assert main(["rehearse", demo, "--print"]) == 0
    assert capsys.readouterr().out.splitlines()[1:3] == ["   h:min  from the start", "    0:00  Mix          6 min"]


def test_of_what_the_room_was_reckoned_to_make_of_a_proof_only_what_counts_is_printed(capsys: Captured) -> None:
    assert main(["rehearse", "tidemark-sourdough", "--room", "14 °C", "--print"]) == 0
    final = capsys.readouterr().out.partition("Final proof")[2]
    (told,) = re.findall(r"Room 14 °C: about ([^(]*) \(", final)
    counted = re.search(r"Dough 23.5 °C: (.*) →", final)
    assert counted is not None
    # 6 h 55 min for both: the newest forecast is what the reading then changed.
    assert told == counted[1]


def test_each_core_reading_says_when_the_core_wanted_is_reached(demo: str, capsys: Captured) -> None:
    (bake,) = rehearsed(
        capsys,
        demo,
        "--reading", "Bake: core temperature = 70 °C at 12 min",
        "--reading", "bake: core temperature = 176 °F at 15 min",
        "--reading", "Bake: core temperature = 87 °C at 1080 s",
    )  # fmt: skip
    baked = bake["stages"][3]
    assert baked["core"]["low_c"] == 85
    assert baked["actual_s"] == 1080
    one, two, done = baked["core_outlook"]
    assert set(one) == {"at_s", "value_c", "done_s", "low_s", "high_s"}
    # From 70 °C to 85 the published factors lie between 0.18 (80 → 90) and 0.34 (70 → 90).
    assert (one["at_s"], one["value_c"]) == (720, 70)
    assert 720 * 1.18 < one["done_s"] < 720 * 1.34
    assert one["done_s"] - one["low_s"] >= 120
    assert one["high_s"] - one["done_s"] >= 120
    assert (two["at_s"], two["value_c"]) == (900, 80)
    assert two["high_s"] - two["low_s"] < one["high_s"] - one["low_s"]
    assert 900 <= two["low_s"] < two["done_s"] < two["high_s"]
    assert done["high_s"] <= done["at_s"] == 1080
    assert "core_outlook" not in bake["stages"][2]


def test_a_bake_without_core_readings_has_no_outlook(demo: str, capsys: Captured) -> None:
    (bake,) = rehearsed(capsys, demo)
    assert bake["stages"][3]["core_outlook"] == []


@pytest.mark.parametrize(
    ("reading", "words"),
    [
        ("Bake: core temperature = 62 °C at noon", 'such as "50 min"'),
        ("Bake: core temperature = at 12 min", 'such as "62 °C at 12 min"'),
        ("Bake: core temperature = 62 °C at 20 d", 'such as "62 °C at 12 min"'),
        ("Bake: core temperature = hot at 12 min", "type a number in °C"),
    ],
)
def test_a_moment_that_is_none_is_refused(demo: str, reading: str, words: str, capsys: Captured) -> None:
    assert words in refused(capsys, demo, "--json", "--reading", reading)


def test_a_rehearsal_never_touches_the_journal(demo: str, tmp_path: Path, capsys: Captured) -> None:
    journal = tmp_path / "journal.sqlite"
    rehearsed(capsys, demo)
    assert not journal.exists()
    Journal.open(journal).close()
    before = {path.name: path.read_bytes() for path in tmp_path.glob("journal*")}
    rehearsed(capsys, demo)
    assert {path.name: path.read_bytes() for path in tmp_path.glob("journal*")} == before


def test_one_rehearsal_is_like_the_next(demo: str, capsys: Captured) -> None:
    assert rehearsed(capsys, demo) == rehearsed(capsys, demo)


def test_a_dough_is_put_somewhere_as_it_would_be_live(demo: str, capsys: Captured) -> None:
    (usual,) = rehearsed(capsys, demo)
    (cold,) = rehearsed(capsys, demo, "--place", "first proof = 4 °C from 20 min")
    (named,) = rehearsed(capsys, demo, "--place", "First proof = fridge from 1200 s")
    (back,) = rehearsed(
        capsys, demo, "--place", "First proof = fridge from 20 min", "--place", "First proof=room from 1 h"
    )
    actual = [each["stages"][1]["actual_s"] for each in (usual, back, cold)]
    assert actual == sorted(set(actual))
    assert cold["stages"][1]["actual_s"] == named["stages"][1]["actual_s"]
    assert [one["by"] for one in cold["stages"][1]["adjustments"]] == ["place"]


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("First proof", "is not a stage and a place"),
        ("First prof = fridge", "Did you mean First proof?"),
        ("First proof = 4 C from soon", "not a length of time"),
        ("First proof = 4 g", "--place:"),
        ("First proof = attic", "This kitchen has no attic."),
        ("Mix = fridge", "does not stand anywhere"),
    ],
)
def test_a_place_that_cannot_be_is_refused(demo: str, capsys: Captured, typed: str, words: str) -> None:
    assert main(["rehearse", demo, "--print", "--place", typed]) == 2
    assert words in capsys.readouterr().err


def test_another_size_is_said_as_it_would_be_live(demo: str, capsys: Captured) -> None:
    (bake,) = rehearsed(capsys, demo, "--size", "Mix = 16 pieces", "--size", "first proof = 14 from 20 min")
    batches = [event["body"]["batch"] for event in bake["events"] if "batch" in event["body"]]
    assert [(batch["pieces"], round(batch["piece_g"], 1)) for batch in batches] == [(12, 75), (16, 75), (14, 85.7)]
    more, other = (event["body"] for event in bake["events"] if event["event"] == "resized")
    assert (more["wish"]["pieces"], more["same_dough"], other["same_dough"]) == (16, False, True)
    # What was in the bowl, and so what was to be added, is told of each line.
    assert more["in_bowl_g"] == [line["grams"] for line in batches[0]["lines"]]
    assert [line["grams"] for line in other["batch"]["lines"]] == other["in_bowl_g"]

    assert main(["rehearse", demo, "--print", "--size", "Mix = 16"]) == 0
    told = "Size changed to 16 × 75 g, 1200 g of dough, in 2 loads; to add to the bowl: strong white"
    assert told in capsys.readouterr().out


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("Mix", "is not a stage and a size"),
        ("Mixx = 16", "Did you mean Mix?"),
        ("Mix = 16 g", "does not name an ingredient"),
        ("Mix = 10", "Cannot be taken out of the bowl: strong white flour 99 g"),
        ("Bake = 10", "its size stays"),
    ],
)
def test_a_size_that_cannot_be_is_refused(demo: str, capsys: Captured, typed: str, words: str) -> None:
    assert words in refused(capsys, demo, "--print", "--size", typed)
