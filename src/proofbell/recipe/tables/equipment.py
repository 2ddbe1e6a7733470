"""What a recipe lists beside its food: tins, towels, bowls, trays, paper. Common practice, no source."""

from __future__ import annotations

import re
from typing import Final

from proofbell.recipe.reading.numbers import NUMBER
from proofbell.recipe.tables.wares import ware_of

_THINGS: Final = (
    r"(?:tea|kitchen|paper|dish) ?towels?|(?:tea ?|dish ?|muslin |linen )?cloths?|kitchen (?:paper|roll|foil)|foil",
    r"(?:baking|greaseproof|parchment|silicone) (?:paper|parchment|sheets?|mats?|liners?|beans)|parchment|paper cases",
    r"cling ?film|plastic (?:wrap|bags?)|(?:freezer|carrier) bags?|shower caps?|string|skewers?",
    r"(?:mixing |large |small |heatproof )?bowls?|jugs?|(?:sauce|frying )?pans?|saucepans?|casseroles?|dutch ovens?",
    r"(?:\w+ )?tins?|(?:loaf|bread|cake|baking|roasting) pans?|(?:baking |oven |roasting )?trays?|baking sheets?",
    r"(?:proving |proofing )?baskets?|bannetons?|(?:wire |cooling )?racks?|peels?|baking (?:stones?|steels?)",
    r"(?:\w+ )?thermometers?|(?:\w+ )?scales?|timers?|rolling ?pins?|(?:pastry |basting )?brush(?:es)?|sieves?",
    r"(?:dough |bench |bowl )?scrapers?|whisks?|spatulas?|wooden spoons?|(?:stand |hand )?mixers?|dough hooks?|razors?",
    r"(?:sharp |bread |serrated )?kni(?:fe|ves)|oven gloves?|measuring (?:spoons?|cups?|jugs?)|moulds?",
)
_LONGEST: Final = 10
_LEAD: Final = re.compile(
    r"(?i)^(?:you(?:'ll| will)?(?: also)? need|(?:special )?equipment|utensils|needed|tools)\b\s*:?\s*"
)
_DONE: Final = re.compile(
    r"(?i)^(?:line|grease|oil|butter|flour|cover|put|place|take|use|prepare|heat|preheat|set|turn|tip|transfer|dust|lay"
    r"|spread|get|wrap|wash|dry|fold|shake|leave|find|pour|fill|clean the|wipe|warm the|remove|return|move"
    r"|cut|brush|whisk|scale|peel)\b"
)
_TAIL: Final = re.compile(r"(?i)\s*(?:[,;(]|\s(?:for|to|lined|or|and|with)\b).*$")
_MEASURE: Final = re.compile(
    rf"(?i)^(?:(?:{NUMBER}|an?|some|your|the|two|three|four|six|few|x|×|by)\s*-?"
    rf"(?:(?:lb|kg|g|oz|litre|l|ml|cm|mm|inch(?:es)?|in)\b|\")?[\s-]*)+"
)
_WHOLE: Final = re.compile(
    rf"(?i)^(?P<before>(?:(?!(?:on|in|into|onto|over|under|to|from|with|of)\b)[a-z'-]+\s+){{0,3}}?)(?:{'|'.join(_THINGS)})$"
)


_JOINT: Final = re.compile(r"(?i)\s*(?:[,;+&•]|\b(?:and|plus|or)\b)\s*(?:and\s+)?(?![^(]*\))")


def without_lead(said: str) -> str:
    """A line without "You will need:" or "Equipment:" before what it lists."""
    return _LEAD.sub("", said)


def is_equipment(said: str, *, led: bool = False) -> bool:
    """Whether a line of a list names things of the kitchen and no food: "two 900g loaf tins", "a scale and a bowl".

    ``led``: it came after "You will need:"; then one thing of the kitchen is enough where no word in it is a food's.
    """
    bare = without_lead(said.strip()).strip(" .")
    if not led and _DONE.match(bare):
        return False
    parts = [part for part in _JOINT.split(bare) if part.strip()]
    if len(parts) < 2:
        return _is_thing(bare)
    things = [_is_thing(part) for part in parts]
    foods = [not thing and ware_of(part) is not None for part, thing in zip(parts, things, strict=True)]
    return all(things) or (led and any(things) and not any(foods)) or (not any(foods) and _is_thing(bare))


def _is_thing(bare: str) -> bool:
    if _DONE.match(bare) or len(bare.split()) > _LONGEST:
        return False
    thing = _WHOLE.match(_MEASURE.sub("", _TAIL.sub("", bare)).strip())
    return thing is not None and ware_of(thing["before"]) is None
