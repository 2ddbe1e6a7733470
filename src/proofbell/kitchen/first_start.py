"""What a kitchen is asked when it is new, and what is written of it. Pure; a screen asks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from proofbell.dough.oven import OvenKind
from proofbell.formula.danger_zone import Region
from proofbell.formula.model import USUAL_ROOM_C
from proofbell.frozen import dataclass
from proofbell.quantities import Dimension, QuantityError, read_quantity
from proofbell.units import Degrees, Units

FAHRENHEIT = frozenset({"US", "PR", "GU", "VI", "AS", "BS", "BZ", "KY", "PW", "FM", "MH", "LR"})
OUNCES = frozenset({"US", "PR", "GU", "VI", "AS"})
TWELVE = FAHRENHEIT | {"CA", "AU", "NZ", "IN", "PH", "PK", "BD", "MY", "SG", "EG", "SA", "AE", "KR", "CO", "ZA"}
LANGUAGES_OF_24 = frozenset({"fr"})
"""In Canada the clock goes by the language."""

ROOM_F = 70.0
"""An ordinary room, as a round number."""


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
    region: Region = "us" if ounces or country in OUNCES else "uk" if country == "GB" else "eu"
    return Guess(units, region)


ROOM_LOW_C, ROOM_HIGH_C = -5.0, 50.0
"""What the kitchen file takes for a room."""


@dataclass(frozen=True, slots=True)
class Answers:
    """The four answers so far. ``room`` is the bare number as typed, empty for the ordinary one."""

    oven: OvenKind = "conventional"
    temperature: Degrees = "°C"
    room: str = ""
    heard: bool | None = None

    @property
    def room_told(self) -> str:
        """The room with its unit, as it will be written."""
        ordinary = ROOM_F if self.temperature == "°F" else USUAL_ROOM_C
        return f"{self.room.replace(',', '.') or format(ordinary, 'g')} {self.temperature}"

    @property
    def room_wrong(self) -> str:
        """Why the room cannot be so; nothing when it can. A number that only °F can mean is asked about."""
        if _is_room(self.room_told):
            return ""
        other: Degrees = "°C" if self.temperature == "°F" else "°F"
        if _is_room(f"{self.room} {other}"):
            return f"{self.room} {other}? Then choose {other} above."
        return "A room is −5 to 50 °C, 23 to 122 °F."


def _is_room(told: str) -> bool:
    try:
        return ROOM_LOW_C <= read_quantity(told, Dimension.TEMPERATURE) <= ROOM_HIGH_C
    except QuantityError:
        return False


def first_answers(environment: Mapping[str, str]) -> Answers:
    """Before anything was answered: as the country of the machine has it."""
    return Answers(temperature=guess(environment).units.temperature)


def with_degrees(answers: Answers, temperature: Degrees) -> Answers:
    """The other degrees; a room that was typed stays only where it still can be one."""
    changed = replace(answers, temperature=temperature)
    return changed if not changed.room_wrong else replace(changed, room="")


def guessed(answers: Answers, environment: Mapping[str, str]) -> Guess:
    return guess(environment, answers.temperature)


def settings_of(answers: Answers, environment: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    """What is written into the kitchen file: the answers, and what was guessed from them."""
    known = guessed(answers, environment)
    written = [
        ("oven.kind", answers.oven),
        ("room", answers.room_told),
        ("region", known.region),
        ("units.temperature", known.units.temperature),
        ("units.weight", known.units.weight),
        ("units.clock", known.units.clock),
    ]
    return (*written, *([] if answers.heard is None else [("bell.heard", "yes" if answers.heard else "no")]))


def settings_skipped(answers: Answers, environment: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    """What is written where the rest was skipped: the answers so far, and what is guessed, so nobody is asked again.

    A room that cannot be is the ordinary one; of an oven that nobody chose nothing is written.
    """
    kept = replace(answers, room="") if answers.room_wrong else answers
    chosen = kept.oven != Answers().oven
    return tuple(pair for pair in settings_of(kept, environment) if chosen or pair[0] != "oven.kind")
