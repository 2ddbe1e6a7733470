"""What ``proofbell --help`` prints: every command with its line, and none of them imported for it."""

from __future__ import annotations

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
    return "\n".join((HEAD, *(_line(*each) for each in COMMANDS.items()), TAIL))


def _line(command: str, told: str) -> str:
    return textwrap.fill(told, WIDTH, initial_indent=f"  proofbell {command:<14} ", subsequent_indent=" " * 27)
