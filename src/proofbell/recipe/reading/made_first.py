"""Lines of the method that make a preferment, wherever they stand: they are its own, with their times."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from proofbell.recipe.model import Section, Step
from proofbell.recipe.reading.mentions import mentions
from proofbell.recipe.reading.steps import read_steps
from proofbell.recipe.tables.wares import ROWS

_NAMES: Final = r"(?:poolish|biga|sponge|levain|leaven|starter|pre-?ferment|sourdough|sour)"
_OF: Final = (
    rf"(?:the |your |a |this )?(?:(?!(?:with|and|the|in|into|to|some|of|for)\b)[a-z-]+ )?(?P<name>{_NAMES})\b(?! flour)"
)
_MAKE: Final = r"(?:mix|make|stir|build|feed|refresh|prepare|combine|start|elaborate)"
_LEAVE: Final = (
    r"(?:leave|let|rest|cover|ferment|ripen|refrigerate|chill|store|keep|prove|proof|allow|stand|set|put|return)"
)
_VESSEL: Final = r"in (?:an? |the |your )?(?:[a-z-]+ ){0,2}(?:bowl|jar|jug|cup|tub|glass|box|evening|night)"
_AFTER: Final = (
    rf"(?=\s*$|\s*[.;(:]|\s*,?\s*(?:and |then )*{_LEAVE}\b|\s*,?\s*(?:the (?:evening|night|day)|{_VESSEL})\b"
    r"|\s*,?\s*(?:well|first|thoroughly|smooth|until|till|overnight|at|by|\d)\b)"
)
_OBJECT: Final = re.compile(
    rf"(?i)\b{_MAKE}(?: up| together| all)*(?: of)? {_OF}(?: ingredients)?(?: up| together)?{_AFTER}"
)
"""It is what is mixed; in "mix the levain, water and flour" it is one of what is."""
_FOR: Final = re.compile(rf"(?i)\b(?:for|to make|make up|making|ingredients of) {_OF}|\b(?P<of>{_NAMES}) ingredients\b")
_STANDS: Final = re.compile(
    rf"(?i)^(?:\W*(?:then|now|{_LEAVE}|and)\b)*\W*{_LEAVE} {_OF}|^(?:the |your |this )?(?:[a-z-]+ )?(?P<it>{_NAMES})\b"
)
_DOUGH: Final = re.compile(r"(?i)\bdough\b|\bbulk\b|\bshaped?\b|\bloa(?:f|ves)\b")
_MAKES: Final = ("mix", "knead")
_WAITS: Final = ("proof", "rest", "chill")
_ELSE: Final = frozenset({"other", "fat", "sugar", "egg", "flour"})
"""Kinds of what may stand for itself: seeds that are left to swell are no levain that ripens."""
_LABEL: Final = re.compile(rf"(?i)^(?:for |to make )?(?:the )?(?:[a-z-]+ )?(?P<name>{_NAMES})(?: \([^)]*\))?\s*[:-]\s+")
"""At the head of a line of the method: "Levain: stir ..."."""


def labelled(said: str, sections: Sequence[Section]) -> tuple[str, str]:
    """The preferment at the head of a line, "Levain: stir it up", and the rest; empty where the list has none."""
    label = _LABEL.match(said)
    maker = _called(label["name"], _makers(sections)) if label is not None else None
    return (maker.name, said[label.end() :]) if label is not None and maker is not None else ("", said)


def in_one_line(said: str, line: int) -> Section | None:
    """The preferment that one line of a list tells whole, "Levain: 30 g starter + 60 g flour + 60 g water, 8 hours"."""
    label = _LABEL.match(said)
    if label is None:
        return None
    name, rest = label["name"].lower(), said[label.end() :]
    items = mentions(rest, line)
    if not {item.ware.kind for item in items if item.ware is not None} >= {"flour", "water"}:
        return None
    steps, _ = read_steps(rest, line, section=name)
    return Section(name, preferment=True, items=items, steps=[replace(step, section=name) for step in steps])


def given_back(sections: Sequence[Section]) -> None:
    """Move each step that makes a preferment of the list to that preferment's section."""
    makers = _makers(sections)
    if not makers:
        return
    for section in sections:
        if section.preferment:
            continue
        kept: list[Step] = []
        maker: Section | None = None
        for step in section.steps:
            maker = _maker_of(step, makers, maker)
            if maker is None:
                kept.append(step)
            else:
                maker.steps.append(replace(step, section=maker.name))
        section.steps = kept


def _maker_of(step: Step, makers: Sequence[Section], before: Section | None) -> Section | None:
    """The preferment that a step makes; a wait after one that makes it is its own until the dough is named."""
    if step.section and step.act in (*_MAKES, *_WAITS) and not _DOUGH.search(step.text):
        return _called(step.section, makers)
    if step.act in _MAKES:
        made = _OBJECT.search(step.text) or _FOR.search(step.text)
        return None if made is None else _called(made.groupdict().get("of") or made["name"], makers)
    if step.act not in _WAITS or _DOUGH.search(step.text):
        return None
    stands = _STANDS.search(step.text)
    if stands is None and any(ware.kind in _ELSE and words.search(step.text) for words, ware in ROWS):
        return None
    return before if stands is None else _called(stands["name"] or stands["it"], makers)


def _makers(sections: Sequence[Section]) -> list[Section]:
    return [section for section in sections if section.preferment and section.items]


def _called(name: str, makers: Sequence[Section]) -> Section | None:
    """The one of that name; with a single one any of their names means it."""
    own = next((maker for maker in makers if maker.name == name.lower()), None)
    return own or (makers[0] if len(makers) == 1 else None)
