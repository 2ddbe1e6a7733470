"""``proofbell completion``: what a shell reads to complete commands, options and formulas' names."""

from __future__ import annotations

import argparse
import re

from proofbell import places
from proofbell.cli.arguments.reading import own_formulas
from proofbell.errors import Failure
from proofbell.visible import visible

EXAMPLE = "proofbell completion bash > proofbell.bash"

SHELLS = ("bash", "zsh", "fish")

NAMES = "proofbell completion formulas"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "what",
        choices=(*SHELLS, "formulas"),
        help="the shell to print a script for; or the names of own and house formulas, a line each, as the script asks",
    )


def run(args: argparse.Namespace) -> int:
    print("\n".join(_names()) if args.what == "formulas" else script(args.what))
    return 0


def script(shell: str) -> str:
    import shtab

    from proofbell.cli.arguments.parser import whole_parser

    parser = whole_parser()
    parser.count()
    for action in _takes_formulas(parser):
        setattr(action, "complete", shtab.cmd(NAMES))  # noqa: B010 - where shtab looks for it, unknown to argparse
    written = shtab.complete(parser, shell)
    return re.sub(
        "^# AUTOMATICALLY.*$", "# Completes the commands of proofbell; written by shtab.", written, flags=re.MULTILINE
    )


def _takes_formulas(parser: argparse.ArgumentParser) -> list[argparse.Action]:
    found = [action for action in parser._actions if action.metavar == "FORMULA"]
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for within in action.choices.values():
                found += _takes_formulas(within)
    return found


def _names() -> list[str]:
    """A kitchen file that cannot be read hides its own formulas here: completion is no place for its faults."""
    try:
        own = own_formulas()
    except Failure:
        own = {}
    return sorted(visible(name) for name in {*own, *places.house_formulas()})
