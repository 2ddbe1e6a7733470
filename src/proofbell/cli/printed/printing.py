"""Prints a document: one of JSON on standard output, the same whatever the terminal can show."""

from __future__ import annotations

import sys
from typing import Any

from proofbell.json_text import json_text


def print_json(document: Any) -> None:  # noqa: ANN401 - JSON has no narrower type
    """Print one JSON document. Where standard output cannot write every letter, those beyond ASCII go by number."""
    encoding = getattr(sys.stdout, "encoding", None) or "utf-8"
    print(json_text(document, ascii_only=not encoding.lower().startswith("utf")))
