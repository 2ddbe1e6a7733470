"""Reads a command's arguments in one way for all commands, and says plainly what is wrong with them."""

from __future__ import annotations

import argparse
import contextlib
from collections.abc import Iterator, Sequence
from pathlib import PurePath
from types import ModuleType
from typing import NoReturn

from proofbell import places
from proofbell.cli.arguments.known import BENCH, COMMANDS, formula_meant, nearest
from proofbell.cli.arguments.read_in import read_in
from proofbell.errors import Failure
from proofbell.units import METRIC, use
from proofbell.visible import visible
from proofbell.words import as_counted

_TAKES = {".html": "--html", ".htm": "--html", ".ics": "--ics"}
"""The option that takes a file with such an ending."""


class Parser(argparse.ArgumentParser):
    """Refuses in words like every other refusal; flags are never guessed from their beginnings."""

    def __init__(self, *args: object, **options: object) -> None:
        options.setdefault("allow_abbrev", False)
        super().__init__(*args, **options)  # type: ignore[arg-type]

    def format_help(self) -> str:
        """The help with its examples as this kitchen counts."""
        self.count()
        return super().format_help()

    def count(self) -> None:
        """Tell the marked figures of its words, and of the commands within it, as this kitchen counts them."""
        said = self.description, self.epilog
        for action in self._actions:
            action.help = action.help and as_counted(action.help)
            if isinstance(action, argparse._SubParsersAction):
                for within in action.choices.values():
                    within.count()
        self.description, self.epilog = (as_counted(text) if text else text for text in said)

    def error(self, message: str) -> NoReturn:
        """Raise `Failure` with what argparse found."""
        text = visible(message, most=300)
        raise Failure(f"{text[:1].upper()}{text[1:]}.", self._help())

    def refuse_unread(self, unread: Sequence[str], arguments: Sequence[str] = ()) -> None:
        """Raise `Failure` for arguments that nothing takes, and say what the first was most likely meant to be."""
        if not unread:
            return
        words = visible(" ".join(unread), most=300)
        chosen = self._chosen(arguments)
        meant = chosen._meant(unread[0], arguments)
        remedy = f"Did you mean {meant}? {chosen._help()}" if meant else chosen._help()
        raise Failure(f"Unrecognized {'argument' if len(unread) == 1 else 'arguments'}: {words}.", remedy)

    def _chosen(self, arguments: Sequence[str]) -> Parser:
        """The command within this one that the arguments name, if any: what it takes, another need not."""
        for word in arguments:
            for action in self._actions:
                if isinstance(action, argparse._SubParsersAction) and word in action.choices:
                    within: Parser = action.choices[word]
                    return within._chosen(arguments)
        return self

    def _meant(self, word: str, arguments: Sequence[str]) -> str | None:
        """An option that is misspelt, one that takes such a file, or a formula's name in several words."""
        options = [*self._options()]
        if word.startswith("--"):
            return nearest(word.split("=", maxsplit=1)[0], options)
        takes = _TAKES.get(PurePath(word).suffix.casefold())
        if takes in options:
            return f"{takes} {visible(word, most=80)}"
        with contextlib.suppress(Failure):
            from proofbell.cli.arguments.reading import own_formulas

            at = arguments.index(word) if word in arguments else 0
            known = (*own_formulas(), *places.house_formulas())
            return formula_meant(" ".join(arguments[at - 1 : at + 1]), known) if at else None
        return None

    def _help(self) -> str:
        return f'"{self.prog} --help" shows what it takes.'

    def _options(self) -> Iterator[str]:
        """Every long option of this command and of those within it."""
        for action in self._actions:
            yield from (option for option in action.option_strings if option.startswith("--"))
            if isinstance(action, argparse._SubParsersAction):
                for within in action.choices.values():
                    yield from within._options()


def parser_of(command: str) -> tuple[Parser, ModuleType]:
    module, told = _module_of(command), COMMANDS.get(command, BENCH)
    parser = Parser(
        prog="proofbell" if command == "bench" else f"proofbell {command}",
        description=_unfilled(f"{told[:1].upper()}{told[1:]}."),
        epilog=f"For example: {_unfilled(module.EXAMPLE)}",
    )
    module.add_arguments(parser)
    return parser, module


def whole_parser() -> Parser:
    """One parser of every command, as the shells' completion wants it; each word on the command line has its own."""
    parser = Parser(prog="proofbell")
    parser.add_argument("--version", action="version", version="")
    commands = parser.add_subparsers(metavar="COMMAND")
    for command, told in COMMANDS.items():
        one = commands.add_parser(command, help=_unfilled(told))
        _module_of(command).add_arguments(one)
    return parser


def run_command(command: str, arguments: Sequence[str]) -> int:
    """Run one command. Raises Failure: wrong arguments, or whatever the command refuses."""
    parser, module = parser_of(command)
    if {"-h", "--help"} & set(arguments):
        _use_units(as_json=False)
    try:
        args, unread = parser.parse_known_args(list(arguments))
    except SystemExit as leaving:  # after --help
        return leaving.code if isinstance(leaving.code, int) else 0
    parser.refuse_unread(unread, arguments)
    _use_units(as_json=bool(getattr(args, "json", False)))
    status: int = module.run(args)
    return status


def _use_units(*, as_json: bool) -> None:
    """Numbers are told and typed as this kitchen counts; JSON is told in °C and g. A faulty file is left to others."""
    units = METRIC
    with contextlib.suppress(Failure, OSError):
        path = places.kitchen_file()
        if path.exists():
            from proofbell.kitchen.file import load_kitchen

            units = load_kitchen(path).units
    use(units, told=METRIC if as_json else None)


def _module_of(command: str) -> ModuleType:
    return read_in(f"proofbell.cli.{command}")


def _unfilled(text: str) -> str:
    """A percent sign in a help text would be read as a placeholder; it is shown as it is."""
    return text.replace("%", "%%")
