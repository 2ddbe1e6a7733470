"""What is known about this kitchen, in °C, g, s, m and hPa.

A kitchen without a file is an ordinary one: every field has a default that a small kitchen may start from.
"""

from __future__ import annotations

from dataclasses import field, replace
from typing import Literal

from proofbell.dough.fermenting.rate import COLD_C
from proofbell.dough.oven import OvenKind
from proofbell.dough.probe import Pt100Class, pt100_tolerance_k
from proofbell.formula.danger_zone import Region
from proofbell.formula.model import USUAL_ROOM_C
from proofbell.formula.oven_heat import FAN_LESS_K
from proofbell.frozen import dataclass
from proofbell.units import Units

Notify = Literal["auto", "off", "osc 9", "osc 99", "osc 777"]
"""By which sequence a terminal is asked for its own notification; auto: as the environment tells."""


@dataclass(frozen=True, slots=True)
class OvenDial:
    """One line of the oven's own table: what is set on the dial for a conventional temperature."""

    conventional_c: float
    dial: str


@dataclass(frozen=True, slots=True)
class Oven:
    """The oven: its kind, how fast it changes heat, how many places it has.

    ``heat_up_s`` is the time from a room of 20 °C to 200 °C; other heats are in proportion to the difference.
    ``cool_down_s`` is the time it takes to fall by 100 K with the door ajar.
    ``fan_less_k``: a fan oven is set this much lower.
    """

    kind: OvenKind = "conventional"
    heat_up_s: float = 25 * 60.0
    cool_down_s: float = 20 * 60.0
    trays: int = 1
    fan_less_k: float = FAN_LESS_K
    dial: tuple[OvenDial, ...] = ()


@dataclass(frozen=True, slots=True)
class Probe:
    """A two-point line from raw to true: true = offset_k + slope × raw. ``checked`` says when, in words.

    ``tolerance_k`` is how far a reading may be off after that; a Pt100 probe of a known class has that class's.
    """

    offset_k: float = 0.0
    slope: float = 1.0
    tolerance_k: float = 1.0
    checked: str = ""
    pt100: Pt100Class | None = None

    def good_to_k(self, temp_c: float) -> float:
        """How far a reading of ``temp_c`` may be off (K)."""
        return self.tolerance_k if self.pt100 is None else pt100_tolerance_k(self.pt100, temp_c)


@dataclass(frozen=True, slots=True)
class Scale:
    """Smallest step of the scale; of the fine scale for yeast and salt, when there is one."""

    step_g: float = 1.0
    fine_step_g: float | None = None


@dataclass(frozen=True, slots=True)
class Bell:
    """How the bell is told of beside its sound. ``heard``: whether it was, when it was tried; None: not tried."""

    heard: bool | None = None
    notify: Notify = "auto"
    title: bool = True


@dataclass(frozen=True, slots=True)
class Kitchen:
    """Everything a plan or a weigh-out needs to know about the place.

    ``uncertainty_k`` is how far the room may be from what is said. ``flour_c`` None means: as the room.
    ``rise_hand_k`` and ``rise_machine_k``, when set, are this kitchen's own warming by kneading.
    ``learn`` False switches off everything learned from past bakes. ``pace`` (the fermentation at which doughs are
    judged ready here, as a share of the model's) and ``drift`` (how long they take to reach a place's temperature, as a
    share of the model's time constant) are learned, never written in the kitchen file. ``drift_cold`` is the latter for
    the fridge; None in a log of before the two were learned apart, where ``drift`` held for both. ``places`` are its
    places by name (°C), beside room and fridge. ``formulas`` are the folders of its own formulas. Nobody works in the
    ``quiet`` hours, from the first clock time (``22:30``) until the second; ``names`` are those of who works here.
    """

    name: str = "Kitchen"
    room_c: float = USUAL_ROOM_C
    uncertainty_k: float = 1.0
    fridge_c: float = 4.0
    flour_c: float | None = None
    tap_c: float = 12.0
    tap_hot_c: float = 50.0
    freezer_c: float = -18.0
    rise_hand_k: float | None = None
    rise_machine_k: float | None = None
    altitude_m: float = 0.0
    pressure_hpa: float | None = None
    hands: int = 1
    region: Region = "eu"
    learn: bool = True
    pace: float = 1.0
    drift: float = 1.0
    drift_cold: float | None = None
    oven: Oven = field(default_factory=Oven)
    probe: Probe = field(default_factory=Probe)
    scale: Scale = field(default_factory=Scale)
    units: Units = field(default_factory=Units)
    bell: Bell = field(default_factory=Bell)
    alarm_command: tuple[str, ...] = ()
    keys: tuple[tuple[str, str], ...] = ()
    theme: str = ""
    places: tuple[tuple[str, float], ...] = ()
    formulas: tuple[str, ...] = ()
    names: tuple[str, ...] = ()
    quiet: tuple[str, ...] = ()

    def place_c(self, name: str) -> float | None:
        """How warm a place of this kitchen is (°C), the room and the fridge included; None where it has no such."""
        known = {"room": self.room_c, "fridge": self.fridge_c, **dict(self.places)}
        return next((temp_c for each, temp_c in known.items() if each.casefold() == name.casefold()), None)

    def drift_at(self, place_c: float) -> float:
        """The learned share of the model's time constant for a dough in a place of that temperature (°C)."""
        return self.drift if self.drift_cold is None or place_c >= COLD_C else self.drift_cold


@dataclass(frozen=True, slots=True)
class Today:
    """Temperatures (°C) that hold for one bake. None: as the kitchen has it; ``places`` are those that it lacks."""

    room_c: float | None = None
    flour_c: float | None = None
    fridge_c: float | None = None
    places: tuple[tuple[str, float], ...] = ()

    def over(self, kitchen: Kitchen) -> Kitchen:
        """The kitchen as one bake finds it."""
        return replace(
            kitchen,
            room_c=kitchen.room_c if self.room_c is None else self.room_c,
            flour_c=kitchen.flour_c if self.flour_c is None else self.flour_c,
            fridge_c=kitchen.fridge_c if self.fridge_c is None else self.fridge_c,
            places=(*kitchen.places, *self.places),
        )
