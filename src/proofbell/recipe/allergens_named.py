"""Allergens that a recipe names and none of its ingredients holds: asked about, and in it until that is answered."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Final

from proofbell.formula.ingredients import NUTS
from proofbell.recipe.answers import Answers
from proofbell.recipe.model import Guess, PartDraft, Ware
from proofbell.recipe.parts import EACH_G
from proofbell.recipe.tables.wares import ROWS

ON_TOP, NOT_IN_IT = "on top", "not in it"

_DENIED: Final = re.compile(
    r"(?i)\b(?:no|not|without|free of|free from|instead of|rather than)\b[^,.;]*|\b\S+-free\b"
    r"|\bcream(?=\s+(?:together|the|in|with|until|[\d½¼¾]))"
)
"""What is said not to be in it; and to cream, which takes none."""


def named_elsewhere(
    text: str, title: str, parts: Sequence[PartDraft], guesses: list[Guess], answers: Answers
) -> list[PartDraft]:
    """What is named in any line or step and is in no ingredient, on the pieces as long as nobody says otherwise."""
    held = {allergen for part in parts for allergen in part.contains}
    names = {part.name.casefold() for part in parts}
    found: list[PartDraft] = []
    for number, line in enumerate(text.splitlines(), 1):
        if line.strip() == title:
            continue
        for ware, word in _wares(_DENIED.sub(" ", line)):
            if _held(held, ware):
                continue
            held |= set(ware.contains)
            name = word if word.casefold() not in names else f"{word} on top"
            if name.casefold() in names:
                continue
            names.add(name.casefold())
            field = f"{name}, use"
            said = answers.of(number, field)
            why, options = "named in the recipe, and in no ingredient", (ON_TOP, NOT_IN_IT)
            kept = said if said in ("yes", *options) else ""
            where = NOT_IN_IT if kept == NOT_IN_IT else ON_TOP
            guesses.append(Guess(number, field, where, why, ask=True, options=options, takes="choice", said=kept))
            if where == ON_TOP:
                found.append(PartDraft(name, ware.kind, None, ware.contains, use="finish", each_g=EACH_G, line=number))
    return found


def _held(held: set[str], ware: Ware) -> bool:
    """Whether all of a thing's allergens are there; "the nuts" are those that have a name."""
    there = held | ({"nuts"} if held & set(NUTS) else set())
    return there >= set(ware.contains)


def _wares(line: str) -> Iterator[tuple[Ware, str]]:
    """Everything in a line that holds an allergen, with its word; what one row of the table took, no other sees."""
    for words, ware in ROWS:
        for match in words.finditer(line):
            if match[0].strip():
                line = f"{line[: match.start()]}{' ' * len(match[0])}{line[match.end() :]}"
                if ware.contains:
                    yield ware, match[0].strip().lower()[:40]
