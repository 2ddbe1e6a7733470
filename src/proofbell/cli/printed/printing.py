"""Prints a document: one of JSON on standard output, the same whatever the terminal can show."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from typing import Any

from proofbell.json_text import json_text

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
