"""The one door through which text from files, notes and people reaches the screen: never raw, never as markup."""

from __future__ import annotations

import re

from textual.content import Content

from proofbell.visible import visible


def outside(text: str, *, most: int = 200, breaks: bool = False) -> Content:
    """Text that somebody wrote, made harmless and free of markup."""
    return Content(visible(text, most=most, breaks=breaks))


def own(text: str, style: str = "") -> Content:
    """Text of the program's own; still no markup, since a number in it may come from outside."""
    return Content.styled(text, style) if style else Content(text)


_IN_NUMBER = re.compile(r"(?<=\d) (?=(?:°C|°F|%|g|kg|ml|l|s|min|h|d|K|cm|×)(?!\w))|(?<=\d [hd]) (?=\d)|(?<=×) (?=\d)")
_JOINED = "\ue000"
"""Stands for a blank that may not be broken while lines are made; no text from outside has it."""


def wrapped(words: Content, width: int) -> list[Content]:
    """Lines of at most ``width`` cells; a number and its unit stay together where a line can hold them."""
    joined = Content(_IN_NUMBER.sub(_JOINED, words.plain), list(words.spans))
    return [Content(line.plain.replace(_JOINED, " "), list(line.spans)) for line in joined.wrap(width)]
