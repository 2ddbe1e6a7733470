"""What comes up over all doughs, in order of time. What is due stands on top, with how late it is."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from textual.content import Content

from proofbell.app.drawing.content import outside, own, wrapped
from proofbell.app.drawing.sheet import Sheet
from proofbell.app.session.local_time import hour_minute
from proofbell.bake.stamp import Stamp
from proofbell.bench.agenda import Ahead
from proofbell.words import countdown, told_length

MINUTE_S = 60.0
MOST_LINES = 3
"""No name, however long, takes more."""


class ComingUp(Sheet):
    """Draws the list; as many lines as there is room for."""

    DEFAULT_CSS = """
    ComingUp { height: 1fr; padding: 0 1; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._ahead: Sequence[Ahead] = ()
        self._moved: Collection[str] = ()
        self._fault = ""
        self._now: Stamp | None = None

    def show(self, ahead: Sequence[Ahead], now: Stamp, moved: Collection[str] = (), fault: str = "") -> None:
        """Another moment. ``moved``: letters of doughs whose times are new; ``fault``: what the planner broke by."""
        self._ahead, self._now, self._moved, self._fault = ahead, now, moved, fault
        self.draw()

    def drawn(self, width: int, height: int) -> Content:
        """Title and lines, the first of them bold; above them what broke, in a third of the room at most."""
        now = self._now
        if now is None or not (self._ahead or self._fault):
            return Content("")
        lines: list[Content] = []
        if self._fault:
            lines += wrapped(outside(self._fault).stylize("$accent"), width)[: min(max(2, height // 3), height - 2)]
        lines.append(own("Coming up", "bold $quiet"))
        listed = self._listed(now, width, height - len(lines))
        shown = listed[: max(0, height - len(lines))]
        times = max((_when(one, now).cell_length for one in shown), default=0)
        for index, one in enumerate(shown):
            room = height - len(lines)
            # Everything that is left gets a line before anything gets two, unless its words would be cut.
            most = 2 if room > len(listed) - index else 1
            these = coming_lines(one, now, width, most, times)
            if one.letter in self._moved and not one.due:
                these[0] = these[0].stylize("$accent bold", 0, times)
            if len(these) > room:
                break
            lines += [line.stylize("bold") for line in these] if index == 0 else these
        return Content("\n").join(lines)

    def _listed(self, now: Stamp, width: int, room: int) -> Sequence[Ahead]:
        """Everything to come; what is done inside a bake to come only where all of it has room in full."""
        if len(self._ahead) > room:
            return [one for one in self._ahead if not one.inside]
        times = max((_when(one, now).cell_length for one in self._ahead), default=0)
        needs = sum(len(coming_lines(one, now, width, 2, times)) for one in self._ahead)
        return self._ahead if needs <= room else [one for one in self._ahead if not one.inside]


def _when(one: Ahead, now: Stamp) -> Content:
    """``10:45``, or ``now``; in the colour of what is late once it is due, unless it waits for hands."""
    if not one.due or one.cooled or one.waits:
        return own(hour_minute(one.at_us, now))
    return own("now" if _late_s(one, now) < MINUTE_S else hour_minute(one.at_us, now), "$error bold")


def _late_s(one: Ahead, now: Stamp) -> float:
    return (now.wall_us - one.at_us) / 1_000_000


def _beside(one: Ahead, now: Stamp) -> str:
    """How long a timer has yet, or how late what is due is; nothing for all others."""
    late_s = _late_s(one, now)
    if one.due and (one.cooled or one.waits):
        return ""
    if one.due:
        return f", {told_length(late_s // MINUTE_S * MINUTE_S)} late" if late_s >= MINUTE_S else ""
    return f" {countdown(-late_s)}" if one.timer else ""


def coming_lines(one: Ahead, now: Stamp, width: int, most: int, times: int) -> list[Content]:
    """``10:45 B oven on, 230 °C``, times ``times`` cells wide. A second line begins below the words.

    ``most``: with more lines than these, what stands behind the deed is left out.
    """
    when = _when(one, now)
    when += " " * max(0, times - when.cell_length)
    head = Content.assemble(when, " ", (one.letter, "bold"), " ")
    room = max(8, width - head.cell_length)
    words = wrapped(outside(one.words + _beside(one, now)), room) or [Content("")]
    if len(words) > most:
        # Rather the deed alone than half of its weights or minutes.
        short = next(
            (cut for cut in (one.words.split(": ")[0], one.words.split(", ")[0]) if cut not in (one.words, "begin")), ""
        )
        words = wrapped(outside(short + (_beside(one, now) if one.due else "")), room) if short else words
    if len(words) > MOST_LINES:
        rest = Content(" ").join(words[MOST_LINES - 1 :])
        words = [*words[: MOST_LINES - 1], rest.truncate(room, ellipsis=True)]
    return [head + words[0], *(" " * head.cell_length + line for line in words[1:])]
