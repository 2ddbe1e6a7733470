"""A formula from a recipe: its lines on one side, what they were read as on the other, questions to answer."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from pathlib import Path
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.timer import Timer
from textual.widget import Widget
from textual.widgets import Input, Static, TextArea

from proofbell.app.fields.field import Field
from proofbell.app.recipe.answering import Answering
from proofbell.app.recipe.recipe_read import RecipeRead, read
from proofbell.app.recipe.recipe_reading import RecipeReading
from proofbell.app.recipe.recipe_rows import missing, still_open, summary, ways
from proofbell.app.recipe.recipe_text import RecipeText
from proofbell.app.recipe.saving import NOTHING, NameField, save
from proofbell.app.recipe.typed_recipe import KeptRecipe, TypedRecipe
from proofbell.app.session.choice import Written
from proofbell.app.session.live import Live
from proofbell.app.session.refusal_words import in_words
from proofbell.app.widgets.confirm_dialog import ask_first
from proofbell.app.widgets.key_row import KeyRow
from proofbell.app.widgets.page import Page, titled
from proofbell.app.widgets.rows import Rows
from proofbell.errors import Failure
from proofbell.places import short
from proofbell.recipe.assembly import UNNAMED
from proofbell.recipe.draft import Draft
from proofbell.recipe.model import Guess

READ_AFTER_S = 0.3
"""A pause in the typing after which it is read: a reading takes some 50 ms, in a thread of its own."""

NO_GUESS = "This line is no guess: change the recipe's text instead."
_TEXT_KEYS = ("recipe.turn", "recipe.save", "recipe.back", "recipe.help", "recipe.empty")
_ROW_KEYS = (
    "recipe.yes", "recipe.change", "recipe.no-ingredient", "recipe.save", "recipe.turn", "recipe.other", "recipe.back",
    "recipe.help",
)  # fmt: skip


class RecipeScreen(Page):
    """Saves into ``folder``; ``file`` keeps what was typed until then. ``written`` is told of the new formula."""

    PAGE = "recipe"
    CSS_PATH = "recipe_screen.tcss"
    AUTO_FOCUS: ClassVar[str | None] = "#recipe-text"

    def __init__(self, live: Live, folder: Path, file: Path | None, written: Written) -> None:
        super().__init__()
        self.live = live
        self._folder, self._written = folder, written
        self._answering = Answering()
        self._kept = KeptRecipe(file)
        self._pause: Timer | None = None
        self._busy = False
        self._saving = False
        self._last_typed = TypedRecipe()
        self._asked: Guess | None = None
        self.row_keys = _TEXT_KEYS
        self.row_words = {"recipe.turn": "what was read"}

    def heading(self) -> Content:
        return titled("A formula from a recipe", f"to be saved in {short(self._folder)}")

    def body(self) -> ComposeResult:
        """Text, as it was left last time; what it was read as; a line to answer on, a line for the name."""
        self._last_typed = self._kept.take_up()
        self._answering.said = dict(self._last_typed.said)
        with Horizontal(id="recipe"):
            with Vertical(id="recipe-typed"):
                yield RecipeText(self._last_typed.text)
                yield Static(id="recipe-summary")
            yield RecipeReading()
        yield Field("Answer", id="answer", width=30, enter="take it", passing=True)
        yield NameField()

    def on_mount(self) -> None:
        if not self._last_typed.blank:
            key = self.host.key("recipe.empty")
            self.answer(f"This is what you typed last time and did not save; {key} starts an empty one.")
            self._read_soon()

    @property
    def _lines(self) -> RecipeText:
        return self.query_one(RecipeText)

    @property
    def _reading(self) -> RecipeReading:
        return self.query_one(RecipeReading)

    @property
    def _typed(self) -> TypedRecipe:
        return TypedRecipe(self._lines.text, dict(self._answering.said))

    @on(TextArea.Changed)
    def _text_changed(self) -> None:
        if self._typed != self._last_typed:
            self.answer("")
        self._last_typed = self._typed
        if self._pause is not None:
            self._pause.stop()
        self._pause = self.set_timer(READ_AFTER_S, self._read_soon)

    def _read_again(self) -> None:
        self._last_typed = self._typed
        self._read_soon()

    def _read_soon(self) -> None:
        if not self._busy:
            self._busy = True
            self._read()

    @work(exit_on_error=True)
    async def _read(self) -> None:
        """Read and keep, until nothing was typed meanwhile."""
        try:
            while not self.left:
                typed = self._typed
                found = await asyncio.to_thread(self._read_and_keep, typed)
                if self.left:
                    return
                self._show(found)
                if typed == self._typed:
                    break
        finally:
            self._busy = False

    def _read_and_keep(self, typed: TypedRecipe) -> RecipeRead:
        self._kept.keep(typed)
        return read(typed)

    def on_unmount(self) -> None:
        """Whatever ends the page: the last letters are kept too."""
        self._kept.keep(self._last_typed)

    def _show(self, found: RecipeRead) -> None:
        self._reading.show(found)
        self.query_one("#recipe-summary", Static).update(summary(found) if not found.typed.blank else "")
        if found.draft is not None and found.refused:
            self.answer(found.refused, wrong=True)

    def on_descendant_focus(self) -> None:
        """The side that takes keys is the one that is seen where both have no room; the key row follows."""
        reading = self.focused is self._reading.list
        if reading or self.focused is self._lines:
            self.row_keys = _ROW_KEYS if reading else _TEXT_KEYS
            self.row_words = {"recipe.turn": "the text" if reading else "what was read"}
            self.set_class(reading, "-reading")
            self.query_one(KeyRow).draw()

    def action_turn(self) -> None:
        """To the other side; what was typed is read at once."""
        if self.focused is self._lines:
            self._read_soon()
            self.add_class("-reading")
            self._reading.list.focus()
        else:
            self.remove_class("-reading")
            self._lines.focus()

    # -- answers -------------------------------------------------------------------------------------------------

    def _answered(self, how: Callable[[Guess], None]) -> None:
        guess = self._reading.guess
        if guess is None:
            self.answer(NO_GUESS, wrong=True)
            return
        try:
            how(guess)
        except Failure as failure:
            self.refuse(failure)
            return
        self.answer("")
        self._read_again()

    def action_yes(self) -> None:
        text = self._reading.found.typed.text

        def yes(guess: Guess) -> None:
            if self._answering.yes(guess, text):
                self._reading.go_on()

        self._answered(yes)

    def action_no_ingredient(self) -> None:
        text = self._reading.found.typed.text
        self._answered(lambda guess: self._answering.no_ingredient(guess, text))

    def action_other(self) -> None:
        text = self._reading.found.typed.text
        self._answered(lambda guess: self._answering.other(guess, text))

    @on(Rows.Moved, "#recipe-rows")
    def _moved(self) -> None:
        """What was wrong with an answer to one line is not about the next."""
        found = self._reading.found
        told = found.refused if found.draft is not None else ""
        self.answer(told, wrong=bool(told))

    @on(Rows.Chosen, "#recipe-rows")
    def action_change(self) -> None:
        guess = self._reading.guess
        if guess is None:
            self.answer(NO_GUESS, wrong=True)
        elif guess.takes == "yes":
            self.answer("This can only be confirmed; to change it, change the recipe's text.", wrong=True)
        else:
            self._asked = guess
            self.query_one("#answer-field", Field).ask("", ways(guess))

    @on(Input.Submitted, "#answer")
    def _take_answer(self, event: Input.Submitted) -> None:
        field = self.query_one("#answer-field", Field)
        text = self._reading.found.typed.text
        try:
            if self._asked is not None:
                self._answering.typed(self._asked, text, event.value)
        except Failure as failure:
            field.wrong(in_words(failure))
            return
        self._close(field, self._reading.list)
        self._read_again()

    # -- saving and leaving --------------------------------------------------------------------------------------

    def _close(self, field: Field, to: Widget) -> None:
        field.display = False
        self.set_focus(to)

    @work(exclusive=True, exit_on_error=True)
    async def action_save(self) -> None:
        found = await asyncio.to_thread(read, self._typed)
        if self.left:
            return
        self._show(found)
        if found.draft is None or found.formula is None:
            self.answer(found.refused or NOTHING, wrong=True)
            return
        draft, lacks = found.draft, missing(found.draft)
        if not lacks:
            self._ask_name(draft)
        else:
            ask_first(self.host, "Save the recipe", lacks, lambda: self._ask_name(draft))

    def _ask_name(self, draft: Draft) -> None:
        self.query_one(NameField).ask("" if draft.name == UNNAMED else draft.name)
        told = still_open(draft)
        self.answer(f"{told} They stay marked in the file." if told else "")

    @on(Input.Submitted, "#name")
    def _take_name(self) -> None:
        field = self.query_one(NameField)
        if not field.name_typed:
            field.wrong("Type what it is called.")
        elif not self._saving:
            self._saving = True
            self._save(field.name_typed)

    @work(exit_on_error=True)
    async def _save(self, name: str) -> None:
        try:
            path, told = await asyncio.to_thread(save, self._typed, name, self._folder)
        except Failure as failure:
            if not self.left:
                self.query_one(NameField).wrong(in_words(failure))
            return
        finally:
            self._saving = False
        self._kept.drop()
        self._written(path, told)
        if not self.left:
            self.dismiss(None)

    def action_empty(self) -> None:
        if not self._typed.blank:
            ask_first(self.host, "Start empty", "Throw away this recipe and what was answered to it?", self._empty)

    def _empty(self) -> None:
        self._answering.said.clear()
        self._lines.load_text("")
        self.answer("")
        self._read_soon()
        self._lines.focus()

    def action_back(self) -> None:
        """Out of a field first; then back, which asks where something is typed."""
        for field in self.query(Field):
            if field.display:
                self._close(field, self._reading.list if self.has_class("-reading") else self._lines)
                return
        if not self.is_mounted or self._typed.blank:
            self.dismiss(None)
            return
        words = "Not a formula yet. What you typed is kept, and is here when you come back. Leave?"
        ask_first(self.host, "Leave the recipe", words, lambda: self.dismiss(None))
