"""What a dough forgives: the shortest and longest length of its stage, for the dough that is there and its place."""

from __future__ import annotations

import math
from dataclasses import replace

from proofbell.bake.fermenting.at_the_bench import gained_s
from proofbell.bake.fermenting.cold import CLEAR_SHARE, in_the_cold, out_of_it, warm_terms
from proofbell.bake.fermenting.place import card_place_c
from proofbell.bake.fermenting.rule_readings import (
    Readings,
    adjusting,
    band_middle,
    band_now,
    lowest_reach,
    of_the_start,
    series,
)
from proofbell.bake.fermenting.terms import Terms, terms, with_readings
from proofbell.bake.state import BakeState
from proofbell.dough.fermenting.rate import COLD_C
from proofbell.formula.model import Bands, Stage
from proofbell.formula.stages import LONGEST_STAGE_S

FAR_K = 5.0
"""A place this far from the card's is told even where it changes little: common practice, no source."""


def is_clear(asked: Terms, share: float) -> bool:
    """Whether a place is far enough from the card's to be told; what is nearer is less than any proof is known to."""
    return abs(share - 1) >= CLEAR_SHARE or abs(asked.place_c - asked.nominal_place_c) >= FAR_K


def place_share(state: BakeState, index: int, dough_c: float | None = None) -> float:
    """What its place alone makes of a time that the formula tells for a dough so warm, as a share of it.

    ``dough_c``: how warm it comes to its stage (°C; None: as the card's). No later reading has a say in it: the band
    that it lies in tells what its warmth makes of the time.
    """
    share = _share(state, index, dough_c)
    return share if math.isfinite(share) else 1.0


def by_band_s(state: BakeState, index: int) -> float | None:
    """The time (s) of a stage with bands, by all that was read of its dough; endless where it never comes.

    A reading of the first minutes lies in a band, whose time its places make longer or shorter. What was read later was
    on its way to its place by then: it changes that time as it changes the rate's. None where it has no bands by its
    dough's temperature, or nothing was read.
    """
    stage, read = state.stage(index), series(state, index)
    rule, asked = stage.adjust, warm_terms(state, index)
    if not isinstance(rule, Bands) or rule.read != "dough temperature" or not read:
        return None
    band, first = band_now(state, index), of_the_start(rule, read)
    if asked is None:
        return None if band is None else band.time_s
    if band is None:
        return with_readings(asked, state, read).estimate().seconds
    held = rule.bands.index(band)
    band_s = band.time_s * _share(state, index, band_middle(rule, held)) * past_the_lowest(state, index, held, first)
    if first == read:
        return band_s
    by_all_s, by_first_s = (with_readings(asked, state, each).estimate().seconds for each in (read, first))
    return band_s if math.isinf(by_first_s) else band_s * by_all_s / max(by_first_s, 1.0)


def past_the_lowest(state: BakeState, index: int, held: int, read: Readings) -> float:
    """How many times its band's time a dough takes that is colder than the lowest band reaches; 1 within it.

    That band has no end, and is taken to be as wide as the one beside it: from there on the rate goes on.
    """
    rule, asked = state.stage(index).adjust, warm_terms(state, index)
    if not isinstance(rule, Bands) or rule.read != "dough temperature" or asked is None or held or not read:
        return 1.0
    least_c, (at_s, value_c) = lowest_reach(rule), read[-1]
    if least_c is None or value_c >= least_c:
        return 1.0
    colder, edge = (with_readings(asked, state, ((at_s, each),)).estimate().seconds for each in (value_c, least_c))
    return max(1.0, colder / max(edge, 1.0)) if math.isfinite(colder) else 1.0


def _share(state: BakeState, index: int, dough_c: float | None) -> float:
    """The same share; endless where the dough never gets there."""
    asked = terms(state, index)
    if asked is None:
        return 1.0
    here = with_readings(asked, state, ((0.0, asked.at_c if dough_c is None else dough_c),))
    tau_s = here.tau_s if here.nominal_tau_s is None else here.nominal_tau_s
    card_s = replace(here, place_c=here.nominal_place_c, tau_s=tau_s, stood=()).estimate().seconds
    share = here.estimate().seconds / max(card_s, 1.0)
    return share if is_clear(here, share) else 1.0


Stretch = tuple[float, float]


def forgives(state: BakeState, index: int) -> Stage:
    """The stage with what this dough forgives.

    The card's ``stretch`` is for a dough as warm as the card's, where the card has it stand. It grows and shrinks as
    the time does that the same fermentation takes here: by the stage's readings, its place, and this kitchen's pace. A
    dough that was taken into the cold forgives what the card says of that, and nothing is known where it does not; one
    that the cold left behind forgives as much more as it lacks, and one that hands left standing as much less.
    """
    stage = state.stage(index)
    if stage.stretch is None:
        return stage
    if in_the_cold(state, index):
        chill = stage.chill_instead
        if chill is not None:
            return replace(stage, stretch=(chill.least_s, chill.most_s))
        return stage if card_place_c(stage, state.kitchen) < COLD_C else replace(stage, stretch=None)
    share = by_warmth(state, index)
    gone_s = _gone_s(state, index)
    least_s, most_s = stage.stretch[0] * share - gone_s, stage.stretch[1] * share - gone_s + _lacks_s(state, index)
    least_s, most_s = max(0.0, least_s), max(0.0, most_s)
    stretch = (min(LONGEST_STAGE_S, round(least_s / 60.0) * 60.0), min(LONGEST_STAGE_S, round(most_s / 60.0) * 60.0))
    return stage if stretch == stage.stretch else replace(stage, stretch=stretch)


def by_its_reading(state: BakeState, index: int) -> Stretch | None:
    """The range (s) that what was read of a dough leaves open for its stage; None where nothing was, or it is judged.

    It always holds the length that stands now. What hand or plan changed since does not change what was read; a place
    tells nothing of a dough that nobody has read.
    """
    run = state.stages[index]
    rules = [each.body for each in run.adjustments if each.body.by not in ("hand", "plan")]
    last = rules[-1] if rules else None
    if last is None or last.rate_low_s is None or last.rate_high_s is None:
        return None
    if last.by == "place" and not series(state, index):
        return None
    return min(last.rate_low_s, run.length_s), max(last.rate_high_s, run.length_s)


BORNE_SHARE = 0.15
"""A dough that was read may be planned this share of its length shorter or longer, however sure its reading is: common
practice, no source."""


def bears(state: BakeState, index: int) -> Stretch | None:
    """The lengths (s) that a dough which was read is planned or asked to have; None where nothing was read of it."""
    read, length_s = by_its_reading(state, index), state.stages[index].length_s
    if read is None:
        return None
    return min(read[0], (1 - BORNE_SHARE) * length_s), max(read[1], (1 + BORNE_SHARE) * length_s)


def _gone_s(state: BakeState, index: int) -> float:
    """How much (s) of what a dough forgives is over as it begins, since hands left it standing before."""
    asked = out_of_it(state, index)
    return 0.0 if asked is None else gained_s(state, index, asked)


def _lacks_s(state: BakeState, index: int) -> float:
    """How much longer (s) a dough takes that comes out of the cold behind its card; 0 where it is not, or never."""
    asked = out_of_it(state, index)
    if asked is None or asked.ahead is None:
        return 0.0
    more_s = asked.estimate().seconds - replace(asked, ahead=None).estimate().seconds
    return max(0.0, more_s) if math.isfinite(more_s) else 0.0


def by_warmth(state: BakeState, index: int) -> float:
    """How many times the card's time the same fermentation takes; 1 where nothing tells, or it never gets there.

    Where the card has bands, they say so; else the rate. What it is ahead of its cards by is no matter of warmth.
    """
    stage = state.stage(index)
    if isinstance(stage.adjust, Bands) and stage.adjust.read == "dough temperature":
        by_band = by_band_s(state, index)
        placed = place_share(state, index) if by_band is None else by_band / stage.time_s
        return placed if math.isfinite(placed) else 1.0
    if isinstance(stage.adjust, Bands):
        band = band_now(state, index)
        return 1.0 if band is None else band.time_s / stage.time_s
    asked = warm_terms(state, index) if stage.kind == "proof" or adjusting(stage) is not None else None
    if asked is None:
        return 1.0
    share = replace(asked, ahead=None).estimate().seconds / stage.time_s
    return share if math.isfinite(share) and share > 0 else 1.0


def within(stretch: Stretch | None, seconds: float) -> float:
    """A length (s) kept inside what is forgiven."""
    return seconds if stretch is None else min(max(seconds, stretch[0]), stretch[1])
