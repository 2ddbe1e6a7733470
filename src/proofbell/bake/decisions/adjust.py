"""How a reading changes a stage's length: by the formula's bands, by the rate, or by the rise.

A reading changes the whole length, never what is left, so that one reading said twice changes nothing more.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from proofbell.bake.core import core_short
from proofbell.bake.decisions.length_words import (
    STEP_S,
    change_words,
    mid_and_span,
    minutes,
    span,
    whole,
)
from proofbell.bake.events import By
from proofbell.bake.fermenting.at_the_bench import stood_over
from proofbell.bake.fermenting.cold import before_it, in_the_cold, warm_terms
from proofbell.bake.fermenting.forgiven import by_band_s, forgives, past_the_lowest, place_share
from proofbell.bake.fermenting.place_words import shown_words, whose_words
from proofbell.bake.fermenting.rule_readings import (
    OnEdge,
    Readings,
    band_held,
    band_middle,
    good_to,
    lowest_reach,
    of_the_start,
    on_edge,
    read_words,
)
from proofbell.bake.fermenting.terms import with_readings
from proofbell.bake.readings import LIMITS, is_temperature
from proofbell.bake.state import Adjustment, BakeState, StageState
from proofbell.dough.fermenting.fermentation import Estimate
from proofbell.formula.model import Bands, Rate, Stage
from proofbell.formula.stages import LONGEST_STAGE_S
from proofbell.frozen import dataclass
from proofbell.words import as_set, temperature, told_length

ROUGH = "a rough guess, so cold or so warm"
"""Said where some of a stage happens where little is known of what its leaven does."""


@dataclass(frozen=True, slots=True)
class Change:
    """A length that follows from a reading (s), why, and what the other method says. ``rough``: some of it is cold."""

    to_s: float
    by: By
    reason: str
    band_s: float | None = None
    rate_s: float | None = None
    rate_low_s: float | None = None
    rate_high_s: float | None = None
    rough: bool = False


def rate_estimate(state: BakeState, index: int, readings: tuple[tuple[float, float], ...]) -> Estimate | None:
    """The equal-fermentation length for readings of (seconds into the stage, dough °C); None when it cannot be told.

    After a stage in the cold it makes up for what that left.
    """
    asked = warm_terms(state, index)
    if asked is None or not readings:
        return None
    return with_readings(asked, state, readings).estimate()


def by_reading(
    state: BakeState, index: int, readings: tuple[tuple[float, float], ...], room: str = ""
) -> Change | None:
    """The change that the newest of ``readings`` makes by the stage's own rule, or None when it has no rule.

    ``room``: it is the room that was read since, in words.

    What the baker added or took off by hand stays on top of what the rule says. By the rate no reading moves a night
    in the cold: ``cold.cold_outlook`` says what it shows.
    """
    stage = state.stage(index)
    if stage.adjust is None or not readings or (isinstance(stage.adjust, Rate) and in_the_cold(state, index)):
        return None
    estimate = None
    if isinstance(stage.adjust, Rate) or stage.adjust.read == "dough temperature":
        estimate = rate_estimate(state, index, readings)
    if isinstance(stage.adjust, Bands):
        if estimate is not None and of_the_start(stage.adjust, readings) != readings:
            return _on_its_way(state, index, readings, estimate, room)
        return _by_bands(state, index, stage.adjust, readings, estimate, room)
    seen = room or f"Dough {temperature(readings[-1][1])}"
    return None if estimate is None else _by_rate(state, index, seen, estimate)


def after_the_cold(state: BakeState, index: int) -> Change | None:
    """The change that a stage in the cold makes to the warm one that begins; None when it makes none, or unread."""
    asked = None if before_it(state, index) is None else warm_terms(state, index)
    if asked is None:
        return None
    words = f"Out of the cold at about {temperature(asked.dough_c, 0)}"
    return _by_rate(state, index, words, asked.estimate())


def _on_its_way(state: BakeState, index: int, readings: Readings, estimate: Estimate, room: str) -> Change | None:
    """The change by a dough that was read later than its bands are for: by the rate, from the band that it began in."""
    by_band = by_band_s(state, index)
    share = 1.0 if by_band is None or math.isinf(estimate.seconds) else by_band / max(estimate.seconds, 1.0)
    at_s, value_c = readings[-1]
    by_all = replace(
        estimate,
        seconds=share * estimate.seconds,
        low_s=share * estimate.low_s,
        high_s=share * estimate.high_s,
    )
    return _by_rate(state, index, room or f"Dough {temperature(value_c)} after {told_length(at_s)}", by_all)


def _by_bands(
    state: BakeState, index: int, bands: Bands, readings: Readings, estimate: Estimate | None, room: str
) -> Change:
    values = [value for _, value in readings]
    rate_s, low_s, high_s = _minutes(estimate)
    good = good_to(state, bands.read)
    held, edge = band_held(bands, values, good), on_edge(bands, values, good)
    band_s = bands.bands[held].time_s
    bound = _bound(bands, held) + (" as before" if edge is not None and edge.held else "")
    placed_s, beyond = band_s, past_the_lowest(state, index, held, readings)
    if bands.read == "dough temperature":
        placed_s = whole(band_s * place_share(state, index, band_middle(bands, held)) * beyond)
    to_s, by_hand = _with_hand(state, index, placed_s)
    by = "the formula" if placed_s == band_s else f"the formula's {minutes(band_s)} and {whose_words(state, index)}"
    if beyond > 1:
        by = f"the formula's {minutes(band_s)}, and the rate below {temperature(lowest_reach(bands) or 0.0, 0)}"
    read = read_words(bands.read, values[-1])
    seen = f"{room}, {read[:1].lower()}{read[1:]}" if room else read
    reason = f"{seen}{bound}: {_from_to(state, index, to_s)} by {by}{by_hand}"
    if rate_s is not None and low_s is not None and high_s is not None:
        reason += f" (the rate says {mid_and_span(rate_s, low_s, high_s)})"
    reason += "."
    if edge is not None:
        reason += f" {edge_words(edge)}"
    reason += past_stretch(state, index, to_s) if by_hand else ""
    return Change(to_s, "bands", reason, band_s, rate_s, low_s, high_s)


def _by_rate(state: BakeState, index: int, seen: str, estimate: Estimate) -> Change | None:
    stage = state.stage(index)
    rate_s, low_s, high_s = _minutes(estimate)
    if rate_s is None:
        if stage.stretch is None:
            return None
        to_s, by_hand = _with_hand(state, index, stage.stretch[1])
        words = _from_to(state, index, to_s)
        reason = f"{seen}, not ready where it stands: {words}, the longest this dough allows{by_hand}."
        return Change(to_s, "rate", reason)
    kept_s, kept = kept_within(forgives(state, index), max(STEP_S, rate_s))
    to_s, by_hand = _with_hand(state, index, kept_s)
    wanted = "the same fermentation" if state.kitchen.pace == 1 else "what past bakes here took to be ready"
    reason = f"{seen}: {_from_to(state, index, to_s)} for {wanted}{by_hand}"
    if low_s is not None and high_s is not None and not low_s == high_s == to_s:
        told = span(low_s, high_s) if to_s == rate_s else f"the rate says {mid_and_span(rate_s, low_s, high_s)}"
        reason += f" ({told})"
    reason += (f", {kept}" if kept else _past_the_card(state, index, kept_s)) + shown_words(state, index, estimate)
    if estimate.wide:
        reason += f"; {ROUGH}"
    reason += "." + (past_stretch(state, index, to_s) if by_hand else "")
    return Change(to_s, "rate", reason, None, rate_s, low_s, high_s, estimate.wide)


def _past_the_card(state: BakeState, index: int, to_s: float) -> str:
    """That a length is one which the card forgives only a dough like its own; nothing within that."""
    stage = state.stage(index)
    if stage.stretch is None or not isinstance(stage.adjust, Rate) or stood_over(state, index) is not None:
        return ""
    least_s, most_s = stage.stretch
    if least_s <= to_s <= most_s:
        return ""
    limit = f"least of {minutes(least_s)} is" if to_s < least_s else f"most of {minutes(most_s)} is"
    place = "" if stage.adjust.place_c is None else f" in {temperature(stage.adjust.place_c, 0)}"
    return f"; the card's {limit} for a dough of {temperature(stage.adjust.at_c, 0)}{place}"


def kept_within(stage: Stage, rate_s: float) -> tuple[float, str]:
    """A length by the rate (s) inside what the formula forgives, and in words that it was kept there; or no words."""
    if stage.stretch is None or stage.stretch[0] <= rate_s <= stage.stretch[1]:
        return rate_s, ""
    least_s, most_s = stage.stretch
    if rate_s > most_s:
        return most_s, f"kept to the {minutes(most_s)} that this dough allows"
    return least_s, f"kept to the {minutes(least_s)} that this dough needs"


def past_stretch(state: BakeState, index: int, to_s: float) -> str:
    """A sentence on a length (s) that this dough does not forgive, with a space before it; nothing within it.

    A bake whose core is low goes by its core, not by its card.
    """
    card, stage = state.stage(index), forgives(state, index)
    if stage.stretch is None or stage.stretch[0] <= to_s <= stage.stretch[1]:
        return ""
    short_s, long_s = stage.stretch
    own = stage.stretch == card.stretch
    if to_s > long_s and core_short(state, index) is not None:
        return f" The core is low, so it may take longer than the {minutes(long_s)} that the formula allows."
    if to_s > long_s:
        return f" That is past the {minutes(long_s)} that {'the formula' if own else 'this dough'} allows."
    return f" That is short of the {minutes(short_s)} that {'the formula asks for' if own else 'this dough needs'}."


def asked_s(run: StageState, change: Adjustment) -> float:
    """By how much the baker asked for longer or shorter (s): longer counts from when it was said of what was over."""
    body = change.body
    over_s = change.at_s - (run.begun_s or 0.0) - body.from_s if body.to_s > body.from_s else 0.0
    return body.to_s - body.from_s - max(0.0, over_s)


def hand_words(
    state: BakeState, index: int, by_s: float, to_s: float, *, over_s: float = 0.0, for_core: bool | None = None
) -> str:
    """``10 min longer by hand.``, and what that goes past; of what was over by ``over_s`` how long it is in all.

    ``for_core``: a core that was low asked for it; None: as it was read last. The minutes that are told add up.
    """
    for_core = by_s > 0 and core_short(state, index) is not None if for_core is None else for_core
    told = f"{as_set(by_s)} {'longer' if by_s >= 0 else 'shorter'} {'for its core' if for_core else 'by hand'}"
    if over_s >= STEP_S:
        late_s = whole(to_s) - whole(to_s - by_s - over_s) - whole(by_s)
        told += f" after {told_length(max(late_s, STEP_S))} over, {told_length(to_s)} in all"
    return f"{told}.{past_stretch(state, index, to_s)}"


def changed_by_hand(state: BakeState, index: int, changes: Sequence[Adjustment]) -> str:
    """The same of several changes by hand, told as one."""
    by_s = sum(asked_s(state.stages[index], each) for each in changes)
    past_s = changes[-1].body.to_s - changes[0].body.from_s
    asked = by_s > 0 and all(_core_was_low(state, index, each.at_s) for each in changes)
    return hand_words(state, index, by_s, changes[-1].body.to_s, over_s=past_s - by_s, for_core=asked)


def _core_was_low(state: BakeState, index: int, at_s: float) -> bool:
    before = tuple(each for each in state.readings if each.at_s <= at_s)
    return core_short(replace(state, readings=before), index) is not None


def _with_hand(state: BakeState, index: int, rule_s: float) -> tuple[float, str]:
    """A rule's length with what the baker changed by hand on top, and that in words."""
    hand_s = sum(a.body.to_s - a.body.from_s for a in state.stages[index].adjustments if a.body.by == "hand")
    if not hand_s:
        return rule_s, ""
    return max(0.0, rule_s + hand_s), f" and {minutes(whole(abs(hand_s)))} {'more' if hand_s > 0 else 'less'} by hand"


def edge_words(edge: OnEdge) -> str:
    """``On the edge: below 26 °C it is 70 min.``, as a sentence."""
    way = "from" if edge.above else "below"
    return f"On the edge: {way} {LIMITS[edge.what].said(edge.edge)} it is {minutes(edge.other_s)}."


def _bound(bands: Bands, held: int) -> str:
    """The bound of a band in words: ``, below 24 °C`` or ``, 26 °C or warmer``; nothing where there is only one."""
    said, up = LIMITS[bands.read].said, "or warmer" if is_temperature(bands.read) else "or more"
    below = bands.bands[held].below if held + 1 < len(bands.bands) else None
    if below is not None:
        return f", below {said(below)}"
    before = bands.bands[held - 1].below if held else None
    return "" if before is None else f", {said(before)} {up}"


def _minutes(estimate: Estimate | None) -> tuple[float | None, float | None, float | None]:
    """Whole minutes of an estimate; None for what never comes, or not within the longest stage there can be."""
    if estimate is None or estimate.seconds > LONGEST_STAGE_S:
        return None, None, None
    high = estimate.high_s if math.isfinite(estimate.high_s) else None
    return whole(estimate.seconds), whole(estimate.low_s), None if high is None else whole(high)


def _from_to(state: BakeState, index: int, to_s: float) -> str:
    """The change from what holds now."""
    return change_words(state.stages[index].length_s, to_s)
