"""Paths that somebody types, in a command or a variable: what can be no file is refused in words, at once."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from proofbell import places
from proofbell.cli import main
from proofbell.errors import Failure

Captured = pytest.CaptureFixture[str]


def in_one_line(capsys: Captured) -> str:
    """What was said; how long a path is decides where its lines break."""
    return " ".join(capsys.readouterr().err.split())


pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="home folders and pipes are named otherwise there")

NOBODY = "~no-such-baker/loaf.toml"
LONG = f"/{'x' * 300}/loaf.toml"
DEEP = "/x" * 3000
REFUSED = {
    NOBODY: "no home folder is known for ~no-such-baker",
    LONG: "too long for the name of a file",
    DEEP: "too long for the name of a file",
    "a\0b": "no file name can have",
    "half\ud800": "no file name can have",
    " ": "No file is named",
    "-": "- names no file here",
}

READ = [["check"], ["weigh"], ["plan"], ["rehearse", "--print"], ["rehearse", "--json"], ["weigh", "--json"]]
WRITE = [["plan", "harbour-knots", "--ics"], ["journal", "export", "--to"], ["journal", "backup"]]


@pytest.fixture(autouse=True)
def _own_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(tmp_path / "kitchen.toml"))
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(tmp_path / "journal.sqlite"))


@pytest.mark.parametrize("typed", REFUSED)
def test_what_can_be_no_path_is_refused_in_words(typed: str) -> None:
    with pytest.raises(Failure) as refused:
        places.typed_path(typed)
    assert REFUSED[typed] in refused.value.message
    assert refused.value.remedy


def test_a_home_folder_is_meant_by_its_sign(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    assert places.typed_path("~/mine.toml") == tmp_path / "mine.toml"
    assert places.typed_path("mine.toml") == Path("mine.toml")


@pytest.mark.parametrize("typed", [NOBODY, LONG, DEEP])
@pytest.mark.parametrize("command", [*READ, *WRITE, ["journal", "export", "--folder"]], ids=" ".join)
def test_every_command_refuses_such_a_path_in_plain_lines(command: list[str], typed: str, capsys: Captured) -> None:
    status = main([*command, typed])
    said = capsys.readouterr().err
    assert status in (1, 2)
    assert REFUSED[typed] in " ".join(said.split())
    assert "internal error" not in said
    assert len(said.splitlines()) == 2 or command == ["check"]


@pytest.mark.parametrize("typed", [NOBODY, LONG, DEEP])
def test_the_bench_refuses_such_a_formula_too(typed: str, capsys: Captured) -> None:
    assert main([typed]) == 2
    assert REFUSED[typed] in in_one_line(capsys)


@pytest.mark.parametrize("typed", [NOBODY, LONG, DEEP])
@pytest.mark.parametrize("variable", ["PROOFBELL_KITCHEN", "PROOFBELL_JOURNAL"])
def test_a_variable_that_names_such_a_path_is_named_itself(
    variable: str, typed: str, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    monkeypatch.setenv(variable, typed)
    command = ["kitchen"] if variable == "PROOFBELL_KITCHEN" else ["journal"]
    for arguments in (command, [*command, "--json"], ["weigh", "harbour-knots"], ["plan", "harbour-knots"]):
        assert main(arguments) == 2
        said = capsys.readouterr().err
        assert said.startswith(f"{variable}: ")
        assert REFUSED[typed] in " ".join(said.split())


@pytest.fixture
def others(tmp_path: Path) -> dict[str, str]:
    """What is no file, with what it is."""
    os.mkfifo(tmp_path / "pipe.toml")
    return {str(tmp_path / "pipe.toml"): "a pipe", "/dev/zero": "a device", str(tmp_path): "a folder"}


@pytest.mark.parametrize("command", READ, ids=" ".join)
def test_a_pipe_is_never_waited_for(command: list[str], others: dict[str, str]) -> None:
    # In a process of its own, so that one that waits can be ended.
    pipe = next(iter(others))
    program = f"import sys; from proofbell.cli import main; sys.exit(main({[*command, pipe]!r}))"
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, timeout=60, check=False)
    assert ran.returncode == 2
    assert "is a pipe, not a file" in " ".join(ran.stderr.split())


@pytest.mark.parametrize("command", READ, ids=" ".join)
def test_a_device_and_a_folder_are_refused_as_formulas(
    command: list[str], others: dict[str, str], capsys: Captured
) -> None:
    for path, what in list(others.items())[1:]:
        assert main([*command, path]) == 2
        assert f"is {what}, not a file" in in_one_line(capsys)


def test_what_is_no_file_is_neither_kitchen_nor_journal(
    others: dict[str, str], monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    for path, what in others.items():
        with monkeypatch.context() as patch:
            patch.setenv("PROOFBELL_KITCHEN", path)
            for arguments in (["kitchen"], ["kitchen", "set", "room", "20 °C"]):
                assert main(arguments) == 1
                assert f"is {what}, not a file" in in_one_line(capsys)
        with monkeypatch.context() as patch:
            patch.setenv("PROOFBELL_JOURNAL", path)
            for arguments in (["journal"], ["read", "25"]):
                assert main(arguments) == 2
                assert f"is {what}, not a file" in in_one_line(capsys)


@pytest.mark.parametrize("command", WRITE, ids=" ".join)
def test_what_is_no_file_is_never_replaced_by_one(command: list[str], others: dict[str, str], capsys: Captured) -> None:
    for path, what in others.items():
        assert main([*command, path, "--overwrite"]) == 2
        assert f"is {what}, not a file" in in_one_line(capsys)
        assert not Path(path).is_file()


def test_a_large_file_is_refused_by_its_size_and_not_read_to_its_end(tmp_path: Path, capsys: Captured) -> None:
    large = tmp_path / "large.toml"
    with large.open("wb") as file:
        file.truncate(200 * 1024**3)  # 200 GB that take no room; nobody has so much memory
    for command in READ:
        assert main([*command, str(large)]) == 2
        assert "more than 262 144 bytes" in in_one_line(capsys)
