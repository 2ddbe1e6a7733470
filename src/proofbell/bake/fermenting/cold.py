"""A dough in the cold: how far it will be when it comes out, and what the warm stage after it gives or takes.

Below 10 °C no reading moves the night: a small doubt about the yeast or the fridge would make hours of it. What the
readings show is said, and the warm stage that follows makes up for it.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache

from proofbell.bake.fermenting.at_the_bench import with_the_bench
from proofbell.bake.fermenting.place import card_place_c, place_c, places_before
from proofbell.bake.fermenting.terms import Terms, dough_readings, start_c, tau_s, terms
from proofbell.bake.state import BakeState
from proofbell.dough.fermenting.fermentation import Ahead
from proofbell.dough.fermenting.path import START_SLACK_K
from proofbell.dough.fermenting.rate import COLD_C
from proofbell.dough.fermenting.retard import Figure, TakenOut, taken_out
from proofbell.formula.dough_stages import STANDS
from proofbell.frozen import dataclass


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


CLEAR_SHARE = 0.05
"""A dough that is nearer to its card than this is as its card reckons. Common practice, no source."""


MOST_IN_THE_COLD_S = 3 * 86_400.0
"""Nothing is known of a dough in the cold for longer: common practice, no source."""


def in_the_cold(state: BakeState, index: int) -> bool:
    """Whether a stage ferments below 10 °C."""
    return state.stage(index).kind in STANDS and place_c(state, index) < COLD_C


@dataclass(frozen=True, slots=True)
class ColdOutlook:
    """A stage in the cold and what follows from it.

    ``ready_s`` is when by the rate it has done what its card asks for (s into it), and its range; ``following`` the
    warm stage that makes up for the rest, with its length then (s); None where there is none.
    """

    stage: int
    out: TakenOut
    ready_s: tuple[float, float, float]
    following: int | None
    following_s: float | None


def cold_outlook(state: BakeState, index: int, now_s: float | None = None) -> ColdOutlook | None:
    """How a stage in the cold will end, at the length that it has now; None where it cannot be told.

    ``now_s`` as in :func:`at_take_out`.
    """
    asked, out = terms(state, index), at_take_out(state, index, now_s)
    if asked is None or out is None:
        return None
    estimate = asked.estimate()
    following = _following(state, index)
    later = None if following is None else warm_terms(state, following)
    seconds = None if later is None else later.estimate().seconds
    return ColdOutlook(index, out, (estimate.seconds, estimate.low_s, estimate.high_s), following, seconds)


def at_take_out(state: BakeState, index: int, now_s: float | None = None) -> TakenOut | None:
    """The dough at the end of a stage in the cold, or as it will be; None where its formula does not tell.

    One that is over by ``now_s`` (the bake's own time) is as it is now.
    """
    asked, run = terms(state, index), state.stages[index]
    if asked is None or not in_the_cold(state, index):
        return None
    # What was read after its time was up was read in the cold: it comes out no sooner than that.
    seconds = max([run.length_s, *(at_s for at_s, _value_c in asked.readings[-1:])])
    if run.begun_s is not None and run.ended_s is not None:
        seconds = run.ended_s - run.begun_s
    elif run.begun_s is not None and now_s is not None:
        seconds = max(seconds, (now_s - run.begun_s) // 60 * 60)
    return _taken_out(asked, seconds)


def moved_dough(state: BakeState, index: int, at_s: float) -> Figure | None:
    """How warm a dough is at a moment of its bake (°C), where it had been moved by then; else None."""
    run, asked = state.stages[index], terms(state, index)
    if not run.stood or run.stood[0].at_s > at_s or run.begun_s is None or asked is None:
        return None
    return dough_after(asked, max(0.0, at_s - run.begun_s))


def dough_after(asked: Terms, seconds: float) -> Figure:
    """How warm a dough is so far into its stage (°C), and its range."""
    return _taken_out(asked, seconds).temp_c


def share_after(asked: Terms, seconds: float) -> Figure:
    """What a dough has done so far into its stage (s, to the minute) as a share of what its card asks; its range."""
    return _taken_out(asked, seconds // 60 * 60).share


@lru_cache(maxsize=256)
def _taken_out(asked: Terms, seconds: float) -> TakenOut:
    """Kept, as a screen asks anew each second."""
    return taken_out(
        asked.card,
        readings=asked.readings,
        place_c=asked.place_c,
        tau_s=asked.tau_s,
        seconds=seconds,
        tolerance_k=asked.tolerance_k,
        uncertainty_k=asked.uncertainty_k,
        stood=asked.stood,
    )


def _following(state: BakeState, index: int) -> int | None:
    """The warm stage that comes next, with nothing but hands between; None where there is none."""
    for after in range(index + 1, state.formula.strand(index).stop):
        stage = state.stage(after)
        if stage.kind != "hands":
            warm = stage.kind == "proof" and not in_the_cold(state, after)
            return after if warm else None
    return None


def before_it(state: BakeState, index: int) -> int | None:
    """The stage in the cold that a warm stage makes up for; None where there is none."""
    earlier = next(
        (i for i in range(index - 1, state.formula.strand(index).start - 1, -1) if state.stage(i).kind != "hands"), None
    )
    if earlier is None or not in_the_cold(state, earlier) or _following(state, earlier) != index:
        return None
    return earlier if state.stages[earlier].begun_s is not None else None


def warm_terms(state: BakeState, index: int) -> Terms | None:
    """A warm stage's terms with what came before it: see :func:`out_of_it`; and what it did where hands left it."""
    asked = out_of_it(state, index)
    return None if asked is None else with_the_bench(state, index, asked)


def out_of_it(state: BakeState, index: int) -> Terms | None:
    """A warm stage's terms with what the cold before it leaves: how far ahead the dough is, and how cold.

    A proof that was moved into the cold is judged by itself when it comes out: only its temperature goes on. Without a
    reading the dough starts colder or warmer than its card by as much as it left the cold so, less what the hands'
    time between lets go.
    """
    asked, earlier = terms(state, index), before_it(state, index)
    if asked is None:
        return None
    if earlier is None:
        return asked if asked.readings else _coming_to(asked, warmer_k(state, index))
    out = at_take_out(state, earlier)
    if out is None:
        return asked
    ahead = None
    if state.stage(earlier).kind == "chill":
        clear = abs(out.share.value - 1) >= CLEAR_SHARE
        ahead = out.ahead if clear else Ahead(0.0, out.ahead.low_s, out.ahead.high_s)
    if asked.readings:
        return replace(asked, ahead=ahead)
    between_s = sum(state.stages[i].length_s for i in range(earlier + 1, index))
    return _coming_to(replace(asked, ahead=ahead), out.warmer_k * math.exp(-between_s / asked.tau_s))


def _coming_to(asked: Terms, warmer_k: float) -> Terms:
    """A dough that nobody has read, and that comes to its stage so much warmer than its card's."""
    # A modelled start is no reading: it is as unsure as a card's.
    unsure = replace(asked, tolerance_k=START_SLACK_K / 2)
    return unsure if abs(warmer_k) < 1.0 else replace(unsure, readings=((0.0, asked.at_c + warmer_k),))
