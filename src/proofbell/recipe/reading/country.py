"""Whose measures a recipe speaks in: decided once for the whole of it, for a tablespoon alone cannot tell."""

from __future__ import annotations

import re
from typing import Final

from proofbell.recipe.model import Country

NAMES: Final[dict[Country, str]] = {"uk": "British", "us": "American", "au": "Australian", "metric": "metric"}

_SIGNS: Final[tuple[tuple[Country, int, str], ...]] = (
    ("us", 3, r"\b(?:all[- ]purpose|AP flour|confectioner|powdered sugar|heavy cream|half and half|kosher)\b"),
    ("us", 3, r"\d+\s*°?\s*F\b|\bdegrees F\b|°F"),
    ("us", 3, r"\bsticks?\b|\benvelopes?\b|\bpackets?\b(?=.{0,12}(?:active|yeast))|\bquarts?\b"),
    ("us", 2, r"\b(?:color|flavor|leveled|mold|braid|skillet|stand mixer|plastic wrap|center|yogurt)\b"),
    ("us", 1, r"\bcups?\b|\b(?:bread|whole wheat) flour\b|\bpan\b"),
    ("uk", 3, r"\b(?:gas\s*(?:mark\s*)?\d|strong (?:white |brown |plain )*(?:bread )?flour|pints?\b)"),
    (
        "uk",
        2,
        (
            r"\b(?:caster|sachets?|prove|proving|worktop|cling film|fast-action|golden syrup|treacle"
            r"|knock(?:ed)? back)\b"
        ),
    ),
    ("uk", 1, r"\bfan\b|\btins?\b|\bwholemeal\b|\boz\b|\blb\b|\btsp\b"),
    ("au", 4, r"fan[- ]forced|\b59\s?g eggs?\b|\b250 ?ml cups?\b|\b20 ?ml tablespoons?\b|\bbaker'?s flour\b"),
    (
        "au",
        2,
        (
            r"\bbench\b(?=.*\bcups?\b)|\bcups?\b(?=.*\bbench\b)|cups?\b.{0,20}\d\s?g\b.*caster|\blukewarm\b.*\bcaster\b.*\bcups?\b"
        ),
    ),
    (
        "metric",
        3,
        (r"\d+\s*dl\b|\bmsk\b|\btsk\b|\btype\s*\d{3,4}\b|\bT\s?(?:45|55|65|80|110|150)\b|\bcubes?\b(?=.{0,12}yeast)"),
    ),
    ("metric", 2, r"\d+\s*°\s*C\b"),
    ("metric", 2, r"\d+\s*cl\b|top and bottom heat|\b(?:550|1050|405|812|1150)\b"),
)
_PATTERNS = tuple((country, weight, re.compile(words, re.IGNORECASE | re.DOTALL)) for country, weight, words in _SIGNS)


def country_of(text: str) -> tuple[Country, str]:
    """The country whose measures are meant, and the words that say so; metric (5, 15, 250 ml) without a sign."""
    scores: dict[Country, int] = dict.fromkeys(NAMES, 0)
    seen: dict[Country, list[str]] = {country: [] for country in NAMES}
    for country, weight, pattern in _PATTERNS:
        found = pattern.search(text)
        if found is not None:
            scores[country] += weight
            seen[country].append(" ".join(found[0].split())[:24])
    best = max(scores, key=lambda country: scores[country])
    if scores[best] == 0:
        return "metric", "nothing says whose measures these are"
    return best, ", ".join(f'"{word}"' for word in seen[best][:3])
