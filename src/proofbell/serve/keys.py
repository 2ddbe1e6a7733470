"""The keys that the page shows below the bench: names and keys are those of the registry, and what each sends."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from textual.keys import key_to_character

from proofbell.app.widgets.actions import ACTIONS, Action, key_name, with_keys
from proofbell.errors import Failure
from proofbell.frozen import dataclass

SHOWN = (
    *("bench.done", "bench.reading", "bench.longer", "bench.quiet", "bench.next-dough"),
    *("bench.start", "bench.plan", "bench.far", "bench.help"),
)
"""What a baker needs with floury hands, in this order."""

PLAIN = ("escape", "left", "up", "down", "right", "enter")

PAD = ("7", "8", "9", "backspace", "4", "5", "6", "minus", "1", "2", "3", "full_stop", "0", "enter")

_SENT = {
    "escape": "\x1b", "enter": "\r", "tab": "\t", "shift+tab": "\x1b[Z", "backspace": "\x7f", "delete": "\x1b[3~",
    "up": "\x1b[A", "down": "\x1b[B", "right": "\x1b[C", "left": "\x1b[D", "home": "\x1b[H", "end": "\x1b[F",
    "pageup": "\x1b[5~", "pagedown": "\x1b[6~", "insert": "\x1b[2~", "f1": "\x1bOP", "f2": "\x1bOQ", "f3": "\x1bOR",
    "f4": "\x1bOS", "f5": "\x1b[15~", "f6": "\x1b[17~", "f7": "\x1b[18~", "f8": "\x1b[19~", "f9": "\x1b[20~",
    "f10": "\x1b[21~", "f11": "\x1b[23~", "f12": "\x1b[24~", "shift+up": "\x1b[1;2A", "shift+down": "\x1b[1;2B",
    "minus": "-", "plus": "+", "slash": "/",
}  # fmt: skip
"""As a terminal of the xterm family sends them (xterm, "Control Sequences", PC-style function keys).

And three characters that Textual names otherwise than Unicode does."""

_NAMES = {"backspace": "⌫"}


@dataclass(frozen=True, slots=True)
class Key:
    """One key of the page. ``name`` stands on it; ``sends`` is what the bench receives; ``help`` explains it."""

    id: str
    name: str
    sends: str
    help: str


def sent(key: str) -> str | None:
    """What a terminal sends for a key of Textual's name; None where it has no way to say it."""
    letter = key.removeprefix("ctrl+")
    if letter != key and len(letter) == 1 and letter.isalpha():
        return chr(ord(letter.lower()) - 96)
    return _SENT.get(key) or key_to_character(key)


def sent_by_name() -> Mapping[str, str]:
    """What the keys without a character send, by Textual's name."""
    return dict(_SENT)


def actions_of(changed: Mapping[str, str]) -> tuple[Action, ...]:
    """The registry with the kitchen's own keys; as the bench does, the usual ones where those cannot be."""
    try:
        return with_keys(changed)
    except Failure:
        return ACTIONS


def shown(actions: Iterable[Action]) -> tuple[Key, ...]:
    """The keys for what a baker does; one that a terminal cannot send is left out."""
    by_id = {action.id: action for action in actions}
    found = ((by_id[each], sent(key)) for each in SHOWN for key in by_id[each].keys[:1])
    return tuple(Key(each.id, each.word, sends, each.help) for each, sends in found if sends)


def plain(names: Iterable[str]) -> tuple[Key, ...]:
    """Keys that only stand for themselves."""
    return tuple(Key(each, _NAMES.get(each, key_name(each)), sent(each) or "", "") for each in names)


def with_control(actions: Iterable[Action]) -> str:
    """The letters that mean something here together with ctrl; the browser keeps all others."""
    keys = {key.removeprefix("ctrl+") for each in actions for key in each.keys if key.startswith("ctrl+")}
    return "".join(sorted(key for key in keys if len(key) == 1))
