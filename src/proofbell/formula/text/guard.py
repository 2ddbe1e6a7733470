"""Looks at a file before a TOML parser does: size, encoding, line length, dots, nesting, digits.

Some short files keep a TOML parser busy for seconds or end it without a place. One pass here, linear in the size
of the file, refuses them first. The bounds are far above what a formula needs.
"""

from __future__ import annotations

import re

from proofbell.faults import Fault

MOST_BYTES = 256 * 1024
MOST_IN_A_LINE = 4096
MOST_DOTS = 16
MOST_NESTED = 16
MOST_DIGITS = 100

_MARK = "\ufeff"

# Strings and comments are taken whole, so that what is inside them does not count. A string that is not closed
# ends at the end of its line, or of the file: no place is looked at twice.
_TOKEN = re.compile(
    r'"""(?:[^"\\]|\\.|"(?!""))*+(?:"""|\Z)'
    r"|'''(?:[^']|'(?!''))*+(?:'''|\Z)"
    r'|"(?:[^"\\\n]|\\.)*+"?'
    r"|'[^'\n]*+'?"
    r"|#[^\n]*+"
    rf"|(?P<digits>[0-9A-Fa-f_]{{{MOST_DIGITS + 1},}}+)"
    r"|(?P<mark>[\[\]{}.=,\n])",
    re.DOTALL,
)


def decoded(given: str | bytes) -> tuple[str, Fault | None]:
    """Return the text of a file, without a byte order mark and with one kind of line end; or say why it is none."""
    data = b""
    if isinstance(given, bytes):
        data = given
    else:
        try:
            data = given.encode()
        except UnicodeEncodeError as error:
            return "", _fault(given, error.start, "There is half a character here.", "Type it again.")
    if len(data) > MOST_BYTES:
        return "", Fault(
            "error",
            f"The file holds more than {MOST_BYTES:,} bytes, which is the most that is read.".replace(",", " "),
            "Keep one formula in a file, and long texts elsewhere.",
            line=1,
            column=1,
        )
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "", Fault("error", "The file is in UTF-16.", "Save it again as UTF-8.", line=1, column=1)
    data = data.removeprefix(_MARK.encode())
    try:
        text = data.decode()
    except UnicodeDecodeError as error:
        before = data[: error.start].decode(errors="replace")
        message = f"The byte {data[error.start]:#04x} here is not UTF-8."
        return "", _fault(before, len(before), message, "Save the file again as UTF-8.")
    return bare(text), None


def bare(text: str) -> str:
    """Return the text of a file without a byte order mark and with one kind of line end."""
    return text.removeprefix(_MARK).replace("\r\n", "\n")


def guard(text: str) -> Fault | None:
    """Return the first thing in ``text`` that a parser should not be asked to read, or None."""
    for number, line in enumerate(text.split("\n"), start=1):
        if len(line) > MOST_IN_A_LINE:
            message = f"This line has {len(line)} characters; at most {MOST_IN_A_LINE} are read."
            return Fault("error", message, "Break it into several lines.", line=number, column=MOST_IN_A_LINE + 1)
    dots = depth = 0
    for token in _TOKEN.finditer(text):
        if token["digits"]:
            return _fault(text, token.start(), f"There are more than {MOST_DIGITS} digits here.", "Write less.")
        mark = token["mark"]
        if mark == ".":
            dots += 1
            if dots > MOST_DOTS:
                return _fault(text, token.start(), "This name has too many dots.", "A formula needs no long names.")
        elif mark:
            dots = 0
            depth = max(0, depth + (mark in "[{") - (mark in "]}"))
            if depth > MOST_NESTED:
                return _fault(text, token.start(), "Brackets are nested too deeply here.", "Close some.")
    return None


def place(text: str, index: int) -> tuple[int, int]:
    """Line and column of ``index`` in ``text``, both from 1."""
    before = text.rfind("\n", 0, index)
    return text.count("\n", 0, index) + 1, index - before


def _fault(text: str, index: int, message: str, remedy: str) -> Fault:
    line, column = place(text, index)
    return Fault("error", message, remedy, line=line, column=column)
