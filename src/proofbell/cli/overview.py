"""``proofbell --help``: every command in one line each."""

from __future__ import annotations

import importlib

from proofbell.cli.known import COMMANDS

HEAD = """\
Proofbell follows bread formulas live at the bench.

  proofbell [FORMULA…]     opens the bench; takes up whatever was live
"""

TAIL = """
"proofbell COMMAND --help" says what each takes. FORMULA is a file, or the short
name of a house formula. Most take --json: numbers in °C, g and s.
Exit status: 0 fine, 1 could not, 2 wrong input.

  PROOFBELL_KITCHEN, PROOFBELL_JOURNAL   where the kitchen file and the journal are
  --version                              which version this is"""


def overview() -> str:
    """The page as text."""
    lines = [
        f"  proofbell {command:<14} {importlib.import_module(f'proofbell.cli.{command}').HELP}" for command in COMMANDS
    ]
    return "\n".join((HEAD, *lines, TAIL))
