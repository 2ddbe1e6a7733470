"""The side that shows what a recipe was read as: totals, the lines, and what the one under the cursor means."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical

from proofbell.app.drawing.content import outside, own
from proofbell.app.recipe.recipe_read import RecipeRead
from proofbell.app.recipe.recipe_rows import RecipeRow, rows, totals
from proofbell.app.recipe.typed_recipe import TypedRecipe
from proofbell.app.widgets.prose import Prose
from proofbell.app.widgets.rows import Rows
from proofbell.recipe.model import Guess

EMPTY = "What each line is read as stands here."


def _place(guess: Guess | None) -> tuple[int, str] | None:
    """What a guess is known by, however often its recipe is read."""
    return None if guess is None else (guess.line, guess.field)


class RecipeReading(Vertical):
    """Shows one reading after the other; the cursor stays with its guess."""

    def __init__(self) -> None:
        super().__init__(id="recipe-reading")
        self.found = RecipeRead(TypedRecipe())
        self._rows: tuple[RecipeRow, ...] = ()
        self._answered: set[tuple[int, str]] = set()

    def compose(self) -> ComposeResult:
        yield Prose(id="recipe-totals")
        yield Rows(id="recipe-rows", empty=own(EMPTY))
        yield Prose(id="recipe-about")

    @property
    def list(self) -> Rows:
        return self.query_one(Rows)

    @property
    def guess(self) -> Guess | None:
        at = self.list.cursor
        return self._rows[at].guess if at < len(self._rows) else None

    def go_on(self) -> None:
        """What is under the cursor has its answer: the cursor goes to the next question that is open.

        At once, not when the answer is read: the next key may be there before that.
        """
        draft, here = self.found.draft, _place(self.guess)
        still = set() if draft is None else {_place(guess) for guess in draft.open} - self._answered
        if here is None:
            return
        self._answered.add(here)
        left = [index for index, row in enumerate(self._rows) if _place(row.guess) in still - {here}]
        self.list.cursor = next((at for at in left if at > self.list.cursor), next(iter(left), self.list.cursor))

    def show(self, found: RecipeRead) -> None:
        here = _place(self.guess)
        self.found, self._rows = found, rows(found)
        self._answered.clear()
        places = [_place(row.guess) for row in self._rows]
        self.list.show(
            len(self._rows),
            lambda index, width: self._rows[index].drawn(width),
            cursor=places.index(here) if here is not None and here in places else None,
            passed=(index for index, row in enumerate(self._rows) if row.head),
        )
        self.list.say_when_empty(outside(found.refused or EMPTY, most=400))
        self.query_one("#recipe-totals", Prose).say(totals(found))
        self._tell()

    @on(Rows.Moved)
    def _tell(self) -> None:
        at = self.list.cursor
        self.query_one("#recipe-about", Prose).say(self._rows[at].about if at < len(self._rows) else [])
