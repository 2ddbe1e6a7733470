"""Words of a recipe as they are often misspelt by hand, read as what is meant, and said so."""

from __future__ import annotations

import re
from typing import Final

from proofbell.recipe.model import Guess
from proofbell.recipe.reading.line import read_line
from proofbell.recipe.tables.wares import ware_of

_MEANT: Final[tuple[tuple[str, str], ...]] = (
    ("flour", r"(?<!orange )(?<!elder )(?<!rose )flower(?! water| petal| head)|flouer|flowr|flowre"),
    ("yeast", "yest|yeest|yeist|yaest|yeat"),
    ("sugar", "shuger|shugar|suger|sugger|sugr"),
    ("butter", "buter|buttar|buttr|butta"),
    ("milk", "millk"),
    ("water", "watter|warter"),
    ("cream", "creem"),
    ("eggs", "egs"),
    ("cheese", "chese|cheeze"),
    ("currants", "curants|currents|currans"),
    ("raisins", "rasins|raisons|raisens|rasens"),
    ("sultanas", "sultannas|sultaners|saltanas"),
    ("sesame", "seseme|sesami|sessame|sesamy|sesime"),
    ("almonds", "almands|almons|ammonds"),
    ("hazelnuts", "hazlenuts|hazelnutts|hazzelnuts"),
    ("walnuts", "wallnuts|walnutts"),
    ("cinnamon", "cinamon|cinnamin|cinammon|cinnamen"),
    ("cardamom", "cardamon|cardomom|cardomon"),
    ("dough", "dow|doh"),
    ("knead", r"kneed|nead|(?<!you )(?<!will )(?<!ll )need(?= (?:(?:it|the dough|this) )?(?:well|for|until|till|\d))"),
    ("knock", "nock"),
    ("double", "dubble|dubbel|duble"),
    ("again", "agen|agane"),
    ("little", "litle|littel"),
    ("handful", "hand ?full|handfull"),
    ("teaspoon", "teespoon|teaspon|teespon"),
    ("tablespoon", "tabelspoon|tablspoon|tabespoon|tablespon"),
    ("oven", "ovan|uven"),
    ("glaze", "glase|glaize"),
)
"""What is meant, and how it is found written; common practice, no source."""
_PATTERNS: Final = tuple((meant, re.compile(rf"(?i)\b(?:{found})\b")) for meant, found in _MEANT)


def spelled(text: str) -> tuple[str, list[Guess]]:
    """The text in the spelling that is known here, line by line, and each word that was read as another.

    One that names what is in it, in a line with an amount, is asked about; each is told once.
    """
    guesses: list[Guess] = []
    told: set[str] = set()
    lines = text.split("\n")
    for index in range(len(lines)):
        found: list[tuple[str, str]] = []
        for meant, pattern in _PATTERNS:
            match = pattern.search(lines[index])
            if match is not None:
                lines[index] = pattern.sub(meant, lines[index])
                found.append((match[0].lower(), meant))
        for word, meant in found:
            if word not in told:
                told.add(word)
                why = f"spelling: {word} read as {meant}"
                guesses.append(Guess(index + 1, word, meant, why, ask=_listed(lines[index], meant)))
    return "\n".join(lines), guesses


def _listed(line: str, meant: str) -> bool:
    return ware_of(meant) is not None and any(item.amounts for item in read_line(line, 0))
