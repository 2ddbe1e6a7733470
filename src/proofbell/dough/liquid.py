"""The temperature of the liquid, so that the dough comes off the bench as it should.

A heat balance: what the cold ingredients take up, the warm ones give. Everything that warms the dough on the way
(kneading, the flour's own heat of wetting) less what bowl, bench and air take is one figure, the rise.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from proofbell.dough.heat import ICE_KJ, MELTING_KJ, WATER_KJ
from proofbell.formula.model import Mixing
from proofbell.frozen import dataclass
from proofbell.units import difference_c_from_f

RISE_K: dict[Mixing, float] = {"hand": 2.0, "machine": difference_c_from_f(20) / 3}
"""Warming by kneading when nobody knows better. By hand nothing measured was found: wetting the flour frees 15.1 kJ for
each kg of it, 3.3 K in a dough of 65 % water, less what bench and air take. By machine: the friction factor of a stand
mixer shared out over its three factors."""

RISE_RANGE_K: dict[Mixing, tuple[float, float]] = {"hand": (0.5, 3.3), "machine": (3.0, 5.0)}
"""How far that may be off. By hand a judgement up to the heat of wetting; mixers: L. Geißler, ploetzblog.de."""

RISE_BEFORE_K: dict[Mixing, float] = {"hand": difference_c_from_f(5) / 3, "machine": difference_c_from_f(20) / 3}
"""What was taken for it at first; bakes that did not keep theirs were weighed out with this."""

FRICTION_K: dict[Mixing, float] = {"hand": difference_c_from_f(5), "machine": difference_c_from_f(20)}
"""The bench card's friction factor, whether it counts three temperatures or four: Cook's Illustrated, 5 °F by hand and
20 °F in a stand mixer. A figure of that method alone, and no warming that anybody has read."""

WARMEST_C = 43.0
"""Yeast is spared: no liquid warmer than dry yeast is steeped in (W. Gisslen, *Professional Cooking*)."""

MOST_ICE = 0.5
"""At most so much of the water as ice: a dough has to come together. Common practice, no source."""

Limit = Literal["", "too warm for the yeast", "colder than there is", "more ice than can be mixed in"]


@dataclass(frozen=True, slots=True)
class Part:
    """One ingredient in the balance: its weight (g), temperature (°C) and specific heat (kJ/kg·K)."""

    name: str
    grams: float
    temp_c: float
    heat_kj: float

    @property
    def holds(self) -> float:
        """What warms it by one degree (J/K)."""
        return self.grams * self.heat_kj


@dataclass(frozen=True, slots=True)
class Liquid:
    """What to do with the liquid.

    ``temp_c`` is the temperature of what is poured, ``ice_g`` the part of the liquid's weight that is ice.
    ``wanted_c`` is what the balance asked for, before any limit. ``dough_c`` is what the dough then comes to,
    ``limit`` why not what was wanted.
    """

    temp_c: float
    ice_g: float
    wanted_c: float
    dough_c: float
    limit: Limit = ""


def dough_c(parts: Sequence[Part], *, rise_k: float, ice_g: float = 0.0, ice_c: float = 0.0) -> float:
    """Return the temperature (°C) of a dough of these parts, with ``ice_g`` of ice on top, after kneading.

    Raises ValueError: nothing to mix.
    """
    melting = ice_g * (MELTING_KJ + ICE_KJ * (0.0 - ice_c))
    held = math.fsum(part.holds for part in parts) + ice_g * WATER_KJ
    if not held > 0:
        raise ValueError("there is nothing to mix")
    return (math.fsum(part.holds * part.temp_c for part in parts) - melting) / held + rise_k


def liquid_for(
    others: Sequence[Part],
    *,
    liquid_g: float,
    liquid_kj: float,
    dough_temp_c: float,
    rise_k: float,
    coldest_c: float,
    ice: bool = False,
    ice_c: float = -18.0,
    warmest_c: float = WARMEST_C,
) -> Liquid:
    """Return how warm the liquid must be for a dough of ``dough_temp_c`` (°C) after kneading.

    ``others`` is everything else. ``coldest_c`` is the coldest the liquid comes (the tap, or the fridge); with ``ice``
    (water only), part of it is then ice of ``ice_c``. Raises ValueError: no liquid.
    """
    if not liquid_g > 0:
        raise ValueError("there is no liquid to warm")
    mixed_c = dough_temp_c - rise_k
    wanted_c = mixed_c + math.fsum(part.holds * (mixed_c - part.temp_c) for part in others) / (liquid_g * liquid_kj)

    def poured(temp_c: float, ice_g: float = 0.0, limit: Limit = "") -> Liquid:
        water = Part("liquid", liquid_g - ice_g, temp_c, liquid_kj)
        comes_c = dough_c([*others, water], rise_k=rise_k, ice_g=ice_g, ice_c=ice_c)
        return Liquid(temp_c, ice_g, wanted_c, comes_c, limit)

    if wanted_c > warmest_c:
        return poured(warmest_c, limit="too warm for the yeast")
    if wanted_c >= coldest_c:
        return poured(wanted_c)
    if not ice:
        return poured(coldest_c, limit="colder than there is")
    ice_g = ice_for_g(liquid_g, from_c=coldest_c, to_c=wanted_c, ice_c=ice_c)
    most_g = MOST_ICE * liquid_g
    if ice_g > most_g:
        return poured(coldest_c, most_g, "more ice than can be mixed in")
    return poured(coldest_c, ice_g)


def ice_for_g(
    liquid_g: float, *, from_c: float, to_c: float, ice_c: float = 0.0, melting_kj: float = MELTING_KJ
) -> float:
    """Return how much of ``liquid_g`` of water at ``from_c`` must be ice of ``ice_c`` to act like water at ``to_c``.

    The ice is part of the weight, not on top of it. It takes up heat to 0 °C, then to melt, and its water to the end:
    in °C and with ice at 0 °C this is the bakery rule liquid × (tap − wanted) ÷ (tap + 80), in °F ÷ (tap + 112); the 80
    and 112 are the heat of melting (``melting_kj``, kJ/kg) over that of water, rounded.
    """
    return liquid_g * WATER_KJ * (from_c - to_c) / (melting_kj - ICE_KJ * ice_c + WATER_KJ * from_c)


def factor_method(wanted: float, *, friction: float, factors: Sequence[float]) -> float:
    """Return the liquid's temperature by the bench card: wanted × (factors + 1), less the factors, less the friction.

    ``factors`` are the other temperatures: room and flour, and the preferment's when there is one. All in one scale;
    the friction factor is a difference. Lehmann, *PMQ*, spring 2003; *Pizza Today*, June 2018.
    """
    return wanted * (len(factors) + 1) - math.fsum(factors) - friction


FACTOR_METHOD_WORD = (
    "The factor method counts room, flour and liquid alike, whatever they weigh, and leaves out egg, butter and sugar. "
    "The heat balance counts them all by weight, so in a rich dough, or with things from the fridge, the two differ."
)
