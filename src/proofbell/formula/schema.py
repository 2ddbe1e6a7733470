"""The JSON Schema of a formula file, made of the same tables that the reader uses.

Editors complete and check with it. It knows names, kinds, units and what goes with what; what needs arithmetic
(flours that add up, bands in order) only `proofbell.formula.read` knows.
"""

from __future__ import annotations

from typing import Any

from proofbell.formula.read import FORMULA

DRAFT = "https://json-schema.org/draft/2020-12/schema"


def schema() -> dict[str, Any]:
    """Return the schema as a tree ready for JSON (draft 2020-12)."""
    return {"$schema": DRAFT, "title": "Proofbell formula", **FORMULA.schema()}
