"""The lines of a recipe, to type or paste into: nothing that a terminal would obey or hide gets into them."""

from __future__ import annotations

from textual import events
from textual.widgets import TextArea
from textual.widgets.text_area import Edit, EditResult

from proofbell.app.recipe.typed_recipe import harmless

EXAMPLE = """\
Paste or type a recipe here, as it is written:

Quay rolls, makes 12
500 g strong flour
1 tsp salt
7 g sachet of dried yeast
320 ml milk
Knead 10 min. Prove 1 hour. Shape into 12 rolls.
Prove 40 min. Bake 18 min at 200C."""


class RecipeText(TextArea):
    """Begins with a text that is harmless; has line numbers, as guesses are told by them."""

    def __init__(self, text: str) -> None:
        super().__init__(text, id="recipe-text", show_line_numbers=True, compact=True, placeholder=EXAMPLE)
        self.cursor_blink = False

    def edit(self, edit: Edit) -> EditResult:
        """Whatever is typed, pasted or put in, made harmless first."""
        edit.text = harmless(edit.text)
        return super().edit(edit)

    def on_paste(self, event: events.Paste) -> None:
        """Taken here, once: the page hands a paste that goes on upwards to whoever has the focus."""
        event.stop()
