"""What a bake shows, as text beside its summary, so that learning needs no replay of old bakes."""

from __future__ import annotations

import json
import math

from proofbell.journal.learning.estimate import Shown
from proofbell.journal.learning.evidence import BakeEvidence, Evidence


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
    """Read back what :func:`kept_evidence` wrote."""
    bake, kitchen, formula, items = json.loads(text)
    return BakeEvidence(
        bake,
        kitchen,
        formula,
        tuple(
            Evidence(
                quantity,
                stage,
                Shown(-math.inf if low is None else low, math.inf if high is None else high, doubt),
            )
            for quantity, stage, low, high, doubt in items
        ),
    )


def _bound(value: float) -> float | None:
    return value if math.isfinite(value) else None
