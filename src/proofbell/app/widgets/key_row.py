"""The row of keys at the foot of a screen, and the list of all of them under ``?``. Both from the registry."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.style import Style
from textual.widgets import Static

from proofbell.app.drawing.content import Piece, in_a_row, own, wrapped
from proofbell.app.drawing.sheet import Sheet
from proofbell.app.fields.field import Field, field_with_focus
from proofbell.app.widgets.actions import Action, key_name
from proofbell.app.widgets.host import HostedModal, HostedScreen

WHEN: tuple[tuple[str, tuple[str, ...], str], ...] = (
    ("the dough is too warm, too cold", ("bench.reading",), "type what the probe shows"),
    ("it is not ready yet", ("bench.longer", "bench.reading"), "more time, or judge the rise"),
    ("it went too fast", ("bench.done",), "go on now"),
    ("I forgot it, it is long over", ("bench.ended-earlier",), "say how long ago"),
    ("it went into the fridge", ("bench.moved",), "say how long ago"),
    ("I typed it wrong", ("bench.undo", "bench.log"), "take it back, or correct it"),
    ("the power was off", ("bench.time",), "say how long"),
    ("I need more pieces", ("bench.size",), "until the dough is divided"),
    ("it rings, my hands are full", ("bench.quiet",), "it stays due"),
    ("why does it take so long", ("bench.why",), "the working, line by line"),
)
"""What somebody would say, the actions that help in the order of the words behind, and what to do there."""


def when(actions: Iterable[Action]) -> list[tuple[str, str, str]]:
    """The question, the keys as they are in this kitchen, and what to do; only what this screen can do."""
    keys = {action.id: key_name(action.keys[0]) for action in actions}
    return [
        (said, "  ".join(keys[id_] for id_ in ids), do) for said, ids, do in WHEN if all(id_ in keys for id_ in ids)
    ]


_NO_LETTER = re.compile(r"ctrl\+|f\d")


SIGNS = (
    ("!!", "In the row of the oven or the hands: too much at once."),
    ("!", "Before a dough: it rings."),
    ("▸", "Before a dough: it is selected."),
)
"""What stands on the bench beside words and times."""


class KeyRow(Sheet):
    """The keys of one screen on one line; what does not fit is under ``?``. A click does what the key does."""

    DEFAULT_CSS = """
    KeyRow { height: 1; dock: bottom; padding: 0 1; background: $panel; color: $text;
        link-style: none; link-color: $text; link-background-hover: $primary 40%; link-color-hover: $text;
        link-style-hover: none; }
    """

    def __init__(self, page: HostedScreen[Any]) -> None:
        super().__init__()
        self._page = page

    def drawn(self, width: int, height: int) -> Content:  # noqa: ARG002 - one line
        """As many keys as fit, the most needed first."""
        actions, words = self._page.actions, self._page.row_words
        field = field_with_focus(self._page)
        if field is not None:
            return in_a_row(_typing(field, actions), width, gap=3)
        shown = _wanted(actions, self._page.row_keys) or on_row(actions)
        return in_a_row([_piece(action, words.get(action.id, action.word)) for action in shown], width, gap=3)

    def on_mount(self) -> None:
        """Draw once the width is known, and again when the focus comes to a field or leaves it."""
        self.call_after_refresh(self.draw)
        self.watch(self._page, "focused", self.draw, init=False)


def on_row(actions: Sequence[Action]) -> tuple[Action, ...]:
    """Those that want a place on the row."""
    return tuple(action for action in actions if action.rank)


def _wanted(actions: Sequence[Action], ids: Sequence[str]) -> tuple[Action, ...]:
    """The actions of these ids in their order, ranked by it; the list of all keys always stays."""
    known = {action.id: action for action in actions}
    return tuple(
        replace(known[id_], rank=0 if id_.endswith(".help") else place)
        for place, id_ in enumerate(ids, 1)
        if id_ in known
    )


def _typing(field: Field, actions: Sequence[Action]) -> list[Piece]:
    """What the keys do while letters go into a field; of the screen's own only those that are no letters."""
    own = [("enter", field.enter), ("tab", field.tab), ("esc", field.leaving)]
    found = [Piece(Content.assemble((key, "bold $accent"), " ", word), 1) for key, word in own if word]
    return found + [_piece(action, action.word) for action in on_row(actions) if _NO_LETTER.match(action.keys[0])]


def _piece(action: Action, word: str) -> Piece:
    words = Content.assemble((key_name(action.keys[0]), "bold $accent"), " ", word)
    return Piece(words.stylize(Style.from_meta({"@click": f"screen.{action.method}"})), action.rank)


MAIN = 6
"""Actions that keep their place on a narrow row are listed first."""

HELP_AT, HELP_WIDTH = 14, 71
"""Where the words begin, and the most cells that a line takes; the dialog is 78 wide with border and scroll bar."""

HELP_AROUND = 7
"""Cells that border, blanks and scroll bar take beside a line."""

HELP_LEAST = 24
"""Narrower than that nothing is laid out anew."""


class KeysDialog(HostedModal[None]):
    """Every key of a screen. One instance is used again and again."""

    BINDINGS: ClassVar[list[BindingType]] = [("escape,question_mark,q,space,enter", "dismiss(None)", "back")]

    DEFAULT_CSS = """
    KeysDialog { align: center middle; }
    KeysDialog > VerticalScroll {
        width: 78; max-width: 100%; height: auto; max-height: 96%; background: $surface; border: round $primary;
        padding: 0 1;
    }
    KeysDialog Static { height: auto; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._actions: tuple[Action, ...] = ()

    def show(self, actions: Sequence[Action]) -> None:
        self._actions = tuple(actions)

    def compose(self) -> ComposeResult:
        with VerticalScroll():
            yield Static(id="all-keys")

    def on_screen_resume(self) -> None:
        scroll = self.query_one(VerticalScroll)
        scroll.border_title = Content("All keys")
        scroll.border_subtitle = Content("esc back")
        self._write()
        scroll.scroll_home(animate=False)
        scroll.focus()

    def on_resize(self) -> None:
        self._write()

    def _write(self) -> None:
        width = min(HELP_WIDTH, max(HELP_LEAST, self.app.size.width - HELP_AROUND))
        self.query_one("#all-keys", Static).update(help_page(self._actions, width))


def help_page(actions: Sequence[Action], width: int = HELP_WIDTH) -> Content:
    """The keys; on the bench its main keys, what a baker may ask, the other keys and the signs."""
    asked = when(actions)
    if not asked:
        return key_list(actions, width)
    main = [action for action in actions if 0 < action.rank <= MAIN]
    rest = [action for action in actions if action not in main]
    return Content("\n\n").join([key_list(main, width), _answers(asked, width), key_list(rest, width), _signs(width)])


def _answers(asked: Sequence[tuple[str, str, str]], width: int) -> Content:
    """Question, keys and what to do, in three columns; where they do not fit, what to do stands below its question."""
    said, keys = (max(len(row[column]) for row in asked) + 2 for column in (0, 1))
    lines = [own("When …", "bold")]
    for one, key, do in asked:
        if said + keys + max(len(row[2]) for row in asked) <= width:
            lines.append(Content.assemble(f"{one:<{said}}", (f"{key:<{keys}}", "bold $accent"), do))
        else:
            lines += [own(one), *_beside(f"  {key:<{keys}}", do, width)]
    return Content("\n").join(lines)


def key_list(actions: Sequence[Action], width: int = HELP_WIDTH) -> Content:
    return Content("\n").join(
        line
        for action in actions
        for line in _beside(f"{'  '.join(key_name(key) for key in action.keys):<{HELP_AT}}", action.help, width)
    )


def _signs(width: int) -> Content:
    return Content("\n").join(line for sign, words in SIGNS for line in _beside(f"{sign:<{HELP_AT}}", words, width))


def _beside(left: str, words: str, width: int) -> list[Content]:
    """A key or sign, and what it does; what goes on stands below the words."""
    at = len(left)
    first, *more = wrapped(own(words), width - at)
    return [Content.assemble((left, "bold $accent")) + first, *(own(" " * at) + line for line in more)]
