"""What comes up over all doughs, in order of time. What is due stands on top, with how late it is."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from proofbell.app.content import outside, own
from proofbell.app.local_time import hour_minute
from proofbell.app.sheet import Sheet
from proofbell.bake.stamp import Stamp
from proofbell.bench.ahead import Ahead
from proofbell.words import length

_GRACE_US = 60_000_000


class ComingUp(Sheet):
    """Draws the list; as many lines as there is room for."""

    DEFAULT_CSS = """
    ComingUp { height: 1fr; padding: 0 1; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._ahead: Sequence[Ahead] = ()
        self._now: Stamp | None = None
        self._many = False

    def show(self, ahead: Sequence[Ahead], now: Stamp, *, many: bool) -> None:
        """Another moment. ``many``: more than one dough, so that letters are needed."""
        self._ahead, self._now, self._many = ahead, now, many
        self.draw()

    def drawn(self, width: int, height: int) -> Content:
        """Title and lines."""
        now = self._now
        if now is None or not self._ahead:
            return Content("")
        lines = [own("Coming up", "bold $quiet")]
        for index, one in enumerate(self._ahead):
            room = height - len(lines)
            if room <= 0:
                break
            # Everything that is left gets a line before anything gets two.
            most = 2 if room > len(self._ahead) - index else 1
            lines += coming_lines(one, now, width, most)[:room]
        return Content("\n").join(lines)


def coming_lines(one: Ahead, now: Stamp, width: int, most: int) -> list[Content]:
    """``10:45 B oven on, 230 °C``; what is due says how late it is. A second line begins below the words."""
    if one.due:
        late_s = (now.wall_us - one.at_us) / 1_000_000
        late = f"+{late_s / 60:.0f} min" if late_s < 5400 else f"+{length(late_s)}"
        when = own("now" if late_s < 60 else late, "$error bold")
    else:
        when = own(hour_minute(one.at_us, now))
    when += " " * max(0, 6 - when.cell_length)
    head = Content.assemble(when, " ", (one.letter, "bold"), " ")
    room = max(8, width - head.cell_length)
    words = outside(one.words).wrap(room) or [Content("")]
    if len(words) > most:
        # Rather the deed alone than half of its weights or minutes.
        short = next((cut for cut in (one.words.split(": ")[0], one.words.split(", ")[0]) if cut != one.words), "")
        words = outside(short).wrap(room) if short else words
    if len(words) > most:
        rest = Content(" ").join(words[most - 1 :])
        words = [*words[: most - 1], rest.truncate(room, ellipsis=True)]
    return [head + words[0], *(" " * head.cell_length + line for line in words[1:])]
