"""The weigh-out by bowl: what goes into preferments, into the dough, then and later, into tins and onto the pieces."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import Literal

from proofbell.bake.weigh.lines import WeighLine, parts_named
from proofbell.formula.model import Formula, Use
from proofbell.frozen import dataclass

Vessel = Literal["preferment", "dough", "tin", "finish"]


@dataclass(frozen=True, slots=True)
class Bowl:
    """What is weighed together. ``at``: the stage (its index) that it is for; None where the file does not tell.

    ``name`` is the preferment's.
    """

    vessel: Vessel
    at: int | None
    lines: tuple[WeighLine, ...]
    name: str = ""

    def words(self, stages: Sequence[str]) -> str:
        """What it is and which of the ``stages`` (their names) it is for: ``On the pieces, before Bake``."""
        wanted = sorted({index for line in self.lines for index in line.at})
        return bowl_words(self.vessel, self.name, self.at, wanted, stages)


def bowl_words(vessel: Vessel, name: str, at: int | None, wanted: Sequence[int], stages: Sequence[str]) -> str:
    """The same of its parts; ``wanted``: the stages (indices) that its lines name."""
    told = name or {"dough": "Dough", "tin": "Tins and trays", "finish": "On the pieces"}[vessel]
    if wanted and vessel != "dough":
        return f"{told}, before {' and '.join(stages[index] for index in wanted)}"
    at = wanted[0] if wanted else at
    return told if at is None else f"{told}, for {stages[at]}"


def bowls(formula: Formula, lines: Sequence[WeighLine]) -> tuple[Bowl, ...]:
    """Return the bowls: the preferments', the dough's in the order of their stages, tins, pieces."""
    inside = tuple(line for line in lines if line.use == "dough" and not line.into)
    parts = [line for line in lines if line.into]
    names = list(dict.fromkeys(line.into for line in parts))
    found = [
        Bowl("preferment", _made_at(formula, name), tuple(line for line in parts if line.into == name), name)
        for name in names
    ]
    found.append(Bowl("dough", formula.dough_begins, tuple(line for line in inside if not line.at)))
    later = sorted({line.at for line in inside if line.at})
    found += [Bowl("dough", at[0], tuple(line for line in inside if line.at == at)) for at in later]
    rest = sorted((line for line in lines if line.use != "dough"), key=_when)
    for (at, use), each in groupby(rest, key=_when):
        if use != "dough":
            found.append(Bowl(use, min(at, default=None), tuple(each)))
    return tuple(found)


def _when(line: WeighLine) -> tuple[tuple[int, ...], Use]:
    return line.at, line.use


def _made_at(formula: Formula, name: str) -> int | None:
    """The first of the stages that make a preferment; None where the file does not tell."""
    return next((index for index, stage in enumerate(formula.stages) if stage.made_for == name), None)


def weighed_names(formula: Formula) -> list[str]:
    """Return the names of a batch's lines, in their order: the dough's, what preferments are stirred from, the rest."""
    names = [line.name for line in formula.ingredients]
    for line in formula.ingredients:
        if line.made_of is not None and line.percent > 0:
            names += [f"{name} for the {line.name}" for name, _, _ in parts_named(line.made_of)]
    return names + [line.name for line in formula.outside]
