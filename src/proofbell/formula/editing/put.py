"""Writes one value of a TOML file anew where it stands: every other byte stays as its owner wrote it."""

from __future__ import annotations

import tomli

from proofbell.formula.text.guard import decoded
from proofbell.formula.text.positions import Path, positions

_MARK = b"\xef\xbb\xbf"


def standing(line: str, column: int, length: int, value: object) -> bool:
    """Whether all of ``value`` is what stands at the place: false for a text that goes on over lines."""
    try:
        found = tomli.loads(f"x = {line[column - 1 : column - 1 + length]}")["x"]
    except tomli.TOMLDecodeError:
        return False
    return type(found) is type(value) and bool(found == value)


def put(data: bytes, path: Path, token: str) -> bytes:
    """Return a file with ``token``, a TOML value, in place of the one at ``path``, which is a value on one line.

    A byte order mark, line ends, comments and blanks stay.

    Raises:
        KeyError: nothing stands at ``path``.
    """
    text, _ = decoded(data)
    place = positions(text)[path].value
    mark = _MARK if data.startswith(_MARK) else b""
    lines = data.removeprefix(mark).decode().split("\n")
    line, begin = lines[place.line - 1], place.column - 1
    lines[place.line - 1] = line[:begin] + token + line[begin + place.length :]
    return mark + "\n".join(lines).encode()
