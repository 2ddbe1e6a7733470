"""The list of bakes as lines to read: one for each bake, and what stands over them."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from proofbell.app.drawing.content import outside, own
from proofbell.app.widgets.rows import columns
from proofbell.journal.recovery.verify import Verdict
from proofbell.journal.reviews.moments import day, local
from proofbell.journal.reviews.summary import Summary
from proofbell.words import NOTHING, counted, temperature

WIDE = 100
LEGEND = "✎ corrected   ≠ not typical   ? wants a score   … not finished   ✗ part unread"


def line_of(summary: Summary, width: int, *, marked: bool) -> Content:
    score = NOTHING if summary.score is None else f"{summary.score:.1f}"
    style = "dim" if summary.outcome == "given up" else ""
    name = outside(summary.formula).stylize(style)
    date = day(local(summary.began_us, summary.offset_min))[4:]
    date = date[:-4] + date[-2:] if width < WIDE else date
    return columns(
        [
            (own("●" if marked else " ", "bold $accent"), 1),
            (own(date.rjust(9)), 9 if width < WIDE else 11),
            (name, 0),
            (outside(summary.size.removesuffix(" dough")), -11),
            (own("" if summary.dough_c is None else temperature(summary.dough_c)), -7),
            (own(_proof(summary)), -11),
            (own(score, "bold"), -4),
            (own(_signs(summary)), 3),
        ],
        width,
    )


def head(width: int) -> Content:
    cells = [
        ("", 1),
        ("date", 9 if width < WIDE else 11),
        ("formula", 0),
        ("size", -11),
        ("dough", -7),
        ("proof, min", -11),
        ("pts", -4),
        ("", 3),
    ]
    return columns([(own(name), size) for name, size in cells], width)


def _proof(summary: Summary) -> str:
    """All proofs together, as planned and as they were, in minutes."""
    planned = round(summary.proof_planned_s / 60)
    if not planned and summary.proof_actual_s is None:
        return ""
    actual = NOTHING if summary.proof_actual_s is None else str(round(summary.proof_actual_s / 60))
    return f"{planned} → {actual}"


def _signs(summary: Summary) -> str:
    """✎ corrected, ≠ not typical, ? still wants a score, ✗ a log that cannot be read to its end, … not finished."""
    return (
        "✎" * summary.corrected
        + "≠" * (not summary.typical and not summary.fault)
        + "?" * summary.wants_score
        + "✗" * bool(summary.fault)
        + "…" * (not summary.outcome and not summary.fault)
    )


def nothing(any_bakes: bool) -> str:  # noqa: FBT001 - there are some, or none
    """What stands there when no line does."""
    if any_bakes:
        return "No bake matches. x clears the filters."
    return "No bakes yet. Press esc, then a on the bench, to begin the first."


def title_words(
    everything: Sequence[Summary], shown: Sequence[Summary], far: tuple[int, int] | None, how: Sequence[str]
) -> str:
    """How many are shown of how many, or how far they are read; ``how`` they are sorted; how many want a score."""
    count = f"{len(everything):,} {'bake' if len(everything) == 1 else 'bakes'}"
    count = f"{len(shown):,} of {count}" if len(shown) != len(everything) else count
    count = f"{far[0]:,} of {far[1]:,} bakes read" if far is not None else count
    unscored = sum(summary.wants_score for summary in everything)
    wanting = [f"{unscored} {'wants' if unscored == 1 else 'want'} a score"] if unscored else []
    return "   ".join([count, *how, *wanting])


def verdict_words(verdict: Verdict) -> tuple[str, bool]:
    """What a check of the whole journal found, and whether something is wrong."""
    if not verdict.problems:
        newer = f" {counted(len(verdict.newer), 'bake')} from a newer Proofbell: only that one can read all of it."
        words = f"All is well: {verdict.bakes:,} bakes, {verdict.events:,} events, every digest matches." + (
            newer if verdict.newer else ""
        )
        return words, False
    more = len(verdict.problems) - 1
    rest = f" And {more} more: proofbell journal verify lists them." if more else ""
    return f"{verdict.problems[0]}.{rest} Keep the file as it is; compare it with a backup.", True
