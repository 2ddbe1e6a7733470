"""The course of one formula over all its bakes: each figure with its mean and limits, anew where something changed."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from operator import attrgetter
from typing import Literal

from proofbell.frozen import dataclass
from proofbell.journal.course.limits import Limits, Run, individuals, outside, runs
from proofbell.journal.reviews.figures import Figures, figures_from
from proofbell.journal.reviews.summary import Summary

Measure = Literal["kneaded_c", "proof_over_plan_s", "core_c", "bake_s", "bake_loss_percent", "points"]
Changed = Literal["formula", "kitchen", "oven", "probe"]

TOGETHER = 3
"""Two shifts that begin at most so many bakes apart are one."""


@dataclass(frozen=True, slots=True)
class Baked:
    """One bake of the formula that was finished and is typical."""

    summary: Summary
    figures: Figures

    def value(self, measure: Measure) -> float | None:
        """What it measured, in the measure's unit; None when it did not."""
        return _VALUES[measure](self)


def _over_plan_s(baked: Baked) -> float | None:
    actual_s = baked.summary.proof_actual_s
    return None if actual_s is None else actual_s - baked.summary.proof_planned_s


_VALUES: dict[Measure, Callable[[Baked], float | None]] = {
    "kneaded_c": attrgetter("figures.kneaded_c"),
    "core_c": attrgetter("figures.core_c"),
    "proof_over_plan_s": _over_plan_s,
    "bake_s": attrgetter("figures.bake_s"),
    "bake_loss_percent": attrgetter("figures.bake_loss_percent"),
    "points": attrgetter("summary.score"),
}

MEASURES: tuple[Measure, ...] = tuple(_VALUES)
"""In the order in which they are shown: what one probe reads stands together."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """The bakes from ``first`` to ``last`` (numbers), made alike; ``changed`` is what is new since the bake before."""

    first: int
    last: int
    changed: tuple[Changed, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """One measure in one stretch: the bakes (numbers) that have it, its limits, and which are marked.

    ``outside`` holds numbers of bakes. ``runs`` count among ``bakes``.
    """

    bakes: tuple[int, ...]
    values: tuple[float, ...]
    limits: Limits | None
    outside: tuple[int, ...]
    runs: tuple[Run, ...]

    def shift(self, run: Run) -> float | None:
        """By how much a run's mean is above that of all before it in the stretch; None of the first."""
        if run.first == 0:
            return None
        among, before = self.values[run.first : run.last + 1], self.values[: run.first]
        return math.fsum(among) / len(among) - math.fsum(before) / len(before)


@dataclass(frozen=True, slots=True)
class Apart:
    """From which bake (number) on dough and core are read by how much more than before in the stretch (K)."""

    first: int
    dough_k: float
    core_k: float


@dataclass(frozen=True, slots=True)
class Course:
    """One formula's bakes, the oldest first. ``left_out`` were given up, not typical, or not readable.

    ``read_apart``: where dough and core, which one probe reads, both begin a run to the same side.
    """

    formula: str
    bakes: tuple[Baked, ...]
    left_out: int
    stretches: tuple[Stretch, ...]
    series: dict[Measure, tuple[Part, ...]]
    read_apart: tuple[Apart, ...]


def course(formula: str, summaries: Iterable[Summary]) -> Course:
    """The course of the bakes of that very name."""
    named = sorted((s for s in summaries if s.formula == formula), key=lambda s: (s.began_us, s.bake))
    closed = [summary for summary in named if summary.outcome or summary.fault]
    finished = [s for s in closed if s.outcome == "finished" and s.typical and not s.fault]
    read = figures_from([summary.figures for summary in finished])
    bakes = tuple(Baked(s, found) for s, found in zip(finished, read, strict=True) if found is not None)
    stretches = _stretches(bakes)
    series: dict[Measure, tuple[Part, ...]] = {}
    for measure in MEASURES:
        values = [*map(_VALUES[measure], bakes)]
        if any(value is not None for value in values):
            series[measure] = tuple(_part(values, stretch) for stretch in stretches)
    return Course(formula, bakes, len(closed) - len(bakes), stretches, series, _read_apart(series))


_SETTING = attrgetter("formula_mark", "kitchen", "oven_mark", "probe")


def _stretches(bakes: Sequence[Baked]) -> tuple[Stretch, ...]:
    begins: list[tuple[int, tuple[Changed, ...]]] = []
    before: Figures | None = None
    for number, baked in enumerate(bakes):
        now = baked.figures
        changed = () if before is None or _SETTING(before) == _SETTING(now) else _changed(before, now)
        if before is None or changed:
            begins.append((number, changed))
        before = now
    ends = [first - 1 for first, _ in begins[1:]] + [len(bakes) - 1]
    return tuple(Stretch(first, last, changed) for (first, changed), last in zip(begins, ends, strict=False))


def _changed(before: Figures, now: Figures) -> tuple[Changed, ...]:
    differs: tuple[tuple[Changed, bool], ...] = (
        ("formula", before.formula_mark != now.formula_mark),
        ("kitchen", before.kitchen != now.kitchen),
        ("oven", before.oven_mark != now.oven_mark),
        ("probe", before.probe != now.probe),
    )
    return tuple(what for what, different in differs if different)


def _part(values: Sequence[float | None], stretch: Stretch) -> Part:
    there = [(n, v) for n in range(stretch.first, stretch.last + 1) if (v := values[n]) is not None]
    numbers, known = tuple(n for n, _ in there), tuple(v for _, v in there)
    limits = individuals(known)
    if limits is None:
        return Part(numbers, known, None, (), ())
    return Part(numbers, known, limits, tuple(numbers[at] for at in outside(known, limits)), runs(known, limits))


def _read_apart(series: dict[Measure, tuple[Part, ...]]) -> tuple[Apart, ...]:
    found = []
    for dough, core in zip(series.get("kneaded_c", ()), series.get("core_c", ()), strict=False):
        for one in dough.runs:
            first, dough_k = dough.bakes[one.first], dough.shift(one)
            for other in core.runs:
                core_k = core.shift(other)
                near = other.side == one.side and abs(first - core.bakes[other.first]) <= TOGETHER
                if near and dough_k is not None and core_k is not None and dough_k * core_k > 0 < dough_k * one.side:
                    found.append(Apart(first, dough_k, core_k))
    return tuple(found)


def formulas_like(summaries: Iterable[Summary], named: str) -> list[str]:
    """The formulas that a name may mean: that very one, else those with it in their name, the most baked first."""
    counts: dict[str, int] = {}
    for summary in summaries:
        counts[summary.formula] = counts.get(summary.formula, 0) + 1
    wanted = named.strip().casefold()
    by_count = sorted(counts, key=lambda name: (-counts[name], name))
    return [n for n in by_count if n.casefold() == wanted] or [n for n in by_count if wanted in n.casefold()]
