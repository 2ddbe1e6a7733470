"""The door of the command line: which command, which words for what is wrong, what is imported, which exit status."""

from __future__ import annotations

import json
import os
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from proofbell import __version__
from proofbell.cli import main
from proofbell.cli.arguments.known import COMMANDS, nearest
from proofbell.cli.arguments.parser import parser_of
from proofbell.cli.printed.printing import SCHEMA
from proofbell.errors import Failure
from proofbell.places import house_formulas
from proofbell.words import as_counted

Captured = pytest.CaptureFixture[str]

SCREEN = ("textual", "rich", "pint", "pygments", "markdown_it")


@pytest.fixture(autouse=True)
def _nothing_of_ones_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(tmp_path / "kitchen.toml"))
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(tmp_path / "journal.sqlite"))
    monkeypatch.delenv("PROOFBELL_TRACE", raising=False)


def imported(tmp_path: Path, *arguments: str) -> tuple[int, set[str]]:
    """The exit status of a command in a Python of its own, and the packages that it imported."""
    program = (
        "import io, sys\n"
        "from contextlib import redirect_stdout\n"
        "from proofbell.cli import main\n"
        "with redirect_stdout(io.StringIO()):\n"
        f"    status = main({list(arguments)!r})\n"
        "print(status, *{name.split('.')[0] for name in sys.modules})\n"
    )
    environment = {
        **os.environ,
        "PROOFBELL_KITCHEN": str(tmp_path / "kitchen.toml"),
        "PROOFBELL_JOURNAL": str(tmp_path / "journal.sqlite"),
    }
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True, env=environment)
    status, *packages = ran.stdout.split()
    return int(status), set(packages)


@pytest.mark.parametrize(
    "arguments",
    [("--help",), ("--version",), ("journal",), ("read", "25"), ("status",), ("done",), ("timer",), ("kitchen",)],
)
def test_commands_that_read_no_formula_import_no_screen_and_no_units(
    arguments: tuple[str, ...], tmp_path: Path
) -> None:
    _, packages = imported(tmp_path, *arguments)
    assert packages.isdisjoint(SCREEN)


@pytest.mark.parametrize(
    "arguments",
    [("check", "harbour-knots"), ("weigh", "harbour-knots"), ("rehearse", "harbour-knots", "--print"),
     ("rehearse", "harbour-knots", "--json")],
)  # fmt: skip
def test_commands_that_print_open_no_screen(arguments: tuple[str, ...], tmp_path: Path) -> None:
    status, packages = imported(tmp_path, *arguments)
    assert status == 0
    assert packages.isdisjoint({"textual", "rich"})


@pytest.mark.parametrize("asked", ["--version", "--help"])
def test_what_only_tells_words_imports_no_command_and_hardly_a_library(asked: str) -> None:
    program = (
        "import sys\nfrom proofbell.cli import main\nmain([sys.argv[1]])\n"
        "print(*[name for name in sys.modules if name not in before])\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", f"import sys\nbefore = set(sys.modules)\n{program}", asked],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    loaded = set(ran.stdout.splitlines()[-1].split())
    assert {name for name in loaded if name.startswith("proofbell")} <= {
        *("proofbell", "proofbell.browser", "proofbell.errors"),
        *("proofbell.cli", "proofbell.cli.streams", "proofbell.cli.arguments"),
        *("proofbell.cli.arguments.known", "proofbell.cli.arguments.overview"),
    }
    assert loaded.isdisjoint({"argparse", "dataclasses", "pathlib", "inspect", "sqlite3", "tomli"})


def test_the_version_is_one_line(capsys: Captured) -> None:
    assert main(["--version"]) == 0
    assert capsys.readouterr().out == f"proofbell {__version__}\n"


def test_the_help_names_every_command_and_fits_a_narrow_terminal(capsys: Captured) -> None:
    for asked in ("--help", "-h", "help"):
        assert main([asked]) == 0
        page = capsys.readouterr().out
        for command in COMMANDS:
            assert f"proofbell {command}" in page
        assert max(len(line) for line in page.splitlines()) < 80


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_explains_itself(command: str, capsys: Captured) -> None:
    assert main([command, "--help"]) == 0
    assert f"proofbell {command}" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("word", "meant"),
    [("chekc", "check"), ("weight", "weigh"), ("jurnal", "journal"), ("Rehearse", "rehearse"),
     ("harbor-knots", "harbour-knots"), ("quay-pan", "quay-pan-loaf")],
)  # fmt: skip
def test_an_unknown_word_gets_the_nearest_known_one(word: str, meant: str, capsys: Captured) -> None:
    assert main([word]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert f"Did you mean {meant}?" in said.err


def test_a_word_near_nothing_gets_all_that_is_known(capsys: Captured) -> None:
    assert main(["xylophone"]) == 2
    said = capsys.readouterr().err
    for known in (*COMMANDS, *house_formulas()):
        assert known in said
    assert nearest("xylophone", COMMANDS) is None


def test_a_file_that_is_not_there_is_called_a_file(capsys: Captured) -> None:
    assert main(["loaves/none.toml"]) == 2
    assert capsys.readouterr().err.startswith("There is no file loaves/none.toml.")


def test_words_from_outside_do_nothing_to_a_terminal(capsys: Captured) -> None:
    for hostile in ("\x1b]0;owned\x07", "a\x00b", "[/red]", "\u202eevil.toml", "x" * 5000):
        assert main([hostile]) == 2
        assert main(["check", "--" + hostile]) == 2
        said = capsys.readouterr().err
        assert "\x1b" not in said
        assert "\u202e" not in said
        assert "\x00" not in said


@pytest.mark.parametrize(
    "arguments",
    [["weigh"], ["check", "--colour"], ["read"], ["rehearse"], ["plan", "harbour-knots", "--redy", "8:00"]],
)
def test_wrong_arguments_are_refused_in_two_plain_lines(arguments: list[str], capsys: Captured) -> None:
    assert main(arguments) == 2
    said = capsys.readouterr()
    assert said.out == ""
    first, second = said.err.splitlines()
    assert first.endswith(".")
    assert second.endswith(f'"proofbell {arguments[0]} --help" shows what it takes.')


def test_flags_are_never_guessed_from_their_beginnings(capsys: Captured) -> None:
    assert main(["weigh", "harbour-knots", "--js"]) == 2
    assert "--js" in capsys.readouterr().err


def test_a_refused_file_shows_its_faults_and_where(tmp_path: Path, capsys: Captured) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text('name = "Bad"\nnmae = "x"\n', encoding="utf-8")
    assert main(["rehearse", str(bad), "--print"]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert f"{bad}:2" in said.err


def _broken(_arguments: object) -> int:
    raise ZeroDivisionError("\x1b[31mof its own")


def test_a_mistake_of_the_programs_own_is_one_plain_sentence(monkeypatch: pytest.MonkeyPatch, capsys: Captured) -> None:
    monkeypatch.setattr("proofbell.cli.check.run", _broken)
    assert main(["check", "harbour-knots"]) == 1
    said = capsys.readouterr().err
    assert said.startswith("Proofbell hit an internal error (ZeroDivisionError")
    assert "Traceback" not in said
    assert "\x1b" not in said


def test_those_who_mend_it_may_ask_for_the_trace(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("proofbell.cli.check.run", _broken)
    monkeypatch.setenv("PROOFBELL_TRACE", "1")
    with pytest.raises(ZeroDivisionError):
        main(["check", "harbour-knots"])


def test_a_refusal_has_the_status_it_asks_for(monkeypatch: pytest.MonkeyPatch, capsys: Captured) -> None:
    def refuse(_arguments: object) -> int:
        raise Failure("The cellar is dark.", "Bring a lamp.", status=1)

    monkeypatch.setattr("proofbell.cli.check.run", refuse)
    assert main(["check", "harbour-knots"]) == 1
    assert capsys.readouterr().err == "The cellar is dark.\nBring a lamp.\n"


def test_stopping_it_by_hand_is_no_fault_to_be_traced(monkeypatch: pytest.MonkeyPatch, capsys: Captured) -> None:
    def stop(_arguments: object) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr("proofbell.cli.check.run", stop)
    assert main(["check", "harbour-knots"]) == 1
    assert capsys.readouterr().err == "Stopped.\n"


@pytest.mark.skipif(sys.platform == "win32", reason="pipes break differently there")
def test_a_reader_that_goes_away_is_met_quietly() -> None:
    program = "import sys; from proofbell.cli import main; sys.exit(main(['check', '--reference']))"
    ran = subprocess.Popen([sys.executable, "-c", program], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    assert ran.stdout is not None
    assert ran.stderr is not None
    ran.stdout.close()
    said = ran.stderr.read()
    ran.stderr.close()
    assert ran.wait() == 1
    assert said == b""


def test_a_terminal_that_cannot_write_degrees_gets_a_question_mark() -> None:
    program = "import sys; from proofbell.cli import main; sys.exit(main(['rehearse', 'harbour-knots', '--print']))"
    environment = {**os.environ, "PYTHONIOENCODING": "ascii"}
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, env=environment, check=False)
    assert ran.returncode == 0
    assert b"Dough 25.0 ?C" in ran.stdout or b"Harbour knots" in ran.stdout
    assert ran.stderr == b""


@pytest.mark.parametrize("command", ["bench", *COMMANDS])
def test_every_help_ends_with_an_example_that_the_command_takes(command: str) -> None:
    parser, module = parser_of(command)
    shown = " ".join(parser.format_help().split())
    example = as_counted(module.EXAMPLE)
    assert shown.endswith(f"For example: {example}")
    words = shlex.split(example.split(" > ")[0])
    assert words[:2] == ["proofbell", command] or command == "bench"
    assert not parser.parse_known_args(words[1:] if command == "bench" else words[2:])[1]


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        (["weigh", "harbour-knots", "--peices", "3"], "Did you mean --pieces?"),
        (["journal", "export", "--formt=csv"], "Did you mean --format?"),
        (["weigh", "harbor-knots"], "Did you mean harbour-knots?"),
        (["plan", "quay-panloaf", "--ready", "18:00"], "Did you mean quay-pan-loaf?"),
    ],
)
def test_a_misspelt_option_or_formula_is_answered_with_the_nearest(
    typed: list[str], meant: str, capsys: Captured
) -> None:
    assert main(typed) == 2
    assert meant in " ".join(capsys.readouterr().err.split())


def test_it_runs_as_a_module(tmp_path: Path) -> None:
    ran = subprocess.run([sys.executable, "-m", "proofbell", "--version"], capture_output=True, text=True, check=True)
    assert ran.stdout == f"proofbell {__version__}\n"


@pytest.mark.parametrize(
    "arguments",
    [
        ["check", "harbour-knots"],
        ["weigh", "harbour-knots"],
        ["shop", "harbour-knots"],
        ["plan", "harbour-knots", "--start", "18:00"],
        ["rehearse", "harbour-knots"],
        ["journal"],
        ["kitchen"],
    ],
)
def test_every_document_carries_its_version_first(arguments: list[str], capsys: Captured) -> None:
    main([*arguments, "--json"])
    document = json.loads(capsys.readouterr().out)
    assert next(iter(document.items())) == ("schema", SCHEMA)
