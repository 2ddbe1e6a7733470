"""Completion as a shell makes it of what the command prints: bash itself is asked what it would offer."""

from __future__ import annotations

import os
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from proofbell.cli import main
from proofbell.cli.arguments.known import COMMANDS
from proofbell.cli.arguments.parser import parser_of
from proofbell.cli.completion import SHELLS
from proofbell.places import house_formulas

OFFER = """
source "$SCRIPT"
COMP_WORDS=("$@"); COMP_CWORD=$((${#COMP_WORDS[@]} - 1)); COMPREPLY=()
_shtab_proofbell proofbell "${COMP_WORDS[COMP_CWORD]}" "${COMP_WORDS[COMP_CWORD-1]}"
printf '%s\\n' "${COMPREPLY[@]}"
"""


@pytest.mark.skipif(shutil.which("bash") is None, reason="bash is not on this machine")
def test_bash_offers_commands_options_choices_and_formulas(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["completion", "bash"])
    script = tmp_path / "script"
    script.write_text(capsys.readouterr().out, encoding="utf-8")
    program = tmp_path / "proofbell"
    program.write_text(f'#!/bin/sh\nexec {shlex.quote(sys.executable)} -m proofbell "$@"\n', encoding="utf-8")
    program.chmod(0o700)
    environment = {
        **os.environ,
        "SCRIPT": str(script),
        "PATH": f"{tmp_path}{os.pathsep}{os.environ['PATH']}",
        "PROOFBELL_KITCHEN": str(tmp_path / "kitchen.toml"),
    }

    def offered(*words: str) -> list[str]:
        asked = ["bash", "-c", OFFER, "bash", "proofbell", *words]
        return subprocess.run(asked, capture_output=True, text=True, check=True, env=environment).stdout.split()

    assert offered("we") == ["weigh"]
    assert offered("weigh", "--pi") == ["--pieces", "--piece"]
    assert offered("journal", "export", "--format", "") == ["markdown", "csv", "json", "svg", "table"]
    assert offered("plan", "harbour-knots", "quay") == ["quay-pan-loaf"]


@pytest.mark.parametrize("shell", SHELLS)
def test_every_shell_gets_every_command_and_every_option(shell: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["completion", shell]) == 0
    script = capsys.readouterr().out
    assert "AUTOMATICALLY" not in script
    assert "‹" not in script
    for command in COMMANDS:
        parser, _ = parser_of(command)
        for option in parser.format_usage().split("--")[1:]:
            assert option.split("]")[0].split()[0] in script


def test_names_of_formulas_are_a_line_each(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    kitchen = tmp_path / "kitchen.toml"
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(kitchen))
    own = tmp_path / "mine"
    own.mkdir()
    (own / "gull-rolls.toml").write_text("", encoding="utf-8")
    kitchen.write_text(f'formulas = ["{own.as_posix()}"]\n', encoding="utf-8")
    assert main(["completion", "formulas"]) == 0
    assert capsys.readouterr().out.split("\n") == [*sorted({*house_formulas(), "gull-rolls"}), ""]
    kitchen.write_text("this is no kitchen file", encoding="utf-8")
    assert main(["completion", "formulas"]) == 0
    assert capsys.readouterr() == ("\n".join(sorted(house_formulas())) + "\n", "")
