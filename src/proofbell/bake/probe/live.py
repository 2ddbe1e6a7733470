"""What the bench shows of a probe that talks: its newest value, how old it is, and that it has fallen silent."""

from __future__ import annotations

import math
from itertools import pairwise

from proofbell.bake.core import CoreWanted, core_in, core_readings
from proofbell.bake.probe.thinning import latest_s
from proofbell.bake.state import BakeState, Reading
from proofbell.dough.core_outlook import CoreOutlook
from proofbell.formula.readings import LIMITS
from proofbell.words import degrees, temperature

PROBE = "probe"
"""The source of what `proofbell read -` takes; the log and its exports carry it."""

SILENT = 3
"""After so many times the longest pause that is meant to be, or that it lately had, a probe is silent: a choice."""

_LATELY = 6


def of_probe(state: BakeState) -> tuple[Reading, ...]:
    """What a probe handed in during the stage in hand."""
    if state.current is None or state.closed is not None:
        return ()
    return tuple(each for each in state.readings_in(state.current) if each.source == PROBE and each.value is not None)


def silent(state: BakeState, now_s: float) -> Reading | None:
    """The newest reading of a probe that has been silent for too long; None while it talks, or none ever did."""
    taken = of_probe(state)[-_LATELY:]
    if not taken:
        return None
    pauses = [after.at_s - before.at_s for before, after in pairwise(taken)]
    return taken[-1] if now_s - taken[-1].at_s > SILENT * max([latest_s(taken[-1].what), *pauses]) else None


def probe_words(state: BakeState, now_s: float) -> str:
    """``Core 87.4 °C, 20 s ago; 94 in 6 min (4 to 9)``; nothing where no probe talks."""
    taken = [each for each in of_probe(state) if each.what != "room temperature"]
    if not taken or taken[-1].value is None or state.current is None:
        return ""
    newest, value_c = taken[-1], taken[-1].value
    what = LIMITS[newest.what].also[0].capitalize()
    words = f"{what} {temperature(value_c)}, {_age(now_s - newest.at_s)}"
    wanted = core_in(state, state.current)
    if newest.what != "core temperature" or wanted is None:
        return words
    read = core_readings(state, state.current)[-1]
    into_s = now_s - (state.stages[state.current].begun_s or 0.0)
    return f"{words}; {_when(wanted, value_c, read.outlook, into_s)}"


def _when(wanted: CoreWanted, value_c: float, outlook: CoreOutlook | None, into_s: float) -> str:
    """When a core gets into its band; ``into_s``: how far into the bake it is now."""
    if value_c > wanted.high_c:
        return f"{wanted.most} is the most"
    if value_c >= wanted.low_c:
        return f"hot enough ({wanted.band}), look at the crust"
    if outlook is None:
        return f"too cool yet to say when it is {temperature(wanted.low_c, 0)}"
    low, likely, high = ((each - into_s) / 60 for each in (outlook.low_s, outlook.done_s, outlook.high_s))
    about, most = max(1, round(likely)), max(1, math.ceil(high))
    least = max(0, math.floor(low))
    between = f"{least} to {max(most, about)}" if least else f"up to {max(most, about)}"
    return f"{degrees(wanted.low_c)} in {about} min ({between})"


def _age(seconds: float) -> str:
    return f"{max(0.0, seconds):.0f} s ago" if seconds < 100 else f"{seconds / 60:.0f} min ago"
