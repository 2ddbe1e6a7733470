"""What another place makes of a card's time, as a share of it."""

from __future__ import annotations

import math
from dataclasses import replace

from proofbell.bake.fermenting.cold import CLEAR_SHARE
from proofbell.bake.fermenting.terms import Terms, terms, with_readings
from proofbell.bake.state import BakeState

FAR_K = 5.0
"""A place this far from the card's is told even where it changes little: common practice, no source."""


def is_clear(asked: Terms, share: float) -> bool:
    """Whether a place is far enough from the card's to be told; what is nearer is less than any proof is known to."""
    return abs(share - 1) >= CLEAR_SHARE or abs(asked.place_c - asked.nominal_place_c) >= FAR_K


def place_share(state: BakeState, index: int, readings: tuple[tuple[float, float], ...] = ()) -> float:
    """What its place alone makes of a time that the formula tells for a dough so warm, as a share of it.

    Without readings: for a dough as warm as the card's.
    """
    asked = terms(state, index)
    if asked is None:
        return 1.0
    here = with_readings(asked, state, readings or ((0.0, asked.at_c),))
    tau_s = here.tau_s if here.nominal_tau_s is None else here.nominal_tau_s
    card_s = replace(here, place_c=here.nominal_place_c, tau_s=tau_s, stood=()).estimate().seconds
    share = here.estimate().seconds / max(card_s, 1.0)
    return share if math.isfinite(share) and is_clear(here, share) else 1.0
