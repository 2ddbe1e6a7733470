"""What a reading would change, and why one is refused, as lines of the dialog."""

from __future__ import annotations

from textual.content import Content

from proofbell.app.drawing.content import outside, own, wrapped
from proofbell.app.reading.reading_words import Outcome
from proofbell.bake.intents import Refused


def outcome_lines(found: Outcome | None, width: int) -> Content:
    """What the number that stands there would change; None: there is none yet."""
    if found is None:
        return own("Type the number; its effect is shown here.", "$quiet")
    style = "bold $error" if found.refused else "bold $warning" if found.odd else ""
    sign = "✗ " if found.refused else "? " if found.odd else ""
    lines = [
        own("").append(part.stylize(style))
        for number, line in enumerate(found.lines)
        for part in wrapped(outside((sign if number == 0 else "") + line, most=300), width)
    ]
    if found.odd:
        lines.append(own("If it is right, press enter twice.", "bold"))
    return Content("\n").join(lines)


def refusal_lines(refused: Refused) -> Content:
    """Why it is not taken, or not without being asked again."""
    style = "bold $warning" if refused.odd else "bold $error"
    lines = (refused.message, refused.remedy)
    return Content("\n").join(outside(line, most=300).stylize(style) for line in lines if line)
