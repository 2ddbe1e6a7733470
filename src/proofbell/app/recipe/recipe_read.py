"""A recipe that was typed, read: the formula to be, its file, what `check` finds odd; or why it is none. Pure."""

from __future__ import annotations

from proofbell.app.recipe.typed_recipe import TypedRecipe
from proofbell.app.session.formula_files import where
from proofbell.app.session.refusal_words import in_words
from proofbell.errors import Failure
from proofbell.faults import Fault
from proofbell.formula.model import Formula
from proofbell.formula.read import read_formula
from proofbell.frozen import dataclass
from proofbell.recipe.assembly import read_recipe
from proofbell.recipe.draft import Draft
from proofbell.recipe.toml_text import toml_text


@dataclass(frozen=True, slots=True)
class RecipeRead:
    """What a recipe comes to. ``refused`` says why it is no formula; then the rest may be missing."""

    typed: TypedRecipe
    draft: Draft | None = None
    text: str = ""
    formula: Formula | None = None
    odd: tuple[Fault, ...] = ()
    refused: str = ""


def read(typed: TypedRecipe, name: str = "") -> RecipeRead:
    """Read it; ``name`` takes the place of the recipe's title. Some 50 ms for a page of text: off the keys' thread."""
    if typed.blank:
        return RecipeRead(typed)
    try:
        draft = read_recipe(typed.text, name=name, said=typed.said)
    except Failure as failure:
        return RecipeRead(typed, refused=in_words(failure))
    text = toml_text(draft)
    formula, faults = read_formula(text, draft.name)
    wrong = next((fault for fault in faults if fault.is_error), None)
    refused = "" if formula is not None or wrong is None else f"{where(wrong)}: {wrong.message} {wrong.remedy}"
    return RecipeRead(typed, draft, text, formula, tuple(fault for fault in faults if not fault.is_error), refused)
