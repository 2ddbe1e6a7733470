"""Cautions with official figures: shown where they matter, never as a promise.

Every one of them ends with the same words: local food-safety rules and a licensed professional's advice come first.
The figures differ between countries, and the kitchen file chooses the set.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Literal

from proofbell.dough.allergens import in_one_line
from proofbell.formula.danger_zone import IN_ALL_S, IN_ALL_SOURCE, KEPT_COLD_C, ZONES, Region, Zone
from proofbell.frozen import dataclass
from proofbell.units import c_from_f, f_from_c, used
from proofbell.words import length

LOCAL_FIRST = "Local food-safety rules and a licensed professional's advice come first."
LOCAL_FIRST_FOR_ALL = f"For all of these: {LOCAL_FIRST[:1].lower()}{LOCAL_FIRST[1:]}"
"""Said once over several cautions, in place of the end of each."""


HOT_HOLD_C: dict[Region, float] = {"us": 57.0, "uk": 63.0, "eu": 60.0}
"""Hot food is kept at least so hot: FDA key temperatures for egg safety; UK regulations; WHO Five Keys."""

EGG_DISH_C: dict[Region, float] = {"us": c_from_f(160), "uk": 70.0, "eu": 70.0}
"""Core of a dish with egg: USDA FSIS 160 °F; UK Food Standards Agency 70 °C for 2 minutes; WHO Five Keys 70 °C."""

UK_EQUIVALENTS: tuple[tuple[float, float], ...] = (
    (60.0, 2700.0),
    (65.0, 600.0),
    (70.0, 120.0),
    (75.0, 30.0),
    (80.0, 6.0),
)
"""Core temperature (°C) and time (s) that do the same: UK Food Standards Agency."""

_HELD: dict[Region, str] = {"us": "", "uk": " for 2 minutes", "eu": ""}

_EGG_SOURCE: dict[Region, str] = {
    "us": "USDA FSIS: egg dishes 160 °F; FDA, key temperatures for egg safety",
    "uk": "UK Food Standards Agency: 70 °C for 2 minutes or its equivalents; UK regulations: hot food 63 °C",
    "eu": "WHO, Five Keys to Safer Food Manual, 2006: 70 °C; hot food 60 °C",
}


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution: what it is about (a word for scripts), the words, and where its figures come from."""

    about: Literal["oven", "raw flour", "standing", "core", "allergens"]
    alone: str
    """The words for a list under ``LOCAL_FIRST_FOR_ALL``."""
    source: str = ""
    named: bool = False
    """Whether the words begin with what it is about."""

    @property
    def text(self) -> str:
        """The words on their own, which end as those of every caution do."""
        return f"{self.alone} {LOCAL_FIRST}"


def egg_core_reached(core_c: float, region: Region) -> bool:
    """Whether a core reading reaches the official figure for dishes with egg: 71 °C in the US, as is printed."""
    return round(core_c, 1) >= math.floor(EGG_DISH_C[region])


def egg_core_caution(core_c: float, region: Region) -> Caution | None:
    """Return the caution on a core reading (°C) of a dough with egg; None when it reaches the official figure.

    By the UK list a lower core does as well once it has stayed so hot for long enough.
    """
    if egg_core_reached(core_c, region):
        return None
    told = f"With egg in it the core should reach at least {_official(EGG_DISH_C[region], region)}{_HELD[region]}"
    hold_s = uk_hold_s(core_c) if region == "uk" else None
    if hold_s is not None:
        told += f"; at {_official(core_c, region)} the same list asks for {length(hold_s)}"
    return Caution("core", f"{told}. Bake it longer and read again.", _EGG_SOURCE[region])


def uk_hold_s(core_c: float) -> float | None:
    """Return how long (s) a core must stay at ``core_c`` by the UK list; None below it.

    Between two lines of the list the longer time holds.
    """
    times = [seconds for temp_c, seconds in UK_EQUIVALENTS if temp_c <= core_c]
    return times[-1] if times else None


@dataclass(frozen=True, slots=True)
class Stand:
    """A stretch of a dough's time: start (°C), surroundings (°C), time constant (s), length (s); its stage by name."""

    start_c: float
    place_c: float
    tau_s: float
    seconds: float
    stage: str = ""

    @property
    def end_c(self) -> float:
        return self.place_c + (self.start_c - self.place_c) * math.exp(-self.seconds / self.tau_s)


def in_zone_s(stand: Stand, zone: Zone) -> float:
    """Return how long (s) the dough is between the zone's temperatures while it drifts to its place."""
    gap_k = stand.start_c - stand.place_c
    cuts = [0.0, stand.seconds]
    for bound_c in (zone.low_c, zone.high_c):
        left = (bound_c - stand.place_c) / gap_k if gap_k else 0.0
        if 0 < left < 1:
            cuts.append(min(-stand.tau_s * math.log(left), stand.seconds))
    cuts.sort()
    inside_s = 0.0
    for begin_s, end_s in pairwise(cuts):
        middle_c = stand.place_c + gap_k * math.exp(-(begin_s + end_s) / 2 / stand.tau_s)
        inside_s += end_s - begin_s if zone.low_c < middle_c < zone.high_c else 0.0
    return inside_s


@dataclass(frozen=True, slots=True)
class Standing:
    """How long (s) a dough is in the danger zone in all, where it is not kept cold.

    ``longest_s`` is the stretch of it that goes farthest past its own figure ``at_a_time_s``, in a ``stage`` by name;
    ``warm``: that stands warmer than any food is kept cold at.
    """

    seconds: float
    longest_s: float = 0.0
    at_a_time_s: float = IN_ALL_S
    stage: str = ""
    warm: bool = True

    @property
    def too_long_at_a_time(self) -> bool:
        """Whether a stretch of it is longer than its figure."""
        return self.longest_s > self.at_a_time_s

    @property
    def over(self) -> bool:
        """Whether either official figure is passed."""
        return self.too_long_at_a_time or self.seconds > IN_ALL_S


def standing(stands: Sequence[Stand], region: Region) -> Standing:
    """How long a dough is in the danger zone, out of places that keep it cold; the figures are of ``danger_zone``.

    What cools in a cold place is cooling, not standing warm.
    """
    zone = ZONES[region]
    out = [one for one in stands if one.place_c > KEPT_COLD_C[region]]
    inside = [(in_zone_s(one, zone), _limit_s(one, zone), one) for one in out]
    total_s = math.fsum(seconds for seconds, _limit, _one in inside)
    worst = max(inside, key=lambda each: each[0] - each[1], default=None)
    if worst is None:
        return Standing(total_s, at_a_time_s=zone.limit_s)
    seconds, limit_s, one = worst
    return Standing(total_s, seconds, limit_s, one.stage, warm=one.place_c > max(KEPT_COLD_C.values()))


def _limit_s(stand: Stand, zone: Zone) -> float:
    if zone.warm_c is not None and zone.warm_limit_s is not None and stand.place_c > zone.warm_c:
        return zone.warm_limit_s
    return zone.limit_s


def _official(temp_c: float, region: Region) -> str:
    """Say a figure as its authority prints it: in the US in °F, with whole °C behind it."""
    celsius = f"{math.floor(temp_c)} °C"
    return f"{f_from_c(temp_c):.0f} °F ({celsius})" if _in_f(region) else celsius


def _span(zone: Zone, region: Region) -> str:
    celsius = f"{zone.low_c:.2g} and {zone.high_c:.0f} °C"
    return f"{f_from_c(zone.low_c):.0f} and {f_from_c(zone.high_c):.0f} °F ({celsius})" if _in_f(region) else celsius


def _in_f(region: Region) -> bool:
    """In the US the figures are printed in °F; who counts in °F is told them so too."""
    return region == "us" or used().temperature == "°F"


def figures_words(found: Standing) -> str:
    """``4 h in all, 2 h at a time``; where both are the same, once."""
    in_all, once = f"{IN_ALL_S / 3600:.0f} h in all", f"{found.at_a_time_s / 3600:.0f} h at a time"
    return in_all if found.at_a_time_s == IN_ALL_S else f"{in_all}, {once}"


def standing_caution(found: Standing, region: Region) -> Caution:
    """Return the caution for an egg or milk dough that stands long in the warm."""
    zone = ZONES[region]
    longest = f", {found.longest_s / 3600:.1f} h of it in {found.stage}" if found.stage else ""
    return Caution(
        "standing",
        f"With egg or milk in it, this dough is between {_span(zone, region)} out of the cold for about "
        f"{found.seconds / 3600:.1f} h in all{longest}; the official figure is {figures_words(found)}. Keep it colder "
        f"for part of that, or proof it shorter.",
        f"{IN_ALL_SOURCE}; {zone.source}",
    )


def core_caution(region: Region) -> Caution:
    """Return the caution on the core of an egg-rich dough."""
    same = ""
    if region == "uk":
        others = [
            f"{_official(temp_c, region)} for {length(hold_s)}" for temp_c, hold_s in UK_EQUIVALENTS if temp_c != 70
        ]
        same = f" (or {', '.join(others[:-1])} or {others[-1]})"
    return Caution(
        "core",
        f"With egg in it the core should reach at least {_official(EGG_DISH_C[region], region)}{_HELD[region]}{same}, "
        "measured in the middle of the thickest piece. What is kept hot is kept at "
        f"{_official(HOT_HOLD_C[region], region)} or more.",
        _EGG_SOURCE[region],
    )


def oven_caution() -> Caution:
    return Caution(
        "oven",
        "Oven, trays, tins and steam burn in an instant: dry oven cloths, face away when the door opens, a clear place "
        "to put hot tins down.",
        "common practice",
        named=True,
    )


def raw_flour_caution() -> Caution:
    return Caution(
        "raw flour",
        "Raw flour is a raw food: do not taste raw dough, wash hands and bench after it.",
        "US FDA 2016 and UK Food Standards Agency 2017, on raw dough",
        named=True,
    )


def allergen_caution(listed: Iterable[str], unknown: Iterable[str] = ()) -> Caution | None:
    """Return the caution on allergens, or None when nothing is listed and there is nothing ``unknown``."""
    named = in_one_line(listed, unknown, none="")
    if not named:
        return None
    return Caution(
        "allergens",
        f"Allergens: {named}. Tell everyone who eats it. Traces may come in by bench, tins and hands.",
        "Regulation (EU) 1169/2011, Annex II; US FASTER Act of 2021",
        named=True,
    )


# UK, average quantity: tolerable negative error by nominal weight (gov.uk, "Weights and measures: packaged goods").
_TOLERABLE: tuple[tuple[float, float, float], ...] = (
    (50.0, 0.09, 0.0),
    (100.0, 0.0, 4.5),
    (200.0, 0.045, 0.0),
    (300.0, 0.0, 9.0),
    (500.0, 0.03, 0.0),
    (1000.0, 0.0, 15.0),
    (10_000.0, 0.015, 0.0),
)


SOLD_G = (5.0, 10_000.0)
"""The weights (g) that the table is for."""


def packed_short_g(nominal_g: float) -> float:
    """Return by how much (g) a loaf sold by weight may fall short of it, when the average does not.

    United Kingdom, packaged goods, average system; unwrapped bread counts. For loaves of 5 g to 10 kg. Raises
    ValueError: a weight outside the table.
    """
    if not SOLD_G[0] <= nominal_g <= SOLD_G[1]:
        raise ValueError("the table is for 5 g to 10 kg")
    share, fixed_g = next((share, fixed_g) for up_to_g, share, fixed_g in _TOLERABLE if nominal_g <= up_to_g)
    return share * nominal_g + fixed_g
