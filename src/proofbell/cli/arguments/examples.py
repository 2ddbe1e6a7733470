"""The examples of a command's help as this kitchen counts: a temperature, a weight and a time of day in each."""

from __future__ import annotations

import re
from datetime import datetime

from proofbell.units import OUNCE_G, used
from proofbell.words import as_counted, hour_minute

_WEIGHT = re.compile(r"\b(\d+(?:\.\d+)?) (k?)g\b")
_CLOCK = re.compile(r"(?<!T)\b([01]\d|2[0-3]):([0-5]\d)\b")


def as_kitchen_counts(text: str) -> str:
    """A help text of ours that tells °C, g and a clock of 24 hours. Weights are whole ounces: they are but examples."""
    if used().weight == "oz":
        text = _WEIGHT.sub(_ounces, text)
    return as_counted(_CLOCK.sub(_hour_minute, text))


def _ounces(found: re.Match[str]) -> str:
    ounces = round(float(found[1]) * (1000 if found[2] else 1) / OUNCE_G)
    return f"{ounces} oz" if ounces else found[0]


def _hour_minute(found: re.Match[str]) -> str:
    return hour_minute(datetime(2000, 1, 1, int(found[1]), int(found[2])))  # noqa: DTZ001 - of no zone
