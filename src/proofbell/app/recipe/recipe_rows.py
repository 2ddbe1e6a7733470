"""What a recipe was read as, in lines: questions first, what was not read, what is odd, ingredients, stages. Pure."""

from __future__ import annotations

from collections.abc import Iterator

from textual.content import Content

from proofbell.app.drawing.content import outside, own
from proofbell.app.recipe.recipe_read import RecipeRead
from proofbell.app.widgets.rows import columns
from proofbell.dough.allergens import in_one_line
from proofbell.dough.weights import shares
from proofbell.formula.model import Formula
from proofbell.frozen import dataclass
from proofbell.recipe.answers import NO_INGREDIENT, may_be_right
from proofbell.recipe.draft import Draft
from proofbell.recipe.model import Guess, PartDraft, StageDraft
from proofbell.recipe.reading.country import NAMES
from proofbell.words import counted, grams, length, percent, pieces, sentence, temperature

WIDE = 60
"""Columns from which on a guess has room for its reason."""

UNREAD = "(not in the formula; if it belongs there, write its amount and name in the text)"

_USES = {"finish": "on top", "tin": "for tin", "dough": ""}
_TAKES = {
    "weight": "a weight", "percent": "a percentage", "temperature": "a temperature", "time": "a length of time",
    "allergens": "what the packet names",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class RecipeRow:
    """One line: ``cells`` with their widths as `columns` has them. ``about`` is told below while the cursor is here."""

    cells: tuple[tuple[Content, int], ...]
    about: tuple[Content, ...] = ()
    guess: Guess | None = None
    head: bool = False

    def drawn(self, width: int) -> Content:
        shown = self.cells[:-1] if self.guess is not None and width < WIDE else self.cells
        return columns(list(shown), width)


def rows(found: RecipeRead) -> tuple[RecipeRow, ...]:
    """All lines; none where there is no formula yet."""
    draft, formula = found.draft, found.formula
    if draft is None:
        return ()
    guesses = [guess for guess in draft.guesses if guess.takes != "nothing"]
    lines = found.typed.text.split("\n")
    parts = (
        ("Questions", [_guess(guess, lines) for guess in guesses if guess.ask]),
        ("Not read", [_said(f"line {each.line}", each.text, UNREAD) for each in draft.unread]),
        ("Odd", [_said("", fault.message, fault.remedy) for fault in found.odd]),
        ("Ingredients", list(_ingredients(draft, formula))),
        ("Stages", [_stage(stage, draft) for stage in draft.stages]),
        ("Guessed", [_guess(guess, lines) for guess in guesses if not guess.ask]),
    )
    made: list[RecipeRow] = []
    for head, under in parts:
        made += [RecipeRow(((own(head, "underline"), 0),), head=True), *under] if under else []
    return tuple(made)


def totals(found: RecipeRead) -> list[Content]:
    """Name and size, flour and water, allergens."""
    draft, formula = found.draft, found.formula
    if draft is None:
        return []
    title = [draft.name, draft.style, _size(draft)]
    lines = [outside(" · ".join(each for each in title if each), most=200).stylize("bold")]
    if formula is not None:
        of = shares(formula.ingredients)
        dough_g = sum(part.amount or 0.0 for part in draft.dough)
        weights = [] if draft.in_percent else [f"flour {grams(dough_g * 100 / of.total)}", f"dough {grams(dough_g)}"]
        water = [f"hydration {percent(of.hydration, 0)}"]
        water += [f"all water {percent(of.water, 0)}"] if abs(of.water - of.hydration) >= 1 else []
        salt = sum(line.percent for line in formula.ingredients if line.kind == "salt")
        water += [f"salt {percent(salt)}"]
        water += [f"prefermented {percent(of.prefermented, 0)}"] if of.prefermented else []
        lines.append(own(" · ".join((*weights, *water))))
        lines += [outside(f"  {each.field} {each.why}") for each in draft.guesses if each.takes == "nothing"]
    allergens = in_one_line(draft.allergens, draft.unknown, none="none found")
    return [*lines, outside(f"Allergens: {allergens}", most=2000)]


def summary(found: RecipeRead) -> Content:
    """All of it in a line, for who sees the text alone."""
    if found.draft is None:
        return outside(found.refused, most=300)
    told = [_open(found.draft)]
    told += [f"{counted(len(found.draft.unread), 'line')} not read"] if found.draft.unread else []
    told += [f"{counted(len(found.odd), 'thing')} odd"] if found.odd else []
    head = totals(found)[1:2] if found.formula is not None else []
    return Content("\n").join([*head, own(" · ".join(told))])


def still_open(draft: Draft) -> str:
    """Which questions nobody has answered; nothing when all are."""
    if not draft.open:
        return ""
    told = ", ".join(f"{guess.field} (line {guess.line})" if guess.line else guess.field for guess in draft.open)
    return f"{_open(draft).capitalize()}: {told}."


def missing(draft: Draft) -> str:
    """The question before a recipe is saved in which something is missing; empty: nothing is."""
    what = sentence(draft.lacks)
    return f"{what} The bench would time nothing in the oven. Save it all the same?" if what else ""


def _open(draft: Draft) -> str:
    count = len(draft.open)
    return f"{counted(count, 'question')} open" if count else "no question open"


def _size(draft: Draft) -> str:
    total = sum(part.amount or 0.0 for part in draft.dough)
    each = draft.piece_g if draft.in_percent else total / (draft.pieces or 1)
    return pieces(draft.pieces, each) if draft.pieces and each else ""


def value_words(guess: Guess) -> str:
    """A guess's value as it is shown: a country by its name."""
    return country_words(guess.value) if guess.about == "country" else guess.shown


def _guess(guess: Guess, lines: list[str]) -> RecipeRow:
    mark = own("✓", "$text-success") if guess.said else own("?", "bold $text-warning") if guess.ask else own("·")
    value = guess.said if guess.said == NO_INGREDIENT else value_words(guess)
    value += f" {guess.said}" if guess.said in guess.options and guess.said != guess.value else ""
    cells = ((mark, 1), (outside(guess.field), 24), (outside(value), 15), (outside(guess.why, most=300), 0))
    where = f"Line {guess.line}: {lines[guess.line - 1].strip()}" if 0 < guess.line <= len(lines) else guess.field
    told = f"{'Said' if guess.said else 'Guessed'}: {value}. " if value else ""
    about = (
        outside(where, most=120).stylize("dim"),
        outside(f"{told}{sentence(guess.why)}", most=400),
        own(ways(guess, yes=True)),
    )
    return RecipeRow(cells, about, guess)


def ways(guess: Guess, *, yes: bool = False) -> str:
    """What can be said to it; with the keys for it where ``yes`` is one."""
    told = option_words(guess) + ([_TAKES[guess.takes]] if guess.takes in _TAKES else [])
    if not yes:
        return ", ".join([*told, "x no ingredient"] if guess.may_go else told)
    keys = ["y yes"] if may_be_right(guess) else []
    keys += [f"enter: {', '.join(told)}"] if told else []
    keys += ["x it is an ingredient" if guess.said == NO_INGREDIENT else "x no ingredient"] if guess.may_go else []
    return " · ".join(keys)


def option_words(guess: Guess) -> list[str]:
    """The words that can be said to it: countries by their names."""
    return [country_words(each) if guess.about == "country" else each for each in guess.options]


def country_words(country: str) -> str:
    return next((name for each, name in NAMES.items() if each == country), country)


def _said(where: str, words: str, more: str = "") -> RecipeRow:
    cells = ((own(where), 7), (outside(words, most=300), 0)) if where else ((outside(words, most=300), 0),)
    return RecipeRow(cells, (outside(f"{where} {words} {more}".strip(), most=400),))


def _ingredients(draft: Draft, formula: Formula | None) -> Iterator[RecipeRow]:
    percents = {line.name: line.percent for line in formula.ingredients} if formula is not None else {}
    for part in draft.dough:
        share = percents.get(part.name)
        weight = "" if draft.in_percent or part.amount is None else grams(part.amount, _step(part.amount))
        yield _part(part, weight, "" if share is None else percent(share, 1 if share < 10 else 0))
    for part in draft.outside:
        each = f"{part.each_g:g} g each" if part.each_g is not None else ""
        weight = each or ("" if part.amount is None else grams(part.amount, _step(part.amount)))
        yield _part(part, "" if draft.in_percent else weight, _USES[part.use])
    for part in draft.left_out:
        yield _part(part, "no amount", "left out")


def _part(part: PartDraft, weight: str, share: str) -> RecipeRow:
    kind = f"{part.form} yeast" if part.kind == "yeast" and part.form else part.kind
    name = f"{part.name} ·" if part.guess else part.name
    cells = ((outside(name), 0), (own(kind, "dim"), 16), (own(weight), -9), (own(share), -8))
    made = ", ".join(f"{name} {value:.4g}" for name, value in (part.made_of or {}).items())
    facts = [f"Line {part.line}"] if part.line else []
    facts += [f"made of {made}"] if made else []
    facts += [f"contains {', '.join(part.contains)}"] if part.contains else []
    facts += [f"goes in at {part.at}"] if part.at else []
    facts += [part.note] if part.note else []
    return RecipeRow(cells, (outside("; ".join(facts), most=300),))


def _stage(stage: StageDraft, draft: Draft) -> RecipeRow:
    heats = [phase.oven_c for phase in stage.phases] or [draft.oven_c]
    heat = "" if stage.kind != "bake" else " → ".join(dict.fromkeys(temperature(each, 0) for each in heats if each))
    heat = heat or ("" if stage.place_c is None else temperature(stage.place_c))
    name = stage.name if not stage.guess else f"{stage.name} ·"
    cells = ((outside(name), 0), (own(stage.kind, "dim"), 6), (own(length(stage.seconds)), -10), (own(heat), -15))
    told = sentence(f"its time is a guess: {stage.guess}") if stage.guess else ""
    return RecipeRow(cells, tuple(outside(each, most=400) for each in (stage.loading, stage.text, told) if each))


def _step(weight_g: float) -> float:
    return 1.0 if weight_g >= 20 else 0.1
