"""A starter that the list takes as it is and the method feeds first: the feeding is no part of the dough's mixing."""

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
_DOUGH: Final = re.compile(r"(?i)\bdough\b|\bbulk\b")
_WAITS: Final = ("proof", "rest", "chill")
_ENOUGH: Final = {"flour", "water"}


def fed(sections: list[Section], listed: Sequence[Item]) -> None:
    """Give the steps that feed it a section of its own, with what it is fed where that is said.

    Nothing where the list makes a preferment, or has none.
    """
    taken = any(_is_starter(item) for item in listed)
    if not taken or any(section.preferment and section.items for section in sections):
        return
    for index, section in enumerate(sections):
        begins = next((n for n, step in enumerate(section.steps) if _feeds(step)), None)
        if section.preferment or begins is None:
            continue
        own = _own(section.steps[begins:])
        name = next(match["name"].lower() for step in own if (match := _FED.search(step.text)))
        items = mentions(". ".join(step.text for step in own), own[0].line)
        known = {item.ware.kind for item in items if item.ware is not None} >= _ENOUGH
        before = Section(section.name, section.use, items=section.items, steps=section.steps[:begins])
        feeding = Section(name, preferment=True, items=items if known else [])
        feeding.steps = [replace(step, section=name) for step in own]
        section.items, section.steps = [], section.steps[begins + len(own) :]
        sections[index:index] = [before, feeding]
        return


def _is_starter(item: Item) -> bool:
    return item.use == "dough" and item.ware is not None and item.ware.kind == "preferment"


def _feeds(step: Step) -> bool:
    return step.act == "mix" and _FED.search(step.text) is not None


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
