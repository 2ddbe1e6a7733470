"""What goes on the piece and stands in a line of its own, with no list under it: "egg wash", "Glaze: milk"."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Final

from proofbell.recipe.model import Item, Section, Unread
from proofbell.recipe.reading.headings import TOP_TOLD, WASH
from proofbell.recipe.reading.line import BULLET, read_line, use_of
from proofbell.recipe.reading.numbers import amount_at, count_at, plain
from proofbell.recipe.reading.steps import read_steps
from proofbell.recipe.tables.wares import ware_of

_WASH: Final = re.compile(rf"(?i)^{WASH}\b(?!.*:$)")
_JOINT: Final = re.compile(r"(?i)\s*(?:[,;&+]|\b(?:and|with|plus)\b)\s*(?![^(]*\))")
_FOR: Final = re.compile(r"(?i)\s*,?\s*\b(?:to|for) ")
_LEAD: Final = re.compile(r"(?i)^(?:for |to )?(?:the )?")
_LONGEST: Final = 6


def told_on_top(said: str, line: int, after: Iterable[str]) -> list[Item]:
    """The items of such a line; empty where it is none. ``after`` are the lines below it.

    A bare "egg wash" is a heading only where an egg is listed right under it.
    """
    told = TOP_TOLD.match(said)
    words = told["rest"] if told is not None else ""
    if not words or not _names_a_thing(words):
        words = said if _WASH.match(said) and not _egg_under(after) else ""
    items = [item for piece in _pieces(words.strip(" .")) for item in read_line(piece, line)]
    return [replace(item, use="finish") if item.use == "dough" else item for item in items]


def says_its_use(said: str) -> bool:
    """Whether a line is a thing and what it is for, "sesame seeds to sprinkle"; a step begins with what is done."""
    first = _FOR.search(said)
    name = said[: first.start()] if first is not None else ""
    known = bool(name) and len(name.split()) <= _LONGEST and ware_of(name) is not None
    return known and use_of(said, "other") is not None and not read_steps(name, 0)[0]


def nothing_under(heads: Sequence[tuple[int, Section]]) -> list[Unread]:
    """The headings of the top that nothing is listed under. One that names a thing itself gets that as its item."""
    found: list[Unread] = []
    for line, section in heads:
        if section.use != "finish" or section.items:
            continue
        section.items += [
            replace(item, use="finish")
            for item in (read_line(_LEAD.sub("", section.name), line) if ware_of(section.name) else [])
        ]
        found += [] if section.items else [Unread(line, f"{section.name}: nothing is listed under it")]
    return found


def _names_a_thing(words: str) -> bool:
    """Whether what stands behind a heading is what goes on top, not "the next morning" or what is done with it."""
    a_thing = amount_at(words) is not None or count_at(words) is not None or _WASH.match(words) is not None
    return ware_of(words) is not None and (a_thing or not read_steps(words, 0)[0])


def _pieces(words: str) -> list[str]:
    """Each thing for itself; "beaten" or "to finish" stays with the thing before."""
    pieces: list[str] = []
    at = 0
    for joint in [*_JOINT.finditer(words), None]:
        end = joint.start() if joint is not None else len(words)
        piece = words[at:end]
        if pieces and (ware_of(piece) is None or use_of(piece, "other") is not None):
            pieces[-1] += f", {piece}"
        elif piece:
            pieces.append(piece)
        at = joint.end() if joint is not None else end
    return pieces


def _egg_under(after: Iterable[str]) -> bool:
    """Whether an egg is listed in the block of lines that follows."""
    begun = False
    for raw in after:
        said = BULLET.sub("", plain(raw).strip("*#_ "))
        if not said and begun:
            return False
        items = read_line(said, 0) if said else []
        if said and (not items or read_steps(said, 0)[0]):
            return False
        begun = begun or bool(said)
        if any(item.ware is not None and item.ware.kind == "egg" for item in items):
            return True
    return False
