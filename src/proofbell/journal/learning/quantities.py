"""What can be learned, and what is thought of each before the first bake.

A prior says what an unknown kitchen does: its middle, how far kitchens lie apart, how far the formulas of one kitchen
lie apart, and how far bakes of one formula scatter. Middles are sourced where a source is named; the spreads are
common practice, no source, and wide: they only decide how soon the bakes themselves are believed.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Literal

from proofbell.dough.liquid import RISE_K
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Kitchen, Oven

QuantityName = Literal[
    "rise by hand",
    "rise by machine",
    "drift",
    "drift in the cold",
    "pace",
    "oven heat-up",
    "hands",
    "make-up loss",
    "bake loss",
]


@dataclass(frozen=True, slots=True)
class Prior:
    """Middle and spreads (standard deviations), on the scale on which the bakes are averaged.

    ``shared`` is what the model may be wrong by in every bake alike: no number of bakes makes it smaller.
    """

    middle: float
    kitchens: float
    formulas: float
    bakes: float
    shared: float = 0.0


@dataclass(frozen=True, slots=True)
class Quantity:
    """One thing that can be learned.

    ``used_in`` says what reckons with it: the weigh-out, the plan, proofs by the rate; empty: it is only shown.
    ``shares``: it is averaged as the logarithm of a share or time, so that half and double weigh the same.
    """

    name: QuantityName
    title: str
    used_in: str
    prior: Prior
    shares: bool = False

    def shown(self, value: float) -> float:
        """From the scale of averaging to the one it is told on: K, percent, a share, or seconds."""
        return math.exp(value) if self.shares else value


_OVEN = math.log(Oven().heat_up_s)
_BY_MACHINE = Prior(RISE_K["machine"], 2.5, 1.0, 0.8)
_PACE = Prior(0.0, 0.3, 0.15, 0.1, shared=0.03)
_DRIFT = Prior(1.0, 0.4, 0.15, 0.3)
_PROOFS = "proofs by the rate"

QUANTITIES: dict[QuantityName, Quantity] = {
    quantity.name: quantity
    for quantity in (
        # Middles: what the weigh-out reckons with. So wide that three bakes settle it.
        Quantity("rise by hand", "warming by kneading by hand", "weigh-out", Prior(RISE_K["hand"], 1.5, 0.5, 0.8)),
        Quantity("rise by machine", "warming by kneading by machine", "weigh-out", _BY_MACHINE),
        # A rate is averaged, not a time constant: a reading's doubt then pulls neither way.
        # Room and fridge apart: a tub on the bench and a basket in still cold air have nothing in common.
        Quantity("drift", "speed to room temperature", _PROOFS, _DRIFT),
        Quantity("drift in the cold", "speed to fridge temperature", _PROOFS, _DRIFT),
        Quantity("pace", "fermentation when judged ready", _PROOFS, _PACE, shares=True),
        Quantity("oven heat-up", "oven from 20 to 200 °C", "plan", Prior(_OVEN, 0.4, 0.0, 0.12), shares=True),
        Quantity("hands", "hands stages", "plan", Prior(0.0, 0.35, 0.25, 0.2), shares=True),
        Quantity("make-up loss", "dough left on bowl, bench and hands", "weigh-out", Prior(2.0, 1.5, 0.7, 0.8)),
        # Middle of the 10 to 13 percent of Gisslen, Professional Baking.
        Quantity("bake loss", "lost in the oven", "loaves by weight", Prior(11.5, 3.0, 2.0, 1.0)),
    )
}


def prior_for(quantity: Quantity, kitchen: Kitchen) -> Prior:
    """The prior, with its middle where the owner of this kitchen says that it is."""
    said: dict[str, float | None] = {
        "rise by hand": kitchen.rise_hand_k,
        "rise by machine": kitchen.rise_machine_k,
        "oven heat-up": math.log(kitchen.oven.heat_up_s) if kitchen.oven.heat_up_s > 0 else None,
    }
    middle = said.get(quantity.name)
    prior = quantity.prior
    return prior if middle is None else replace(prior, middle=middle)
