"""When a bake is done inside: the core temperatures that are wanted, whose word they are, and what a reading says."""

from __future__ import annotations

from dataclasses import dataclass

from proofbell.bake.state import BakeState
from proofbell.dough.done import core_band
from proofbell.dough.probe import expected_boiling_c
from proofbell.dough.safety import egg_core_caution
from proofbell.formula.model import Formula, Style
from proofbell.kitchen.model import Kitchen
from proofbell.words import temperature


@dataclass(frozen=True, slots=True)
class CoreWanted:
    """Core temperatures (°C) from which and up to which a bake is done.

    ``style`` is set when nobody but the dough's style says so: the formula itself gives none.
    """

    low_c: float
    high_c: float
    style: Style | None = None

    @property
    def words(self) -> str:
        """``88 to 94 °C``; ``93 to 98 °C, usual for lean dough`` when it is the style's."""
        return self.band + self.whose

    @property
    def band(self) -> str:
        """``88 to 94 °C``."""
        return f"{self.least} to {_bare(self.high_c)} °C"

    @property
    def least(self) -> str:
        """``88``."""
        return _bare(self.low_c)

    @property
    def whose(self) -> str:
        """Nothing for the formula's own; ``, usual for lean dough`` for the style's."""
        return "" if self.style is None else f", usual for {self.style} dough"

    @property
    def at_least(self) -> str:
        """The lowest that will do, in words."""
        if self.style is None:
            return f"it should be {self.least} °C or more"
        return f"{self.least} °C or more is usual for {self.style} dough"


def core_wanted(formula: Formula, kitchen: Kitchen, index: int) -> CoreWanted | None:
    """The core temperatures that a stage is baked to: its own, or else its style's; None when neither says any.

    The style speaks for the last bake only: a loaf that is baked twice need not be done the first time. Its band stays
    below the boiling point of water in this kitchen.
    """
    stage = formula.stages[index]
    if stage.core is not None:
        return CoreWanted(*stage.core)
    last = max((i for i, each in enumerate(formula.stages) if each.kind == "bake"), default=None)
    if index != last:
        return None
    band = core_band(
        formula.style,
        boiling_c=expected_boiling_c(altitude_m=kitchen.altitude_m, pressure=kitchen.pressure_hpa),
    )
    return None if band is None else CoreWanted(band.low_c, band.high_c, formula.style)


def core_in(state: BakeState, index: int) -> CoreWanted | None:
    """The same for a stage of a bake."""
    return core_wanted(state.formula, state.kitchen, index)


def core_says(state: BakeState, index: int | None, value_c: float) -> tuple[str, ...]:
    """What a core reading (°C) says of the bake: done or not yet, and the caution for a dough with egg."""
    said: list[str] = []
    wanted = None if index is None else core_in(state, index)
    if wanted is not None:
        verdict = (
            "not done yet" if value_c < wanted.low_c else "done" if value_c <= wanted.high_c else "hotter than wanted"
        )
        said.append(f"Core {temperature(value_c)}: {verdict}; {wanted.words}.")
    if any(line.kind == "egg" for line in state.formula.ingredients):
        caution = egg_core_caution(value_c, state.kitchen.region)
        said += [] if caution is None else [caution.text]
    return tuple(said)


def _bare(value_c: float) -> str:
    return f"{round(value_c, 1):g}"
