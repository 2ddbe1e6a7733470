"""What was measured, and one table of it."""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass, field


@dataclass(slots=True)
class Samples:
    """Wall and processor time of each run, s; or another amount where the figure is none of time."""

    wall: list[float] = field(default_factory=list)
    processor: list[float] = field(default_factory=list)

    def add(self, wall: float, processor: float | None = None) -> None:
        self.wall.append(wall)
        if processor is not None:
            self.processor.append(processor)


@dataclass(slots=True)
class Figure:
    """Ours and its yardstick's, taken by turns. ``unit``: "ms", or what else stands behind the number.

    ``by_processor``: the two are compared by processor time, which other programs on the machine disturb least.
    """

    name: str
    yardstick: str
    unit: str = "ms"
    by_processor: bool = True
    ours: Samples = field(default_factory=Samples)
    bare: Samples = field(default_factory=Samples)

    def row(self) -> str:
        """Its line of the table; nothing where nothing was taken."""
        ours, bare = self.ours.wall, self.bare.wall
        scale = 1000.0 if self.unit == "ms" else 1.0
        if not ours:
            return f"| {self.name} | not taken |"
        cells = [f"{scale * value:,.{0 if scale * value >= 100 else 1}f}" for value in spread(ours)]
        cells += [_middle(self.ours.processor), "" if not bare else _number(scale * statistics.median(bare))]
        cells += [_middle(self.bare.processor), self._times()]
        return f"| {self.name}, {self.unit} | {len(ours)} | " + " | ".join([*cells, self.yardstick]) + " |"

    def _times(self) -> str:
        pairs = (self.ours.processor, self.bare.processor), (self.ours.wall, self.bare.wall)
        for ours, bare in pairs if self.by_processor else pairs[1:]:
            if ours and bare and statistics.median(bare):
                return f"× {statistics.median(ours) / statistics.median(bare):.2f}"
        return ""


def spread(values: Sequence[float]) -> tuple[float, float, float]:
    """Median, 95th percentile (nearest rank) and worst."""
    return statistics.median(values), sorted(values)[max(0, math.ceil(0.95 * len(values)) - 1)], max(values)


def table(figures: Sequence[Figure]) -> str:
    head = (
        "figure",
        "runs",
        "median",
        "95th",
        "worst",
        "processor, ms",
        "bare",
        "its processor, ms",
        "times",
        "bare is",
    )
    return "\n".join([f"| {' | '.join(head)} |", "|" + " --- |" * len(head), *(figure.row() for figure in figures)])


def _middle(processor: Sequence[float]) -> str:
    return _number(1000 * statistics.median(processor)) if processor else ""


def _number(value: float) -> str:
    return f"{value:,.{0 if value >= 100 else 1}f}"
