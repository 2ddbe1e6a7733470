"""Headings: what a line names that stands above others, whatever stands round the name of when it is made."""

from __future__ import annotations

import re
from typing import Final

from proofbell.recipe.model import Section
from proofbell.recipe.reading.numbers import amount_at, amounts_in
from proofbell.recipe.reading.steps import read_steps

METHOD: Final = re.compile(
    r"(?i)^(?:the )?(?:method|directions|instructions|steps|preparation|procedure|to make.*|how to.*)\W*$"
)
LIST: Final = re.compile(r"(?i)^(?:the )?ingredients\b\W*$|^you(?:'ll| will) need\W*$")
_PREFERMENT: Final = re.compile(
    r"(?i)^(?:(?:for )?the |make the |stage \d\W+)?(?:(?:rye|wheat|overnight|evening|stiff|liquid"
    r"|young|ripe) )*(?P<name>poolish|biga|sponge|levain|leaven|"
    r"starter|pre-?ferment|sour|sourdough|tangzhong)\b(?:.*)$"
)
_DOUGH: Final = re.compile(
    r"(?i)^(?:(?:ingredients )?for (?:the |your )?|(?:to )?make (?:the |up )*|the )?"
    r"(?:(?:final|main|bread|finished|whole|actual|bun|roll|loaf) )*dough(?: (?:ingredients|itself|proper|mix))?\W*$"
    r"|^(?:the )?(?:final|main) (?:dough )?mix\W*$"
    r"|^(?:ingredients )?for (?:the |your )(?:rolls|buns|bread|loaf|loaves)\W*$"
)
WASH: Final = r"egg[ -]?wash"
_TOPS: Final = (
    rf"(?:for )?(?:the |to )?(?:top|topping|glaze|glazing|{WASH}|icing|finish|finishing|filling|decoration|brushing"
    r"|sprinkling)\b"
)
_TOP: Final = re.compile(rf"(?i)^{_TOPS}.*$")
TOP_TOLD: Final = re.compile(rf"(?i)^{_TOPS}\s*(?:[:(]|\s-\s)\s*(?P<rest>[^\s)][^)]*(?:\([^)]*\)[^)]*)*)\)?$")
"""A heading with what goes on top behind it, or with what is done."""
_TOP_FIRST: Final = ("for", "to", "topping", "glaze", "egg", "filling", "icing")
_OTHER: Final = re.compile(r"^[^.]{2,50}:$")
_WHEN: Final = re.compile(
    r"(?i)\b(?:(?:on|in|for) )?(?:the |your )?(?:"
    r"(?:(?:next|following|same|previous|first|second|third|last|baking|bake|mixing) )+"
    r"(?:day|morning|afternoon|evening|night)"
    r"|(?:day|night|evening|morning|afternoon) (?:before|after|of (?:baking|the bake)|ahead|\d+|one|two|three)"
    r"|(?:early |late )?(?:morning|afternoon|evening)s?"
    r"|overnight|tomorrow|tonight|bake day|the day"
    r"|(?:mon|tues|wednes|thurs|fri|satur|sun)day"
    r"|(?:about |around |at )*\d{1,2}(?:[.:]\d{2})? ?(?:am|pm|a\.m\.|p\.m\.|o'clock)"
    r"|(?:a few |\d+(?:-\d+)? )hours (?:later|before|ahead)|later|first thing|in advance|ahead"
    r"|(?:step|stage|part) (?:\d+|one|two|three))(?![a-z])"
)
"""Words for when something is made."""
_EDGE: Final = " -:,;.()[]/|"
_LONGEST: Final = 8
_MOST_LETTERS: Final = 120


def named_alone(said: str) -> str:
    """A heading without its words for when: "Next morning - main dough" is "main dough"; empty: it says only when."""
    bare = re.sub(r"[(\[]\s*[)\]]", " ", _WHEN.sub(" ", said))
    parts = [part.strip(_EDGE) for part in re.split(r"\s+-\s+|[:,;()\[\]/|]", bare)]
    return ", ".join(" ".join(part.split()) for part in parts if part)


def heading(said: str) -> Section | None:
    """The section that a line opens; None where it is no heading."""
    bare = said.rstrip(":").strip()
    if len(bare) > _MOST_LETTERS or amount_at(said) is not None or amounts_in(said):
        return None
    alone = named_alone(bare)
    if len(alone.split()) > _LONGEST or len(bare.split()) > 2 * _LONGEST:
        return None
    timed = alone != bare
    if timed and not alone:
        return Section()
    preferment = _PREFERMENT.match(alone)
    if preferment is not None and len(alone.split()) <= _LONGEST - 2 and not bare.lower().startswith("all "):
        return Section(preferment["name"].lower(), preferment=preferment["name"].lower() != "tangzhong")
    if _DOUGH.match(alone):
        return Section()
    told = TOP_TOLD.match(said)
    if told is not None and read_steps(told["rest"], 0)[0]:
        return None
    if _TOP.match(alone) and (said.endswith(":") or alone.lower().startswith(_TOP_FIRST)):
        return Section(bare, use="finish")
    return Section() if _OTHER.match(said) and not read_steps(bare, 0)[0] else None
