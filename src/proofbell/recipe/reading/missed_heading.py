"""Where a preferment's list goes on as the dough's, although no heading between them was read."""

from __future__ import annotations

from typing import Final

from proofbell.recipe.model import Guess, Item, Section, Sheet

_ENOUGH: Final = {"flour", "water"}
"""What a preferment has at least, before another list can begin."""


def parted(sheet: Sheet) -> list[Section]:
    """The sections; a preferment that would hold itself, or a line that was not read, is cut there, and it is said."""
    unread = {each.line for each in sheet.unread}
    sections: list[Section] = []
    for section in sheet.sections:
        at = _cut(section, unread) if section.preferment else None
        sections.append(section)
        if at is None:
            continue
        first = section.items[at]
        rest = [step for step in section.steps if step.line > first.line]
        sections.append(Section(items=section.items[at:], steps=rest))
        why = f"no heading was read between the {section.name} and this: from here on the dough's"
        sheet.guesses.append(Guess(first.line, f"{first.name}, where", "in the dough", why, ask=True))
        section.items, section.steps = section.items[:at], [step for step in section.steps if step not in rest]
    return sections


def _cut(section: Section, unread: set[int]) -> int | None:
    """The index of the first item that is the dough's."""
    items = section.items
    least = next((n for n in range(1, len(items)) if _kinds(items[:n]) >= _ENOUGH), None)
    if least is None:
        return None
    after = range(least, len(items))
    told = next((n for n in after if unread & set(range(items[n - 1].line + 1, items[n].line))), None)
    itself = next((n for n in after if _is_it(items[n], section.name)), None)
    if told is not None or itself is None:
        return told
    gaps = [n for n in range(least, itself + 1) if items[n].line - items[n - 1].line > 1]
    if gaps:
        return gaps[-1]
    return None if items[itself].amounts else least  # With an amount it may be the bit of the old one that feeds it.


def _kinds(items: list[Item]) -> set[str]:
    kinds = {item.ware.kind for item in items if item.ware is not None}
    return kinds | {"water"} if "milk" in kinds else set(kinds)


def _is_it(item: Item, name: str) -> bool:
    return item.ware is not None and item.ware.kind == "preferment" and name in item.name.lower()
