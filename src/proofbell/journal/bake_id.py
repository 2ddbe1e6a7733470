"""Names for new bakes: readable, safe in a file name, and unlike any other."""

from __future__ import annotations

import secrets

from proofbell.bake.stamp import Stamp
from proofbell.file_names import file_stem
from proofbell.journal.reviews.moments import local

MOST = 24


def new_bake_id(formula: str, now: Stamp) -> str:
    """``2026-03-14-harbour-knots-3f2a``: the day, the formula, and four digits of chance."""
    day = f"{local(now.wall_us, now.offset_min):%Y-%m-%d}"
    return f"{day}-{file_stem(formula[:MOST], secrets.token_hex(2))}"
