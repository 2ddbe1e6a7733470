"""A week, or any other span: what was baked, how much flour, how long oven and hands were busy, what was given up."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from proofbell.frozen import dataclass
from proofbell.journal.reviews.figures import Figures, figures_from
from proofbell.journal.reviews.moments import day, iso, local
from proofbell.journal.reviews.summary import Summary
from proofbell.words import NOTHING, counted, grams, length


@dataclass(frozen=True, slots=True)
class OfFormula:
    """What was finished of one formula. ``points`` is the mean of the bakes that have some."""

    formula: str
    bakes: int
    pieces: int
    flour_g: float
    points: float | None


@dataclass(frozen=True, slots=True)
class Week:
    """All that was begun from the first day to the last, both included.

    ``flour_g`` is of all of it, ``lost_g`` of what was given up. ``oven_s`` is how long the oven was on, for two bakes
    at once counted once; ``hands_s`` how long hands were at the stages that need them. ``given_up`` has why, in the
    baker's words. ``not_read`` bakes have a log that cannot be read.
    """

    first: date
    last: date
    formulas: tuple[OfFormula, ...]
    flour_g: float
    lost_g: float
    oven_s: float
    hands_s: float
    given_up: tuple[tuple[Summary, str], ...]
    unfinished: tuple[Summary, ...]
    not_read: int

    @property
    def bakes(self) -> int:
        """How many were finished."""
        return sum(each.bakes for each in self.formulas)


def week(summaries: Iterable[Summary], first: date, last: date) -> Week:
    """Sum up the bakes whose first stage began on those days, by the clock of the place they were made at."""
    found = [each for each in summaries if first <= local(each.began_us, each.offset_min).date() <= last]
    found.sort(key=lambda each: (each.began_us, each.bake))
    read = figures_from([each.figures for each in found])
    known = [(each, figures) for each, figures in zip(found, read, strict=True) if figures is not None]
    lost = [(each, figures) for each, figures in known if each.outcome == "given up"]
    finished = [(each, figures) for each, figures in known if each.outcome == "finished"]
    return Week(
        first=first,
        last=last,
        formulas=_by_formula(finished),
        flour_g=math.fsum(figures.flour_g for _, figures in known),
        lost_g=math.fsum(figures.flour_g for _, figures in lost),
        oven_s=_together_us([span for _, figures in known for span in figures.ovens_us]) / 1_000_000,
        hands_s=math.fsum(figures.hands_s for _, figures in known),
        given_up=tuple((each, figures.why) for each, figures in lost),
        unfinished=tuple(each for each, _ in known if not each.outcome),
        not_read=len(found) - len(known),
    )


def _by_formula(finished: Sequence[tuple[Summary, Figures]]) -> tuple[OfFormula, ...]:
    names = sorted({each.formula for each, _ in finished}, key=str.casefold)
    return tuple(_of_formula(name, [one for one in finished if one[0].formula == name]) for name in names)


def _of_formula(name: str, made: Sequence[tuple[Summary, Figures]]) -> OfFormula:
    scores = [each.score for each, _ in made if each.score is not None]
    return OfFormula(
        formula=name,
        bakes=len(made),
        pieces=sum(each.pieces or 0 for each, _ in made),
        flour_g=math.fsum(figures.flour_g for _, figures in made),
        points=math.fsum(scores) / len(scores) if scores else None,
    )


def _together_us(spans: Iterable[tuple[int, int]]) -> int:
    """How long any of the spans lasts (µs): what they share is counted once."""
    total, until = 0, -math.inf
    for begin, end in sorted(spans):
        if end > until:
            total += end - int(max(begin, until))
            until = end
    return total


def head(found: Week) -> tuple[str, str]:
    """From when to when; and all of it in one line."""
    begins, ends = (day(local(_midday_us(each), 0)) for each in (found.first, found.last))
    flour = f"flour {grams(found.flour_g)}" + (f" ({grams(found.lost_g)} of it given up)" if found.lost_g else "")
    when = begins if found.first == found.last else f"{begins} to {ends}"
    return when, f"{counted(found.bakes, 'bake')}, {flour}, oven {length(found.oven_s)}, hands {length(found.hands_s)}"


COLUMNS = ("formula", "bakes", "pieces", "flour", "points")


def rows(found: Week) -> list[tuple[str, ...]]:
    """A row for each formula."""
    return [
        (
            each.formula, str(each.bakes), str(each.pieces or NOTHING), grams(each.flour_g),
            NOTHING if each.points is None else f"{each.points:.1f}",
        )
        for each in found.formulas
    ]  # fmt: skip


def remarks(found: Week) -> list[str]:
    """What did not come to its end, and why."""
    told = [
        f"{day(local(each.began_us, each.offset_min))}: {each.formula} given up" + (f": {why}" if why else "")
        for each, why in found.given_up
    ]
    if found.unfinished:
        told.append(f"Still on the bench: {', '.join(each.formula for each in found.unfinished)}")
    if found.not_read:
        told.append(f"{counted(found.not_read, 'bake')} whose log cannot be read left out: proofbell journal verify")
    return told


def week_json(found: Week) -> dict[str, Any]:
    """All of it in g and s."""
    return {
        "from": found.first.isoformat(),
        "to": found.last.isoformat(),
        "bakes": found.bakes,
        "flour_g": found.flour_g,
        "lost_g": found.lost_g,
        "oven_s": found.oven_s,
        "hands_s": found.hands_s,
        "formulas": [
            {
                "formula": each.formula,
                "bakes": each.bakes,
                "pieces": each.pieces,
                "flour_g": each.flour_g,
                "points": each.points,
            }
            for each in found.formulas
        ],
        "given_up": [
            {
                "bake": each.bake,
                "formula": each.formula,
                "began": iso(local(each.began_us, each.offset_min)),
                "why": why,
            }
            for each, why in found.given_up
        ],
        "unfinished": [each.bake for each in found.unfinished],
        "not_read": found.not_read,
    }


def _midday_us(at: date) -> int:
    return (at - date(1970, 1, 1)).days * 86_400_000_000 + 43_200_000_000
