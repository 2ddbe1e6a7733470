"""Saving a recipe as a formula: the line for its name, and the file among one's own."""

from __future__ import annotations

from pathlib import Path

from textual import on
from textual.widgets import Input

from proofbell.app.fields.field import Field
from proofbell.app.recipe.recipe_read import read
from proofbell.app.recipe.recipe_rows import still_open
from proofbell.app.recipe.typed_recipe import TypedRecipe
from proofbell.errors import Failure
from proofbell.file_names import file_stem
from proofbell.recipe.own_file import own_place, write_new
from proofbell.visible import visible

NOTHING = "Nothing is typed yet."


class NameField(Field):
    """What the formula is called; behind it the file that this makes."""

    def __init__(self) -> None:
        super().__init__("Name", id="name", width=30, enter="save it", passing=True)

    @property
    def name_typed(self) -> str:
        return visible(" ".join(self.text.split()), most=80)

    @on(Input.Changed)
    def _say_file(self) -> None:
        self.say(f"{file_stem(self.name_typed, '')}.toml" if self.name_typed else "what is it called?")


def save(typed: TypedRecipe, name: str, folder: Path) -> tuple[Path, str]:
    """Write the formula of that name into the folder; returns its file, and in words what is still open in it.

    Raises Failure: it is no formula, its name is taken, or the file cannot be written.
    """
    found = read(typed, name)
    if found.draft is None or found.formula is None:
        raise Failure(found.refused or NOTHING)
    path = own_place(folder, name)
    write_new(path, found.text)
    return path, still_open(found.draft)
