"""What of a list goes on the piece by what the method says, where its own line does not tell."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from proofbell.recipe.answers import YES, Answers
from proofbell.recipe.model import Guess, Item, Sheet, Step
from proofbell.recipe.parts import Amounts
from proofbell.recipe.reading.signs import without_signs
from proofbell.recipe.tables.wares import FLOUR

_SEEDS: Final = frozenset({"sesame seed", "poppy seed", "sunflower kernels", "pumpkin kernels", "linseed, whole",
                           "caraway seed", "fennel, anise seed", "rolled oats"})  # fmt: skip
"""Rows of the densities that go on the crust as often as into the dough."""
_ALL: Final = re.compile(r"(?i)\b(?:all|everything|ingredients|rest|remaining|dry)\b")
_ON_TOP_PERCENT: Final = 5.0
"""More than this share of the flour is seldom all on the crust: common practice, no source."""
IN_DOUGH, ON_TOP = "in the dough", "on top"


def by_steps(sheet: Sheet, steps: Sequence[Step], amounts: Amounts, guesses: list[Guess], answers: Answers) -> None:
    """Mark what is listed without a use and only scattered on the piece; where that is not plain, it is asked.

    A small amount that is scattered is on top. A large one is there only where the method names what is mixed, and not
    this; and a line that has its extra for the top has its amount in the dough.
    """
    finished = " ".join(step.text.lower() for step in steps if step.act == "finish")
    mixed = " ".join(without_signs(step.text.lower()) for step in steps if step.act in ("mix", "knead"))
    told = " ".join(step.text.lower() for step in steps)
    listed = [item for section in sheet.sections for item in section.items]
    flour = sum(amounts.of_item(item) or 0.0 for item in listed if item.ware and item.ware.kind == "flour")
    plain = bool(FLOUR.search(mixed)) and not _ALL.search(mixed)
    for section in sheet.sections:
        for index, item in enumerate(section.items):
            if section.preferment or not _may_be_either(item, listed):
                continue
            said = _words(item)
            if _names(finished, said) and not any(word in mixed for word in said):
                much = 100 * (amounts.of_item(item) or 0.0) > _ON_TOP_PERCENT * flour
                where = ON_TOP if plain or not much else IN_DOUGH
                why = "so much of it, and the method only scatters it" if much else ""
            elif (
                item.ware is not None
                and item.ware.density in _SEEDS
                and not (_names(told, said) or _ALL.search(mixed) or "dough" in section.name.lower())
            ):
                where, why = IN_DOUGH, "the method does not name it"
            else:
                continue
            where = _asked(item, where, why, guesses, answers) if why else where
            section.items[index] = replace(item, use="finish") if where == ON_TOP else item


def _may_be_either(item: Item, listed: Sequence[Item]) -> bool:
    apart = item.extra == "finish" or any(each.use == "finish" and each.name == item.name for each in listed)
    return item.use == "dough" and item.ware is not None and item.ware.kind == "other" and bool(item.name) and not apart


def _asked(item: Item, usual: str, why: str, guesses: list[Guess], answers: Answers) -> str:
    """Where it goes, as it is guessed or as the baker says."""
    field, options = f"{item.name}, use", (IN_DOUGH, ON_TOP)
    answer = answers.of(item.line, field)
    answer = answer if answer in (YES, *options) else ""
    where = answer if answer in options else usual
    guesses.append(Guess(item.line, field, where, why, ask=True, options=options, takes="choice", said=answer))
    return where


def _words(item: Item) -> list[str]:
    words = item.name.lower().split()
    return [word for word in (words[-1], words[-1].rstrip("s"), words[0]) if len(word) > 2]


def _names(text: str, words: Sequence[str]) -> bool:
    return any(re.search(rf"\b{re.escape(word)}", text) for word in words)
