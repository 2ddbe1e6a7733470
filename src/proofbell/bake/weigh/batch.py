"""A formula sized for today: what is weighed, how warm, and what it makes. Frozen into the bake's first event."""

from __future__ import annotations

from itertools import groupby

from proofbell.formula.model import TinKind, Use
from proofbell.frozen import dataclass
from proofbell.words import grams, volume


@dataclass(frozen=True, slots=True)
class BatchLine:
    """One ingredient to weigh: grams, and the temperature it should have (°C) when that matters.

    ``use``: in the dough or outside it. ``at``: the stage (its index) at which it goes into the dough, none where it
    does as the dough begins; outside the dough, the stages before which it is wanted. ``into``: the preferment that
    it is stirred into. ``measure``: the same in a cook's measure, in words. ``guess``: its amount is one. None of these
    was kept at first.
    """

    name: str
    grams: float
    temperature_c: float | None = None
    note: str = ""
    use: Use = "dough"
    at: tuple[int, ...] = ()
    into: str = ""
    measure: str = ""
    guess: bool = False


@dataclass(frozen=True, slots=True)
class Batch:
    """The weights of one bake. ``ice_g`` is part of the liquid's grams, not on top of them."""

    lines: tuple[BatchLine, ...]
    dough_g: float
    flour_g: float
    pieces: int | None = None
    piece_g: float | None = None
    liquid: str = ""
    liquid_c: float | None = None
    ice_g: float = 0.0
    expected_c: float | None = None
    """The dough temperature that the heat balance expects with this liquid (°C)."""
    rise_k: float | None = None
    """The warming by kneading that the heat balance reckoned with (K)."""
    rise_from: str = ""
    """Whose figure that was, a ``RiseFrom`` of the weigh-out; not kept at first."""
    rise_range_k: tuple[float, float] | None = None
    """The range of that warming (K), where one is known."""
    loaf_g: float | None = None
    """What one loaf is to weigh once it is cool (g), when the batch was sized by that."""
    tin_ml: float | None = None
    """The tin that each piece goes into (ml): the one asked for, or the formula's. Neither was kept at first."""
    tin_kind: TinKind | None = None
    in_tin: int | None = None
    """How many pieces go into one tin, where the formula says."""

    @property
    def bowls(self) -> tuple[tuple[int, ...], ...]:
        """The lines (their indices) by what they are weighed into: preferments, the dough now and later, the rest."""
        lines = self.lines
        order = sorted(range(len(lines)), key=lambda n: (_rank(lines[n]), lines[n].at, lines[n].use))

        def together(index: int) -> tuple[object, ...]:
            line = lines[index]
            return line.into, line.use, line.at

        return tuple(tuple(each) for _, each in groupby(order, key=together))

    def wanted_at(self, stage: int, use: Use) -> tuple[BatchLine, ...]:
        """What goes into the dough later, at a stage (its index); onto the pieces, or onto the tins, before it."""
        return tuple(line for line in self.lines if line.use == use and stage in line.at)

    @property
    def made_for(self) -> str:
        """What it was sized for, in words: ``loaves of 800 g once cool in tins of 2420 ml``; or nothing."""
        loaves = "" if self.loaf_g is None else f"loaves of {grams(self.loaf_g)} once cool"
        tins = "" if self.tin_ml is None else f"tins of {volume(self.tin_ml)}"
        if tins and self.in_tin is not None:
            tins += f", {self.in_tin} in each"
        return " in ".join(part for part in (loaves, tins) if part)


def _rank(line: BatchLine) -> int:
    return 0 if line.into else 1 if line.use == "dough" else 2
