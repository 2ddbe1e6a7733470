"""``proofbell journal``: what is printed, what is written, and what is refused."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from proofbell.bake import events as kinds
from proofbell.cli import main
from proofbell.cli.journal import FORMATS
from proofbell.formula.read import load
from proofbell.journal.export.exports import FORMS
from proofbell.journal.storage.store import Journal
from tests.journal.generate import Truth, simulated_bakes
from tests.support.making import chain, first_events, opened
from tests.support.stage import FORMULAS


@pytest.fixture
def filled(path: Path) -> Path:
    with Journal.open(path) as journal:
        for state in simulated_bakes(0xA1, Truth(), 3):
            journal.append(state.events, 0)
        journal.append(first_events("2026-03-14-harbour-knots-3f2a"), 0)
        named = kinds.NoteAdded("the \x1b]0;x\x07 window [/b]")
        journal.append(chain("2026-03-15-harbour-knots-77aa", [(90_000.0, opened(letter="B")), (90_001.0, named)]), 0)
    return path


Out = pytest.CaptureFixture[str]


def test_a_first_run_lists_nothing_and_makes_nothing(path: Path, capsys: Out) -> None:
    assert main(["journal"]) == 0
    assert capsys.readouterr().out == "No bakes.\n"
    assert not path.exists()
    assert main(["journal", "show", "x"]) == 1
    assert "no journal yet" in capsys.readouterr().err


def test_the_list_has_a_line_for_each_bake_the_newest_first(filled: Path, capsys: Out) -> None:
    assert main(["journal"]) == 0
    lines = capsys.readouterr().out.splitlines()
    # The third loaf was begun two days after the first, the knots on the first two days.
    assert [line.split()[-1] for line in lines[1:6]] == [
        "00a10002", "2026-03-15-harbour-knots-77aa", "00a10001", "2026-03-14-harbour-knots-3f2a", "00a10000",
    ]  # fmt: skip
    assert "Pier loaf" in lines[1]
    assert "3 cooled without a score" in lines[6]


def test_reading_much_for_the_first_time_is_told_beside_the_list_not_in_it(
    filled: Path, capsys: Out, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("proofbell.cli.printed.journal_progress.LONG", 5)
    assert main(["journal", "--json"]) == 0
    told = capsys.readouterr()
    assert len(json.loads(told.out)["bakes"]) == 5
    assert told.err == "proofbell: reading the journal for the first time: 5 bakes to go\n"
    assert main(["journal", "--json"]) == 0
    assert capsys.readouterr().err == ""


def test_the_list_as_json_and_its_filters(filled: Path, capsys: Out) -> None:
    assert main(["journal", "--json", "--formula", "pier", "--since", "2026-03-15"]) == 0
    found = json.loads(capsys.readouterr().out)["bakes"]
    assert [bake["bake"] for bake in found] == ["00a10002", "00a10001"]
    assert found[0]["began"] == "2026-03-16T08:00:00+01:00"
    assert found[0]["proof_planned_s"] == 9000.0
    assert main(["journal", "--json", "--score", "5"]) == 0
    assert json.loads(capsys.readouterr().out)["bakes"] == []
    assert main(["journal", "--since", "yesterday-ish"]) == 2
    assert "is not a date" in capsys.readouterr().err
    assert main(["journal", "--score", "good"]) == 2


def test_one_bake_is_found_by_the_beginning_or_end_of_its_name(filled: Path, capsys: Out) -> None:
    for named in ("2026-03-14", "3f2a", "2026-03-14-harbour-knots-3f2a"):
        assert main(["journal", "show", named]) == 0
        assert "Harbour knots, bake A, 12 × 75 g: unfinished" in capsys.readouterr().out
    # The letter of a bake that is live.
    assert main(["journal", "show", "a"]) == 0
    assert "Harbour knots, bake A" in capsys.readouterr().out
    assert main(["journal", "show", "2026"]) == 2
    assert "2 bakes begin or end with 2026" in capsys.readouterr().err
    assert main(["journal", "show", "nobody"]) == 2
    assert main(["journal", "show", ""]) == 2


def test_show_tells_planned_and_actual_and_hides_no_control_character(filled: Path, capsys: Out) -> None:
    assert main(["journal", "show", "77aa"]) == 0
    out = capsys.readouterr().out
    assert "\x1b" not in out
    assert "\\x1b]0;x\\x07 window [/b]" in out
    assert main(["journal", "show", "00a10000", "--json"]) == 0
    bake = json.loads(capsys.readouterr().out)
    wanted = {"bake", "stages", "readings", "adjustments", "notes", "score", "events"}
    assert wanted <= set(bake)
    assert bake["stages"][1]["planned_s"] == 5400.0
    assert bake["stages"][1]["actual_s"] > 0


def test_compare_marks_what_differs(filled: Path, capsys: Out) -> None:
    assert main(["journal", "compare", "00a10000", "3f2a"]) == 0
    out = capsys.readouterr().out
    assert "<<" in out
    assert "The second against the first:" in out
    assert main(["journal", "compare", "00a10000", "00a10001", "--json"]) == 0
    assert {"schema", "left", "right", "lines", "sentences"} == set(json.loads(capsys.readouterr().out))


def test_export_to_a_folder_gives_each_bake_a_safe_name_and_replaces_nothing(
    filled: Path, tmp_path: Path, capsys: Out
) -> None:
    folder = tmp_path / "out"
    assert main(["journal", "export", "--folder", str(folder)]) == 0
    names = sorted(file.name for file in folder.iterdir())
    assert "2026-03-14-harbour-knots-3f2a.md" in names
    assert len(names) == 5
    assert all(set(name) <= set("abcdefghijklmnopqrstuvwxyz0123456789-.") for name in names)
    assert main(["journal", "export", "3f2a", "--folder", str(folder)]) == 1
    assert "already there" in capsys.readouterr().err
    assert main(["journal", "export", "3f2a", "--folder", str(folder), "--overwrite"]) == 0


def test_the_command_offers_every_form_there_is() -> None:
    assert set(FORMATS) == set(FORMS)


def test_export_to_one_file_or_to_standard_output(filled: Path, tmp_path: Path, capsys: Out) -> None:
    target = tmp_path / "all.json"
    assert main(["journal", "export", "--format", "json", "--to", str(target)]) == 0
    assert len(json.loads(target.read_text(encoding="utf-8"))["bakes"]) == 5
    assert main(["journal", "export", "--format", "json", "--to", str(target)]) == 1
    capsys.readouterr()
    assert main(["journal", "export", "3f2a", "3f2a", "--format", "csv"]) == 0
    assert capsys.readouterr().out.count("bake opened") == 1
    assert main(["journal", "export", "3f2a", "--format", "svg"]) == 0
    assert capsys.readouterr().out.startswith("<svg")
    assert main(["journal", "export", "--format", "svg"]) == 2
    assert main(["journal", "export", "--to", "a", "--folder", "b"]) == 2
    assert main(["journal", "export", "3f2a", "--to", str(tmp_path / "no" / "where.md")]) == 1


def test_an_export_takes_the_form_that_the_file_ends_in(filled: Path, tmp_path: Path, capsys: Out) -> None:
    assert main(["journal", "export", "--to", str(tmp_path / "all.CSV")]) == 0
    assert (tmp_path / "all.CSV").read_text(encoding="utf-8").count("bake opened") == 5
    capsys.readouterr()
    assert main(["journal", "export", "--to", str(tmp_path / "all.txt")]) == 2
    assert ".md, .csv, .json, .svg" in capsys.readouterr().err
    assert main(["journal", "export", "--format", "json", "--to", str(tmp_path / "all.csv")]) == 2
    assert "End the file in .json" in capsys.readouterr().err
    assert main(["journal", "export", "--format", "markdown", "--to", str(tmp_path / "all.txt")]) == 0


def test_verify_and_backup_say_what_they_found(filled: Path, tmp_path: Path, capsys: Out) -> None:
    assert main(["journal", "verify"]) == 0
    assert "All is well: 5 bakes" in capsys.readouterr().out
    copy = tmp_path / "copy.db"
    assert main(["journal", "backup", str(copy), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["bakes"] == 5
    assert main(["journal", "backup", str(copy)]) == 1
    with Journal.open(filled) as journal:
        journal.connection.execute("DROP TRIGGER events_are_never_changed")
        journal.connection.execute("UPDATE events SET offset_min = 0 WHERE bake = '00a10001' AND number = 2")
    capsys.readouterr()
    assert main(["journal", "verify", "--json"]) == 1
    problems = json.loads(capsys.readouterr().out)["problems"]
    assert any("00a10001" in problem for problem in problems)
    assert main(["journal", "show", "00a10001"]) == 1
    assert "damaged" in capsys.readouterr().out


def test_learned_says_from_how_many_bakes(filled: Path, capsys: Out) -> None:
    assert main(["journal", "learned"]) == 0
    out = capsys.readouterr().out
    assert "What Guesthouse does" in out
    assert "from 3 bakes" in out
    assert main(["journal", "learned", "--formula", "pier", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["formula"] == "Pier loaf"
    assert {"quantity", "value", "low", "high", "bakes", "prior"} <= set(found["habits"][0])


def test_the_journal_opens_no_screen_library(filled: Path) -> None:
    script = (
        "import sys\nfrom proofbell.cli import main\n"
        "for words in (['journal'], ['journal', 'show', '3f2a'], ['journal', 'learned'], ['journal', 'verify']):\n"
        "    assert main(words) == 0, words\n"
        "assert not {'textual', 'rich', 'pint'} & set(sys.modules)\n"
    )
    subprocess.run([sys.executable, "-c", script], check=True, capture_output=True, text=True)


def test_a_list_that_was_out_of_date_is_made_again_and_is_no_damage(filled: Path, capsys: Out) -> None:
    assert main(["journal"]) == 0
    before = capsys.readouterr().out
    with Journal.open(filled) as journal:
        journal.connection.execute("UPDATE summaries SET body = replace(body, 'Harbour', 'Barbour')")
    assert main(["journal", "verify"]) == 0
    told = capsys.readouterr().out
    assert "All is well" in told
    assert "the list's cache was out of date for 2 bakes: made again" in told
    assert main(["journal"]) == 0
    assert capsys.readouterr().out == before


@pytest.mark.parametrize("file", ["plain", "marked and with other line ends"])
def test_a_formula_is_taken_out_byte_for_byte_and_no_file_is_replaced(
    file: str, path: Path, tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    data = (FORMULAS / "harbour-knots.toml").read_bytes()
    data = data if file == "plain" else b"\xef\xbb\xbf" + data.replace(b"\n", b"\r\n")
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(tmp_path / "kitchen.toml"))
    with Journal.open(path) as journal:
        formula = load(data, "harbour-knots.toml")
        journal.append(chain("knots-77aa", [(0.0, replace(opened(), formula=formula))]), 0)
    out, own = tmp_path / "out.toml", tmp_path / "formulas" / "harbour-knots.toml"

    assert main(["journal", "formula", "77aa", "--out", str(out)]) == 0
    assert main(["journal", "formula", "77aa", "--own"]) == 0
    assert out.read_bytes() == own.read_bytes() == data
    capfdbinary.readouterr()
    assert main(["journal", "formula", "77aa", "--out", "-"]) == 0
    assert capfdbinary.readouterr().out == data
    out.write_bytes(b"mine")
    for again in (["--out", str(out)], ["--own"]):
        assert main(["journal", "formula", "77aa", *again]) == 2
        assert b"nothing is replaced" in capfdbinary.readouterr().err
    assert out.read_bytes() == b"mine"
    assert b"\r" not in markdown(path)


def markdown(path: Path) -> bytes:
    out = path.with_name("all.md")
    assert main(["journal", "export", "--to", str(out)]) == 0
    return out.read_bytes()


def test_a_formula_that_is_not_what_was_opened_is_not_given_out(path: Path, capsys: Out) -> None:
    whole = load((FORMULAS / "harbour-knots.toml").read_bytes(), "harbour-knots.toml")
    with Journal.open(path) as journal:
        for letter, bake, text in (("A", "gone", ""), ("B", "other", whole.text + "#")):
            formula = replace(whole, text=text)
            journal.append(chain(bake, [(0.0, replace(opened(letter=letter), formula=formula))]), 0)
    for bake, words in (("gone", "holds no text"), ("other", "is damaged")):
        assert main(["journal", "formula", bake]) == 1
        told = capsys.readouterr()
        assert words in told.err
        assert told.out == ""
