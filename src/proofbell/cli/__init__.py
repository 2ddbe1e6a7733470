"""The command line: one file a command, each imported only when it is asked for."""

from __future__ import annotations

import sys


def main(argv: list[str] | None = None) -> int:
    """Run one command and return its exit status: 0 fine, 1 could not, 2 wrong input."""
    arguments = sys.argv[1:] if argv is None else argv
    print("proofbell: not a command: " + " ".join(arguments), file=sys.stderr)
    return 2
