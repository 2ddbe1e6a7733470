"""A formula that was chosen and sized, or written, on its way from one page to another."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from proofbell.bake.weigh.batch import Batch
from proofbell.formula.model import Formula
from proofbell.frozen import dataclass
from proofbell.journal.learning.use import Use


@dataclass(frozen=True, slots=True)
class Choice:
    """A formula, sized, with what past bakes teach of it."""

    formula: Formula
    batch: Batch
    learned: Use


Take = Callable[[Choice], None]
"""Is handed the choice instead of the bench."""

Written = Callable[[Path, str], None]
"""Is handed the file of a new formula, and what is still open in it."""
