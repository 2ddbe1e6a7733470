"""The weigh-out of one bake: the liquid's temperature first, then one thing after the other into a zeroed bowl."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content

from proofbell.app.drawing.content import outside, own
from proofbell.app.session.live import Live
from proofbell.app.weigh.why_screen import WhyScreen
from proofbell.app.widgets.actions import bindings
from proofbell.app.widgets.page import Page, titled
from proofbell.app.widgets.prose import Prose
from proofbell.app.widgets.rows import Rows, columns
from proofbell.bake import intents
from proofbell.bake.decisions.said import last_said
from proofbell.bake.events import TaskDone
from proofbell.bake.intents import Intent
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import Weighed
from proofbell.bake.view import in_pieces, size_words
from proofbell.bake.weigh.batch import BatchLine
from proofbell.bake.weigh.weigh_cautions import DISSOLVE
from proofbell.bake.weigh.weigh_out import WeighOut, weigh_again
from proofbell.dough.oven import f_from_c
from proofbell.dough.rounding import telling_step_g
from proofbell.dough.safety import LOCAL_FIRST_FOR_ALL, Caution
from proofbell.dough.yeast import PER_FRESH, swap
from proofbell.errors import Failure
from proofbell.formula.model import YeastForm
from proofbell.words import grams, sentence, temperature

NARROW = 70


class WeighScreen(Page):
    """What to weigh. Every tick is said to the bake, so it is still there after a crash, and can be taken back."""

    PAGE = "weigh"
    CSS_PATH = "weigh_screen.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("weigh")]

    def __init__(self, live: Live, bake: str) -> None:
        super().__init__()
        self.live = live
        self.bake = bake
        self._out = weigh_again(self.state.formula, self.state.kitchen, self.state.batch)

    @property
    def state(self) -> BakeState:
        """The bake as it stands."""
        state = self.live.state(self.bake)
        if state is None:
            raise LookupError(self.bake)
        return state

    def heading(self) -> Content:
        """The bake's letter, its name, its size."""
        state = self.state
        size = size_words(state)
        dough = "" if in_pieces(state) is None else f", {grams(state.batch.dough_g)} of dough"
        return titled(f"Weigh out {state.letter}  {state.formula.name}", f"{size}{dough}")

    def body(self) -> ComposeResult:
        """Liquid, list, notes."""
        yield Prose(_liquid_words(self.state, self._out), id="liquid")
        yield Rows(id="lines")
        with VerticalScroll(id="notes"):
            yield Prose(_notes_words(self._out))

    def on_mount(self) -> None:
        """The cursor stands on the first thing that is not in the bowl."""
        self._show(self._next())

    def _next(self) -> int:
        lines = self.state.batch.lines
        return next(iter(self._open(0)), len(lines) - 1)

    def _open(self, first: int) -> list[int]:
        """What is not in the bowl, from a line on, then from the top: the order in which the cursor comes to it."""
        count = len(self.state.batch.lines)
        return [n for n in (*range(first, count), *range(first)) if not self.state.done(Weighed(n))]

    def _bowl_g(self, index: int) -> float:
        """What a zeroed bowl comes to with a line (g).

        With one that is ticked, those ticked above it count; with an open one, all that is in the bowl, and what is
        weighed on the way from the cursor to there.
        """
        lines = self.state.batch.lines
        if self.state.done(Weighed(index)):
            within = [n for n in range(index + 1) if self.state.done(Weighed(n))]
        else:
            ahead = self._open(self.query_one("#lines", Rows).cursor)
            within = [n for n in range(len(lines)) if n not in ahead] + ahead[: ahead.index(index) + 1]
        return sum(lines[n].grams for n in within)

    def _show(self, cursor: int | None = None) -> None:
        rows = self.query_one("#lines", Rows)
        rows.show(len(self.state.batch.lines), self._line, cursor=cursor, head=_head)
        # All of the list is in sight when there is room for it and for a few notes.
        rows.styles.max_height = max(5, self.size.height - 9)
        rows.styles.height = rows.count + 1
        lines = self.state.batch.lines
        left = self._open(0)
        bowl = grams(sum(line.grams for n, line in enumerate(lines) if n not in left), self._finest())
        told = "All in the bowl" if not left else f"{len(left)} of {len(lines)} still to weigh"
        self.answer(f"{told}: {bowl}." if not left else f"{told}; in the bowl so far: {bowl}.")

    def on_resize(self) -> None:
        """Another height leaves other room for the list."""
        self._show()

    def _line(self, index: int, width: int) -> Content:
        lines = self.state.batch.lines
        line, done = lines[index], self.state.done(Weighed(index))
        bowl_g = self._bowl_g(index)
        style = "dim" if done else "bold"
        return columns(
            [
                (own("✓" if done else "·"), 1),
                (outside(line.name).stylize(style), 0),
                (own(grams(line.grams, self._step(index)), style), -9),
                (own(grams(bowl_g, self._finest()), "dim"), -11),
                (own(temperature(line.temperature_c, 0)), -6),
                *_hint_column(self._hint(index), width),
            ],
            width,
        )

    def _step(self, index: int) -> float:
        return self._out.lines[index].step_g if self._out is not None and index < len(self._out.lines) else 1.0

    def _hint(self, index: int) -> str:
        batch = self.state.batch
        line = batch.lines[index]
        if batch.ice_g and line.name == batch.liquid:
            return f"{grams(batch.ice_g)} as ice"
        if self._out is not None and index < len(self._out.lines) and self._out.lines[index].dissolve:
            return "dissolve" if self._out.lines[index].kind in DISSOLVE else "finer scale"
        if line.note:
            return line.note
        return "fine scale" if self._step(index) < 1 else ""

    def _finest(self) -> float:
        return 1.0 if self._out is None else self._out.step_g

    @on(Rows.Moved, "#lines")
    def _moved(self, event: Rows.Moved) -> None:
        """Another order, other sums on the way."""
        event.rows.refresh()

    @on(Rows.Chosen, "#lines")
    async def _chosen(self) -> None:
        await self.action_tick()

    async def action_tick(self) -> None:
        """In the bowl, or out of it again."""
        index = self.query_one("#lines", Rows).cursor
        task = Weighed(index)
        done = self.state.done(task)
        if await self._say(intents.Task(task, not done)):
            self._show(index if done else next(iter(self._open(index)), index))

    async def action_undo(self) -> None:
        """Undo the last tick."""
        said = last_said(self.state)
        last = said[0].body if said else None
        if not isinstance(last, TaskDone) or not isinstance(last.task, Weighed):
            self.answer("The last entry is not a weight; undo it on the bench.", wrong=True)
        elif await self._say(intents.Undo()):
            self._show(self._next())

    async def action_begin(self) -> None:
        """The first stage begins; back to the bench."""
        if await self._say(intents.Begin()):
            self.dismiss(self.bake)

    async def _say(self, intent: Intent) -> bool:
        try:
            refused = await self.live.say(self.bake, intent)
        except Failure as failure:
            self.refuse(failure)
            return False
        if refused is not None:
            self.refuse(refused)
        return refused is None

    def action_why(self) -> None:
        """How the liquid's temperature was worked out."""
        if self._out is None or self._out.liquid is None:
            self.answer("This formula does not say how warm the dough should be, so there is nothing to work out.")
            return
        self.app.push_screen(WhyScreen(self.live, self.bake, self._out.liquid.working))

    def action_yeast(self) -> None:
        """What other forms of yeast would weigh, for the kitchen that has run out."""
        formula, lines = self.state.formula, self.state.batch.lines
        found = [
            (ingredient, line)
            for ingredient in formula.ingredients
            for line in lines
            if ingredient.kind == "yeast" and line.grams > 0 and line.name.casefold() == ingredient.name.casefold()
        ]
        if not found:
            self.answer("This formula has no yeast of its own to swap, or it was swapped already.")
            return
        ingredient, line = found[0]
        have: YeastForm = ingredient.form or "fresh"
        told = [_swap_words(line, have, want) for want in PER_FRESH if want != have]
        self.answer(f"Instead of {_told(line.grams)} {have}: {'; or '.join(told)}.")


def _swap_words(line: BatchLine, have: YeastForm, want: YeastForm) -> str:
    ratio = swap(have, want)
    span = f"books say {_told(line.grams * ratio.low)} to {_told(line.grams * ratio.high)}"
    return f"{_told(line.grams * ratio.ratio)} {want} ({span})"


def _told(weight_g: float) -> str:
    """A small weight, with the decimals that it needs."""
    return grams(weight_g, telling_step_g(weight_g))


def _head(width: int) -> Content:
    return columns(
        [
            (own(" "), 1),
            (own("into the bowl"), 0),
            (own("weigh"), -9),
            (own("bowl then"), -11),
            (own("at"), -6),
            *_hint_column("", width),
        ],
        width,
    )


def _hint_column(words: str, width: int) -> list[tuple[Content, int]]:
    """Where there is little room the names come first; what a hint is about stands in the notes as well."""
    return [] if width < NARROW else [(outside(words).stylize("dim"), 11 if width < 90 else 24)]


def _liquid_words(state: BakeState, out: WeighOut | None) -> list[Content]:
    batch = state.batch
    if not batch.liquid or batch.liquid_c is None:
        return [own("This formula does not say which liquid sets the dough's temperature.", "dim")]
    words = Content.assemble(
        "First the ", outside(batch.liquid).stylize("bold"), " at ", own(temperature(batch.liquid_c), "bold $accent")
    )
    words += own(f" ({f_from_c(batch.liquid_c):.0f} °F)")
    if batch.ice_g:
        words += own(f", {grams(batch.ice_g)} of it as ice", "bold $accent")
    if batch.expected_c is not None:
        words += own(f"; the dough then comes to {temperature(batch.expected_c)}.")
    wanted_c = state.formula.dough.temperature_c
    if wanted_c is not None and batch.expected_c is not None and abs(wanted_c - batch.expected_c) >= 0.1:
        words += own(f" Wanted: {temperature(wanted_c)}.", "bold $warning")
    if out is not None and out.liquid is not None and out.liquid.rise.source in ("learned", "usual"):
        told = [words for words in (out.liquid.between, out.liquid.rise_words) if words]
        return [words, outside(sentence(": ".join(told))).stylize("dim")]
    return [words]


def _notes_words(out: WeighOut | None) -> list[Content]:
    if out is None:
        return [own("The notes on this batch cannot be worked out again.", "dim")]
    made_for = [] if out.loaf is None else [out.loaf.words]
    # A tin that is too full or too empty is warned of below, in the same words and more.
    made_for += [out.tin.words] if out.tin is not None and out.tin.fill.verdict == "sound" else []
    parts = [outside(sentence(words), most=400) for words in made_for]
    parts += [Content.assemble(own("! ", "bold $warning"), outside(w, most=400)) for w in out.notes.warnings]
    if out.notes.cautions:
        parts.append(own(LOCAL_FIRST_FOR_ALL, "bold"))
    return parts + [_caution_words(caution) for caution in out.notes.cautions]


def _caution_words(caution: Caution) -> Content:
    """What it is about, bold; not twice when its own words begin with that."""
    words = outside(caution.alone, most=600)
    words += outside(f" ({caution.source})").stylize("dim") if caution.source else ""
    if caution.named:
        return words.stylize("bold", 0, len(caution.about))
    return Content.assemble(outside(f"{caution.about.capitalize()}: ").stylize("bold"), words)
