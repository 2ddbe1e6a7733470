"""The two pages: the door, which anybody may see, and the bench, for those who were let in. And their words."""

from __future__ import annotations

import json
from collections.abc import Iterable
from html import escape
from pathlib import Path
from string import Template

from textual.theme import Theme

from proofbell.app.widgets.themes import DAY, NIGHT, OWN
from proofbell.kitchen.model import Kitchen
from proofbell.serve.door import DIGITS, IDLE_US, MOST_WRONG, Refused
from proofbell.serve.keys import PAD, PLAIN, Key, actions_of, plain, sent_by_name, shown, with_control

_FILES = Path(__file__).parent / "page"

IDLE_WORDS = f"{IDLE_US // 3_600_000_000} hours"

CLOSED = "Too many wrong codes: nobody is let in any more. Start the server again for a new code."


def file_of(name: str) -> str:
    """A file of the page as it lies in the program."""
    return (_FILES / name).read_text(encoding="utf-8")


def door_page(nonce: str, *, closed: bool) -> str:
    """Where the code is typed. It tells nothing of the bench."""
    return Template(file_of("door.html")).substitute(
        nonce=nonce,
        look=look(""),
        digits=DIGITS,
        idle=IDLE_WORDS,
        words=escape(CLOSED if closed else ""),
        shut="disabled" if closed else "",
    )


def bench_page(kitchen: Kitchen) -> str:
    """The bench with its keys below."""
    actions = actions_of(dict(kitchen.keys))
    by_name = {**sent_by_name(), "ctrl": with_control(actions)}
    return Template(file_of("bench.html")).substitute(
        actions=_buttons(shown(actions)),
        plain=_buttons(plain(PLAIN)),
        pad=_buttons(plain(PAD)),
        sent=escape(json.dumps(by_name)),
        idle=IDLE_WORDS,
    )


def look(wanted: str) -> str:
    """The colours of the page, which are those of the bench: the kitchen's own theme, or the browser's setting."""
    for theme in OWN:
        if theme.name == wanted:
            return f":root{{{_colours(theme)}}}"
    return f":root{{{_colours(NIGHT)}}}@media(prefers-color-scheme:light){{:root{{{_colours(DAY)}}}}}"


def refusal(answer: Refused, wrong: int) -> str:
    """Why a code lets nobody in, in words."""
    if answer is Refused.CLOSED:
        return CLOSED
    left = MOST_WRONG - wrong
    return f"That is not the code. {left} {'try is' if left == 1 else 'tries are'} left."


def _buttons(keys: Iterable[Key]) -> str:
    return "\n".join(
        f'<button type="button" data-id="{escape(key.id)}" data-sends="{escape(json.dumps(key.sends))}"'
        f' title="{escape(key.help or key.id)}"{_spoken(key)}>{escape(key.name)}</button>'
        for key in keys
    )


def _spoken(key: Key) -> str:
    """What is read aloud for a key whose name is a sign."""
    return "" if key.name.isalnum() or " " in key.name else f' aria-label="{escape(key.id.replace("_", " "))}"'


def _colours(theme: Theme) -> str:
    names = {
        "ground": theme.background,
        "ink": theme.foreground,
        "panel": theme.panel,
        "accent": theme.accent,
        "primary": theme.primary,
        "error": theme.error,
        "quiet": theme.variables["quiet"],
    }
    return f"color-scheme:{'dark' if theme.dark else 'light'};" + "".join(f"--{name}:{names[name]};" for name in names)
