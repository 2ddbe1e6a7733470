"""Makes text from outside harmless for a terminal, and finds what a file must not hold.

A name or a note may carry characters that move the cursor, change the window's title, turn the reading order
round or hide: CWE-150 and CVE-2021-42574 describe what is done with them. Here they are spelled out,
and never sent. Letters of every script stay, and so do the joiners that Persian and the scripts of India need.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator

MOST = 200
MARKS_ON_A_LETTER = 4
CUT = "…"

_JOINERS = "\u200c\u200d"
# Letters and marks by their category, but drawn as nothing, so that two different names look the same.
_UNSEEN = frozenset(
    "\u034f\u115f\u1160\u17b4\u17b5\u180b\u180c\u180d\u180e\u180f\u3164\uffa0"
    + "".join(map(chr, range(0xFE00, 0xFE0F)))
    + "".join(map(chr, range(0xE0100, 0xE01F0)))
)
# Control, format, surrogate, private use, not assigned, line and paragraph separator.
_HARMFUL_CATEGORIES = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
_MARKS = frozenset({"Mn", "Me"})


def is_harmful(character: str) -> bool:
    """Whether one character could move, hide, reorder or confuse what a terminal shows.

    Joiners are left to `harmful_places`, which sees what stands on both sides of them.
    """
    if character in _JOINERS:
        return False
    return character in _UNSEEN or unicodedata.category(character) in _HARMFUL_CATEGORIES


def harmful_places(text: str, *, breaks: bool = False) -> Iterator[tuple[int, str]]:
    """Give index and character of everything in ``text`` that is not to be let in.

    With ``breaks`` line breaks and tabs are let in. Joiners are let in between two letters of a script that
    uses them, one at a time; marks are let in up to four on a letter.
    """
    marks = 0
    for index, character in enumerate(text):
        if " " <= character <= "~":
            marks = 0
            continue
        if character in "\n\t" and breaks:
            marks = 0
            continue
        if character in _JOINERS:
            if not _joins(text, index):
                yield index, character
            continue
        marks = marks + 1 if unicodedata.category(character) in _MARKS else 0
        if marks > MARKS_ON_A_LETTER or is_harmful(character):
            yield index, character


def escaped(character: str) -> str:
    """Spell one character so that it can be read and does nothing: by its number, in hexadecimal."""
    code = ord(character)
    if code <= 0xFF:
        return f"\\x{code:02x}"
    return f"\\u{code:04x}" if code <= 0xFFFF else f"\\U{code:08x}"


def visible(text: str, *, most: int = MOST, breaks: bool = False) -> str:
    """Return ``text`` so that it can be shown anywhere: harmful characters spelled out, at most ``most`` long.

    Without ``breaks`` the result is one line. A text that is too long ends in "…".
    """
    cut = text[: most + 1] if len(text) > most else text
    shown = cut if cut.isascii() and cut.isprintable() else _spelled(cut, breaks=breaks)
    if len(shown) > most or len(text) > most:
        return shown[: max(0, most - 1)].rstrip(_JOINERS) + CUT if most > 0 else ""
    return shown


def _spelled(text: str, *, breaks: bool) -> str:
    harmful = dict(harmful_places(text, breaks=breaks))
    if not harmful:
        return text
    return "".join(escaped(character) if index in harmful else character for index, character in enumerate(text))


def _joins(text: str, index: int) -> bool:
    """Whether the joiner at ``index`` stands between two letters or marks of one of the scripts that use it."""
    if index == 0 or index + 1 >= len(text):
        return False
    return _uses_joiners(text[index - 1]) and _uses_joiners(text[index + 1])


def _uses_joiners(character: str) -> bool:
    # Arabic to Mongolian covers Persian, Syriac and the scripts of India and South-East Asia.
    return "\u0600" <= character <= "\u18af" and unicodedata.category(character)[0] in "LM"
