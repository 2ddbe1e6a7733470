"""Ingredients that a sentence of the method names with an amount."""

from __future__ import annotations

import re

from proofbell.recipe.model import Item
from proofbell.recipe.reading.line import read_line
from proofbell.recipe.reading.numbers import NUMBER, amounts_in, plain
from proofbell.recipe.tables.wares import ware_of

_NAME = re.compile(r"\s*(?P<of>of\s+)?(?P<the>(?:the|that|this|your|its|it)\b\s*)?(?P<name>[A-Za-z][A-Za-z' -]*)")
_STOP = re.compile(
    r"(?i)\b(?:and|into|in|with|for|by|to|then|over|on|until|till|from|as|at|or|plus|onto|through"
    r"|round|together|if|which|more|while)\b.*$"
)
_EGGS = re.compile(
    rf"(?i)\b(?P<n>{NUMBER})\s+(?P<name>(?:(?:large|medium|small|beaten|whole)\s+)*(?:eggs?|yolks?"
    rf"|egg yolks?|egg whites?))\b"
)
_KEPT_C = re.compile(r"^\s*\w*\s*at (?:about )?\d+\s*°?\s*[CF]\b")


def mentions(text: str, line: int) -> list[Item]:
    """The ingredients that a sentence names with an amount, in its order."""
    said = plain(text)
    found: list[tuple[int, Item]] = []
    for amount, begin, end in amounts_in(said):
        named = _NAME.match(said, end)
        if named is None:
            continue
        name = _STOP.sub("", named["name"]).strip()
        ware = ware_of(name)
        if ware is None or len(name.split()) > 6 or (named["the"] and ware.kind != "preferment"):
            continue
        rest = said[named.start("name") + len(name) :]
        heat = _KEPT_C.match(rest)
        items = read_line(f"{said[begin:end]} {name}{heat[0] if heat else ''}", line)
        found += [(begin, item) for item in items if item.amounts and item.amounts[0] == amount]
    for match in _EGGS.finditer(said):
        found += [(match.start(), item) for item in read_line(match[0], line)]
    return [item for _, item in sorted(found, key=lambda each: each[0])]
