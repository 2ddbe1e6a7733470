"""Reads a command's arguments in one way for all commands, and says plainly what is wrong with them."""

from __future__ import annotations

import argparse
import importlib
from collections.abc import Sequence
from typing import NoReturn

from proofbell.errors import Failure
from proofbell.visible import visible


class Parser(argparse.ArgumentParser):
    """Refuses in words like every other refusal; flags are never guessed from their beginnings."""

    def __init__(self, *args: object, **options: object) -> None:
        options.setdefault("allow_abbrev", False)
        super().__init__(*args, **options)  # type: ignore[arg-type]

    def error(self, message: str) -> NoReturn:
        """Raise `Failure` with what argparse found."""
        text = visible(message, most=300)
        raise Failure(f"{text[:1].upper()}{text[1:]}.", f'"{self.prog} --help" shows what it takes.')


def parser_of(command: str) -> tuple[Parser, object]:
    """The parser of a command, and its module."""
    module = importlib.import_module(f"proofbell.cli.{command}")
    prog = "proofbell" if command == "bench" else f"proofbell {command}"
    # A percent sign in a help text would be read as a placeholder; the description is shown as it is.
    parser = Parser(prog=prog, description=f"{module.HELP[:1].upper()}{module.HELP[1:]}.".replace("%", "%%"))
    module.add_arguments(parser)
    return parser, module


def run_command(command: str, arguments: Sequence[str]) -> int:
    """Run one command.

    Raises:
        Failure: wrong arguments, or whatever the command refuses.
    """
    parser, module = parser_of(command)
    try:
        args = parser.parse_args(list(arguments))
    except SystemExit as leaving:  # after --help
        return leaving.code if isinstance(leaving.code, int) else 0
    status: int = module.run(args)  # type: ignore[attr-defined]
    return status
