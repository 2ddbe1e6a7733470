"""Why this number: the working of a liquid's temperature or of a proof's time, and what would be if."""

from __future__ import annotations

import contextlib
import math
from collections.abc import Callable, Sequence

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Input, Static

from proofbell.app.drawing.content import outside, own
from proofbell.app.fields.field import Field
from proofbell.app.session.live import Live
from proofbell.app.widgets.page import Page, titled
from proofbell.app.widgets.prose import Prose
from proofbell.bake.decisions.adjust import ROUGH
from proofbell.bake.fermenting.place_words import TELLS_NOTHING
from proofbell.bake.fermenting.terms import Terms
from proofbell.bake.fermenting.warming import READY_C
from proofbell.bake.what_if import asked_of, here_c, how_it_came, how_long, how_warm, stage_to_ask, take_out, working
from proofbell.dough.why import Working
from proofbell.formula.stages import LONGEST_STAGE_S
from proofbell.quantities import Dimension, QuantityError
from proofbell.words import length, temperature


class WhyScreen(Page):
    """One working, to be read at leisure; for a proof, two questions below it."""

    PAGE = "why"
    CSS_PATH = "why_screen.tcss"
    AUTO_FOCUS = "#working"

    def __init__(self, live: Live, bake: str, of_liquid: Working | None = None) -> None:
        super().__init__()
        self.live = live
        state = live.state(bake)
        index = None if state is None or of_liquid is not None else stage_to_ask(state)
        self._letter = "" if state is None else f"{state.letter}  {state.formula.name}"
        self._terms: Terms | None = None if state is None or index is None else asked_of(state, index)
        self._working = of_liquid if self._terms is None else working(self._terms)
        self._came = () if state is None or index is None else how_it_came(state, index)

    def heading(self) -> Content:
        title = "Why" if self._working is None else self._working.title
        return titled(title, self._letter)

    def body(self) -> ComposeResult:
        with VerticalScroll(id="working"):
            yield Prose(_lines(self._working, self._came))
        if self._terms is not None:
            asked = self._terms
            with Vertical(id="questions"):
                yield Static(own("What if", "bold"))
                yield Field("dough at", id="dough", width=10, held=temperature(asked.dough_c))
                yield Field("place at", id="place", width=10, held=temperature(asked.place_c))
                yield Field("ready in", id="time", width=10, held=length(asked.nominal_s))
                if asked.cold_c is not None:
                    yield Field("or chilled", id="chilled", width=14, hint="such as 10 h", note=_chilled_note(asked))

    def on_mount(self) -> None:
        self._ask()

    @on(Input.Changed)
    def _typed(self) -> None:
        self._ask()

    @on(Input.Submitted)
    def _entered(self) -> None:
        self.focus_next()

    def _ask(self) -> None:
        asked = self._terms
        if asked is None:
            return
        dough_c = self._temperature("dough")
        place_c = self._temperature("place")
        self._answer(
            "time", _place_words(asked, asked.nominal_s, dough_c), lambda seconds: _place_words(asked, seconds, dough_c)
        )
        if asked.cold_c is not None:
            self._answer(
                "chilled", _chilled_note(asked), lambda seconds: _chilled_words(asked, seconds, dough_c, place_c)
            )
        start_c = asked.dough_c if dough_c is None else dough_c
        where_c = here_c(asked) if place_c is None else place_c
        found = how_long(asked, start_c, where_c)
        tells = math.isfinite(found.high_s) and found.high_s <= TELLS_NOTHING * found.low_s
        span = f", {length(found.low_s)} to {length(found.high_s)}" if tells else ""
        told = f"{length(found.seconds)}{span}" if math.isfinite(found.seconds) else "it will not get there"
        told += f"; {ROUGH}" if found.wide and math.isfinite(found.seconds) else ""
        self.answer(f"{asked.stage}, dough {temperature(start_c)} in {temperature(where_c)}: {told}.")

    def _answer(self, name: str, empty: str, answer: Callable[[float], str]) -> None:
        field = self.query_one(f"#{name}-field", Field)
        with contextlib.suppress(QuantityError):
            typed_s = field.quantity(Dimension.TIME, 60.0, LONGEST_STAGE_S)
            field.say(empty if typed_s is None else answer(typed_s))

    def _temperature(self, name: str) -> float | None:
        with contextlib.suppress(QuantityError):
            return self.query_one(f"#{name}-field", Field).quantity(Dimension.TEMPERATURE, -5.0, 60.0)
        return None


def _place_words(asked: Terms, seconds: float, dough_c: float | None) -> str:
    place = how_warm(asked, seconds, dough_c)
    if place.place_c is not None:
        return f"in a place of {temperature(place.place_c)}"
    if place.why == "too short a time":
        return "no place is warm enough for that"
    return "even in the cold it is ready before that"


def _chilled_note(asked: Terms) -> str:
    return f"into {temperature(asked.cold_c, 0)} now: when to take it out"


def _chilled_words(asked: Terms, seconds: float, dough_c: float | None, place_c: float | None) -> str:
    found = take_out(asked, seconds, dough_c, place_c)
    if found is None:
        return ""
    if found.why == "too short a time":
        return "not even if taken out at once"
    if found.why == "too long a time":
        return f"ready before that even if it stays in {temperature(asked.cold_c)}"
    ready = temperature(found.ready_c, 0)
    warm = f"{ready} inside when ready" if found.ready_c >= READY_C else f"only {ready} when ready"
    return f"out after about {length(found.seconds)}; {warm}"


def _lines(told: Working | None, came: Sequence[str]) -> list[Content]:
    if told is None:
        why = "Nothing that ferments is left in this bake, or the formula does not say how warm its dough should be."
        return [*(outside(line, most=500) for line in came), own(why)]
    by_rate = ("What the rate says:",) if came else ()
    return [outside(line, most=500) for line in (*came, *by_rate, *told.lines)]
