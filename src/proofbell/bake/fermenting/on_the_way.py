"""How warm a dough comes to a stage, by the places it stood in before and by what was read there."""

from __future__ import annotations

import math

from proofbell.bake.dough_stages import STANDS
from proofbell.bake.fermenting.place import card_place_c, place_c, places_before
from proofbell.bake.fermenting.terms import dough_readings, start_c, tau_s
from proofbell.bake.state import BakeState


def warmer_k(state: BakeState, index: int) -> float:
    """How much warmer the dough comes to a stage than its card's dough does (K).

    It has its wanted temperature as kneading ends; from then on the gap between the two goes, by Newton's law, towards
    the one between their places.
    """
    stages = range(state.formula.strand(index).start, index)
    stands = next((i for i in stages if state.stage(i).kind in STANDS), index)
    gap_k = 0.0
    for i in range(stands, index):
        gap_k = _after(state, i, gap_k)
    return gap_k


def _after(state: BakeState, index: int, gap_k: float) -> float:
    """The gap (K) at the end of a stage that it entered with ``gap_k``."""
    run, card_c, tau = state.stages[index], card_place_c(state.stage(index), state.kitchen), tau_s(state, index)
    seconds = run.length_s
    if run.begun_s is not None and run.ended_s is not None:
        seconds = run.ended_s - run.begun_s
    at_s = 0.0
    read = dough_readings(state, index) if run.begun_s is not None else ()
    began_c = start_c(state, index)
    if read and began_c is not None:
        at_s, read_c = min(read[-1][0], seconds), read[-1][1]
        gap_k = read_c - (card_c + (began_c - card_c) * math.exp(-at_s / tau))
    for until_s, here_c in (*places_before(state, index), (seconds, place_c(state, index))):
        if min(until_s, seconds) > at_s:
            left = math.exp((at_s - min(until_s, seconds)) / tau)
            gap_k = (here_c - card_c) * (1 - left) + gap_k * left
            at_s = min(until_s, seconds)
    return gap_k
