"""What the page for editing says: faults beside their lines, and one line for each figure. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from proofbell.app.drawing.content import outside, own
from proofbell.app.session.formula_files import where
from proofbell.app.widgets.rows import columns
from proofbell.bake.weigh.weigh_out import WeighOut, weigh_out
from proofbell.errors import Failure
from proofbell.faults import Fault
from proofbell.formula.editing.comments import comments_beside
from proofbell.formula.editing.figures import Figure
from proofbell.formula.model import Formula
from proofbell.formula.report import MOST_SHOWN, marked
from proofbell.kitchen.model import Kitchen
from proofbell.words import counted, grams

OWNER, WRITTEN = 22, 16

_MOVED = 1e-3
"""What is written is rounded: so much (a share) is no change of the others."""


def checked(faults: Sequence[Fault], text: str) -> list[Content]:
    """Each fault: where and what, its line as it stands, how to put it right. Faults come before warnings."""
    lines = text.split("\n")
    ordered = sorted(faults, key=lambda fault: not fault.is_error)
    shown = [part for fault in ordered[:MOST_SHOWN] for part in _one(fault, lines)]
    left = len(faults) - MOST_SHOWN
    return [*shown, own(f"… and {left} more")] if left > 0 else shown


def _one(fault: Fault, lines: Sequence[str]) -> list[Content]:
    sign, style = ("✗", "$text-error") if fault.is_error else ("!", "$text-warning")
    parts = [Content.assemble(own(f"{sign} ", style), outside(where(fault), most=120).stylize(f"bold {style}"))]
    if 0 < fault.line <= len(lines) and lines[fault.line - 1].strip():
        line = marked(lines[fault.line - 1], fault.column, fault.length)
        parts.append(own(f"  {fault.line:>4}  ", "dim") + outside(line, most=200))
    parts.append(outside(f"  {fault.message} {fault.remedy}".rstrip(), most=500))
    return parts


def outdated(changed: Sequence[Figure], text: str) -> list[Content]:
    """Comments with figures beside what was changed: nobody but their writer knows whether they still hold."""
    return [
        Content.assemble(
            own(f"! Line {one.line}: the comment may no longer hold: ", "bold $text-warning"), outside(each, most=200)
        )
        for one in changed
        for each in comments_beside(text, one)
    ]


def is_share(figure: Figure) -> bool:
    """Whether it is a share of the flour, in place of which a weight may be typed."""
    return figure.path[0] == "ingredients" and figure.path[2:] == ("percent",)


def flour_g(formula: Formula, kitchen: Kitchen) -> float | None:
    """All the flour (g) of a formula's own batch; None where it has no size."""
    try:
        return weigh_out(formula, kitchen).size.flour_g
    except Failure:
        return None


def follows(before: Formula, after: Formula, changed: str, kitchen: Kitchen) -> str:
    """What another amount of one ingredient does to the batch; nothing where all stays.

    "12 pieces of 86 g, before 85 g."; where a tin says how much dough there is, that the other amounts change.
    """
    try:
        one, other = weigh_out(before, kitchen), weigh_out(after, kitchen)
    except Failure:
        return ""
    was_g, is_g = (_exact_g(out, changed) for out in (one, other))
    if abs(is_g - was_g) > _MOVED * was_g:
        moved = "shrink" if is_g < was_g else "grow"
        return f"The tin takes the dough that it takes: the other amounts {moved}."
    first, then = (out.size.piece_g or out.size.dough_g for out in (one, other))
    if abs(then - first) <= 1e-6 * first:
        return ""
    step_g = 1.0 if abs(then - first) >= 1 else 0.1 if abs(then - first) >= 0.1 else 0.01
    told, was = (grams(each, 1.0 if abs(each - round(each)) < step_g / 2 else step_g) for each in (then, first))
    if other.size.piece_g is None:
        return f"{told} of dough, before {was}."
    return f"{counted(other.size.pieces or 1, 'piece')} of {told}, before {was}."


def _exact_g(out: WeighOut, changed: str) -> float:
    """The weight of all of the dough but one ingredient (g), before it is rounded for the scale."""
    return sum(out.size.flour_g * line.percent / 100 for line in out.lines if line.name != changed)


def verdict(faults: Sequence[Fault]) -> str:
    """``2 faults, 1 warning``; ``no faults``."""
    errors = sum(fault.is_error for fault in faults)
    odd = len(faults) - errors
    said = [counted(count, noun) for count, noun in ((errors, "fault"), (odd, "warning")) if count]
    return ", ".join(said) or "no faults"


def figure_line(figure: Figure, above: Figure | None, *, changed: bool, width: int) -> Content:
    """Owner, what it is, how it is written; the owner once, above its first figure."""
    owner = (
        "" if above is not None and above.path[:2] == figure.path[:2] and above.owner == figure.owner else figure.owner
    )
    if figure.path[0] not in ("ingredients", "stages"):
        owner = "" if above is not None and above.owner == figure.owner else figure.owner
    unit = " %" if figure.path[-1] == "percent" else ""
    written = outside(figure.written + unit)
    return columns(
        [
            (outside(owner), min(OWNER, width // 3)),
            (outside(figure.words).stylize("dim"), 0),
            (written.stylize("bold") if changed else written, -WRITTEN),
            (own("*" if changed else "", "bold $accent"), 1),
        ],
        width,
    )
