"""A formula sized for today: what is weighed, how warm, and what it makes. Frozen into the bake's first event."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class BatchLine:
    """One ingredient to weigh: grams, and the temperature it should have (°C) when that matters."""

    name: str
    grams: float
    temperature_c: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Batch:
    """The weights of one bake. ``ice_g`` is part of the liquid's grams, not on top of them."""

    lines: tuple[BatchLine, ...]
    dough_g: float
    flour_g: float
    pieces: int | None = None
    piece_g: float | None = None
    liquid: str = ""
    liquid_c: float | None = None
    ice_g: float = 0.0
    expected_c: float | None = None
    """The dough temperature that the heat balance expects with this liquid (°C)."""
    rise_k: float | None = None
    """The warming by kneading that the heat balance reckoned with (K)."""
