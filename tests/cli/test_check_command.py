"""``proofbell check``: what it prints, where, and its exit status."""

import argparse
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from proofbell.cli import check
from proofbell.cli.arguments.reading import formula_path, read_all, read_named
from proofbell.errors import Failure
from proofbell.places import house_formulas

KNOTS = house_formulas()["harbour-knots"].read_text(encoding="utf-8")


def run(*arguments: str) -> int:
    """The command as the dispatcher runs it."""
    parser = argparse.ArgumentParser()
    check.add_arguments(parser)
    return check.run(parser.parse_args(arguments))


@pytest.fixture
def bad(tmp_path: Path) -> Path:
    path = tmp_path / "bad.toml"
    path.write_text(KNOTS.replace('piece  = "75 g"', 'piece  = "75"'), encoding="utf-8")
    return path


@pytest.fixture
def odd(tmp_path: Path) -> Path:
    path = tmp_path / "odd.toml"
    path.write_text(KNOTS.replace("percent = 1.8", "percent = 3.5"), encoding="utf-8")
    return path


def test_a_good_file_is_fine_by_its_short_name(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("harbour-knots") == 0
    said = capsys.readouterr()
    assert said.out.endswith("harbour-knots.toml: ok.\n")
    assert said.err == ""


def test_a_bad_file_is_refused_on_standard_error(bad: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(str(bad)) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert f"{bad}:7:10" in said.err
    assert "refused, 1 fault" in said.err


def test_an_odd_file_is_warned_of_and_still_fine(odd: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(str(odd)) == 0
    said = capsys.readouterr()
    assert "Salt comes to 3.5 %" in said.out
    assert "ok, 1 warning" in said.out


def test_one_bad_file_among_several_leaves_the_others_read(bad: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("harbour-knots", str(bad), "no-such-bread", str(bad.parent)) == 2
    said = capsys.readouterr()
    assert "harbour-knots.toml: ok" in said.out
    assert "no file no-such-bread" in " ".join(said.err.split())
    assert "a folder" in " ".join(said.err.split())


def test_json_is_one_document_with_every_field(bad: Path, odd: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("--json", str(bad), str(odd), "harbour-knots", "no-such-bread") == 2
    files = json.loads(capsys.readouterr().out)["files"]
    assert [Path(each["file"]).name for each in files] == [
        "bad.toml",
        "odd.toml",
        "harbour-knots.toml",
        "no-such-bread",
    ]
    (fault,) = files[0]["faults"]
    assert set(fault) == {"level", "line", "column", "field", "message", "remedy"}
    assert (fault["level"], fault["line"], fault["column"], fault["field"]) == ("error", 7, 10, "batch, piece")
    assert [each["level"] for each in files[1]["faults"]] == ["warning"]
    assert files[2]["faults"] == []
    assert files[3]["faults"][0]["line"] == 0


def test_the_schema_and_the_page_for_writers_can_be_had(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("--schema") == 0
    assert json.loads(capsys.readouterr().out)["type"] == "object"
    assert run("--reference") == 0
    assert capsys.readouterr().out.startswith("# Writing formulas")


def test_nothing_to_check_is_said_so() -> None:
    with pytest.raises(Failure, match="Nothing to check"):
        run()


def test_a_file_comes_before_a_house_formula_of_the_same_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert formula_path("harbour-knots") == house_formulas()["harbour-knots"]
    (tmp_path / "harbour-knots").write_text("", encoding="utf-8")
    assert formula_path("harbour-knots") == Path("harbour-knots")


@pytest.mark.parametrize("name", ["no-such-bread", "a\x00b", "x" * 5000, "\x1b[2J", ""])
def test_what_is_not_there_is_refused_in_plain_words(name: str) -> None:
    with pytest.raises(Failure) as refused:
        read_named(name)
    assert refused.value.status == 2
    assert "\x1b" not in refused.value.message + refused.value.remedy


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="the superuser may read everything")
def test_a_file_that_may_not_be_read_is_refused(bad: Path) -> None:
    bad.chmod(0)
    with pytest.raises(Failure, match="may not be read"):
        read_named(str(bad))


def test_several_formulas_are_read_in_order() -> None:
    assert [each.name for each in read_all(["quay-pan-loaf", "harbour-knots"])] == ["Quay pan loaf", "Harbour knots"]


def test_checking_imports_neither_screens_nor_a_database() -> None:
    code = (
        "import argparse, sys; from proofbell.cli import check; p = argparse.ArgumentParser(); check.add_arguments(p);"
        "check.run(p.parse_args(['harbour-knots'])); check.run(p.parse_args(['--schema']));"
        "loaded = {name.split('.')[0] for name in sys.modules};"
        "sys.exit(bool(loaded & {'textual', 'rich', 'sqlite3', 'tomlkit', 'click', 'pint'}))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False, timeout=60, capture_output=True).returncode == 0
