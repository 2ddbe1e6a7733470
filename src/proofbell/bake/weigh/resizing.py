"""Another size for a bake that is on: the new weights, what is to be added to what is in the bowl, or why it cannot be.

Baker's percentages stay what they are: so much more flour, so much more of everything.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from proofbell.bake.state import BakeState
from proofbell.bake.weigh.batch import Batch, BatchLine
from proofbell.bake.weigh.in_bowl import dough_is, in_bowl_g, is_ripening, waits
from proofbell.bake.weigh.lines import WeighLine
from proofbell.bake.weigh.weigh_out import WeighOut, lines_weighed, weigh_again
from proofbell.dough.weights import Size, SizeWish, shares, size_batch
from proofbell.errors import Failure
from proofbell.formula.model import BatchSize
from proofbell.frozen import dataclass

HAIR = 1e-6
"""What sums of weights may be off by (a share), and still be the same."""

Why = Literal["divided", "fermenting", "in the bowl", "preferment", "the same", "unknown"]


@dataclass(frozen=True, slots=True)
class Changed:
    """One line at another size (g): what was wanted of it, what is wanted now, what is in the bowl of that."""

    line: BatchLine
    before_g: float
    in_bowl_g: float
    step_g: float

    @property
    def add_g(self) -> float:
        """What is still to be weighed into the bowl (g)."""
        return round(max(0.0, self.line.grams - self.in_bowl_g), 6)

    @property
    def over_g(self) -> float:
        """What is in the bowl of it and not wanted (g)."""
        return round(max(0.0, self.in_bowl_g - self.line.grams), 6)


@dataclass(frozen=True, slots=True)
class Resizing:
    """Another size that can be: its batch, line by line, and what its weigh-out warns of that the last did not."""

    batch: Batch
    lines: tuple[Changed, ...]
    least_flour_g: float
    same_dough: bool
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CannotBe:
    """Why a size cannot be. ``over``: what would have to be taken out of the bowl (name, g).

    ``preferment`` and ``there_g``: there is no more of it than that.
    """

    why: Why
    over: tuple[tuple[str, float], ...] = ()
    preferment: str = ""
    there_g: float = 0.0


def resized(state: BakeState, wish: SizeWish, *, same_dough: bool = False) -> Resizing | CannotBe:
    """Return what another size makes of a bake. ``same_dough``: the dough as it is, in other pieces.

    Raises Failure: sizes that contradict each other or make no batch.
    """
    stands = dough_is(state)
    if stands == "divided":
        return CannotBe("divided")
    of_dough = wish == SizeWish(pieces=wish.pieces, piece_g=wish.piece_g)
    if stands == "fermenting" and not of_dough:
        return CannotBe("fermenting")
    same_dough = same_dough or stands == "fermenting"
    size = _size(state, wish, same_dough=same_dough)
    if math.isclose(size.flour_g, state.batch.flour_g):
        # What is not changed stays to the last digit, and with it every rounded weight.
        size = replace(size, flour_g=state.batch.flour_g)
    out = weigh_again(state.formula, state.kitchen, _of_size(state.batch, size))
    if out is None:
        return CannotBe("unknown")
    batch = _with_lines(state, out, same_dough=same_dough)
    least_g = least_flour_g(state)
    there = _there(state, batch)
    out = weigh_again(state.formula, state.kitchen, _of_size(state.batch, size), _inside_g(batch, there)) or out
    if not same_dough:
        if size.flour_g < least_g * (1 - HAIR):
            return CannotBe("in the bowl", _over(_changed(state, batch, there, out)))
        short = _short(state, batch, there, out)
        if short is not None:
            return short
        batch = _no_less(batch, there, out)
    if alike(batch, state.batch):
        return CannotBe("the same")
    before = weigh_on(state)
    known = () if before is None else before.warnings
    warnings = tuple(told for told in out.warnings if told not in known)
    return Resizing(batch, _changed(state, batch, there, out), least_g, same_dough, warnings)


def weigh_on(state: BakeState) -> WeighOut | None:
    """The weigh-out of a bake as it is: after another size, what is too little for the scale is what is to be added."""
    said = state.size_said
    there = None if said is None else _inside_g(state.batch, said.body.in_bowl_g)
    return weigh_again(state.formula, state.kitchen, state.batch, there)


def _inside_g(batch: Batch, there: Sequence[float]) -> dict[tuple[str, str], float]:
    """What of each line is in the dough's or a preferment's bowl (g)."""
    found = zip(batch.lines, there, strict=True)
    return {(line.name, line.into): there_g for line, there_g in found if line.use == "dough"}


def least_flour_g(state: BakeState) -> float:
    """The flour (g) of the smallest size for which nothing need be taken out of the dough's bowl."""
    said, there = state.size_said, in_bowl_g(state)
    dough = [n for n, line in enumerate(state.batch.lines) if _inside(line) and not waits(state, n)]
    if any(0 < state.batch.lines[n].grams <= there[n] for n in dough):
        return state.batch.flour_g
    return said.body.least_flour_g if said is not None and any(there[n] > 0 for n in dough) else 0.0


def sized_as(state: BakeState) -> BatchSize:
    """The size that a bake has, as a file would say it; a wish that says only a part of a size changes that part."""
    batch, total = state.batch, shares(lines_weighed(state.formula, state.batch)).total
    if batch.pieces and batch.piece_g:
        left = batch.pieces * batch.piece_g * 100 / (batch.flour_g * total)
        loss = 100 * (1 - left) if left < 1 - HAIR else 0.0
        return BatchSize(pieces=batch.pieces, piece_g=batch.piece_g, loss_percent=loss)
    return BatchSize(flour_g=batch.flour_g, loss_percent=state.formula.batch.loss_percent)


def _size(state: BakeState, wish: SizeWish, *, same_dough: bool) -> Size:
    lines, usual = lines_weighed(state.formula, state.batch), sized_as(state)
    if not state.batch.flour_g > 0:
        raise Failure("This batch has no flour to go by.", "Its size cannot be worked out again.")
    if not same_dough:
        return size_batch(lines, usual, wish)
    dough_g = state.batch.flour_g * shares(lines).total / 100
    if wish.pieces is not None and wish.piece_g is not None:
        raise Failure(
            "Nothing is added to the dough, so its pieces cannot have both a number and a weight.",
            "Say how many, or the weight of one.",
        )
    return size_batch(lines, usual, replace(wish, dough_g=dough_g))


def _of_size(batch: Batch, size: Size) -> Batch:
    """The batch by its size alone; a loaf that is to weigh something once it is cool does so of its own piece only."""
    same = batch.piece_g is not None and size.piece_g is not None and math.isclose(batch.piece_g, size.piece_g)
    return replace(
        batch,
        flour_g=size.flour_g,
        dough_g=size.dough_g,
        pieces=size.pieces,
        piece_g=size.piece_g,
        loaf_g=batch.loaf_g if same else None,
    )


def alike(one: Batch, other: Batch) -> bool:
    """Whether two batches weigh the same, in the same pieces."""
    if [line.grams for line in one.lines] != [line.grams for line in other.lines] or one.pieces != other.pieces:
        return False
    return math.isclose(one.piece_g or 0.0, other.piece_g or 0.0, rel_tol=HAIR)


Key = tuple[str, str, str, tuple[int, ...]]


def _key(line: BatchLine | WeighLine) -> Key:
    return line.name, line.into, line.use, line.at


def _steps(out: WeighOut) -> dict[Key, float]:
    """In which steps (g) each line is weighed."""
    return {_key(line): line.step_g for bowl in out.bowls for line in bowl.lines}


def _with_lines(state: BakeState, out: WeighOut, *, same_dough: bool) -> Batch:
    """The new batch with the old one's lines in their order, each of its new weight."""
    old, new = state.batch, {_key(line): line for line in out.batch.lines}
    share = out.batch.flour_g / old.flour_g
    lines = []
    for line in old.lines:
        if (same_dough and line.use == "dough") or (line.into and is_ripening(state, line.into)):
            lines.append(line)
        else:
            # A line that the formula's own text does not make today, of an older program's log, grows with the flour.
            lines.append(new.get(_key(line)) or replace(line, grams=round(line.grams * share, 1)))
    dough_g = old.dough_g if same_dough else out.batch.dough_g
    return replace(out.batch, lines=tuple(lines), dough_g=dough_g)


def _there(state: BakeState, batch: Batch) -> tuple[float, ...]:
    """What is in the bowls (g); what waits in its own and is too much for the new ``batch`` is weighed anew."""
    found = enumerate(zip(in_bowl_g(state), batch.lines, strict=True))
    return tuple(0.0 if waits(state, n) and there_g > line.grams else there_g for n, (there_g, line) in found)


def _no_less(batch: Batch, there: Sequence[float], out: WeighOut) -> Batch:
    """The batch with no less of anything than is in the dough's bowl, and its sum kept.

    Rounding to a sum may give a line a step less although the batch has grown; the step then comes off another one.
    """
    lines, steps = list(batch.lines), _steps(out)
    inside = [n for n, line in enumerate(lines) if _inside(line)]
    more_g = 0.0
    for n in inside:
        if there[n] > lines[n].grams:
            more_g += there[n] - lines[n].grams
            lines[n] = replace(lines[n], grams=there[n])
    if not more_g:
        return batch
    exact = {line.name: out.size.flour_g * line.percent / 100 for line in out.lines}
    for n in sorted(inside, key=lambda n: exact.get(lines[n].name, 0.0) - lines[n].grams):
        step_g = steps.get(_key(lines[n]), 1.0)
        if step_g <= more_g + HAIR and lines[n].grams - step_g >= max(there[n], step_g) - HAIR:
            lines[n] = replace(lines[n], grams=round(lines[n].grams - step_g, 6))
            more_g -= step_g
    return replace(batch, lines=tuple(lines), dough_g=round(sum(lines[n].grams for n in inside), 6))


def _changed(state: BakeState, batch: Batch, there: Sequence[float], out: WeighOut) -> tuple[Changed, ...]:
    steps = _steps(out)
    return tuple(
        Changed(new, old.grams, there_g, steps.get(_key(new), 1.0))
        for new, old, there_g in zip(batch.lines, state.batch.lines, there, strict=True)
    )


def _over(lines: Sequence[Changed]) -> tuple[tuple[str, float], ...]:
    return tuple((each.line.name, each.over_g) for each in lines if _inside(each.line) and each.over_g > 0)


def _inside(line: BatchLine) -> bool:
    """Whether it is weighed into the dough's bowl."""
    return line.use == "dough" and not line.into


def _short(state: BakeState, batch: Batch, there: Sequence[float], out: WeighOut) -> CannotBe | None:
    """A preferment that more is wanted of than there is, and that cannot be made more of."""
    steps = _steps(out)
    for name in dict.fromkeys(line.into for line in batch.lines if line.into and is_ripening(state, line.into)):
        parts = [n for n, line in enumerate(batch.lines) if line.into == name]
        there_g = sum(there[n] for n in parts)
        wanted_g = next((line.grams for line in batch.lines if line.name == name and _inside(line)), 0.0)
        # Its parts are rounded one by one, and it as a whole.
        if wanted_g > there_g + sum(steps.get(_key(batch.lines[n]), 1.0) for n in parts):
            return CannotBe("preferment", preferment=name, there_g=there_g)
    return None
