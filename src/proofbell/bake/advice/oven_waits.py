"""An oven that was turned on long before its bread goes in: whether it is turned off until then."""

from __future__ import annotations

from proofbell.bake.heats import first_heat_c, hot_at_s, takes_s
from proofbell.bake.outlook import next_bake
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask
from proofbell.frozen import dataclass

LONG_S = 1200.0
"""An oven that waits no longer than this for its bread is nobody's worry: common practice, no source."""


@dataclass(frozen=True, slots=True)
class OvenWaits:
    """The oven was said to be on for the bake ``stage``, whose bread goes in ``gap_s`` from now.

    ``heat_s`` is what it takes from cold (s), ``hot_s`` when it is hot (the bake's own time), ``hot`` whether somebody
    said that it is.
    """

    stage: int
    gap_s: float
    heat_s: float
    hot_s: float
    hot: bool

    @property
    def off(self) -> bool:
        """Whether it is turned off until it is to be heated again: common practice, no source.

        Where it would soon be heated again it is left on.
        """
        return self.gap_s >= self.heat_s + LONG_S


def oven_waits(state: BakeState, now_s: float) -> OvenWaits | None:
    """How the oven of the next bake waits; None where nobody has said that it is on, or a bake is in it."""
    if not any(isinstance(mark.task, OvenTask) and mark.task.kind in ("oven on", "oven hot") for mark in state.marks):
        return None  # quick for most of a bench
    coming = next_bake(state, now_s)
    if coming is None or any(state.stage(index).kind == "bake" for index in state.running):
        return None
    index, begins_s = coming
    heat_c, hot = first_heat_c(state, index), state.mark(OvenTask("oven hot", index))
    if heat_c is None or (hot is None and not state.done(OvenTask("oven on", index))):
        return None
    hot_s = hot_at_s(state, index, now_s) if hot is None else hot.at_s
    return OvenWaits(index, begins_s - now_s, takes_s(state, heat_c, None), hot_s, hot is not None)
