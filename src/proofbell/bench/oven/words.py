"""What the oven does, in words."""

from __future__ import annotations

from proofbell.bench.oven.now import OvenNow
from proofbell.words import told_length


def oven_words(oven: OvenNow, heat: str) -> str:
    """``170 °C fan · hot in 23 min``; ``off · on in 12 min``. ``heat`` is what is set on the dial."""
    if oven.doing == "baking":
        return f"{heat} · {oven.letter} bakes".strip(" ·")
    if oven.doing == "hot":
        return f"{heat} · hot"
    if oven.doing == "heating":
        return f"{heat} · hot in {told_length(oven.in_s)}" if oven.in_s else f"{heat} · hot now?"
    if oven.doing == "kept":
        return f"{heat} · stays on for {oven.letter}"
    if oven.doing == "left on":
        return f"{heat} · still on?"
    if oven.doing == "off":
        late = oven.in_s is not None and oven.in_s <= 0
        return "off · turn it on" if late else f"off · on in {told_length(oven.in_s)}"
    return "not in use"
