"""Four questions about a new kitchen, on one page; one key skips those that are left."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import get_args

from textual import events, on, work
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from proofbell.app.drawing.content import own
from proofbell.app.session.live import Live
from proofbell.app.widgets.key_row import KeyRow
from proofbell.app.widgets.page import Page, titled
from proofbell.app.widgets.prose import Prose
from proofbell.app.widgets.rows import Rows, columns
from proofbell.dough.oven import OvenKind
from proofbell.errors import Failure
from proofbell.kitchen.alarm_command import examples
from proofbell.kitchen.first_start import Answers, first_answers, guessed, settings_of, settings_skipped, with_degrees
from proofbell.units import Degrees

OVENS: tuple[OvenKind, ...] = get_args(OvenKind)
DEGREES: tuple[Degrees, ...] = get_args(Degrees)
OVEN, UNITS, ROOM, BELL = range(4)
NAMES = ("Oven", "Degrees", "Room", "Bell")
ABOUT = (
    "A formula's heat is told for this oven: lower for a fan, as a mark for gas.",
    "For every number shown, and for one typed without a unit.",
    "How warm the kitchen usually is: type it. Each bake can say otherwise.",
    "It rings when a dough wants something. Can it be heard from where you work?",
)
WIDE_ENOUGH = 42
"""Cells in which every choice of a line is seen with a blank between them."""

_NUMBER = re.compile(r"-?\d{0,3}(?:[.,]\d?)?")


class FirstStartScreen(Page):
    """The kind of oven, the degrees, the room, the bell. Dismisses once the kitchen file is there, or cannot be."""

    PAGE = "first"
    CSS_PATH = "first_start_screen.tcss"

    def __init__(self, live: Live, path: Path, environment: Mapping[str, str] | None = None) -> None:
        super().__init__()
        self.live = live
        self._path = path
        self._environment = os.environ if environment is None else environment
        self.answers: Answers = first_answers(self._environment)
        self._rung = False

    def heading(self) -> Content:
        """What it is about, and that nothing here is for good."""
        return titled("Your kitchen", "four questions; all can be changed later")

    def body(self) -> ComposeResult:
        """The questions; what the one under the cursor is for; what was guessed."""
        yield Rows(id="questions")
        yield Prose(id="about")
        yield Static(id="guessed")

    def on_mount(self) -> None:
        self._show(OVEN)

    def _show(self, cursor: int | None = None) -> None:
        rows = self.query_one("#questions", Rows)
        rows.show(len(NAMES), self._line, cursor=cursor)
        self._explain(rows.cursor)
        self._name_keys(rows.cursor)
        known = guessed(self.answers, self._environment)
        told = f"weights in {known.units.weight}, a clock of {known.units.clock}, food-safety figures of the "
        self.query_one("#guessed", Static).update(own(f"Guessed from that: {told}{known.region.upper()}.", "$quiet"))

    def _line(self, index: int, width: int) -> Content:
        apart = " " if width >= WIDE_ENOUGH else ""
        oven, degrees = self._choice(OVENS, self.answers.oven), self._choice(DEGREES, self.answers.temperature)
        shown = (Content(apart).join(oven), Content(apart).join(degrees), self._room())
        return columns([(own(NAMES[index]), 9), (shown[index] if index < BELL else self._bell(), 0)], width)

    @staticmethod
    def _choice(options: tuple[str, ...], chosen: str) -> list[Content]:
        """All of them, the chosen one between brackets: seen without colour."""
        return [own(f"[{each}]", "bold") if each == chosen else own(f" {each} ", "$quiet") for each in options]

    def _room(self) -> Content:
        wrong = self.answers.room_wrong
        return Content.assemble(
            own(f"[{self.answers.room_told}]", "bold"), own(f"  ✗ {wrong}" if wrong else "", "bold $text-error")
        )

    def _bell(self) -> Content:
        if not self._rung and self.answers.heard is None:
            return Content.assemble("press ", own(self.host.key("first.ring"), "bold $accent"), " to ring it")
        said = {None: "", True: "heard", False: "not heard"}
        return Content(" ").join(self._choice((said[True], said[False]), said[self.answers.heard]))

    @on(Rows.Moved, "#questions")
    def _moved(self, event: Rows.Moved) -> None:
        self._explain(event.index)
        self._name_keys(event.index)

    def _name_keys(self, index: int) -> None:
        """A bell that was rung waits for yes or no: at its line enter does nothing before that."""
        waits = self._rung and self.answers.heard is None
        keys = ("first.heard", "first.not-heard", "first.ring", "first.next", "first.back", "first.help")
        self.row_keys = tuple(key for key in keys if key != "first.next" or index != BELL) if waits else ()
        self.row_words = {"first.heard": "yes", "first.not-heard": "no"} if waits else {}
        self.query_one(KeyRow).draw()

    def _explain(self, index: int) -> None:
        lines = [own(ABOUT[index])]
        if index == BELL and self.answers.heard is False:
            lines += [
                own("Turn up the sound, or let the terminal's own settings allow a bell. Or have a command play one:"),
                own(f"On the kitchen page: alarm, and {examples()[0]}"),
            ]
        self.query_one("#about", Prose).say(lines)

    # -- keys ----------------------------------------------------------------------------------------------------

    @on(Rows.Chosen, "#questions")
    def _chosen(self, event: Rows.Chosen) -> None:
        """Enter: the next question; behind the last one it is written. A bell that was rung asks for its answer."""
        if event.index == ROOM and self.answers.room_wrong:
            self.answer(f"The room: {self.answers.room_wrong}", wrong=True)
        elif event.index < BELL:
            self.query_one("#questions", Rows).cursor = event.index + 1
        elif self._rung and self.answers.heard is None:
            self.answer(self._heard_it())
        else:
            self._write(settings_of(self.answers, self._environment))

    def on_key(self, event: events.Key) -> None:
        """Digits are the room's, wherever the cursor stands; on its line a backspace takes one away."""
        rows = self.query_one("#questions", Rows)
        typed = self.answers.room
        if event.key == "backspace" and rows.cursor == ROOM:
            typed = typed[:-1]
        elif event.character is not None and event.character in "0123456789.,-":
            if rows.cursor != ROOM:
                typed, rows.cursor = "", ROOM
            typed += event.character
        else:
            return
        event.stop()
        if _NUMBER.fullmatch(typed):
            self.answers = replace(self.answers, room=typed)
            self._show()

    def action_next(self) -> None:
        """The next question; behind the last one all is written."""
        self.query_one("#questions", Rows).action_choose()

    def action_right(self) -> None:
        self._turn(1)

    def action_left(self) -> None:
        self._turn(-1)

    def _turn(self, by: int) -> None:
        cursor, had = self.query_one("#questions", Rows).cursor, self.answers
        if cursor == OVEN:
            self.answers = replace(had, oven=OVENS[(OVENS.index(had.oven) + by) % len(OVENS)])
        elif cursor == UNITS:
            self.answers = with_degrees(had, DEGREES[(DEGREES.index(had.temperature) + by) % len(DEGREES)])
        elif cursor == BELL:
            self._say_heard(heard=not had.heard)
        self._show()

    def action_ring(self) -> None:
        """Ring it, wherever the cursor stands: it stays there, so that no question is passed over."""
        self._rung = True
        self.answer(f"{self._heard_it()}   {self.host.try_bell()}")
        self._show()

    def _heard_it(self) -> str:
        return f"Heard it? {self.host.key('first.heard')} yes, {self.host.key('first.not-heard')} no."

    def action_heard(self) -> None:
        self._say_heard(heard=True)

    def action_not_heard(self) -> None:
        self._say_heard(heard=False)

    def _say_heard(self, *, heard: bool) -> None:
        self._rung = True
        self.answers = replace(self.answers, heard=heard)
        self.answer("")
        self._show()

    def action_back(self) -> None:
        """Skip the rest: what was answered and guessed is written, so that nobody is asked again."""
        self._write(settings_skipped(self.answers, self._environment))

    @work(exclusive=True, exit_on_error=True)
    async def _write(self, values: tuple[tuple[str, str], ...]) -> None:
        try:
            await self.live.kitchen_owner.write(self._path, values)
        except Failure as failure:
            self.dismiss(f"The kitchen's answers could not be kept: {failure.message}")
            return
        self.dismiss(None)
