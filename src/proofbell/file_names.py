"""Makes a file name that every system takes out of any text.

What is dangerous in a name made from outside text: steps to other folders, drive letters, the device names of
Windows (also with an ending, and made by cutting), dots and spaces at the end, and names that differ only by case or
by how a letter is composed. So: only letters and digits that are plain ASCII, cut first and checked after, and an
identifier at the end, which keeps two alike names apart.
"""

from __future__ import annotations

import re
import unicodedata

MOST = 60
_DEVICES = frozenset(
    ("con", "prn", "aux", "nul", "conin$", "conout$", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10)))
)


def file_stem(text: str, suffix_id: str) -> str:
    """Return a file name without ending: words of ``text`` in lower case with hyphens, then ``suffix_id``.

    ``suffix_id`` is what makes the name unique, such as a bake's id; it is cleaned too. The result is never empty,
    at most `MOST` characters, and safe on Linux, macOS and Windows.
    """
    tail = _words(suffix_id)[-24:].strip("-")
    head = _words(text)[: MOST - len(tail) - 1].strip("-")
    stem = "-".join(part for part in (head, tail) if part) or "unnamed"
    return f"file-{stem}" if stem.split("-", 1)[0] in _DEVICES else stem


def _words(text: str) -> str:
    """Letters and digits of ASCII, the rest as single hyphens; accents fall off their letters."""
    plain = unicodedata.normalize("NFKD", text[:500].replace("ß", "ss"))
    plain = "".join(character for character in plain if not unicodedata.combining(character))
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")
