"""What to do about a text that is no TOML, by what the parser says of it.

The one place that goes by the words of tomli. There is no public way round it: an error has a place (`lineno`, `colno`)
and a message, and no code that tells one cause from another. Words that the table does not know are shown as they are;
a test has a text for every line of it, and fails when the library says something else.
"""

from __future__ import annotations

from typing import Literal

from proofbell.frozen import dataclass

_QUOTE = 'Put words and quantities in quotes, such as time = "50 min", and one name with its value on a line.'
_CLOSE = "Close the text with the quotation mark it began with."
_ONE = "Keep one of the two."
_BACKSLASH = "A backslash stands before a letter that it does not go with."
_COMPLETE = "This adds to something that is already complete."
_TOGETHER = "Bring its lines together under one heading."


@dataclass(frozen=True, slots=True)
class Advice:
    """For messages that begin so: what is wrong, and what to do.

    ``at`` is where the fault lies: where the parser stood; at the first sign of its line, or of the part between
    commas, where something is given for the second time.
    """

    begins: str
    said: str
    remedy: str
    at: Literal["here", "line", "part"] = "here"


ADVICE = (
    Advice("Expected '=' after a key", 'A line is a name, "=" and a value.', 'Write it as name = "value".'),
    Advice(
        "Invalid initial character for a key part", "A name is missing or has a sign in it.", "Put odd names in quotes."
    ),
    Advice("Invalid value", "This is not a value.", _QUOTE),
    Advice(
        "Invalid statement", "This is neither a name with a value nor a heading.", 'Write name = "value" or [heading].'
    ),
    Advice("Expected newline or end of document", "Something stands after the end of the value.", _QUOTE),
    Advice("Unterminated string", "A quotation mark is missing.", _CLOSE),
    Advice("Illegal character '\\n'", "A quotation mark is missing.", _CLOSE),
    Advice("Illegal character", "There is a control character in this text.", "Take it out."),
    Advice("Found invalid character", "There is a control character here.", "Take it out."),
    Advice("Unescaped '\\'", _BACKSLASH, "Write it twice: \\\\."),
    Advice("Invalid hex value", _BACKSLASH, "Write it twice: \\\\."),
    Advice("Escaped character is not", "This number after a backslash is no sign.", "Type the sign itself."),
    Advice("Unclosed array", "A list is not closed.", 'Put "," between the items and "]" at the end.'),
    Advice("Unclosed inline table", "A pair of braces is not closed.", 'Put "," between the parts and "}" at the end.'),
    Advice("Expected ']' at the end of a table", "The heading is not closed.", 'Close it with "]".'),
    Advice("Expected ']]'", "The heading is not closed.", 'Close it with "]]".'),
    Advice("Cannot declare", "This heading stands twice in the file.", _TOGETHER, "line"),
    Advice("Cannot overwrite a value", "This is given twice.", _ONE, "line"),
    Advice("Duplicate inline table key", "This is given twice.", _ONE, "part"),
    Advice("Cannot mutate immutable namespace", _COMPLETE, "Write it in one place.", "line"),
    Advice("Cannot redefine namespace", _COMPLETE, "Write it in one place.", "line"),
    Advice("Invalid date or datetime", "There is no such day or hour.", 'Write quantities in quotes: time = "50 min".'),
    Advice("Expected", "Something is missing here.", "Look for a bracket or quotation mark that is not closed."),
)
"""The first that fits is taken."""


def advice(message: str) -> Advice | None:
    """What is known of a message; None for words that are new."""
    return next((one for one in ADVICE if message.startswith(one.begins)), None)
