"""The formula to be as plain values: what its file says, its totals, every guess and all that was not read."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from proofbell.dough.weights import shares
from proofbell.formula.read import load
from proofbell.formula.text.parse import parsed
from proofbell.recipe.draft import Draft


def as_document(draft: Draft, text: str) -> dict[str, Any]:
    """Return the document. ``text`` is the formula's file; weights in g, shares in percent of all flour.

    Raises Failure: the file is refused.
    """
    formula = load(text, draft.name)
    of = shares(formula.ingredients)
    salt = sum(line.percent for line in formula.ingredients if line.kind == "salt")
    return {
        "formula": parsed(text)[0],
        "country": draft.country,
        "totals": {
            "flour_g": None if draft.in_percent else _number(sum(p.amount or 0 for p in draft.dough) * 100 / of.total),
            "dough_g": None if draft.in_percent else _number(sum(part.amount or 0 for part in draft.dough)),
            "hydration_percent": _number(of.hydration),
            "water_percent": _number(of.water),
            "prefermented_percent": _number(of.prefermented),
            "salt_percent": _number(salt),
        },
        "outside": [
            {
                "name": part.name, "kind": part.kind, "use": part.use, "grams": _number(part.amount),
                "each_g": _number(part.each_g), "contains": list(part.contains),
            }
            for part in draft.outside
        ],
        "allergens": list(draft.allergens),
        **({"allergens_unknown": list(draft.unknown)} if draft.unknown else {}),
        "guesses": [
            {"line": each.line, "field": each.field, "value": each.value, "why": each.why, "ask": each.ask}
            for each in draft.guesses
        ],
        "unread": [asdict(each) for each in draft.unread],
    }  # fmt: skip


def _number(value: float | None) -> float | None:
    return None if value is None else round(value, 4)
