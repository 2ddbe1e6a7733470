"""How a reading changes a stage's length: by the formula's bands, by the rate, or by the rise.

A reading changes the whole length, never what is left, so that one reading said twice changes nothing more.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from proofbell.bake.events import By, Eye
from proofbell.bake.fermenting.card_share import place_share
from proofbell.bake.fermenting.cold import before_it, in_the_cold, warm_terms
from proofbell.bake.fermenting.place_words import where_words
from proofbell.bake.fermenting.terms import with_readings
from proofbell.bake.state import BakeState
from proofbell.dough.fermenting.fermentation import Estimate
from proofbell.dough.rise import more_time_s
from proofbell.formula.model import Bands, Rate, Stage
from proofbell.words import grams, length, percent, temperature

STEP_S = 60.0
"""Proofs are told in whole minutes: common practice, no source."""

LONGEST_STAGE_S = 14 * 86400.0
"""No stage lasts longer than the format allows."""

ROUGH = "in the cold this is a rough guess"
"""Said where some of a stage happens below 10 °C."""


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


def by_reading(state: BakeState, index: int, readings: tuple[tuple[float, float], ...]) -> Change | None:
    """The change that the newest of ``readings`` makes by the stage's own rule, or None when it has no rule.

    What the baker added or took off by hand stays on top of what the rule says. By the rate no reading moves a night
    in the cold: ``cold.cold_outlook`` says what it shows.
    """
    stage = state.stage(index)
    if stage.adjust is None or not readings or (isinstance(stage.adjust, Rate) and in_the_cold(state, index)):
        return None
    value = readings[-1][1]
    estimate = None
    if isinstance(stage.adjust, Rate) or stage.adjust.read == "dough temperature":
        estimate = rate_estimate(state, index, readings)
    if isinstance(stage.adjust, Bands):
        share = place_share(state, index, readings) if stage.adjust.read == "dough temperature" else 1.0
        return _by_bands(state, index, stage.adjust, value, estimate, share)
    return None if estimate is None else _by_rate(state, index, f"Dough {temperature(value)}", estimate)


def after_the_cold(state: BakeState, index: int) -> Change | None:
    """The change that a stage in the cold makes to the warm one that begins; None when it makes none, or unread."""
    asked = None if before_it(state, index) is None else warm_terms(state, index)
    if asked is None:
        return None
    words = f"Out of the cold at about {temperature(asked.dough_c, 0)}"
    return _by_rate(state, index, words, asked.estimate())


def _by_bands(
    state: BakeState, index: int, bands: Bands, value: float, estimate: Estimate | None, share: float
) -> Change:
    rate_s, low_s, high_s = _minutes(estimate)
    band_s, bound = _band(bands, value)
    placed_s = whole(band_s * share)
    to_s, by_hand = _with_hand(state, index, placed_s)
    formula = (
        "the formula" if placed_s == band_s else f"the formula's {minutes(band_s)} and {where_words(state, index)}"
    )
    reason = f"{_reading_words(bands.read, value)}{bound}: {_from_to(state, index, to_s)} by {formula}{by_hand}"
    if rate_s is not None and low_s is not None and high_s is not None:
        reason += f" (the rate says {_span(rate_s, low_s, high_s)})"
    reason += "." + (past_stretch(state.stage(index), to_s) if by_hand else "")
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
    kept_s, kept = kept_within(forgives(state, index), rate_s)
    to_s, by_hand = _with_hand(state, index, kept_s)
    wanted = "the same fermentation" if state.kitchen.pace == 1 else "what past bakes here took to be ready"
    reason = f"{seen}: {_from_to(state, index, to_s)} for {wanted}{by_hand}"
    if low_s is not None and high_s is not None:
        reason += f" ({span(low_s, high_s)})" if to_s == rate_s else f" (the rate says {_span(rate_s, low_s, high_s)})"
    reason += f", {kept}" if kept else ""
    if estimate.wide:
        reason += f"; {ROUGH}"
    reason += "." + (past_stretch(stage, to_s) if by_hand else "")
    return Change(to_s, "rate", reason, None, rate_s, low_s, high_s, estimate.wide)


def forgives(state: BakeState, index: int) -> Stage:
    """The stage with what its formula forgives; after the cold, for a dough as cold as it comes out."""
    stage = state.stage(index)
    if stage.stretch is None:
        return stage
    asked = None if before_it(state, index) is None else warm_terms(state, index)
    if asked is None:
        share = place_share(state, index)
        return replace(stage, stretch=(whole(stage.stretch[0] * share), whole(stage.stretch[1] * share)))
    by_warmth = replace(asked, ahead=None).estimate().seconds / max(asked.nominal_s, 1.0)
    if not math.isfinite(by_warmth):
        return stage
    least_s, most_s = (whole(each * by_warmth) for each in stage.stretch)
    return replace(stage, stretch=(least_s, most_s))


def kept_within(stage: Stage, rate_s: float) -> tuple[float, str]:
    """A length by the rate (s) inside what the formula forgives, and in words that it was kept there; or no words."""
    if stage.stretch is None or stage.stretch[0] <= rate_s <= stage.stretch[1]:
        return rate_s, ""
    least_s, most_s = stage.stretch
    if rate_s > most_s:
        return most_s, f"kept to the {minutes(most_s)} that this dough allows"
    return least_s, f"kept to the {minutes(least_s)} that this dough needs"


def past_stretch(stage: Stage, to_s: float) -> str:
    """A sentence on a length (s) that the formula does not forgive, with a space before it; nothing within it."""
    if stage.stretch is None or stage.stretch[0] <= to_s <= stage.stretch[1]:
        return ""
    short_s, long_s = stage.stretch
    if to_s > long_s:
        return f" That is past the {minutes(long_s)} that the formula allows."
    return f" That is short of the {minutes(short_s)} that the formula asks for."


def _with_hand(state: BakeState, index: int, rule_s: float) -> tuple[float, str]:
    """A rule's length with what the baker changed by hand on top, and that in words."""
    hand_s = sum(a.body.to_s - a.body.from_s for a in state.stages[index].adjustments if a.body.by == "hand")
    if not hand_s:
        return rule_s, ""
    return max(0.0, rule_s + hand_s), f" and {length(abs(hand_s))} {'more' if hand_s > 0 else 'less'} by hand"


def by_rise(state: BakeState, index: int, value: float | None, eye: Eye | None, now_s: float) -> Change | None:
    """The change that a judgement of the rise makes (percent, or by eye); None when it makes none."""
    stage, run = state.stage(index), state.stages[index]
    wish = stage.rise
    if wish is None or run.begun_s is None:
        return None
    elapsed_s = now_s - run.begun_s
    low, _high = wish.wanted
    if eye in ("ready", "too far") or (value is not None and value >= low):
        if elapsed_s >= run.length_s:
            return None
        seen = "Ready by eye" if eye == "ready" else "Gone too far" if eye == "too far" else f"Rise {percent(value)}"
        return Change(elapsed_s, "rise", f"{seen} after {length(elapsed_s)}: due now.")
    if elapsed_s < run.length_s and value is None:
        return None
    if run.extensions() >= wish.at_most:
        return None
    longest_s = stage.stretch[1] if stage.stretch else None
    more_s = wish.extend_s
    if value is not None:
        more_s = more_time_s(value, low, elapsed_s, wish.extend_s, longest_s)
    to_s = _up(elapsed_s + more_s)
    if longest_s is not None:
        to_s = min(to_s, longest_s)
    if to_s <= max(run.length_s, elapsed_s):
        return None
    said = "Not ready by eye" if value is None else f"Rise {percent(value)}, short of {percent(low)},"
    return Change(to_s, "rise", f"{said} after {length(elapsed_s)}: {length(to_s - elapsed_s)} more.")


def _band(bands: Bands, value: float) -> tuple[float, str]:
    """The time of the band that a reading falls into (s), and its bound in words."""
    unit, up = _UNITS.get(bands.read, (" °C", "or warmer"))
    before: float | None = None
    for band in bands.bands:
        if band.below is None:
            return band.time_s, "" if before is None else f", {before:g}{unit} {up}"
        if value < band.below:
            return band.time_s, f", below {band.below:g}{unit}"
        before = band.below
    # The reader refuses bands without an open end; a log of another origin is met by the last one.
    return bands.bands[-1].time_s, ""


_UNITS: dict[str, tuple[str, str]] = {"rise": (" %", "or more"), "weight": (" g", "or more")}
_SUBJECTS = {"dough temperature": "Dough", "room temperature": "Room", "core temperature": "Core"}


def _reading_words(what: str, value: float) -> str:
    if what in _SUBJECTS:
        return f"{_SUBJECTS[what]} {temperature(value)}"
    return f"Rise {percent(value)}" if what == "rise" else f"Weight {grams(value)}"


def _minutes(estimate: Estimate | None) -> tuple[float | None, float | None, float | None]:
    """Whole minutes of an estimate; None for what never comes, or not within the longest stage there can be."""
    if estimate is None or estimate.seconds > LONGEST_STAGE_S:
        return None, None, None
    high = estimate.high_s if math.isfinite(estimate.high_s) else None
    return whole(estimate.seconds), whole(estimate.low_s), None if high is None else whole(high)


def whole(seconds: float) -> float:
    """To whole minutes."""
    return round(seconds / STEP_S) * STEP_S


def _up(seconds: float) -> float:
    return math.ceil(seconds / STEP_S - 1e-9) * STEP_S


def _in_minutes(seconds: float) -> bool:
    """Up to three hours bakers count in minutes."""
    return 60 <= seconds <= 3 * 3600


def minutes(seconds: float) -> str:
    """``70 min``; from three hours on as every other length."""
    return f"{seconds / 60:.0f} min" if _in_minutes(seconds) else length(seconds)


def span(low_s: float, high_s: float) -> str:
    """``55 to 83 min``; with units on both sides where minutes do not fit both: ``2 h 45 min to 3 h 27 min``."""
    if _in_minutes(low_s) and _in_minutes(high_s):
        return f"{low_s / 60:.0f} to {high_s / 60:.0f} min"
    return f"{length(low_s)} to {length(high_s)}"


def _span(mid_s: float, low_s: float, high_s: float) -> str:
    if all(_in_minutes(each) for each in (mid_s, low_s, high_s)):
        return f"{mid_s / 60:.0f}, {low_s / 60:.0f} to {high_s / 60:.0f} min"
    return f"{length(mid_s)}, {length(low_s)} to {length(high_s)}"


def _from_to(state: BakeState, index: int, to_s: float) -> str:
    """The change from what holds now; ``stays 70 min`` when that is the same."""
    from_s = state.stages[index].length_s
    return f"stays {minutes(to_s)}" if to_s == from_s else change_words(from_s, to_s)


def change_words(from_s: float, to_s: float) -> str:
    """``70 → 55 min``; with units on both sides where minutes do not fit both."""
    if _in_minutes(from_s) and _in_minutes(to_s) and not from_s % 60:
        return f"{from_s / 60:.0f} → {to_s / 60:.0f} min"
    return f"{length(from_s)} → {length(to_s)}"
