"""The line between the strips and the dough in hand: what was just said, what rings, what is asked; else a rule."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content
from textual.widgets import Static

from proofbell.app.alarms.alarm import ring_words
from proofbell.app.drawing.content import outside, own
from proofbell.app.drawing.sheet import Sheet
from proofbell.bench.board import Coming
from proofbell.frozen import dataclass


@dataclass(frozen=True, slots=True)
class Notice:
    """What the line has to tell. ``said`` goes first, then what rings, then what the plan ``asks``.

    ``lit``: the flash is on. ``late``: to say how late what rings is, where nothing else on the page does.
    """

    now_us: int
    rings: Sequence[Coming] = ()
    said: str = ""
    wrong: bool = False
    lit: bool = False
    asks: Sequence[str] = ()
    """One question, in ever fewer words."""
    aside: str = ""
    """What stands there as long as nothing else does."""
    where: str = ""
    """Where what rings is heard, if not in this window."""
    late: bool = True
    quiet: str = "q"
    """The key that silences what rings."""
    yes: str = "Y"
    no: str = "N"
    """The keys that answer the question."""


class NoticeLine(Sheet):
    DEFAULT_CSS = """
    NoticeLine { height: 1; padding: 0 1; }
    NoticeLine.-rings { background: $error 25%; }
    NoticeLine.-rings.-lit { background: $error; color: $background; text-style: bold; }
    NoticeLine.-rings:ansi { background: ansi_default; color: ansi_default; text-style: bold; }
    NoticeLine.-rings.-lit:ansi { background: ansi_default; color: ansi_default; text-style: bold reverse; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._notice: Notice | None = None

    def show(self, notice: Notice) -> None:
        self._notice = notice
        self.set_class(bool(notice.rings) and not notice.said, "-rings")
        self.set_class(notice.lit, "-lit")
        self.draw()

    def drawn(self, width: int, height: int) -> Content:  # noqa: ARG002 - one line
        one = self._notice
        if one is None:
            return Content("")
        if one.said:
            sign = "✗ " if one.wrong else ""
            return outside(sign + one.said, most=500).stylize("bold").truncate(width, ellipsis=True)
        if one.rings:
            return rings_line(one.rings, one.now_us if one.late else None, width, one.where, one.quiet)
        if one.asks:
            return question_line(one.asks, width, one.yes, one.no)
        if one.aside:
            return (own("── ", "$quiet") + outside(one.aside).stylize("$quiet")).truncate(width, ellipsis=True)
        return own("─" * width, "$quiet")


class AlarmLine(Static):
    """What rings, below a dialog, where the keys of the page stand otherwise: a dialog may lie over the page's own."""

    DEFAULT_CSS = """
    AlarmLine { dock: bottom; display: none; height: auto; max-height: 2; padding: 0 1; background: $error 25%; }
    AlarmLine.-shown { display: block; }
    AlarmLine.-lit { background: $error; color: $background; text-style: bold; }
    AlarmLine:ansi { background: ansi_default; color: ansi_default; text-style: bold; }
    AlarmLine.-lit:ansi { background: ansi_default; color: ansi_default; text-style: bold reverse; }
    """

    def show(self, rings: Sequence[Coming], now_us: int, *, lit: bool) -> None:
        """What rings at a moment (UTC, µs), what comes first whole; nothing takes no line."""
        self.set_class(bool(rings), "-shown")
        self.set_class(lit, "-lit")
        pieces = [own(_sign(rings)), *(outside(ring_words(ring, now_us)) for ring in rings)]
        self.update(own("  ").join(pieces))


def question_line(asks: Sequence[str], width: int, yes: str = "Y", no: str = "N") -> Content:
    """``The plan: B: final proof 8 min longer, 50 → 58 min?   Y yes   N no``: in as many words as fit."""
    answers = own(f"   {yes} yes   {no} no", "bold")
    room = max(1, width - answers.cell_length)
    questions = [outside(words).stylize("$accent") for words in (f"The plan: {asks[0]}", *asks)]
    fits = next((one for one in questions if one.cell_length <= room), questions[-1])
    return fits.truncate(room, ellipsis=True) + answers


def rings_line(rings: Sequence[Coming], now_us: int | None, width: int, where: str = "", key: str = "q") -> Content:
    """``◆ 2  A  load the oven, 2 min over  B  …  q quiet``: as many as fit, then how many more there are.

    Without ``now_us`` it is not said how late they are. What has no room is said in fewer words before it is cut;
    ``where`` it rings is said only where all else has room.
    """
    at_us = [ring.at_us if now_us is None else now_us for ring in rings]
    whole, brief = (
        [outside(ring_words(ring, at, brief=short)) for ring, at in zip(rings, at_us, strict=True)]
        for short in (False, True)
    )
    sign, quiet = own(_sign(rings)), own(f"{key} quiet")
    for count in range(len(rings), 0, -1):
        more = [own(f"+{len(rings) - count} more")] if count < len(rings) else []
        heard = [(whole, [quiet, outside(where)])] if where else []
        for words, behind in (*heard, (whole, [quiet]), (brief, [quiet]), (whole, []), (brief, [])):
            line = own("  ").join([sign, *words[:count], *more, *behind])
            if line.cell_length <= width:
                return line
    return own("  ").join([sign, brief[0]]).truncate(width, ellipsis=True)


def _sign(rings: Sequence[Coming]) -> str:
    return "◆" if len(rings) == 1 else f"◆ {len(rings)}"
