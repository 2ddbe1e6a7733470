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
    ComingUp { width: 30; height: 1fr; padding: 0 1; }
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
        lines += [coming_line(one, now, width) for one in self._ahead[: max(0, height - 1)]]
        return Content("\n").join(lines)


def coming_line(one: Ahead, now: Stamp, width: int) -> Content:
    """``10:45 B oven on, 230 °C``; overdue: ``over B load the oven, 2 min``."""
    if one.due:
        late_s = (now.wall_us - one.at_us) / 1_000_000
        when = own(f"{'now' if late_s < 60 else length(late_s) + ' over':<6}", "$error bold")
    else:
        when = own(f"{hour_minute(one.at_us, now):<6}")
    line = Content.assemble(when, " ", (one.letter, "bold"), " ", outside(one.words))
    return line.truncate(width, ellipsis=True)
