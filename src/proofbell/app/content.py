"""The one door through which text from files, notes and people reaches the screen: never raw, never as markup."""

from __future__ import annotations

from textual.content import Content

from proofbell.visible import visible


def outside(text: str, *, most: int = 200, breaks: bool = False) -> Content:
    """Text that somebody wrote, made harmless and free of markup."""
    return Content(visible(text, most=most, breaks=breaks))


def own(text: str, style: str = "") -> Content:
    """Text of the program's own; still no markup, since a number in it may come from outside."""
    return Content.styled(text, style) if style else Content(text)
