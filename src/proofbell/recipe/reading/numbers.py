"""Numbers and amounts as cooks write them: "1½", "1 1/2", "300-320 ml", "1 x 7g", "half a", "1lb 2oz"."""

from __future__ import annotations

import re
import unicodedata
from typing import Final

from proofbell.recipe.model import Amount
from proofbell.recipe.tables.units import GRAMS, UNIT_WORDS, UNITS

_FRACTION = re.compile(r"(?:(\d)\s?)?([¼-¾⅐-⅞])")
_PLAIN = str.maketrans(
    {"–": "-", "—": "-", "−": "-", "‐": "-", "‑": "-", "×": "x", "⁄": "/", "’": "'", "‘": "'", "“": '"', "”": '"',
     "\u00a0": " ", "\u2009": " ", "\u202f": " ", "\t": " ", "º": "°", "˚": "°", "℃": "°C", "℉": "°F"}
)  # fmt: skip

WORDS: Final = {
    "half a": 0.5, "half an": 0.5, "a half": 0.5, "half": 0.5, "a quarter of a": 0.25, "a quarter": 0.25,
    "three quarters of a": 0.75, "a couple of": 2, "a few": 3, "a dozen": 12, "a": 1, "an": 1, "one": 1, "two": 2,
    "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10, "eleven": 11,
    "twelve": 12, "fifteen": 15, "sixteen": 16, "twenty": 20, "thirty": 30, "forty": 40, "forty-five": 45, "sixty": 60,
}  # fmt: skip
DIGITS: Final = r"(?:\d+\s+\d+/\d+|\d+-\d/\d|\d+/\d+|\d{1,3}(?:,\d{3})+(?!\d)|\d+(?:[.,]\d+)?)"
WORD_NUMBER: Final = "|".join(sorted(WORDS, key=len, reverse=True))
NUMBER: Final = rf"(?:{DIGITS}|(?:{WORD_NUMBER})\b)"
_LEVEL = r"(?:(?P<level>level|heaped|heaping|rounded|scant|generous|good|small|large|big|packed|well-packed)\s+)?"
_AMOUNT = re.compile(
    rf"(?i)(?:(?P<count>{NUMBER})\s*x\s*)?(?P<low>{NUMBER})(?:\s*(?P<unit_low>{UNIT_WORDS})?\s*(?:-|\bto\b|\bor\b)\s*"
    rf"(?P<high>{NUMBER}))?\s*-?\s*{_LEVEL}(?P<unit>{UNIT_WORDS})(?![a-zà-ÿ])"
)
_SHORT = re.compile(rf"(?P<low>{DIGITS})\s*(?P<unit>[TtcC])\.?(?= [a-z])")
_COUNT = re.compile(rf"(?i)(?P<low>{NUMBER})(?:\s*(?:-|\bto\b)\s*(?P<high>{DIGITS}))?(?=\s|$)")
_TIMES = re.compile(
    rf"(?i)(?P<count>{NUMBER})\s+(?:\((?P<inside>[^)]*\d[^)]*)\)\s*(?P<after>packets?|packages?|sachets?|envelopes?)"
    rf"|(?P<direct>{DIGITS}\s*-?\s*(?:g|oz|gram|ounce)s?)\s+(?P<pack>packets?|packages?|sachets?|envelopes?))"
)
_SHORT_UNITS = {"T": "tbsp", "t": "tsp", "c": "cup", "C": "cup"}


def plain(text: str) -> str:
    """Fractions as "1/2", dashes as "-", every space the same, without marks for bold."""

    def spelled(match: re.Match[str]) -> str:
        ratio = unicodedata.normalize("NFKC", match[2]).replace("⁄", "/")
        return f"{match[1]} {ratio}" if match[1] else ratio

    said = _FRACTION.sub(spelled, text.translate(_PLAIN).replace("**", "").replace("__", ""))
    return re.sub(r" +", " ", re.sub(r"(?<=\d) and (?=\d/\d)", " ", said)).strip()


def number(text: str) -> float:
    """The number that a text of the form `NUMBER` stands for."""
    said = " ".join(text.lower().split())
    if said in WORDS:
        return float(WORDS[said])
    if re.fullmatch(r"\d{1,3}(?:,\d{3})+", said):
        return float(said.replace(",", ""))
    if "/" not in said:
        return float(said.replace(",", "."))
    *whole, ratio = re.split(r"[\s-]+", said)
    above, below = ratio.split("/")
    return (float(whole[0]) if whole else 0.0) + (float(above) / float(below) if float(below) else 0.0)


def amount_at(text: str, at: int = 0) -> tuple[Amount, int, str] | None:
    """The amount with a unit that begins at ``at``, where it ends, and what is said of the spoon ("heaped")."""
    packs = _TIMES.match(text, at)
    if packs is not None:
        inside = amount_in(packs["inside"] or packs["direct"])
        if inside is not None and inside.unit in GRAMS:
            return Amount(number(packs["count"]) * inside.low, None, inside.unit), packs.end(), ""
    found = _AMOUNT.match(text, at) or _SHORT.match(text, at)
    if found is None:
        return None
    groups = found.groupdict()
    unit = _SHORT_UNITS.get(groups["unit"]) or UNITS[groups["unit"].lower()]
    times = number(groups["count"]) if groups.get("count") else 1.0
    high = number(groups["high"]) * times if groups.get("high") else None
    amount = Amount(number(groups["low"]) * times, high, unit)
    if amount.unit == "lb" and high is None:
        ounces = re.compile(rf"(?i)\s*,?\s*({DIGITS})\s*(?:oz|ounces?)\b").match(text, found.end())
        if ounces is not None:
            return Amount(amount.low * 16 + number(ounces[1]), None, "oz"), ounces.end(), ""
    return amount, found.end(), groups.get("level") or ""


def amount_in(text: str) -> Amount | None:
    """The first amount with a unit anywhere in the text."""
    found = amounts_in(text)
    return found[0][0] if found else None


def amounts_in(text: str) -> list[tuple[Amount, int, int]]:
    """Every amount with a unit in the text, with where it begins and ends."""
    found: list[tuple[Amount, int, int]] = []
    at = 0
    while at < len(text):
        begins = at == 0 or not (text[at - 1].isalnum() or text[at - 1] in "./,")
        here = amount_at(text, at) if begins and not text[at].isspace() else None
        if here is not None:
            found.append((here[0], at, here[1]))
            at = here[1]
        else:
            at += 1
    return found


def count_at(text: str) -> tuple[Amount, int] | None:
    """A number without a unit at the beginning: "2 eggs", "two eggs"."""
    found = _COUNT.match(text)
    if found is None:
        return None
    high = number(found["high"]) if found["high"] else None
    return Amount(number(found["low"]), high, "each"), found.end()
