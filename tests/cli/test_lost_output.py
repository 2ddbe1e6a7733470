"""Standard output that is closed, full or without a reader: plain words where anybody hears them, and status 1."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from proofbell.bake import events as kinds
from proofbell.journal.storage.store import Journal
from tests.support.making import chain, opened

pytestmark = pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full here")

BAKE = "2026-03-15-harbour-knots-77aa"
OTHER = "2026-03-14-harbour-knots-3f2a"
TEXT = [
    ["--help"], ["--version"], ["check", "--help"], ["check", "harbour-knots"], ["check", "--reference"],
    ["weigh", "harbour-knots"], ["plan", "harbour-knots"], ["rehearse", "harbour-knots", "--print"], ["kitchen"],
    ["kitchen", "set", "room", "20 °C"], ["kitchen", "probe-check", "--ice", "0.4 °C"], ["journal"],
    ["journal", "show", BAKE], ["journal", "compare", BAKE, OTHER], ["journal", "verify"], ["journal", "export"],
    ["journal", "learned"], ["read", "25", "--bake", "A"],
]  # fmt: skip
JSON = [
    ["check", "--schema"], *([*each, "--json"] for each in TEXT[3:] if "--print" not in each and "export" not in each
                             and "--reference" not in each),
    ["rehearse", "harbour-knots", "--json"], ["journal", "export", "--format", "json"],
]  # fmt: skip
PROGRAM = "import sys; from proofbell.cli import main; sys.exit(main(sys.argv[1:]))"


@pytest.fixture
def environment(tmp_path: Path) -> dict[str, str]:
    """A kitchen and a journal with a live bake."""
    with Journal.open(tmp_path / "journal.sqlite") as journal:
        # Letters are one bake's at a time: the one that is over goes first.
        journal.append(chain(OTHER, [(0.0, opened())]), 0)
        closed = chain(OTHER, [(60.0, kinds.BakeClosed("given up"))], journal.events_of(OTHER))
        journal.append(closed, 1)
        journal.append(chain(BAKE, [(90_000.0, opened())]), 0)
        journal.append(chain(BAKE, [(90_060.0, kinds.StageBegun(0))], journal.events_of(BAKE)), 1)
    return {
        **{name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"},
        "PROOFBELL_JOURNAL": str(tmp_path / "journal.sqlite"),
        "PROOFBELL_KITCHEN": str(tmp_path / "kitchen.toml"),
    }


def run(arguments: list[str], redirects: str, environment: dict[str, str]) -> tuple[int, str]:
    """The exit status of a command with the shell's redirections, and what came on standard error."""
    line = f'exec "$0" -c "$1" "${{@:2}}" {redirects}'
    asked = ["bash", "-c", line, sys.executable, PROGRAM, *arguments]
    ran = subprocess.run(asked, capture_output=True, text=True, timeout=60, env=environment, check=False)
    return ran.returncode, ran.stderr


@pytest.mark.parametrize("arguments", TEXT, ids=" ".join)
def test_an_answer_that_finds_no_room_is_told(arguments: list[str], environment: dict[str, str]) -> None:
    status, said = run(arguments, ">/dev/full", environment)
    assert (status, said.splitlines()[0]) == (
        1,
        "Standard output cannot be written to (No space left on device), so the answer could not be printed.",
    )
    assert len(said.splitlines()) == 2


@pytest.mark.parametrize("arguments", JSON, ids=" ".join)
def test_a_document_for_a_closed_output_is_told(arguments: list[str], environment: dict[str, str]) -> None:
    status, said = run(arguments, ">&-", environment)
    assert (status, said.splitlines()[0]) == (
        1,
        "Standard output cannot be written to (it is closed), so the answer could not be printed.",
    )
    assert len(said.splitlines()) == 2


@pytest.mark.parametrize("buffered", [True, False])
@pytest.mark.parametrize("arguments", [TEXT[0], TEXT[2], TEXT[5], JSON[0], ["journal", "export"]], ids=" ".join)
def test_held_back_or_not_it_is_told_the_same(
    arguments: list[str], environment: dict[str, str], *, buffered: bool
) -> None:
    if not buffered:
        environment["PYTHONUNBUFFERED"] = "1"
    status, said = run(arguments, ">/dev/full", environment)
    assert status == 1
    assert "Standard output cannot be written to" in said
    assert len(said.splitlines()) == 2


@pytest.mark.parametrize("redirects", ["2>&-", "2>/dev/full", "<&- 2>&-"])
@pytest.mark.parametrize(
    ("arguments", "status"),
    [(["weigh", "harbour-knots"], 0), (["check", "no-such.toml"], 2), (["weigh", "no-such.toml"], 2),
     (["xylophone"], 2), (["plan", "harbour-knots", "--ics", "/dev/stdout"], 2)],
)  # fmt: skip
def test_without_standard_error_the_status_says_it_and_nothing_strays_into_the_answer(
    arguments: list[str], status: int, redirects: str, environment: dict[str, str]
) -> None:
    line = f'exec "$0" -c "$1" "${{@:2}}" {redirects}'
    asked = ["bash", "-c", line, sys.executable, PROGRAM, *arguments]
    ran = subprocess.run(asked, capture_output=True, text=True, timeout=60, env=environment, check=False)
    assert ran.returncode == status
    assert bool(ran.stdout) == (status == 0)
    assert ran.stderr == ""


def test_with_no_stream_at_all_the_status_says_it(environment: dict[str, str]) -> None:
    for redirects in ("<&- >&- 2>&-", ">/dev/full 2>/dev/full", ">&- 2>&-"):
        assert run(["weigh", "harbour-knots", "--json"], redirects, environment) == (1, "")


def test_no_file_that_is_opened_takes_the_number_of_a_closed_stream(environment: dict[str, str]) -> None:
    program = "import os, sys; from proofbell.cli import main; main(['--version']); sys.exit(os.open('/', os.O_RDONLY))"
    for redirects in ("<&- >&- 2>&-", ">&-", "2>&-"):
        line = f'exec "$0" -c "$1" {redirects}'
        asked = ["bash", "-c", line, sys.executable, program]
        ran = subprocess.run(asked, capture_output=True, timeout=60, env=environment, check=False)
        assert ran.returncode > 2


def test_what_was_to_be_saved_is_saved_and_never_gets_what_was_to_be_printed(environment: dict[str, str]) -> None:
    kitchen = Path(environment["PROOFBELL_KITCHEN"])
    status, _ = run(["kitchen", "set", "room", "19 °C"], ">&- 2>&-", environment)
    assert status == 1
    assert kitchen.read_text(encoding="utf-8") == 'room = "19 °C"\n'
    with Journal.open(Path(environment["PROOFBELL_JOURNAL"])) as journal:
        before = len(journal.events_of(BAKE))
    assert run(["read", "25", "--bake", "A"], ">/dev/full", environment)[0] == 1
    with Journal.open(Path(environment["PROOFBELL_JOURNAL"])) as journal:
        assert len(journal.events_of(BAKE)) > before


def test_a_reader_that_has_gone_is_met_quietly_by_documents_too(environment: dict[str, str]) -> None:
    for arguments in (["rehearse", "harbour-knots", "--json"], ["journal", "export"], ["weigh", "--help"]):
        asked = [sys.executable, "-c", PROGRAM, *arguments]
        with subprocess.Popen(asked, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=environment) as ran:
            assert ran.stdout is not None
            assert ran.stderr is not None
            ran.stdout.close()
            assert ran.stderr.read() == b""
            assert ran.wait() == 1
