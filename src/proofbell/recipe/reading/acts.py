"""What a clause of the method does, by its words: the first row that is in it holds."""

from __future__ import annotations

import re
from typing import Final

from proofbell.recipe.model import Act

_ACTS: Final[tuple[tuple[Act, str], ...]] = (
    ("oven", r"(?:pre-?heat|heat|turn on|set|light)\b.*\boven|\bpre-?heat|^(?:the )?oven (?:to|at|on)\b"),
    ("rest", r"(?:take|bring|remove|lift).*\b(?:out of|from) the (?:fridge|refrigerator|cold)"),
    ("finish", r"\b(?:brush|sprinkle|scatter|glaze|dust the|dust with|egg wash|slash|score|snip|seed|paint|spray)\b"),
    (
        "bake",
        (
            r"(?<!before )(?<!before you )\bbak(?:e|ed|ing)\b"
            r"(?! (?:tray|sheet|paper|parchment|stone|tin|powder|soda|dish))"
            r"|\bin a (?:very )?hot oven\b"
            r"|\binto the oven\b|^(?:uncover|lid off|without (?:the )?lid|with (?:the )?lid)"
        ),
    ),
    ("cool", r"\bcool\b(?! place| room| spot| larder)|\bcooling\b|\bwire rack\b"),
    ("chill", r"\b(?:chill|refrigerate|retard|fridge|refrigerator|cold[- ]proof|cold prove)\w*\b"),
    (
        "wake",
        (
            r"\b(?:activate|bloom|wake)\b|\bproof the yeast\b|\b(?:until|till) (?:foamy|frothy|bubbl"
            r"|it (?:froths|foams))"
        ),
    ),
    ("soak", r"\b(?:soak|steep)(?:s|ing)?\b"),
    ("knead", r"\bknead(?:ing|ed)?\b(?!ed dough)|\bwork (?:it|the dough)\b|\bdough hook\b|\bslap\b"),
    ("fold", r"\bfold(?:s|ed|ing)?\b|\bstretch and fold|\bcoil"),
    (
        "divide",
        (
            r"\b(?:divide|halve|quarter|portion|cut (?:it |the dough |them )?(?:in|into)|split (?:it "
            r"|the dough )?into|scale)\b"
        ),
    ),
    (
        "shape",
        (
            r"\b(?:pre-?shape|shape|round|mould|mold|roll|form|plait|braid|knock (?:it |the dough )?back"
            r"|punch (?:it |the dough )?down"
            r"|knock down|degas|deflate|flatten|stretch|dimple|pat|press|twist|knot|coil into)\b|^ball\b"
        ),
    ),
    (
        "proof",
        r"\b(?:prove|proves|proving|proof|proofing|rise|rises|rising|ferment\w*|ripen|ripens|ripening|bulk|double|doubled|doubles)\b",
    ),
    ("rest", r"(?<!the )\brest(?:ed|ing)?\b(?! of)|\bautolys[et]\w*\b|\brelax\b"),
    (
        "mix",
        (
            r"\b(?:place|put)\b.*\b(?:flour|ingredients|everything|yeast)\b|\b(?:into|in) the mixer\b"
            r"|\b(?:mix|combine|stir|whisk|add|rub|tip|pour|bring (?:it |everything )?together|cream"
            r"|crumble|dissolve|beat|make a well"
            r"|sift|incorporate|blend|fold in|weigh|sieve|work in|melt|feed|refresh|build)\b"
        ),
    ),
    ("proof", r"\b(?:stand|leave|set aside|wait|sit|set (?:it|the \w+) aside)\b"),
)
PATTERNS: Final = tuple((act, re.compile(words, re.IGNORECASE)) for act, words in _ACTS)
