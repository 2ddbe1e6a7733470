"""The heats of a bake in the order of a sentence: "240 °C with steam 15 min, then 215 °C for 28 min"."""

from __future__ import annotations

import re
from typing import Final

from proofbell.recipe.model import BakePhase
from proofbell.recipe.reading.lengths import c_of, heats_in, lengths_in

_STEAM = re.compile(r"(?i)\b(?:steam\w*|with (?:the |a )?lid|lid on|covered|in a (?:lidded|covered) pot)\b")
_CORE = re.compile(r"(?i)\b(?:core|inside|internal|cent(?:er|re)|middle|reads?|probe|thermometer)\b")
_TURNED = re.compile(r"(?i)\b(?:then|turn\w*|reduc\w*|lower\w*|fall\w*|drop\w*)\b")
_DEGREES = re.compile(r"(?i)(\d{2,3})(?:\s*-\s*(\d{2,3}))?\s*(?:°|degrees?)?\s*([CF])\b")
_HOT_OVEN_C: Final = {"very hot oven": 240.0, "hot oven": 220.0, "moderate oven": 180.0, "cool oven": 150.0}
"""Common practice, no source."""


def phases_in(text: str) -> tuple[BakePhase, ...]:
    """The phases of a bake: each heat with the length beside it; a length without a heat keeps the heat before it."""
    heats = [(begin, end, heat.oven_c) for heat, begin, end in heats_in(text) if not _about_core(text, begin, end)]
    lengths = [(begin, end, seconds) for seconds, begin, end in lengths_in(text) if not _sideways(text, begin)]
    if not heats:
        worded = next((degrees for words, degrees in _HOT_OVEN_C.items() if words in text.lower()), None)
        if worded is not None:
            heats = [(0, 0, worded)]
    marks = sorted([(begin, "heat", index) for index, (begin, _, _) in enumerate(heats)]
                   + [(begin, "length", index) for index, (begin, _, _) in enumerate(lengths)])  # fmt: skip
    phases: list[BakePhase] = []
    oven: float | None = None
    seconds: tuple[float, float | None] | None = None
    begun = 0
    for begin, sort, index in marks:
        turned = sort == "heat" and seconds is not None and bool(_TURNED.search(text[begun:begin]))
        closed = turned or (sort == "heat" and oven is not None) or (sort == "length" and seconds is not None)
        if closed and seconds is not None:
            phases.append(BakePhase(oven, seconds, bool(_STEAM.search(text[begun:begin]))))
            oven, seconds, begun = None, None, begin
        if sort == "heat":
            oven = heats[index][2]
        else:
            seconds = lengths[index][2]
    if oven is not None or seconds is not None:
        phases.append(BakePhase(oven, seconds, bool(_STEAM.search(text[begun:]))))
    return tuple(phases)


def core_in(text: str) -> float | None:
    """The core temperature (°C) that the text wants, when it is one: 60 to 105 °C beside a word for the inside."""
    for match in _DEGREES.finditer(text):
        low = float(match[1])
        middle = (low + float(match[2])) / 2 if match[2] else low
        degrees = c_of(middle, match[3])
        if 60 <= degrees <= 105 and _CORE.search(text[max(0, match.start() - 60) : match.end() + 25]):
            return degrees
    return None


def _about_core(text: str, begin: int, end: int) -> bool:
    core = core_in(text[max(0, begin - 60) : end + 25])
    return core is not None and any(heat.oven_c < 105 for heat, first, _ in heats_in(text) if first == begin)


def _sideways(text: str, begin: int) -> bool:
    """A length that is no part of the bake: "turn after 20 minutes"."""
    before = text[max(0, begin - 24) : begin].lower()
    return bool(re.search(r"\b(?:turn(?:ing)? (?:the \w+ )?(?:round )?after|half ?way|every|last|final)\b", before))
