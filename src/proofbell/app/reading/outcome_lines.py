"""What can be read, what a reading would change, and why one is refused, as lines of the dialog."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from proofbell.app.drawing.content import outside, own, wrapped
from proofbell.app.reading.reading_words import Outcome
from proofbell.bake.intents import Refused
from proofbell.bake.state import Reading
from proofbell.formula.model import ReadingKind

LONGEST = 1000
"""Characters of a line: a reason with its range and its doubts is told whole."""


def kind_lines(kinds: Sequence[ReadingKind], at: int, corrects: Reading | None) -> Content:
    """What can be read, with the one that is chosen; or which reading is put right."""
    if corrects is not None:
        return outside(f"{corrects.what}: {corrects.typed} was entered; it stays in the log", most=120)
    lines = [
        own(f"{'▸' if index == at else ' '} {kind}", "bold" if index == at else "$quiet")
        for index, kind in enumerate(kinds)
    ]
    return Content("\n").join(lines)


def outcome_lines(found: Outcome | None, width: int, eye: str = "") -> Content:
    """What the number that stands there would change, or a judgement by ``eye``; None: there is none yet."""
    if found is None:
        return own("Type the number; its effect is shown here.", "$quiet")
    style = "bold $error" if found.refused else "bold $warning" if found.odd else ""
    sign = "✗ " if found.refused else "? " if found.odd else ""
    lines = [
        own("").append(part.stylize(style))
        for number, line in enumerate(found.lines)
        for part in wrapped(outside((sign if number == 0 else "") + line, most=LONGEST), width)
    ]
    if eye and not found.refused:
        lines.insert(0, own(f"By eye: {eye}. Enter takes it.", "bold"))
    if found.odd:
        lines.append(own("If it is right, press enter twice.", "bold"))
    return Content("\n").join(lines)


def refusal_lines(refused: Refused) -> Content:
    """Why it is not taken, or not without being asked again."""
    style = "bold $warning" if refused.odd else "bold $error"
    lines = (refused.message, refused.remedy)
    return Content("\n").join(outside(line, most=LONGEST).stylize(style) for line in lines if line)
