"""What another size changes, line by line: what was weighed of each, what is now, what is in the bowl, what to add."""

from __future__ import annotations

from textual.content import Content

from proofbell.app.drawing.content import outside, own
from proofbell.app.widgets.rows import columns
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.bowls import Vessel, bowl_words
from proofbell.bake.weigh.resizing import Changed, Resizing
from proofbell.bake.weigh.ways_words import piece_note
from proofbell.words import weight


def change_lines(state: BakeState, found: Resizing, width: int) -> list[Content]:
    """A head, and a line for each thing to weigh, by bowl, in the order of the weigh-out."""
    poured = any(each.in_bowl_g > 0 for each in found.lines)
    lines = [_line(own("into the bowl"), ("now", "then", "there", "add") if poured else ("now", "then"), width, "dim")]
    for number, bowl in enumerate(found.batch.bowls):
        first = found.lines[bowl[0]].line
        if number or first.into or first.use != "dough":
            stages = [stage.name for stage in state.formula.stages]
            vessel: Vessel = "preferment" if first.into else first.use
            lines.append(outside(bowl_words(vessel, first.into, None, first.at, stages)).stylize("bold $accent"))
        for index in bowl:
            each = found.lines[index]
            told = [_told(each, each.before_g), _told(each, each.line.grams)]
            if poured:
                told += [_told(each, each.in_bowl_g), _told(each, each.add_g)]
            lines.append(_line(outside(each.line.name), tuple(told), width, "bold" if each.add_g else "dim"))
    return lines


def _told(changed: Changed, value_g: float) -> str:
    return weight(value_g, min(1.0, changed.step_g)) if value_g > 0 else "–"


def _line(name: Content, told: tuple[str, ...], width: int, style: str) -> Content:
    return columns([(name.stylize(style), 0), *((own(each, style), -9) for each in told)], width)


def notes_of(state: BakeState, found: Resizing) -> list[Content]:
    """What the weigh-out of the new size warns of, and what its pieces want."""
    words = [*found.warnings, piece_note(state, found.batch)]
    return [Content.assemble(own("! ", "bold $warning"), outside(each, most=300)) for each in words if each][:2]
