"""How long the power was off: asked once for all doughs. Low on the screen, so that what rings stays in sight."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import events, getters, on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Input, Static

from proofbell.app.drawing.content import outside, own
from proofbell.app.fields.line_input import LineInput
from proofbell.app.fields.typed import typed_length_s
from proofbell.app.session.local_time import hour_minute
from proofbell.app.widgets.host import DEAF_US, TROUBLE_KEY, HostApp, HostedModal
from proofbell.bake.doubt import Outage, doubt
from proofbell.bake.stamp import Stamp
from proofbell.bench.board import Board
from proofbell.quantities import QuantityError
from proofbell.words import length

MOST_NAMES = 3
"""More doughs than these are not named one by one."""


class LengthField(LineInput):
    """Takes a length of time. While deaf only a digit counts."""

    app = getters.app(HostApp)

    deaf_until_us: int = -1

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Whether the field wants a key for itself: not what no length is written with."""
        return not _no_length(character) and super().check_consume_key(key, character)

    def on_key(self, event: events.Key) -> None:
        """Keep from the line what is not for it."""
        now_us = self.app.host.real.stamp().boot_us
        if now_us < self.deaf_until_us and not (event.character or "").isdigit():
            event.stop()
            event.prevent_default()
        elif _no_length(event.character):
            event.prevent_default()
        else:
            self.deaf_until_us = -1


def _no_length(character: str | None) -> bool:
    return character is not None and character.isprintable() and not character.isalnum() and character not in " .,:-+/"


class TimeDialog(HostedModal[float]):
    """Dismisses with how long the power was off (s), or None for later."""

    PAGE: ClassVar[str] = "time"
    BINDINGS: ClassVar[list[BindingType]] = [TROUBLE_KEY]

    DEFAULT_CSS = """
    TimeDialog { align: center bottom; }
    TimeDialog #off { height: 1; }
    TimeDialog #length { width: 18; }
    TimeDialog #unit { width: 1fr; padding: 0 1; }
    TimeDialog #told { height: 1; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._outage: Outage | None = None
        self._letters: tuple[str, ...] = ()
        self._now: Stamp | None = None
        self._offered = ""
        self._opened_us: int | None = None
        self._filled = False

    def ask(self, outage: Outage, letters: Sequence[str], now: Stamp, opened_us: int | None) -> None:
        """About which outage, for which doughs; ``opened_us`` (a clock that never goes back): it opened by itself."""
        self._outage, self._letters, self._now, self._opened_us = outage, tuple(letters), now, opened_us
        self._filled = False

    def compose(self) -> ComposeResult:
        """What is known, the field, what is wrong with it."""
        with Vertical(classes="dialog"):
            yield Static(id="known")
            with Horizontal(id="off"):
                yield LengthField(id="length", max_length=20, compact=True, select_on_focus=True)
                yield Static(id="unit")
            yield Static(id="told")

    def on_screen_resume(self) -> None:
        """Fill it for this outage; once, for it also comes back from under another dialog."""
        if self._outage is None or self._now is None:
            return
        self.query_one(".dialog").border_title = own("How long was the power off?")
        self.query_one("#unit", Static).update(own("40 is minutes; 1 h 20", "$quiet"))
        self._known(self._outage, self._now)
        if not self._filled:
            self._offer(self._outage, self._opened_us)
        self._filled = True
        self.query_one("#length", LengthField).focus()

    def _known(self, one: Outage, now: Stamp) -> None:
        """Say what is known."""
        self.query_one(".dialog").border_subtitle = own("   ".join(self._keys()))
        lines = known_words(one, self._letters, now)
        self.query_one("#known", Static).update(Content("\n").join(outside(line) for line in lines))

    def _offer(self, one: Outage, real_us: int | None) -> None:
        """Put the likely length into the field; nobody said that before ``real_us``, so no key answers it at once."""
        offered = one.suspected_s if one.suspected_s is not None else one.said_s if one.settled else None
        self._offered = "" if offered is None else in_minutes(offered)
        field = self.query_one("#length", LengthField)
        field.value = self._offered
        field.deaf_until_us = -1 if real_us is None else real_us + DEAF_US
        field.action_select_all()

    def _keys(self) -> list[str]:
        right = "right" if self._outage is not None and self._outage.suspected_s is not None else "take"
        words = {"time.take": right}
        return [f"{self.host.key(a.id)} {words.get(a.id, a.word)}" for a in self.actions]

    def moment(self, board: Board, *, lit: bool = False) -> None:  # noqa: ARG002 - a dialog does not flash
        """What was answered elsewhere is asked no more; a clock that is set meanwhile says something else."""
        one, host = self._outage, self.host
        if one is None or one.settled or self.app.screen is not self:
            return
        asked = [still for state in host.live.states if (still := doubt(state, board.now)) is not None]
        now_one = next((still for still in asked if still.boot_id == one.boot_id), None)
        if now_one is None:
            self.dismiss(None)
        elif _says(now_one) != _says(one):
            untouched = self.query_one("#length", LengthField).value == self._offered
            self._outage = now_one
            self._known(now_one, board.now)
            if untouched:
                self._offer(now_one, host.real.stamp().boot_us)

    @on(Input.Changed, "#length")
    def _typed(self) -> None:
        self.query_one("#told", Static).update(Content(""))

    @on(Input.Submitted, "#length")
    def _entered(self) -> None:
        self.action_take()

    def action_take(self) -> None:
        """What stands there is how long it was."""
        typed, one = self.query_one("#length", LengthField).value.strip(), self._outage
        if one is not None and typed and typed == self._offered:
            # Said to the second as the clock has it: a yes to the clock is told from a word of the baker's own.
            self.dismiss(one.suspected_s if one.suspected_s is not None else one.said_s)
            return
        try:
            off_s = typed_length_s(typed)
        except QuantityError as error:
            self._tell(str(error))
            return
        if off_s is None:
            self._tell("Type roughly how long, in minutes; 0 if it was not off.")
        else:
            self.dismiss(off_s)

    def _tell(self, words: str) -> None:
        self.query_one("#told", Static).update(outside(words, most=200).stylize("bold $warning"))

    def action_later(self) -> None:
        """Not now; the line on the bench stays."""
        self.dismiss(None)


def known_words(one: Outage, letters: Sequence[str], now: Stamp) -> tuple[str, str]:
    """What is known, in two lines."""
    seen = f"Last seen running at {hour_minute(one.seen_us, now)}"
    counted = f"{length(max(0.0, one.counted_s))} counted so far; the times of {_names(letters)} depend on your answer."
    if one.settled and one.said_s is not None:
        return f"{seen}. You said {in_minutes(one.said_s)}.", counted
    if one.suspected_s is None:
        return f"{seen}; no clock knows for how long.", counted
    return f"{seen}; off for {in_minutes(one.suspected_s)}, by the clock.", counted


def _says(one: Outage) -> int | None:
    """What the clock says, in minutes; None where it cannot."""
    return None if one.suspected_s is None else round(one.suspected_s / 60)


def in_minutes(seconds: float) -> str:
    """``40 min``: to the minute from one minute on."""
    return length(seconds if seconds < 60 else round(seconds / 60) * 60)


def _names(letters: Sequence[str]) -> str:
    if len(letters) == 1:
        return letters[0]
    return f"{', '.join(letters[:-1])} and {letters[-1]}" if 1 < len(letters) <= MOST_NAMES else "all doughs"
