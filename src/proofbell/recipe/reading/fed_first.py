"""A starter that the method feeds first: the feeding is no part of the dough's mixing.

The list takes it as it is, or has nothing of it at all: then the method says with how much it is fed.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from proofbell.recipe.model import Item, Section, Step
from proofbell.recipe.reading.mentions import mentions

_FED: Final = re.compile(
    r"(?i)\b(?:feed|fed|refresh(?:ed)?|build)\b(?: up)? (?:the |your |a |some of (?:the |your ))?(?:[a-z-]+ ){0,2}?"
    r"(?P<name>starter|levain|leaven|sourdough)\b"
)
_FED_WITH: Final = re.compile(
    r"(?i)\b(?:feed|fed|refresh(?:ed)?|build|mix|stir|combine)\b(?: up| together)? (?:the |your |a )?"
    r"(?:[a-z0-9.,-]+ ){0,5}?(?P<name>starter|levain|leaven|sourdough)\b"
)
"""As ``_FED``, with amounts on the way; whether it is a feeding, those say."""
_DOUGH: Final = re.compile(r"(?i)\bdough\b|\bbulk\b")
_WAITS: Final = ("proof", "rest", "chill")
_ENOUGH: Final = {"flour", "water"}


def fed(sections: list[Section], listed: Sequence[Item]) -> None:
    """Give the steps that feed it a section of its own, with what it is fed where that is said.

    Nothing where the list makes a preferment, or has none.
    """
    taken = any(_is_starter(item) for item in listed)
    if any(section.preferment and section.items for section in sections):
        return
    words = _FED if taken else _FED_WITH
    for index, section in enumerate(sections):
        begins = next((n for n, step in enumerate(section.steps) if _feeds(step, words)), None)
        if section.preferment or begins is None:
            continue
        own = _own(section.steps[begins:])
        name = next(match["name"].lower() for step in own if (match := words.search(step.text)))
        items = mentions(". ".join(step.text for step in own), own[0].line)
        known = {item.ware.kind for item in items if item.ware is not None} >= _ENOUGH
        if not taken and not (known and own[-1].act in _WAITS and _is_feeding(items, listed)):
            continue
        kept = section.items if taken else [item for item in section.items if item not in items]
        before = Section(section.name, section.use, items=kept, steps=section.steps[:begins])
        feeding = Section(name, preferment=True, items=items if known else [])
        feeding.steps = [replace(step, section=name) for step in own]
        section.items, section.steps = [], section.steps[begins + len(own) :]
        sections[index:index] = [before, feeding]
        return


def _is_starter(item: Item) -> bool:
    return item.use == "dough" and item.ware is not None and item.ware.kind == "preferment"


def _is_feeding(items: Sequence[Item], listed: Sequence[Item]) -> bool:
    """Whether what a sentence has, each with its amount, is a starter's food and not the dough's own."""
    kinds = [_kind(item) for item in items]
    if kinds.count("preferment") != 1 or not {*kinds} <= {*_ENOUGH, "preferment"}:
        return False
    doughs = [(_kind(item), item.amounts) for item in listed]
    return (
        all(item.amounts for item in items)
        and any(kind == "flour" and amounts for kind, amounts in doughs)
        and not any((_kind(item), item.amounts) in doughs for item in items)
    )


def _kind(item: Item) -> str:
    return "" if item.ware is None else item.ware.kind


def _feeds(step: Step, words: re.Pattern[str]) -> bool:
    return step.act == "mix" and words.search(step.text) is not None


def _own(steps: Sequence[Step]) -> list[Step]:
    """The feeding, what else its line has of it, and the wait after that."""
    own = [steps[0]]
    for step in steps[1:]:
        if _DOUGH.search(step.text) or not (step.act in _WAITS or (step.act == "mix" and step.line == own[0].line)):
            break
        own.append(step)
        if step.act in _WAITS:
            break
    return own
