"""The weigh-out of one bake: the liquid's temperature first, then one thing after the other into a zeroed bowl."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content

from proofbell.app.drawing.content import outside, own
from proofbell.app.session.formulas.watch import CHANGED
from proofbell.app.session.live import Live
from proofbell.app.session.local_time import hour_minute
from proofbell.app.weigh.notes import Notes
from proofbell.app.weigh.weigh_words import (
    allergen_words,
    bowl_column,
    hint_column,
    hint_of,
    liquid_words,
    list_head,
    notes_words,
    rows_of,
    size_told,
    swaps_told,
    to_weigh,
)
from proofbell.app.weigh.why_screen import WhyScreen
from proofbell.app.widgets.page import Page, titled
from proofbell.app.widgets.prose import Prose, set_in
from proofbell.app.widgets.rows import Rows, columns
from proofbell.bake import intents
from proofbell.bake.decisions.said import last_said
from proofbell.bake.events import Resized, TaskDone
from proofbell.bake.intents import Intent
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import Weighed
from proofbell.bake.weigh.batch import Batch
from proofbell.bake.weigh.bowls import Vessel, bowl_words
from proofbell.bake.weigh.in_bowl import weighed_g
from proofbell.bake.weigh.lines import WeighLine
from proofbell.bake.weigh.resizing import weigh_on
from proofbell.bench.board import Board
from proofbell.bench.wall import wall_us
from proofbell.errors import Failure
from proofbell.words import grams, temperature


class WeighScreen(Page):
    """What to weigh. Every tick is said to the bake, so it is still there after a crash, and can be taken back."""

    PAGE = "weigh"
    CSS_PATH = "weigh_screen.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("pagedown", "leaf(1)", "page down", show=False, priority=True),
        Binding("pageup", "leaf(-1)", "page up", show=False, priority=True),
    ]

    def __init__(self, live: Live, bake: str) -> None:
        super().__init__()
        self.live = live
        self.bake = bake
        self._batch: Batch | None = None
        self._planned: Board | None = None
        self._follow()

    def _follow(self) -> bool:
        """Work out what depends on the size; whether that is another one than before."""
        state = self.state
        if state.batch == self._batch:
            return False
        self._batch = state.batch
        self._rows = rows_of(state.batch)
        self._out = weigh_on(state)
        return True

    @property
    def state(self) -> BakeState:
        state = self.live.state(self.bake)
        if state is None:
            raise LookupError(self.bake)
        return state

    def heading(self) -> Content:
        return titled(f"Weigh out {self.state.letter}  {self.state.formula.name}", size_told(self.state))

    def body(self) -> ComposeResult:
        yield Prose(liquid_words(self.state, self._out), id="liquid")
        yield Rows(id="lines")
        yield Prose(allergen_words(self._out), id="allergens")
        yield Notes(notes_words(self._out))

    def on_mount(self) -> None:
        """The cursor stands on the first thing that is not in the bowl."""
        self._show(self._next())

    def moment(self, board: Board, *, lit: bool = False) -> None:
        """Another size may be said elsewhere."""
        super().moment(board, lit=lit)
        if self.live.state(self.bake) is not None and self._follow():
            self._refill()

    def _refill(self) -> None:
        self.retitle()
        self.query_one("#allergens", Prose).say(allergen_words(self._out))
        self.query_one(Notes).say(notes_words(self._out))
        self._show(self._next())

    def _tell_changed(self) -> None:
        """How warm the liquid must be; above it, when the file of the formula is another by now."""
        changed = self.host.formulas.has_changed(self.state.formula)
        first = [Content.assemble(own("! ", "bold $warning"), own(CHANGED))] if changed else []
        self.query_one("#liquid", Prose).say([*first, *liquid_words(self.state, self._out)])

    def _next(self) -> int:
        last = max((row for row, index in enumerate(self._rows) if isinstance(index, int)), default=0)
        return next(iter(self._open(0)), last)

    def _open(self, first: int) -> list[int]:
        """Rows of what is not weighed, from a row on, then from the top: the order in which the cursor comes to it."""
        found = []
        for row in (*range(first, len(self._rows)), *range(first)):
            index = self._rows[row]
            if isinstance(index, int) and not self.state.done(Weighed(index)):
                found.append(row)
        return found

    def _bowl_g(self, index: int) -> float:
        """What a zeroed bowl comes to with a line (g), the lines of its own bowl alone.

        With one that is ticked, those ticked above it count; with an open one, all that is in the bowl, and what is
        weighed on the way from the cursor to there.
        """
        lines, bowl, there = self.state.batch.lines, self._bowl(index), weighed_g(self.state)
        if self.state.done(Weighed(index)):
            within = [n for n in bowl[: bowl.index(index) + 1] if self.state.done(Weighed(n))]
        else:
            rows = self._open(self.query_one("#lines", Rows).cursor)
            ahead = [n for n in (self._rows[row] for row in rows) if isinstance(n, int) and n in bowl]
            within = [n for n in bowl if n not in ahead] + ahead[: ahead.index(index) + 1]
        partly_g = sum(there[n] for n in bowl if n not in within and not self.state.done(Weighed(n)))
        return sum(lines[n].grams for n in within) + partly_g

    def _bowl(self, index: int) -> tuple[int, ...]:
        return next(bowl for bowl in self.state.batch.bowls if index in bowl)

    def _show(self, cursor: int | None = None) -> None:
        self._tell_changed()
        self._planned = self.host.as_planned(self.live.board())
        rows = self.query_one("#lines", Rows)
        titles = (row for row, index in enumerate(self._rows) if isinstance(index, tuple))
        rows.show(len(self._rows), self._row, cursor=cursor, head=list_head, passed=titles)
        # All of the list is in sight when there is room for it, for the allergens and for a few notes.
        liquid, named = (
            self._high(words) for words in (liquid_words(self.state, self._out), allergen_words(self._out))
        )
        rows.styles.max_height = max(5, self.size.height - 7 - min(3, max(2, liquid)) - named)
        rows.styles.height = rows.count + 1
        self.query_one(Notes).mark()
        self.answer(self._told(rows.cursor))

    def _high(self, paragraphs: Sequence[Content]) -> int:
        return sum(len(set_in(words, max(1, self.size.width - 2))) for words in paragraphs)

    def action_leaf(self, way: int) -> None:
        """The list goes with its cursor."""
        self.query_one(Notes).leaf(way)

    def _told(self, row: int) -> str:
        """How much is still to weigh, and what is in the bowl where the cursor stands."""
        batch, left = self.state.batch, len(self._open(0))
        index = self._rows[row] if row < len(self._rows) else None
        bowl = self._bowl(index) if isinstance(index, int) and batch.lines[index].use == "dough" else ()
        there = weighed_g(self.state)
        done = grams(sum(there[n] for n in bowl), self._finest())
        if not left:
            return f"All in the bowl: {done}." if len(batch.bowls) == 1 else "All is weighed."
        still = f"{left} of {len(batch.lines)} still to weigh"
        if not bowl:
            return f"{still}."
        several = sum(batch.lines[each[0]].use == "dough" for each in batch.bowls) > 1
        where = f" for {self._made_in(bowl)}" if several else ""
        return f"{still}; in the bowl{where} so far: {done}."

    def _made_in(self, bowl: tuple[int, ...]) -> str:
        """What a bowl of the dough's is for, in few words."""
        line = self.state.batch.lines[bowl[0]]
        later = self.state.stage(line.at[0]).name if line.at else "the dough"
        return f"the {line.into}" if line.into else later

    def on_resize(self) -> None:
        self._show()

    def _row(self, row: int, width: int) -> Content:
        index = self._rows[row]
        if isinstance(index, tuple):
            return outside(self._title(index)).stylize("bold $accent").truncate(width, ellipsis=True)
        line, done = self.state.batch.lines[index], self.state.done(Weighed(index))
        poured = line.use == "dough"
        style = "dim" if done else "bold"
        return columns(
            [
                (own("✓" if done else "·"), 1),
                (outside(line.name).stylize(style), 0),
                (own(to_weigh(self.state, index, self._step(index)), style), -9),
                *bowl_column(own(grams(self._bowl_g(index), self._finest()) if poured else "", "dim"), width),
                (own("" if line.temperature_c is None else temperature(line.temperature_c, 0)), -6),
                *hint_column(hint_of(self.state.batch, index, self._weigh_line(index)), width),
            ],
            width,
        )

    def _title(self, bowl: tuple[int, ...]) -> str:
        """What a bowl is and which stage it is for; of one for later, at which hour that begins."""
        line, stages = self.state.batch.lines[bowl[0]], [stage.name for stage in self.state.formula.stages]
        vessel: Vessel = "preferment" if line.into else line.use
        same = [one for one in self._out.bowls if (one.vessel, one.name) == (vessel, line.into)] if self._out else []
        at = None if line.at or not same else same[0].at
        return bowl_words(vessel, line.into, at, line.at, stages) + self._hour(line.at[0] if line.at else at)

    def _hour(self, stage: int | None) -> str:
        """When a stage is to begin, for a bake of which that is known; nothing for one that runs or is over."""
        state, board = self.state, self._planned
        shown = None if board is None else board.of(self.bake)
        if stage is None or board is None or shown is None or not (state.begun or state.start_s is not None):
            return ""
        begins_s = next((one.begin_s for one in shown.spans if (one.stage, one.when) == (stage, "coming")), None)
        return "" if begins_s is None else f", {hour_minute(wall_us(state, begins_s, board.now), board.now)}"

    def _weigh_line(self, index: int) -> WeighLine | None:
        line = self.state.batch.lines[index]
        every = () if self._out is None else (one for bowl in self._out.bowls for one in bowl.lines)
        return next((one for one in every if (one.name, one.into) == (line.name, line.into)), None)

    def _step(self, index: int) -> float:
        line = self._weigh_line(index)
        return 1.0 if line is None else line.step_g

    def _finest(self) -> float:
        return 1.0 if self._out is None else self._out.step_g

    @on(Rows.Moved, "#lines")
    def _moved(self, event: Rows.Moved) -> None:
        event.rows.refresh()
        self.answer(self._told(event.index))

    @on(Rows.Chosen, "#lines")
    async def _chosen(self) -> None:
        await self.action_tick()

    async def action_tick(self) -> None:
        row = self.query_one("#lines", Rows).cursor
        index = self._rows[row]
        if isinstance(index, tuple):
            return  # The title of a bowl: the cursor passes over it.
        task = Weighed(index)
        done = self.state.done(task)
        if await self._say(intents.Task(task, not done)):
            self._show(row if done else next(iter(self._open(row)), row))

    async def action_size(self) -> None:
        def sized(words: str | None) -> None:
            if words:
                self.call_after_refresh(self.answer, words)

        await self.host.go(self.host.pages.size(self.live, self.bake), sized)

    async def action_undo(self) -> None:
        said = last_said(self.state)
        last = said[0].body if said else None
        weighed = isinstance(last, TaskDone) and isinstance(last.task, Weighed)
        if not weighed and not isinstance(last, Resized):
            self.answer("The last entry is not a weight; undo it on the bench.", wrong=True)
        elif await self._say(intents.Undo()):
            if self._follow():
                self._refill()
            self._show(self._next())

    async def action_begin(self) -> None:
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

    @work(exclusive=True, exit_on_error=True)
    async def action_edit(self) -> None:
        formula, formulas = self.state.formula, self.host.formulas
        await asyncio.to_thread(formulas.look)
        page = self.host.pages.edit(self.live, formulas.path_of(formula), formula, in_editor=True)
        self.host.go(page, self._back_with)

    def _back_with(self, path: str | None) -> None:
        if path is not None:
            self._edited()

    @work(exclusive=True, exit_on_error=True)
    async def _edited(self) -> None:
        await asyncio.to_thread(self.host.formulas.look)
        self._tell_changed()

    def action_why(self) -> None:
        if self._out is None or self._out.liquid is None:
            self.answer("This formula does not say how warm the dough should be, so there is nothing to work out.")
            return
        self.app.push_screen(WhyScreen(self.live, self.bake, self._out.liquid.working))

    def action_yeast(self) -> None:
        """What other forms of yeast would weigh, for the kitchen that has run out."""
        self.answer(swaps_told(self.state))
