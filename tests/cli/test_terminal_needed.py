"""Whatever opens screens is refused in words where there is nothing to draw on, and says what serves instead."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="there are no such terminals there")

PROGRAM = "import sys; from proofbell.cli import main; sys.exit(main(sys.argv[1:]))"
SCREENS = [
    [],
    ["new"],
    ["harbour-knots"],
    ["rehearse", "harbour-knots"],
    ["rehearse", "harbour-knots", "--speed", "10"],
]


@pytest.fixture
def run(tmp_path: Path) -> Callable[..., tuple[int, str, str]]:
    """Runs a command, with or without a terminal, and gives status, output and what came on standard error."""

    def ran(arguments: list[str], term: str | None, *, on_a_terminal: bool) -> tuple[int, str, str]:
        environment = {**os.environ, "PROOFBELL_JOURNAL": str(tmp_path / "j"), "PROOFBELL_KITCHEN": str(tmp_path / "k")}
        environment.pop("TERM", None)
        if term is not None:
            environment["TERM"] = term
        asked = [sys.executable, "-c", PROGRAM, *arguments]
        if not on_a_terminal:
            ended = subprocess.run(
                asked,
                capture_output=True,
                text=True,
                timeout=60,
                env=environment,
                check=False,
                stdin=subprocess.DEVNULL,
            )
            return ended.returncode, ended.stdout, ended.stderr
        ours, theirs = os.openpty()
        try:
            ended = subprocess.run(
                asked, stdin=theirs, stdout=theirs, stderr=subprocess.PIPE, text=True, timeout=60, env=environment,
                check=False,
            )  # fmt: skip
        finally:
            os.close(theirs)
            os.close(ours)
        return ended.returncode, "", ended.stderr

    return ran


@pytest.mark.parametrize("arguments", SCREENS, ids=" ".join)
def test_without_a_terminal_it_is_refused(arguments: list[str], run: Callable[..., tuple[int, str, str]]) -> None:
    status, printed, said = run(arguments, "xterm-256color", on_a_terminal=False)
    assert status == 1
    assert printed == ""
    first, second = said.splitlines()
    assert first.endswith("needs a terminal.")
    assert ("--from" if arguments == ["new"] else "--print") in second


@pytest.mark.parametrize("term", ["dumb", "", None, "unknown"])
@pytest.mark.parametrize("arguments", [[], ["rehearse", "harbour-knots"]], ids=" ".join)
def test_a_terminal_that_cannot_draw_is_refused(
    arguments: list[str], term: str | None, run: Callable[..., tuple[int, str, str]]
) -> None:
    status, _, said = run(arguments, term, on_a_terminal=True)
    assert status == 1
    first, second = said.splitlines()
    assert "needs a terminal that can draw" in first
    assert second.startswith("Set TERM to the terminal's name")


@pytest.mark.parametrize("as_json", [True, False])
def test_what_prints_needs_no_terminal(run: Callable[..., tuple[int, str, str]], *, as_json: bool) -> None:
    status, printed, said = run(
        ["rehearse", "harbour-knots", "--json" if as_json else "--print"], "dumb", on_a_terminal=False
    )
    assert (status, said) == (0, "")
    assert printed
