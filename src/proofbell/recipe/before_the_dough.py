"""What stands before there is a dough: yeast that wakes, oats or seeds that soak, flour that rests with its water."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from proofbell.recipe.model import Step
from proofbell.recipe.naming import GUESS_MIN, MINUTE_S
from proofbell.recipe.reading.signs import without_signs
from proofbell.recipe.tables.wares import FLOUR, ROWS

_LONGEST_WAKE_S: Final = 20 * MINUTE_S
_LONGEST_BESIDE_S: Final = 60 * MINUTE_S
"""A soak of up to an hour is told with the mixing: hands are near it, and all is weighed at once."""
_YEAST: Final = re.compile(r"(?i)\byeast\b")
_SOAK: Final = re.compile(r"(?i)\b(?:soak|steep|swell|soften|plump)")
_BEGUN: Final = re.compile(
    r"(?i)\b(?:flours?|dough|levain|leaven|starter|poolish|sponge|biga|everything|ingredients)\b"
)
_RAISES: Final = re.compile(
    r"(?i)\b(?:yeast|levain|leaven|starter|poolish|sponge|biga|sour|sourdough|pre-?ferment|everything|ingredients"
    r"|(?:all|the) (?:the )?rest)\b"
)
_SCATTERED: Final = re.compile(r"(?i)\b(?:sprinkl|scatter|dust)\w*")
_DRY: Final = re.compile(r"(?i)\b(?:salt|yeast|sugar|seeds?|fruit|raisins|nuts)\b")


def sprinkled_in(steps: list[Step]) -> list[Step]:
    """Salt or yeast sprinkled over what is still to be mixed goes into the dough, and not on the piece."""
    shaped = next((index for index, step in enumerate(steps) if step.act in ("divide", "shape", "bake")), len(steps))
    begun = [index for index, step in enumerate(steps[:shaped]) if step.act in ("mix", "knead", "fold")]
    last = max(begun, default=0)
    return [
        replace(step, act="mix")
        if index < last and step.act == "finish" and _SCATTERED.search(step.text) and _DRY.search(step.text)
        else step
        for index, step in enumerate(steps)
    ]


def raised_later(steps: list[Step]) -> list[Step]:
    """Flour and water that are left to stand before anything that raises them is in are at rest, and do not prove."""
    adding = ("mix", "knead", "fold", "wake")
    raised = next((i for i, each in enumerate(steps) if each.act in adding and _RAISES.search(_told(each))), None)
    if raised is None or not any(step.act in adding and _BEGUN.search(step.text) for step in steps[:raised]):
        return steps
    return [
        replace(step, act="rest") if index < raised and step.act == "proof" and step.rise_percent is None else step
        for index, step in enumerate(steps)
    ]


def mixed_first(steps: list[Step]) -> list[Step]:
    """A dough that is told to begin with its rest, "autolyse flour and water", is mixed before it."""
    first = steps[0] if steps else None
    if first is None or first.act != "rest" or not FLOUR.search(first.text):
        return steps
    return [replace(first, act="mix", seconds=None, until=""), *steps]


def _told(step: Step) -> str:
    return without_signs(step.text)


def soaking(steps: list[Step]) -> list[Step]:
    """What soaks before the yeast and flour are named wakes no yeast: a short soak is part of the mixing."""
    found: list[Step] = []
    for index, step in enumerate(steps):
        before = [each for each in found if each.act != "finish"]
        alone = all(each.act in ("mix", "soak") for each in before)
        text = " ".join(without_signs(each.text) for each in (*before, step))
        plain = alone and _soaks(text) and not _YEAST.search(text) and not _BEGUN.search(text)
        later = any(each.act in ("mix", "knead") for each in steps[index + 1 :])
        short = step.seconds is not None and step.seconds[0] <= _LONGEST_BESIDE_S
        if step.act == "soak" and (short or step.seconds is None or not plain):
            found.append(_beside(step, []))
        elif step.act in ("proof", "rest") and plain and (before or _soaks(step.text)) and short and later:
            found = [each for each in found if each.act == "finish"] + [_beside(step, before)]
        else:
            found.append(step)
    return found


def _soaks(text: str) -> bool:
    """Whether something is named that takes up water: by the verb, or oats, seeds, fruit."""
    return _SOAK.search(text) is not None or any(ware.kind == "other" and words.search(text) for words, ware in ROWS)


def _beside(step: Step, before: list[Step]) -> Step:
    """The soak as mixing, with the time that mixing itself takes."""
    text = ". ".join(each.text.rstrip(".") for each in (*before, step))
    if step.seconds is None:
        return replace(step, act="mix", text=text)
    low, high = step.seconds
    more = GUESS_MIN["mix"] * MINUTE_S
    return replace(step, act="mix", text=text, seconds=(low + more, None if high is None else high + more))


def waking(steps: list[Step]) -> list[Step]:
    """Yeast stirred into water and left to foam is one stage, however it is told; flour that is left so rests."""
    standing = next((i for i, step in enumerate(steps) if step.act in ("proof", "wake", "rest")), None)
    if standing is None:
        return steps
    step = steps[standing]
    before = [each for each in steps[:standing] if each.act != "finish"]
    short = step.seconds is not None and step.seconds[0] <= _LONGEST_WAKE_S
    wakes = step.act == "wake" or (
        step.act == "proof"
        and short
        and all(each.act == "mix" for each in before)
        and any(each.act in ("mix", "knead") for each in steps[standing + 1 :])
    )
    if not wakes:
        return steps
    told = " ".join(each.text for each in (*before, step))
    if step.act == "proof" and _BEGUN.search(told) and not _YEAST.search(told):
        return [*steps[:standing], replace(step, act="rest"), *steps[standing + 1 :]]
    if step.act == "wake" and not short and step.seconds is not None:
        return steps
    text = ". ".join(each.text for each in (*before, step))
    return [replace(step, act="wake", text=text), *steps[standing + 1 :]]
