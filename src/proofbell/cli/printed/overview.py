"""``proofbell --help``: every command in one line each."""

from __future__ import annotations

import importlib
import textwrap

from proofbell.cli.arguments.known import COMMANDS

HEAD = """\
Proofbell follows bread formulas live at the bench.

  proofbell [FORMULA…]     opens the bench; resumes whatever was live
"""

TAIL = """
"proofbell COMMAND --help" says what each takes. FORMULA is a file, or the
short name of a house formula. Most take --json: numbers in °C, g and s.
Exit status: 0 fine, 1 could not, 2 wrong input.

  PROOFBELL_KITCHEN, PROOFBELL_JOURNAL   where kitchen file and journal are
  --version                              which version this is"""


WIDTH = 79


def overview() -> str:
    """What ``proofbell --help`` prints."""
    return "\n".join((HEAD, *(_line(command) for command in COMMANDS), TAIL))


def _line(command: str) -> str:
    help_text = importlib.import_module(f"proofbell.cli.{command}").HELP
    return textwrap.fill(help_text, WIDTH, initial_indent=f"  proofbell {command:<14} ", subsequent_indent=" " * 27)
