"""What goes to standard error: refusals as text, and remarks beside what is printed."""

from __future__ import annotations

import contextlib
import sys

from proofbell.errors import Failure
from proofbell.visible import visible

MOST = 2000


def refusal_text(failure: Failure) -> str:
    """What is wrong and how to put it right; for a refused file every fault with its place before that."""
    said = [visible(failure.message, most=MOST, breaks=True)]
    if failure.remedy:
        said.append(visible(failure.remedy, most=MOST, breaks=True))
    if failure.faults and failure.source is not None:
        from proofbell.formula.report import report

        said.insert(0, report(failure.faults, failure.source) + "\n")
    return "\n".join(said)


def remark(text: str, end: str = "\n") -> None:
    """Write a remark to standard error; a failure to write is ignored."""
    with contextlib.suppress(OSError, ValueError):
        print(text, end=end, file=sys.stderr, flush=True)
