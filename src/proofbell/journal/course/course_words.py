"""The course of a formula in a baker's words: what the figures are called, what is marked, the bake's own reasons."""

from __future__ import annotations

from collections.abc import Iterator

from proofbell.frozen import dataclass
from proofbell.journal.course.course import Baked, Changed, Course, Measure, Part, Stretch
from proofbell.journal.course.limits import ENOUGH, Limits
from proofbell.journal.reviews.moments import day, local
from proofbell.words import NOTHING, counted, difference, length, listed, percent, temperature

TITLES: dict[Measure, str] = {
    "kneaded_c": "Dough after kneading",
    "proof_over_plan_s": "Proof against plan",
    "core_c": "Core",
    "bake_s": "Bake time",
    "bake_loss_percent": "Bake loss",
    "points": "Points",
}

CHANGED: dict[Changed, str] = {
    "formula": "another formula text", "kitchen": "another kitchen", "oven": "oven changed", "probe": "probe corrected",
}  # fmt: skip

METHOD = (
    "Mean ± 2.66 × the mean step from bake to bake (individuals chart, ISO 7870-2), from eight bakes on. "
    "Outside the limits, or eight in a row on one side of the mean: worth a look."
)

TELLS_FROM_S = 300.0
"""An oven or a proof that was late by less is no reason. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Finding:
    """What is marked of a measure: the bakes (numbers) from first to last, and the words."""

    measure: Measure
    first: int
    last: int
    words: str


def date(baked: Baked) -> str:
    """``3 Jun 2026``."""
    return day(local(baked.summary.began_us, baked.summary.offset_min))[4:]


def said(measure: Measure, value: float) -> str:
    """A value of a measure with its unit; the proof as what it was longer or shorter."""
    if measure in ("kneaded_c", "core_c"):
        return temperature(value)
    if measure == "points":
        return f"{value:.1f}"
    if measure == "bake_loss_percent":
        return percent(value)
    return ("+" if measure == "proof_over_plan_s" and value > 0 else "") + length(value)


def by_how_much(measure: Measure, by: float) -> str:
    """A difference between two values of a measure, without its sign."""
    if measure in ("kneaded_c", "core_c"):
        return difference(abs(by))
    return said("bake_s" if measure == "proof_over_plan_s" else measure, abs(by))


def span(course: Course, first: int, last: int) -> str:
    """``3 Jun 2026``, or from then to then."""
    begins, ends = date(course.bakes[first]), date(course.bakes[last])
    if begins == ends:
        return begins
    return f"{begins.removesuffix(ends[-5:])} to {ends}"


def reasons(baked: Baked) -> list[str]:
    """What the bake's own log has to say for itself."""
    figures = baked.figures
    told = [] if figures.room_c is None else [f"room {temperature(figures.room_c)}"]
    if figures.oven_late_s >= TELLS_FROM_S:
        told.append(f"oven {length(figures.oven_late_s)} late")
    if figures.over_s >= TELLS_FROM_S:
        told.append(f"proof {length(figures.over_s)} over")
    return [*told, f"note: {figures.note}"] if figures.note else told


def mean_words(measure: Measure, part: Part) -> str:
    """``38 bakes: mean 25.4 °C, limits 24.0 to 26.8 °C``; or that they are too few."""
    bakes = counted(len(part.bakes), "bake")
    if part.limits is None:
        return f"{bakes}: too few for a mean with limits, which takes {ENOUGH}"
    return f"{bakes}: mean {said(measure, part.limits.mean)}, limits {limits_words(measure, part.limits)}"


def limits_words(measure: Measure, limits: Limits) -> str:
    """``24.0 to 26.8 °C``."""
    lower, upper = said(measure, limits.lower), said(measure, limits.upper)
    unit = lower.rpartition(" ")[2]
    same = unit == upper.rpartition(" ")[2] and unit in ("°C", "°F", "%")
    return f"{lower.removesuffix(f' {unit}') if same else lower} to {upper}"


def stretch_words(course: Course, stretch: Stretch) -> str:
    """``3 Jan to 10 Sep 2026``; with what was new then."""
    told = span(course, stretch.first, stretch.last)
    return f"{told} ({changed_words(stretch)})" if stretch.changed else told


def changed_words(stretch: Stretch) -> str:
    """``oven changed and probe corrected``."""
    return listed([CHANGED[what] for what in stretch.changed])


def findings(course: Course, measure: Measure) -> Iterator[Finding]:
    """What is marked of one measure, in order of time."""
    for part in course.series.get(measure, ()):
        yield from sorted(_of_part(course, measure, part), key=lambda found: found.first)


def _of_part(course: Course, measure: Measure, part: Part) -> Iterator[Finding]:
    for number in part.outside:
        baked = course.bakes[number]
        value = baked.value(measure)
        told = f"{NOTHING if value is None else said(measure, value)}, outside the limits"
        yield Finding(measure, number, number, _with_reasons(told, baked))
    for run in part.runs:
        first, last = part.bakes[run.first], part.bakes[run.last]
        told = f"{run.count} in a row {'above' if run.side > 0 else 'below'} the mean"
        shift = part.shift(run)
        if shift is not None and shift * run.side > 0:
            told += f", {by_how_much(measure, shift)} {'more' if run.side > 0 else 'less'} than before"
            told = _with_reasons(told, course.bakes[first])
        yield Finding(measure, first, last, told)


def _with_reasons(told: str, baked: Baked) -> str:
    found = reasons(baked)
    return f"{told} ({'; '.join(found)})" if found else told


def notices(course: Course) -> list[Finding]:
    """What bears on more than one measure: what changed between two bakes, and a probe that may read wrong."""
    found = []
    for stretch in course.stretches:
        if stretch.changed:
            note = course.bakes[stretch.first].figures.note
            told = changed_words(stretch) + (f" (note: {note})" if note else "")
            measure: Measure = "bake_s" if "oven" in stretch.changed else "kneaded_c"
            found.append(Finding(measure, stretch.first, stretch.first, f"{told}; a new mean, new limits"))
    for apart in course.read_apart:
        way = "warmer" if apart.dough_k > 0 else "colder"
        by = listed([by_how_much("kneaded_c", apart.dough_k), by_how_much("core_c", apart.core_k)])
        told = f"from here on dough and core both read {way}, by {by}. One probe reads both: check it in ice water"
        found.append(Finding("core_c", apart.first, apart.first, told))
    return sorted(found, key=lambda one: one.first)


def head_words(course: Course) -> str:
    """``52 bakes, 3 Jan to 28 Dec 2026; 2 more left out``."""
    told = counted(len(course.bakes), "bake")
    told += f", {span(course, 0, len(course.bakes) - 1)}" if course.bakes else ""
    left = "given up, not typical or not readable"
    return told + (f"; {course.left_out} more left out ({left})" if course.left_out else "")
