"""What of the dough a recipe adds later: only where its method says so in plain words, else all goes in at once."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from proofbell.formula.dough_stages import bake_begins, divided_by_proofs
from proofbell.recipe.model import PartDraft, StageDraft
from proofbell.recipe.reading.signs import without_signs
from proofbell.recipe.tables.wares import FLOUR

_ADD: Final = (
    r"(?:add|knead|work|mix|stir|fold|beat|pinch|squeeze|sprinkle|scatter|incorporate|pour|spread|put|tip|dissolve"
    r"|massage|dimple|press)\w*"
)
_BUT: Final = r"(?:but|except(?: for)?|without|apart from|keep back|hold back|save)"
_ALL: Final = re.compile(
    r"(?i)\b(?:all|everything|ingredients|dry|other)\b"
    r"|\brest\b(?! of (?:the |your )?(?!dry|ingredient|dough)\w)|\bremaining\b(?! (?!dry|ingredient)\w)"
)
"""Words for all there is; "the rest of the sugar" is of one thing."""
_BEGUN: Final = re.compile(r"(?i)\b(?:flours?|dough)\b")
_KINDS: Final = frozenset({"salt", "fat", "sugar", "yeast", "preferment", "other"})
"""Kinds that may wait: flour and liquids are what a dough is begun with."""
_LEVAINS: Final = ("levain", "leaven", "starter", "sourdough")
"""Words for one thing: a list has "levain" and its method "the starter"."""

_LITTLE_G: Final = {
    "pinch": 0.4, "dash": 0.4, "touch": 0.4, "bit": 2.0, "little": 2.0, "some": 5.0, "teaspoon": 5.0,
    "teaspoonful": 5.0, "tsp": 5.0, "spoon": 15.0, "spoonful": 15.0, "tablespoon": 15.0,
    "tablespoonful": 15.0, "tbsp": 15.0,
}  # fmt: skip
"""At most so many grams: a level spoon of sugar is less than its millilitres; the rest common practice, no source."""


def with_stages(parts: Sequence[PartDraft], stages: Sequence[StageDraft], pieces: int | None) -> list[PartDraft]:
    """The parts, each that is added later with the name of its stage."""
    if stages and stages[0].role == "soak":
        return _after_soaking(parts, stages)
    hands = _hands(parts, stages, pieces)
    first = _woken(parts, hands)
    if first:
        return [_after_waking(part, first, hands) if part.use == "dough" else part for part in parts]
    return [replace(part, at=_stage_of(part, hands)) if _may_wait(part) else part for part in parts]


def _after_soaking(parts: Sequence[PartDraft], stages: Sequence[StageDraft]) -> list[PartDraft]:
    """What a long soak names goes into it, all else as the dough is mixed; a liquid that comes then has no heat told.

    Where it names none, or the yeast or the flour, all goes in at once.
    """
    text = without_signs(stages[0].text)
    dough = [part for part in parts if part.use == "dough"]
    soaked = {part.name for part in dough if _named(part).search(text)}
    mixed = next((stage.name for stage in stages if stage.kind == "hands" and stage.made_for is None), "")
    if (
        not soaked
        or not mixed
        or any(part.kind in ("yeast", "flour", "preferment") for part in dough if part.name in soaked)
    ):
        return list(parts)
    return [
        part if part.use != "dough" or part.name in soaked else replace(part, at=mixed, heat=False) for part in parts
    ]


def _woken(parts: Sequence[PartDraft], hands: Sequence[StageDraft]) -> frozenset[str]:
    """The names of what the yeast is woken with, yeast among it; none where the method does not say plainly.

    Plain is: the first stage wakes the yeast and names no flour and not all there is, the next names the flour.
    What sets the dough's temperature, and a preferment, must be among it: they go in as the dough is begun.
    """
    if len(hands) < 2 or hands[0].role != "wake" or not FLOUR.search(hands[1].text):
        return frozenset()
    text = without_signs(hands[0].text)
    dough = [part for part in parts if part.use == "dough"]
    named = frozenset(part.name for part in dough if _named(part).search(text) and not _a_little(part, text))
    begins = {part.name for part in dough if part.heat or part.kind in ("preferment", "yeast")}
    return frozenset() if _BEGUN.search(text) or _ALL.search(text) or not begins <= named else named


def _after_waking(part: PartDraft, first: frozenset[str], hands: Sequence[StageDraft]) -> PartDraft:
    """With the yeast, at the stage that adds it, or at the next stage with the flour."""
    later = _stage_of(part, hands) if _may_wait(part) else ""
    return part if part.name in first else replace(part, at=later or hands[1].name)


def _hands(parts: Sequence[PartDraft], stages: Sequence[StageDraft], pieces: int | None) -> list[StageDraft]:
    """The dough's stages of hands before it is in pieces; none where the stages do not tell which are the dough's."""
    made = any(stage.made_for is not None for stage in stages)
    if not made and any(part.kind == "preferment" for part in parts):
        return []
    begins = next((index for index, stage in enumerate(stages) if stage.made_for is None), len(stages))
    kinds = [stage.kind for stage in stages]
    divided = divided_by_proofs(kinds, begins) if (pieces or 1) > 1 else None
    last = bake_begins(kinds) if divided is None else divided
    if not 0 <= begins < last or kinds[begins] != "hands":
        return []
    return [stages[index] for index in range(begins, last) if kinds[index] == "hands"]


def _may_wait(part: PartDraft) -> bool:
    return part.use == "dough" and part.kind in _KINDS and not part.heat


def _called(part: PartDraft) -> str:
    word = part.name.casefold().split(",")[0].split()[-1]
    return rf"(?:{'|'.join(_LEVAINS)})" if word in _LEVAINS else re.escape(word)


def _named(part: PartDraft) -> re.Pattern[str]:
    return re.compile(rf"(?i)\b{_called(part)}\b")


def _a_little(part: PartDraft, text: str) -> bool:
    """Whether only the smaller part of it is named: "a pinch of the sugar"."""
    found = re.search(
        rf"(?i)\b(?P<much>{'|'.join(_LITTLE_G)})\b (?:of )?(?:the |your )?(?:\w+ )?{_called(part)}\b", text
    )
    return found is not None and _LITTLE_G[found["much"].lower()] * 2 < (part.amount or 0.0)


def _stage_of(part: PartDraft, hands: Sequence[StageDraft]) -> str:
    """The name of the one stage that adds it, where none before it names it or takes in all there is."""
    called = _called(part)
    named = _named(part)
    adds = re.compile(rf"(?i)\b{_ADD}\b[^.;]{{0,60}}?\b{called}\b")
    spared = re.compile(rf"(?i)\b(?:all|everything)?\s*{_BUT}\b[^.;,]{{0,30}}?\b{called}\b")
    told = {stage.name: without_signs(stage.text) for stage in hands}
    naming = [stage for stage in hands if named.search(spared.sub("", told[stage.name]))]
    if len(naming) != 1 or naming[0] is hands[0] or not adds.search(told[naming[0].name]):
        return ""
    before = hands[: hands.index(naming[0])]
    if any(_ALL.search(spared.sub("", told[stage.name])) for stage in before):
        return ""
    # Yeast that wakes in water is no dough yet: what comes to it then is not added later.
    begun = any(_BEGUN.search(stage.text) or spared.search(stage.text) for stage in before)
    return naming[0].name if begun else ""
