"""What a bake shows, as text beside its summary, so that learning needs no replay of old bakes."""

from __future__ import annotations

import json
import math

from proofbell.journal.learning.estimate import Shown
from proofbell.journal.learning.evidence import BakeEvidence, Evidence
from proofbell.journal.learning.quantities import QUANTITIES


def kept_evidence(found: BakeEvidence) -> str:
    """As JSON text; empty when the bake shows nothing. A bound that is not there is null."""
    if not found.items:
        return ""
    items = [
        [item.quantity, item.stage, _bound(item.shown.low), _bound(item.shown.high), item.shown.doubt]
        for item in found.items
    ]
    return json.dumps([found.bake, found.kitchen, found.formula, items], ensure_ascii=True)


def evidence_from(text: str) -> BakeEvidence:
    """Read back what :func:`kept_evidence` wrote. Raises ValueError: this was never written so."""
    try:
        bake, kitchen, formula, items = json.loads(text)
        found = BakeEvidence(bake, kitchen, formula, tuple(_item(*item) for item in items))
    except (TypeError, RecursionError) as error:
        raise ValueError(str(error)) from error
    if not all(isinstance(name, str) for name in (bake, kitchen, formula)):
        raise ValueError("a name is no text")
    return found


def _item(quantity: object, stage: object, low: object, high: object, doubt: object) -> Evidence:
    name = next((name for name in QUANTITIES if name == quantity), None)
    if name is None or not isinstance(stage, str):
        raise ValueError("no such habit")
    return Evidence(name, stage, Shown(_number(low, -math.inf), _number(high, math.inf), _number(doubt)))


def _number(value: object, missing: float | None = None) -> float:
    if value is None and missing is not None:
        return missing
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise ValueError(f"{value!r} is no number")
    return float(value)


def _bound(value: float) -> float | None:
    return value if math.isfinite(value) else None
