"""The course of a formula as a document for programs."""

from __future__ import annotations

from typing import Any

from proofbell.journal.course.course import MEASURES, Baked, Course, Part
from proofbell.journal.course.good_ones import looks
from proofbell.journal.reviews.moments import iso, local


def document(course: Course) -> dict[str, Any]:
    """All of it in °C, s and percent. ``outside`` and ``runs`` name bakes by their ids."""
    return {
        "formula": course.formula,
        "left_out": course.left_out,
        "bakes": [_baked(baked) for baked in course.bakes],
        "stretches": [
            {
                "first": course.bakes[stretch.first].summary.bake,
                "last": course.bakes[stretch.last].summary.bake,
                "changed": list(stretch.changed),
                "measures": {
                    measure: _part(course, parts[number])
                    for measure, parts in course.series.items()
                    if parts[number].bakes
                },
            }
            for number, stretch in enumerate(course.stretches)
        ],
        "read_apart": [
            {"from": course.bakes[one.first].summary.bake, "dough_k": one.dough_k, "core_k": one.core_k}
            for one in course.read_apart
        ],
        "with_points": [
            {
                "figure": look.name,
                "bakes": look.bakes,
                "correlation": None if look.together is None else look.together.r,
                "low": None if look.together is None else look.together.low,
                "high": None if look.together is None else look.together.high,
                "p": None if look.together is None else look.together.p,
                "counts": look.counts,
            }
            for look in looks(course)
        ],
    }


def _baked(baked: Baked) -> dict[str, Any]:
    summary, figures = baked.summary, baked.figures
    return {
        "bake": summary.bake,
        "began": iso(local(summary.began_us, summary.offset_min)),
        "kitchen": figures.kitchen,
        **{str(measure): baked.value(measure) for measure in MEASURES},
        "room_c": figures.room_c,
        "oven_late_s": figures.oven_late_s,
        "over_s": figures.over_s,
        "note": figures.note,
    }


def _part(course: Course, part: Part) -> dict[str, Any]:
    def bake(number: int) -> str:
        return course.bakes[number].summary.bake

    limits = part.limits
    return {
        "bakes": len(part.bakes),
        "mean": None if limits is None else limits.mean,
        "lower": None if limits is None else limits.lower,
        "upper": None if limits is None else limits.upper,
        "outside": [bake(number) for number in part.outside],
        "runs": [
            {
                "first": bake(part.bakes[run.first]),
                "last": bake(part.bakes[run.last]),
                "bakes": run.count,
                "side": "above" if run.side > 0 else "below",
            }
            for run in part.runs
        ],
    }
