"""Lengths of time, heats and hours as recipes say them: "an hour and a half", "200C/180C fan/gas 6", "9 pm"."""

from __future__ import annotations

import re
from typing import Final

from proofbell.formula.oven_heat import FAN_LESS_K, GAS_MARKS_F
from proofbell.recipe.model import Heat
from proofbell.recipe.reading.numbers import NUMBER, number

OVERNIGHT_S: Final = (12 * 3600.0, 8 * 3600.0, 16 * 3600.0)
"""What "overnight" is taken for, with its shortest and longest: common practice, no source."""

_UNIT_S = {"h": 3600.0, "m": 60.0, "d": 86400.0, "s": 1.0, "w": 604800.0}
_UNIT = r"(?:hours?|hrs?\.?|h|minutes?|mins?\.?|min|days?|seconds?|secs?)(?![a-z])"
_FILL = r"(?:(?:good|further|full|more|another|about|around|extra|whole)\s+)*"
_LENGTH = re.compile(
    rf"(?i)(?:half an hour|(?P<low>{NUMBER})\s*{_FILL}(?P<unit_low>{_UNIT})?\s*"
    rf"(?:(?:-|\bto\b|\bor\b)\s*(?P<high>{NUMBER})\s*{_FILL})?"
    rf"(?P<unit>(?<=[\s\d]){_UNIT})?(?P<half>\s*\band a half|\s*\band a quarter)?"
    rf"(?:\s*(?:and\s+)?(?P<more>\d+)\s*(?P<more_unit>minutes?|mins?\.?|min|m|(?<=\d\d)(?=\s*(?:$"
    rf"|[,.;)])))(?![a-z]))?)"
)

_DEGREE = r"\s*(?:°|degrees?\s*|deg\.?\s*)?\s*"
_FAN = r"(?:fan|convection)\b(?:[- ]forced)?(?: ovens?)?"
_HEAT = re.compile(
    rf"(?i)(?:gas\s*(?:mark\s*)?(?P<gas>\d{{1,2}}\b|1/2|1/4|½|¼)"
    rf"|{_FAN}\s*(?:[:=(]|at|to)?\s*(?P<fan_first>\d{{3}}){_DEGREE}(?P<fan_scale>[CF]\b)?"
    rf"|(?P<low>\d{{2,3}})(?:\s*-\s*(?P<high>\d{{2,3}}))?(?:{_DEGREE}(?P<scale>[CF]|Celsius|Fahrenheit)\b"
    rf"|\s*(?P<bare>°|degrees?))?"
    rf"(?P<fan>\s*(?:(?:in|for|with|using) (?:an? |the )?)?{_FAN}(?!\s*[:=]?\s*\d)"
    rf"|\s*[(,]\s*(?:(?:in|for|with|using) (?:an? |the )?)?{_FAN}(?!\s*(?:[:=(]|at|to)?\s*\d))?)"
)
_SAME_HEAT: Final = re.compile(
    r"(?i)[\s/,();:|-]*(?:conventional|(?:top (?:and|/) bottom|static)(?: heat)?|normal|electric)?(?: ovens?)?"
    r"[\s/,();:|-]*(?:or\b|in an?\b|=)?[\s(]*"
)
"""What stands between two ways to say one heat."""
_WARM = re.compile(rf"(?i)(?P<low>\d{{1,3}})(?:\s*-\s*(?P<high>\d{{1,3}}))?{_DEGREE}(?P<scale>[CF])\b")
_WARM_WORD = re.compile(r"(?i)(?P<low>\d{1,3})\s*(?:°|degrees?)")
_OTHER_UNIT = re.compile(r"(?i)\s*(?:g|kg|ml|grams?|min\w*|hours?|h|%|x)\b|\d")
_HOUR = re.compile(r"(?i)(?P<h>\d{1,2})(?:[.:](?P<m>\d{2}))?\s*(?P<half>am|pm|a\.m\.|p\.m\.)?")


def lengths_in(text: str) -> list[tuple[tuple[float, float | None], int, int]]:
    """Every length in the text: (seconds, longest or None), where it begins and ends."""
    found: list[tuple[tuple[float, float | None], int, int]] = []
    at = 0
    while at < len(text):
        begins = at == 0 or not (text[at - 1].isalnum() or text[at - 1] in "./,°")
        match = _LENGTH.match(text, at) if begins else None
        seconds = None if match is None else _seconds(match)
        if match is None or seconds is None:
            at += 1
            continue
        found.append((seconds, at, match.end()))
        at = max(match.end(), at + 1)
    return found


def _seconds(match: re.Match[str]) -> tuple[float, float | None] | None:
    if match["low"] is None:
        return 1800.0, None
    unit = match["unit"] or (match["unit_low"] if not match["high"] else None)
    if unit is None:
        return None
    each = _UNIT_S[unit[0].lower()]
    low_each = _UNIT_S[match["unit_low"][0].lower()] if match["unit_low"] else each
    low = number(match["low"]) * low_each
    high = number(match["high"]) * each if match["high"] else None
    extra = {"half": 0.5, "quarter": 0.25}.get((match["half"] or "").split(" ")[-1], 0.0) * each
    extra += float(match["more"]) * 60 if match["more"] else 0.0
    if low + extra <= 0:
        return None
    return (low + (0 if high else extra), high + extra if high else None) if high != low else (low, None)


def c_of(value: float, scale: str) -> float:
    """°C of a value whose scale is "C", "F" or unsaid: above 260 unsaid it is °F."""
    fahrenheit = scale[:1].upper() == "F" or (not scale and value > 260)
    return (value - 32) / 1.8 if fahrenheit else value


def temperature_in(text: str) -> float | None:
    """A liquid's or a place's temperature (°C) in the text, the middle of a range; None when none is told."""
    found = _WARM.search(text)
    if found is None:
        word = _WARM_WORD.search(text)
        if word is None:
            return None
        value = float(word["low"])
        return c_of(value, "F" if value > 60 else "C")
    low = float(found["low"])
    middle = (low + float(found["high"])) / 2 if found["high"] else low
    return c_of(middle, found["scale"])


def gas_c(mark: str) -> float | None:
    """Conventional °C of a gas mark, to the next 10 °C."""
    degrees = GAS_MARKS_F.get({"1/4": "¼", "1/2": "½"}.get(mark, mark))
    return None if degrees is None else round((degrees - 32) / 18 + 1e-9) * 10.0


def heats_in(text: str) -> list[tuple[Heat, int, int]]:
    """The oven heats in the text, each with its place; several ways to say one heat count once, conventional first."""
    found: list[tuple[Heat, int, int, str]] = []
    for match in _HEAT.finditer(text):
        after_at = text[max(0, match.start() - 3) : match.start()].lower() == "at "
        heat = _heat(match, alone=after_at and not _OTHER_UNIT.match(text, match.end()))
        if heat is not None:
            found.append((heat, match.start(), match.end(), match["gas"] or ""))
    merged: list[tuple[Heat, int, int]] = []
    for heat, begin, end, _ in found:
        between = text[merged[-1][2] : begin] if merged else "far"
        if merged and _SAME_HEAT.fullmatch(between):
            first, start, _ = merged[-1]
            merged[-1] = (first if not first.said or heat.said else heat, start, end)
        else:
            merged.append((heat, begin, end))
    return merged


def _heat(match: re.Match[str], *, alone: bool) -> Heat | None:
    if match["gas"]:
        degrees = gas_c(match["gas"])
        return None if degrees is None else Heat(degrees, f"gas {match['gas']}")
    if match["fan_first"]:
        degrees = c_of(float(match["fan_first"]), match["fan_scale"] or "")
        return Heat(degrees + FAN_LESS_K, f"{round(degrees)} °C fan")
    value = float(match["low"])
    if match["high"]:
        value = (value + float(match["high"])) / 2
    scale = match["scale"] or ""
    if not (scale or match["bare"] or match["fan"] or alone):
        return None
    degrees = c_of(value, scale)
    if match["fan"]:
        return Heat(degrees + FAN_LESS_K, f"{round(degrees)} °C fan") if degrees >= 80 else None
    return Heat(degrees) if degrees >= 130 else None


def hour_s(text: str) -> tuple[float, bool] | None:
    """Seconds after midnight of "9 pm", "7.45", and whether am or pm was said."""
    found = _HOUR.fullmatch(text.strip())
    if found is None or int(found["h"]) > 24 or int(found["m"] or 0) > 59:
        return None
    hours, half = int(found["h"]), (found["half"] or "").lower()[:1]
    if half:
        hours = hours % 12 + (12 if half == "p" else 0)
    return hours * 3600.0 + int(found["m"] or 0) * 60.0, bool(half)
