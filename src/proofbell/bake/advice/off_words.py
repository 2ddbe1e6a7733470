"""How warm a dough is beside what is meant, in words, and what to do about it."""

from __future__ import annotations

from proofbell.bake.advice.temperature import AGAIN_MIN, Off
from proofbell.words import degrees, temperature, told_length

MOST_PERCENT = 200
"""More than that is told as so many times as fast."""

TIMES = ("three", "four", "five", "six", "seven", "eight", "nine", "ten")


def off_seen(found: Off) -> str:
    """The dough beside what is meant, and what that makes of its speed."""
    said = f"Dough {temperature(found.value_c)}, {degrees(found.low_c)} to {degrees(found.high_c)} meant"
    if found.as_told:
        beside = "warmer" if found.value_c > found.high_c else "colder"
        said = f"Dough {temperature(found.value_c)}, as expected by now, {beside} than meant"
    if found.by_now_c is not None:
        said = f"Dough {temperature(found.value_c)}, about {temperature(found.by_now_c, 0)} expected by now"
    if found.now_c is not None:
        return f"{said}, about {temperature(found.now_c, 0)} now where it stands"
    if found.percent is None:
        return said
    low, high = found.percent
    if (low + high) / 2 >= MOST_PERCENT and found.value_c > found.high_c:
        times = min(round(1 + (low + high) / 200), len(TIMES) + 2)
        return f"{said}, about {TIMES[times - 3]} times as fast"
    share = f"{low}" if low == high else f"{low} to {high}"
    return f"{said}, about {share} % {'faster' if found.value_c > found.high_c else 'slower'}"


def warm_do(found: Off, cooler: str = "") -> str:
    """``cooler``: how, where it is to be stood cooler whatever it is by now."""
    if found.hands:
        return "give it a cooler place, a shorter proof, and colder liquid next time"
    if found.over:
        return "judge it now, by its rise"
    cooler = cooler or ("stand it cooler" if found.now_c is None and not found.cools else "")
    return _listed(cooler, _read_again(found), "judge it early")


def cold_do(found: Off) -> str:
    if found.hands:
        return "give it a warmer place, a longer proof, and warmer liquid next time"
    if found.over:
        return "go by its rise, not by the clock"
    warmer = "stand it warmer" if found.now_c is None and not found.nearly else ""
    return _listed(warmer, _read_again(found), "go by the rise")


def _listed(*acts: str) -> str:
    """``one, two, and three``; what is empty is left out."""
    *first, last = [act for act in acts if act]
    return ", ".join([*first, f"and {last}"]) if first else last


def _read_again(found: Off) -> str:
    """Only where it is asked for at that moment."""
    if not found.asks:
        return ""
    if found.again_s <= 0:
        return "read it again now"
    if found.now_c is not None or found.again_s < AGAIN_MIN[0] * 60:
        return f"read it again in {told_length(max(60.0, round(found.again_s / 60) * 60.0))}"
    return f"read it again in {AGAIN_MIN[0]} to {AGAIN_MIN[1]} min"
