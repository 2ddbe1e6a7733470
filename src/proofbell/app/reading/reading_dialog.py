"""A reading: what was read, the number, and at once what it would change, before it is taken."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Input, Static

from proofbell.app.alarms.alarm import key_of
from proofbell.app.drawing.content import outside, own
from proofbell.app.fields.line_input import NumberField
from proofbell.app.reading.outcome_lines import kind_lines, outcome_lines, refusal_lines
from proofbell.app.reading.reading_asked import Asked
from proofbell.app.reading.reading_words import Outcome
from proofbell.app.session.kept import kept_words
from proofbell.app.session.live import Live
from proofbell.app.widgets.host import DEAF_US, TROUBLE_KEY, HostedModal
from proofbell.bake import intents
from proofbell.bake.events import Eye
from proofbell.bake.intents import Refused
from proofbell.bake.readings import LIMITS, begins_a_unit, kind_typed, may_become, meant_in_f
from proofbell.bake.state import Reading
from proofbell.bake.tasks import Skipped
from proofbell.bench.board import Board, Coming
from proofbell.formula.model import ReadingKind

BY_EYE = "By eye:  n not yet   y ready   t too far"
JAR_WIDTH = 24
"""Room for two sizes."""

BY_JAR = "Or two heights in a straight jar, typed as: 6 cm to 10 cm"


class ReadingDialog(HostedModal[str | None]):
    """Dismisses with what was done, in words, empty when it was left; with None when it was put off."""

    PAGE: ClassVar[str] = "reading"
    BINDINGS: ClassVar[list[BindingType]] = [TROUBLE_KEY]

    def __init__(self) -> None:
        super().__init__()
        self._asked: Asked | None = None
        self._kinds: tuple[ReadingKind, ...] = ("dough temperature",)
        self._at = 0
        self._sure = False
        self._saving = False
        self._skipping = False
        self._opened_us: int | None = None
        self._filled = False
        self._closes_with: str | None = None
        self._typed_before = ""
        self._eye: Eye | None = None
        self._guessed = ""

    def ask(
        self,
        live: Live,
        bake: str,
        ring: Coming | None = None,
        corrects: Reading | None = None,
        by_itself_us: int | None = None,
        typed: str = "",
    ) -> None:
        """For which bake; which check is due; or which reading is to be corrected. Before the dialog opens.

        From ``by_itself_us`` on (a clock that never goes back) it takes no key for a moment: nobody asked for it.
        ``typed``: what has been typed of the number already.
        """
        self._asked = Asked(live, bake, ring, corrects)
        self._kinds = self._asked.kinds
        self._at, self._sure, self._saving, self._skipping = 0, False, False, False
        self._opened_us = by_itself_us
        self._filled, self._closes_with, self._typed_before = False, None, typed
        self._eye, self._guessed = None, ""

    def _deaf(self) -> bool:
        now_us = self.host.real.stamp().boot_us
        return self._opened_us is not None and now_us - self._opened_us < DEAF_US

    @property
    def _ring(self) -> Coming | None:
        return None if self._asked is None else self._asked.ring

    @property
    def what(self) -> ReadingKind:
        return self._kinds[self._at]

    def compose(self) -> ComposeResult:
        with Vertical(classes="dialog"):
            yield Static(id="kinds")
            with Horizontal(id="value"):
                yield NumberField(id="number", max_length=24, compact=True, select_on_focus=False)
                yield Static(id="unit")
            yield Static(Content("\n").join((own(BY_EYE, "bold"), own(BY_JAR, "$quiet"))), id="by-eye")
            yield Static(id="outcome")
            yield Static(id="keys", classes="keys")

    def on_screen_resume(self) -> None:
        """Fill the dialog for this bake and check; once, for it also comes back from under another."""
        if self._asked is None or self._asked.state is None:
            return
        if self._closes_with is not None:
            self.call_later(self._close, self._closes_with)
            return
        self.query_one(".dialog").border_title = outside(self._asked.title, most=56)
        number = self.query_one("#number", NumberField)
        number.deaf = self._deaf
        if not self._filled:
            number.value = self._typed_before
            number.cursor_position = len(number.value)
        self._filled = True
        number.focus()
        self._draw()

    def moment(self, board: Board, *, lit: bool = False) -> None:  # noqa: ARG002 - a dialog does not flash
        """What it would change moves with the time; a check that was answered elsewhere asks no more."""
        if self._saving or not self.is_current or not self.query("#number"):
            return
        ring, typed = self._ring, self._said
        if self._asked is not None and ring is not None and all(key_of(one) != key_of(ring) for one in board.coming):
            self._asked = self._asked.without_check()
            if not typed:
                self._close(self._asked.went_by(ring))
                return
            self._draw()
        elif typed and not self._sure:
            self._preview()

    def beside(self, rings: Sequence[Coming]) -> Sequence[Coming]:
        asked = None if self._ring is None else key_of(self._ring)
        return [ring for ring in rings if key_of(ring) != asked]

    def _draw(self) -> None:
        self.query_one("#kinds", Static).update(
            kind_lines(self._kinds, self._at, None if self._asked is None else self._asked.corrects)
        )
        self.query_one("#by-eye", Static).display = self.what == "rise"
        number = self.query_one("#number", NumberField)
        number.what = self.what
        number.styles.width = JAR_WIDTH if self.what == "rise" else None
        if not may_become(self.what, number.value):
            number.value = ""
        keys = "enter take   esc " + ("leave" if self._ring is None else "later")
        if len(self._kinds) > 1:
            keys += "   ↑ ↓ other reading"
        if self._asked is not None and self._asked.ends_the_bake:
            keys += "   x out, not read"
        elif self._ring is not None and self._ring.prompt.kind == "check":
            keys += "   x skip the check"
        self.query_one("#keys", Static).update(own(keys))
        self._preview()

    # -- what it would change ------------------------------------------------------------------------------------

    @on(Input.Changed, "#number")
    def _typed(self) -> None:
        self._sure = self._skipping = False
        if self.query_one("#number", NumberField).value:
            self._opened_us, self._eye = None, None
        self._preview()

    def _preview(self) -> None:
        # A unit of the baker's own takes the place of the usual one.
        named = begins_a_unit(self.query_one("#number", NumberField).value.strip())
        unit = LIMITS[self.what].unit
        expected = "" if self._asked is None else self._asked.expected(self.what)
        self.query_one("#unit", Static).update(own(f"{' ' * len(unit) if named else unit}  {expected}"))
        shown = self.query_one("#outcome", Static)
        shown.update(outcome_lines(self._outcome(), shown.content_size.width or 60, self._eye or ""))

    def _tell(self, words: str) -> None:
        self.query_one("#outcome", Static).update(outside(words).stylize("bold $warning"))

    def on_key(self, event: events.Key) -> None:
        """A key that neither the number nor the dialog has any use for is not swallowed without a word."""
        if event.is_printable and event.character and event.key not in self.active_bindings:
            event.stop()
            if not self._other_unit(event.character):
                self._tell(f"“{event.character}” cannot be part of a number in {LIMITS[self.what].unit}.")

    def _other_unit(self, character: str) -> bool:
        """Go to the reading that the unit is of; where none is offered it stands there, and is not taken."""
        number = self.query_one("#number", NumberField)
        low, high = sorted(number.selection)
        typed = number.value[:low] + character + number.value[high:]
        if self._deaf() or not begins_a_unit(typed):
            return False
        meant = kind_typed(typed, self._kinds)
        number.value = typed
        number.cursor_position = low + 1
        if meant is not None:
            self._turn(self._kinds.index(meant) - self._at)
        return True

    @property
    def _said(self) -> str:
        """What would be taken: the number as it stands there, or how the rise was judged by eye."""
        return self._eye or self.query_one("#number", NumberField).value.strip()

    def _outcome(self) -> Outcome | None:
        said = self._said
        guessed = bool(self._guessed) and said == self._guessed
        return None if self._asked is None else self._asked.outcome(self.what, said, sure=self._sure, guessed=guessed)

    # -- keys ----------------------------------------------------------------------------------------------------

    @on(Input.Submitted, "#number")
    def _entered(self) -> None:
        self.action_take()

    def action_take(self) -> None:
        """Take it, unless it cannot be; ask again when it is odd."""
        typed = self._said
        found = self._outcome()
        if found is None or found.refused:
            in_f = meant_in_f(self.what, typed)
            meant = None if self._asked is None else self._asked.meant(self.what, typed)
            if meant is not None:
                self._turn(self._kinds.index(meant) - self._at)
            if in_f:  # asked as it was typed: now it stands there as °F, and the next enter takes it
                self.query_one("#number", NumberField).value = self._guessed = in_f
            self._preview()
        elif found.odd and not self._sure:
            self._once_more(Refused(" ".join(found.lines), "Enter it again if it is right.", odd=True))
        else:
            self._take(typed)

    def _once_more(self, refused: Refused) -> None:
        self._sure = refused.odd
        self.query_one("#outcome", Static).update(refusal_lines(refused))

    def _take(self, typed: str) -> None:
        asked = self._asked
        if self._saving or asked is None:
            return
        self._saving = True

        async def taking() -> None:
            try:
                refused = await self.host.say(asked.bake, asked.intent(self.what, typed, sure=self._sure))
            finally:
                self._saving = False
            if refused is None:
                unit = f" {LIMITS[self.what].unit}" if typed[-1:].isdigit() else ""
                said = f"{self.what[:1].upper()}{self.what[1:]} {typed}{unit}: in the log."
                self._close(kept_words(asked.live, asked.bake, said))
            else:
                self._once_more(refused)

        self.host.in_background(taking())

    def _close(self, answer: str | None) -> None:
        """Close once, whatever else has closed the dialog meanwhile; under another one as soon as that is gone."""
        # A screen below a dialog is "current" too.
        if self.app.screen is self:
            self.dismiss(answer)
        else:
            self._closes_with = answer

    def action_later(self) -> None:
        """Close; a check that is due comes again."""
        self._close(None if self._ring is not None else "")

    def action_after(self) -> None:
        self._turn(1)

    def action_before(self) -> None:
        self._turn(-1)

    def _turn(self, by: int) -> None:
        self._at, self._eye = (self._at + by) % len(self._kinds), None
        self._sure = self._skipping = False
        self._draw()

    def action_skip(self) -> None:
        """The check that is due will not be made; asked once, but for a bake that is taken out with that."""
        asked, ring = self._asked, self._ring
        if self._saving or asked is None or ring is None or ring.prompt.kind != "check":
            return
        intent: intents.Intent = intents.Task(Skipped(ring.prompt.id))
        words = "Check skipped; the log says so."
        if asked.ends_the_bake:
            intent, words = intents.Done(), f"Taken out, the core not read. {self.host.key('bench.undo')} undoes it."
        elif not self._skipping:
            self._skipping = True
            key = self.host.key("reading.skip")
            self._tell(f"Press {key} again to skip the check; the log will say that it was skipped.")
            return
        self._saving = True

        async def skipping() -> None:
            refused = await self.host.say(asked.bake, intent)
            self._saving = False
            done = kept_words(asked.live, asked.bake, words)
            self._close(done if refused is None else refused.message)

        self.host.in_background(skipping())

    def action_not_yet(self) -> None:
        self._by_eye("not yet")

    def action_ready(self) -> None:
        self._by_eye("ready")

    def action_too_far(self) -> None:
        self._by_eye("too far")

    def _by_eye(self, eye: Eye) -> None:
        """Choose it, and show what it would change; enter takes it, as it does a number."""
        if self.what != "rise":
            self._tell("Only the rise is judged by eye.")
            return
        self.query_one("#number", NumberField).value = ""
        self._eye, self._sure, self._skipping = eye, False, False
        self._preview()
