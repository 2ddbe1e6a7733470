"""Prints a document: one of JSON on standard output, the same whatever the terminal can show."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Mapping
from typing import Any

from proofbell.errors import Failure
from proofbell.json_text import json_text
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


SCHEMA = 1
"""The version that every document carries as ``schema``. Fields keep name and meaning, new ones come; where one of them
has to change its meaning, this grows."""


def print_json(document: Mapping[str, Any]) -> None:
    """Print one of our documents as JSON, its version first."""
    print_foreign_json({"schema": SCHEMA, **document})


def print_json_line(document: Mapping[str, Any]) -> None:
    """Print one of many documents, each on a line of its own and at once."""
    print(json_text({"schema": SCHEMA, **document}, indent=None, ascii_only=True), flush=True)


def print_foreign_json(document: Any) -> None:  # noqa: ANN401 - JSON has no narrower type
    """Print one JSON document whose fields are laid down elsewhere.

    Where standard output cannot write every letter, those beyond ASCII go by number.
    """
    encoding = getattr(sys.stdout, "encoding", None) or "utf-8"
    print(json_text(document, ascii_only=not encoding.lower().startswith("utf")))
