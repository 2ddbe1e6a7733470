r"""A JSON document as text that can be shown: what a terminal would obey, hide or turn round is written by its number.

The document stays the same: any character of a string may be written as ``\u`` and four digits, those beyond them as
a pair (RFC 8259, section 7).
"""

from __future__ import annotations

import json
from typing import Any

from proofbell.visible import harmful_places


def json_text(value: Any, *, indent: int | None = 2, ascii_only: bool = False) -> str:  # noqa: ANN401 - JSON has no narrower type
    """Return ``value`` as a JSON document; with ``ascii_only`` every letter beyond ASCII is written by its number.

    Raises ValueError: a number in it is none that JSON has.
    """
    text = json.dumps(value, ensure_ascii=ascii_only, indent=indent, allow_nan=False)
    if text.isascii() and "\x7f" not in text:
        return text
    harmful = dict(harmful_places(text, breaks=True))
    if not harmful:
        return text
    return "".join(_by_number(character) if index in harmful else character for index, character in enumerate(text))


def _by_number(character: str) -> str:
    return "".join(f"\\u{unit:04x}" for unit in _units(character))


def _units(character: str) -> tuple[int, ...]:
    """The code units of UTF-16, by which JSON counts."""
    code = ord(character)
    if code <= 0xFFFF:
        return (code,)
    return 0xD800 + ((code - 0x10000) >> 10), 0xDC00 + ((code - 0x10000) & 0x3FF)
