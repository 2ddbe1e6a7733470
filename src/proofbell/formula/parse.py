"""Text to a tree of TOML values, or the one place where it is no TOML."""

from __future__ import annotations

import re
from typing import Any

import tomli

from proofbell.formula.fault import Fault
from proofbell.visible import visible

_QUOTE = 'Put words and quantities in quotes, such as time = "50 min", and one name with its value on a line.'
# What the parser says, and what to do about it. The first that begins its message is taken.
_ADVICE = (
    ("Expected '=' after a key", 'A line is a name, "=" and a value', 'Write it as name = "value".'),
    ("Invalid initial character for a key part", "A name is missing or has a sign in it", "Put odd names in quotes."),
    ("Invalid value", "This is not a value", _QUOTE),
    ("Invalid statement", "This is neither a name with a value nor a heading", 'Write name = "value" or [heading].'),
    ("Expected newline or end of document", "Something stands after the end of the value", _QUOTE),
    ("Unterminated string", "A quotation mark is missing", "Close the text with the quotation mark it began with."),
    ("Illegal character '\\n'", "A quotation mark is missing", "Close the text with the quotation mark it began with."),
    ("Illegal character", "There is a control character in this text", "Take it out."),
    ("Found invalid character", "There is a control character here", "Take it out."),
    ("Unescaped '\\'", "A backslash stands before a letter that it does not go with", "Write it twice: \\\\."),
    ("Unclosed array", "A list is not closed", 'Put "," between the items and "]" at the end.'),
    ("Unclosed inline table", "A pair of braces is not closed", 'Put "," between the parts and "}" at the end.'),
    ("Expected ']' at the end of a table", "The heading is not closed", 'Close it with "]".'),
    ("Expected ']]'", "The heading is not closed", 'Close it with "]]".'),
    ("Cannot declare", "This heading stands twice in the file", "Bring its lines together under one heading."),
    ("Cannot overwrite a value", "This is given twice", "Keep one of the two."),
    ("Duplicate inline table key", "This is given twice", "Keep one of the two."),
    ("Cannot mutate immutable namespace", "This adds to something that is already complete", "Write it in one place."),
    ("Cannot redefine namespace", "This adds to something that is already complete", "Write it in one place."),
    ("Invalid date or datetime", "There is no such day or hour", 'Write quantities in quotes: time = "50 min".'),
    ("Expected", "Something is missing here", "Look for a bracket or quotation mark that is not closed."),
)


def parsed(text: str) -> tuple[dict[str, Any], Fault | None]:
    """Return the tree that ``text`` stands for, or the fault that stops it being TOML. Lines end in a line feed."""
    try:
        return tomli.loads(text), None
    except tomli.TOMLDecodeError as error:
        line, column = _where(error, text)
        return {}, _said(error.msg, line, column)
    except RecursionError:
        return {}, Fault("error", "Brackets are nested too deeply.", "Close some.", line=1, column=1)
    except ValueError as error:  # a number that Python will not make, for one
        return {}, Fault("error", f"This cannot be read: {visible(str(error), most=100)}.", line=1, column=1)


def _said(message: str, line: int, column: int) -> Fault:
    for begins, said, remedy in _ADVICE:
        if message.startswith(begins):
            return Fault("error", f"{said}.", remedy, line=line, column=column)
    said = f"This is not TOML: {visible(message, most=100)}."
    return Fault("error", said, "Look at the line and the one above it.", line=line, column=column)


def _where(error: tomli.TOMLDecodeError, text: str) -> tuple[int, int]:
    """Line and column of the fault; for what is given twice, where the second begins, not where the parser stood."""
    line, column = error.lineno, error.colno
    before = text.split("\n")[line - 1][: column - 1]
    if error.msg.startswith("Duplicate inline"):
        found = re.search(r"[{,]\s*(\S)[^{,]*$", before)
        return (line, found.start(1) + 1) if found else (line, column)
    if error.msg.startswith(("Cannot overwrite", "Cannot declare", "Cannot mutate", "Cannot redefine")):
        found = re.search(r"\S", before)
        return (line, found.start() + 1) if found else (line, column)
    return line, column
