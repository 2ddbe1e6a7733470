"""Ingredients outside the dough: what goes on the piece, or on tin, tray and basket. How much, and at which stage."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from proofbell.formula.findings import Findings
from proofbell.formula.foods.added_later import check_added_later, refuse_unknown
from proofbell.formula.tables import Draft
from proofbell.formula.text.positions import Path

OUTSIDE = ("finish", "tin")
_WAYS = ("each", "percent", "weight")

BESIDE: Mapping[str, Any] = {
    "if": {"properties": {"use": {"enum": list(OUTSIDE)}}, "required": ["use"]},
    "then": {
        "oneOf": [{"required": [way]} for way in _WAYS],
        "properties": {"heat": {"const": False}, "kind": {"not": {"const": "preferment"}}},
    },
    "else": {
        "oneOf": [{"required": ["percent"]}, {"required": ["weight"]}],
        "properties": {
            "each": False,
            "guess": {"const": False},
            "at": {"anyOf": [{"type": "string"}, {"type": "array", "maxItems": 1}]},
        },
        "dependentSchemas": {"at": {"properties": {"heat": {"const": False}}}},
    },
}
"""What the JSON Schema of an ingredient says of ``use``, ``each`` and ``at``."""


def is_outside(draft: Draft) -> bool:
    """Whether an ingredient is kept out of the dough."""
    return draft.get("use") in OUTSIDE


def dough_paths(findings: Findings) -> list[Path]:
    """Where the dough's ingredients stand in the file, in their order."""
    given: Sequence[Mapping[str, Any]] = findings.tree.get("ingredients", ())
    return [("ingredients", index) for index, each in enumerate(given) if each.get("use") not in OUTSIDE]


def check_outside(
    drafts: Sequence[Draft], stages: Sequence[Draft], size: Draft | None, findings: Findings, *, in_weights: bool
) -> None:
    """Refuse what does not go with where an ingredient is used."""
    for draft in drafts:
        if is_outside(draft):
            _check_amount(draft, size, findings, in_weights=in_weights)
            _check_kind(draft, findings)
            _check_stages(draft, stages, findings)
        elif "use" in draft.given and "use" not in draft.values:
            continue
        elif "each" in draft.given:
            message = '"each" is for what stays out of the dough, and this goes into it.'
            remedy = 'Add use = "finish" (on the piece) or use = "tin"; or take the line out.'
            findings.error(draft.at("each"), message, remedy, at_key=True)
        elif draft.get("guess") is True:
            message, remedy = "What goes into the dough is weighed, and no guess.", "Take guess out."
            findings.error(draft.at("guess"), message, remedy, at_key=True)
    inside = [draft for draft in drafts if not is_outside(draft)]
    check_added_later(inside, stages, size, findings)


def _check_amount(draft: Draft, size: Draft | None, findings: Findings, *, in_weights: bool) -> None:
    """Its amount is given once, and in a way that comes to grams."""
    given = [way for way in _WAYS if way in draft.given]
    if not given:
        sample = 'Add each = "3 g" (for one piece) or percent = 2 (of the flour).'
        findings.error(draft.at("each"), "Nothing says how much of it is wanted.", sample)
    for way in given[1:]:
        message = f'"{way}" says how much once more; "{given[0]}" says it already.'
        findings.error(draft.at(way), message, "Keep one of the two.", at_key=True)
    if given == ["weight"] and not in_weights:
        message = "The dough is in percentages, so a weight alone would not grow with the batch."
        findings.error(draft.at("weight"), message, 'Use each = "3 g" (for one piece) or percent = 2.', at_key=True)
    if given == ["each"] and not ({"pieces", "tin"} & (frozenset() if size is None else size.given)):
        message = "Nothing says how many pieces there are."
        findings.error(
            draft.at("each"), message, "Add pieces to [batch]; or use percent = 2 (of the flour).", at_key=True
        )


def _check_kind(draft: Draft, findings: Findings) -> None:
    use = draft.get("use")
    if draft.get("heat") is True:
        message = f'What is warmed for the dough goes into it; this is use = "{use}".'
        findings.error(draft.at("heat"), message, "Take heat out, and put it on a liquid of the dough.")
    if draft.get("kind") == "preferment":
        message = f'A preferment goes into the dough; this is use = "{use}".'
        findings.error(draft.at("use"), message, "Take use out, or give it another kind.")


def _check_stages(draft: Draft, stages: Sequence[Draft], findings: Findings) -> None:
    refuse_unknown(draft, stages, findings)
    if "at" not in draft.given and stages and not wanted_at(draft, stages):
        missing = "bake" if draft.get("use") == "finish" else "stage of hands before a bake"
        message = f"There is no {missing} that it could be for."
        findings.error(draft.at("at"), message, 'Name the stage before which it is wanted: at = "Cool".')


def wanted_at(draft: Draft, stages: Sequence[Draft]) -> tuple[int, ...]:
    """Before which stages (indices) it is wanted: the named ones; else the bake, or the last hands before it."""
    if "at" in draft.values:
        wanted = {name.casefold() for name in draft.get("at")}
        return tuple(index for index, stage in enumerate(stages) if str(stage.get("name", "")).casefold() in wanted)
    kinds = [stage.get("kind") for stage in stages]
    bake = kinds.index("bake") if "bake" in kinds else len(kinds)
    if draft.get("use") == "finish":
        return (bake,) if bake < len(kinds) else ()
    return tuple(index for index in range(bake) if kinds[index] == "hands")[-1:]
