"""Two bakes side by side, of one formula or of two: what differs stands out, and what is large is put into words.

Everything is said of the second bake against the first. What counts as large is common practice, no source: more than
a probe's tolerance of 1 °C, five minutes or a tenth of a stage's time, a twentieth of an ingredient.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from proofbell.bake.state import BakeState
from proofbell.formula.dough_stages import STANDS
from proofbell.formula.model import Formula, Ingredient
from proofbell.frozen import dataclass
from proofbell.journal.faults import Problem
from proofbell.journal.reviews.figures import cores_c
from proofbell.journal.reviews.review import BakeReview, StageReview
from proofbell.journal.reviews.score_sheet import line_named
from proofbell.journal.reviews.wording import longer_words, warmer_words
from proofbell.words import NOTHING, grams, length, percent, temperature, weight

Group = Literal["formula", "batch", "temperatures", "times", "results"]

LARGE_K = 1.0
LARGE_S, LARGE_SHARE = 300.0, 0.1
LARGE_INGREDIENT = 0.05
LARGE_POINTS = 2.0
LARGE_LOSS = 1.5


@dataclass(frozen=True, slots=True)
class Line:
    """One thing of both bakes, in words. ``differs`` at all; ``large``: it stands out, and ``sentence`` says it.

    ``brief`` is both in fewer words, for where there is little room.
    """

    group: Group
    what: str
    left: str
    right: str
    differs: bool
    large: bool
    sentence: str = ""
    brief: tuple[str, str] | None = None


@dataclass(frozen=True, slots=True)
class Comparison:
    """Both bakes, line by line, and a plain sentence for each large difference."""

    left: BakeReview
    right: BakeReview
    lines: tuple[Line, ...]
    sentences: tuple[str, ...]

    @property
    def problems(self) -> tuple[tuple[str, Problem], ...]:
        """Which bake (its id) cannot be read to its end, and why."""
        return tuple((side.state.id, problem) for side in (self.left, self.right) for problem in side.problems)


def compare(left: BakeReview, right: BakeReview) -> Comparison:
    """Compare two bakes: formula, batch, temperatures, times and results, in that order."""
    lines = (
        *_formula(left.state.formula, right.state.formula),
        *_batch(left.state, right.state),
        *_temperatures(left, right),
        *_times(left, right),
        *_results(left, right),
    )
    return Comparison(left, right, lines, tuple(line.sentence for line in lines if line.large and line.sentence))


def _formula(left: Formula, right: Formula) -> Iterator[Line]:
    yield _text("formula", "name", left.name, right.name)
    if left.digest or right.digest:
        same = left.digest == right.digest
        yield Line("formula", "text", left.digest[:8] or NOTHING, right.digest[:8] or NOTHING, not same, large=False)
    ours, theirs = _by_name(left), _by_name(right)
    for key in [*ours, *(key for key in theirs if key not in ours)]:
        yield _ingredient(ours.get(key), theirs.get(key))
    outside = [{each.name: _amount(each) for each in formula.outside} for formula in (left, right)]
    for name in dict.fromkeys([*outside[0], *outside[1]]):
        yield _text("formula", name, *(amounts.get(name, NOTHING) for amounts in outside))


def _amount(each: Ingredient) -> str:
    return percent(each.percent) if each.each_g is None else f"{weight(each.each_g)} a piece"


def _by_name(formula: Formula) -> dict[str, Ingredient]:
    return {ingredient.name.casefold(): ingredient for ingredient in formula.ingredients}


def _ingredient(left: Ingredient | None, right: Ingredient | None) -> Line:
    name = (left or right).name if left or right else ""  # type: ignore[union-attr]
    ours, theirs = (left.percent if left else None), (right.percent if right else None)
    sentence = ""
    large = ours is None or theirs is None
    if ours is not None and theirs is not None:
        large = abs(theirs - ours) > LARGE_INGREDIENT * max(ours, theirs)
        sentence = f"{name} {percent(theirs)} of the flour rather than {percent(ours)}"
    elif theirs is not None:
        sentence = f"{name} {percent(theirs)}, which the first does not have"
    elif ours is not None:
        sentence = f"no {name}, of which the first has {percent(ours)}"
    return Line("formula", name, percent(ours), percent(theirs), ours != theirs, large, sentence)


def _batch(left: BakeState, right: BakeState) -> Iterator[Line]:
    ours, theirs = left.batch, right.batch
    yield _text("batch", "dough", grams(ours.dough_g), grams(theirs.dough_g))
    yield _text("batch", "pieces", *(NOTHING if n is None else str(n) for n in (ours.pieces, theirs.pieces)))
    yield _degrees("batch", "liquid", "liquid", ours.liquid_c, theirs.liquid_c)
    if ours.ice_g or theirs.ice_g:
        yield _text("batch", "ice", grams(ours.ice_g), grams(theirs.ice_g))


def _temperatures(left: BakeReview, right: BakeReview) -> Iterator[Line]:
    yield _degrees("temperatures", "room", "room", left.state.kitchen.room_c, right.state.kitchen.room_c)
    yield _degrees("temperatures", "dough", "dough", _first_dough_c(left), _first_dough_c(right))
    for ours, theirs in _pairs(left, right):
        if ours.kind in STANDS:
            pair = _dough_in(left, ours), _dough_in(right, theirs)
            if pair != (None, None):
                # Said together with the stage's time, below.
                yield _degrees("temperatures", f"dough in {ours.name}", "", *pair)
    ours_c, theirs_c = (next(reversed(cores_c(side.state)), None) for side in (left, right))
    yield _degrees("temperatures", "core", "core", ours_c, theirs_c)


def _times(left: BakeReview, right: BakeReview) -> Iterator[Line]:
    paired = list(_pairs(left, right))
    for ours, theirs in paired:
        yield _stage_time(left, right, ours, theirs)
    yield from _alone(left, {ours.index for ours, _ in paired}, first=True)
    yield from _alone(right, {theirs.index for _, theirs in paired}, first=False)
    total = tuple(side.end_s if side.state.closed else None for side in (left, right))
    yield Line("times", "from opening to close", length(total[0]), length(total[1]), total[0] != total[1], large=False)


def _alone(side: BakeReview, paired: set[int], *, first: bool) -> Iterator[Line]:
    for stage in side.stages:
        if stage.index not in paired:
            words = (length(stage.actual_s), NOTHING) if first else (NOTHING, length(stage.actual_s))
            sentence = f"without {stage.name}" if first else f"with {stage.name}"
            yield Line("times", stage.name, *words, differs=True, large=True, sentence=sentence)


def _stage_time(left: BakeReview, right: BakeReview, ours: StageReview, theirs: StageReview) -> Line:
    brief = (length(ours.actual_s), length(theirs.actual_s))
    words = [
        NOTHING if stage.actual_s is None else f"{length(stage.actual_s)} (planned {length(stage.planned_s)})"
        for stage in (ours, theirs)
    ]
    if ours.actual_s is None or theirs.actual_s is None or ours.left_off or theirs.left_off:
        return Line("times", ours.name, words[0], words[1], words[0] != words[1], large=False, brief=brief)
    change_s = theirs.actual_s - ours.actual_s
    large = abs(change_s) >= max(LARGE_S, LARGE_SHARE * ours.actual_s)
    sentence = f"{ours.name} {longer_words(change_s)}"
    here, there = _dough_in(left, ours), _dough_in(right, theirs)
    if here is not None and there is not None and abs(there - here) >= LARGE_K / 2:
        sentence += f" at {warmer_words(there - here)}"
        large = large or abs(there - here) >= LARGE_K
    return Line("times", ours.name, words[0], words[1], abs(change_s) >= 30, large, sentence, brief)


def _results(left: BakeReview, right: BakeReview) -> Iterator[Line]:
    known = not (left.problems or right.problems)
    yield _text("results", "outcome", *(_outcome(side) for side in (left, right)), large=known)
    yield _number("results", "score", left.score, right.score, LARGE_POINTS / 2, "points")
    ours = {score.line: score.points for score in left.state.scores}
    theirs = {score.line: score.points for score in right.state.scores}
    for name in [*ours, *(name for name in theirs if name not in ours)]:
        label = name if line_named(name) else f"{name} (another sheet)"
        yield _number("results", label, ours.get(name), theirs.get(name), LARGE_POINTS, "points")
    yield _number(
        "results", "lost on bowl and bench, %", left.make_up_loss_percent, right.make_up_loss_percent, LARGE_LOSS
    )
    yield _number("results", "lost in the oven, %", left.bake_loss_percent, right.bake_loss_percent, LARGE_LOSS)


def _outcome(side: BakeReview) -> str:
    return "not all of it read" if side.problems else side.outcome


def _pairs(left: BakeReview, right: BakeReview) -> Iterator[tuple[StageReview, StageReview]]:
    """Stages that belong together: of the same name, else the next of the same kind that no name claims."""
    by_name = {stage.name.casefold(): stage for stage in right.stages}
    named = {stage.name.casefold() for stage in left.stages} & set(by_name)
    spare = [stage for stage in right.stages if stage.name.casefold() not in named]
    for stage in left.stages:
        if stage.name.casefold() in named:
            yield stage, by_name[stage.name.casefold()]
            continue
        alike = next((other for other in spare if other.kind == stage.kind), None)
        if alike is not None:
            spare.remove(alike)
            yield stage, alike


def _first_dough_c(side: BakeReview) -> float | None:
    return next((r.value for r in side.state.readings if r.what == "dough temperature" and r.value is not None), None)


def _dough_in(side: BakeReview, stage: StageReview) -> float | None:
    values = [r.value for r in side.state.readings_in(stage.index, "dough temperature") if r.value is not None]
    return values[0] if values else None


def _text(group: Group, what: str, left: str, right: str, *, large: bool = False) -> Line:
    differs = left != right
    return Line(group, what, left, right, differs, large and differs, f"{right} rather than {left}")


def _degrees(group: Group, what: str, word: str, left: float | None, right: float | None) -> Line:
    change = None if left is None or right is None else right - left
    large = change is not None and abs(change) >= LARGE_K
    sentence = "" if change is None or not word else f"{word} {warmer_words(change)}"
    return Line(group, what, temperature(left), temperature(right), left != right, large, sentence)


def _number(group: Group, what: str, left: float | None, right: float | None, large: float, unit: str = "") -> Line:
    words = [NOTHING if value is None else f"{value:.1f}".removesuffix(".0") for value in (left, right)]
    if left is None or right is None:
        return Line(group, what, words[0], words[1], left != right, large=False)
    change = right - left
    way = ("better" if change > 0 else "worse") if unit else ("more" if change > 0 else "less")
    amount = f"{abs(change):.1f}".removesuffix(".0")
    unit = "point" if unit == "points" and amount == "1" else unit
    sentence = f"{what.removesuffix(', %')} {amount} {unit or '%'} {way}"
    return Line(group, what, words[0], words[1], left != right, abs(change) >= large, sentence)
