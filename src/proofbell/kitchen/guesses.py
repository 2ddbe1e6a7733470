"""What a kitchen most likely counts in, and whose figures hold there, guessed from the country of its machine.

The countries are those of the Unicode CLDR (supplemental data: `unitPreferences` for temperature, `timeData` for the
clock), from memory: a guess that every answer of the baker's goes before.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from proofbell.formula.danger_zone import Region
from proofbell.units import Degrees, Units

FAHRENHEIT = frozenset({"US", "PR", "GU", "VI", "AS", "BS", "BZ", "KY", "PW", "FM", "MH", "LR"})
OUNCES = frozenset({"US", "PR", "GU", "VI", "AS"})
TWELVE = FAHRENHEIT | {"CA", "AU", "NZ", "IN", "PH", "PK", "BD", "MY", "SG", "EG", "SA", "AE", "KR", "CO", "ZA"}
LANGUAGES_OF_24 = frozenset({"fr"})
"""In Canada the clock goes by the language."""

ROOM_C = 21.0
ROOM_F = 70.0
"""An ordinary room, as a round number in either."""


@dataclass(frozen=True, slots=True)
class Guess:
    units: Units
    region: Region


def country_of(environment: Mapping[str, str]) -> str:
    """``US`` of ``en_US.UTF-8``: what holds for measures goes before time, and that before language; else empty."""
    for name in ("LC_ALL", "LC_MEASUREMENT", "LC_TIME", "LANG"):
        country = environment.get(name, "").partition(".")[0].partition("@")[0].partition("_")[2]
        if country:
            return _NAMES.get(country, country.upper())
    return ""


_NAMES = {"United States": "US", "United Kingdom": "GB", "Canada": "CA", "Australia": "AU"}
"""As Windows tells a country."""


def guess(environment: Mapping[str, str], temperature: Degrees | None = None) -> Guess:
    """What a kitchen there counts in. ``temperature``: as the baker said; who counts in °F weighs and reads so too."""
    country = country_of(environment)
    in_f = country in FAHRENHEIT if temperature is None else temperature == "°F"
    ounces = in_f and (country in OUNCES or not country)
    language = environment.get("LC_ALL") or environment.get("LC_TIME") or environment.get("LANG", "")
    twelve = (in_f and not country) or (country in TWELVE and language[:2] not in LANGUAGES_OF_24)
    units = Units("°F" if in_f else "°C", "oz" if ounces else "g", "12 h" if twelve else "24 h")
    region: Region = "us" if country in OUNCES else "uk" if country == "GB" else "eu"
    return Guess(units, region)
