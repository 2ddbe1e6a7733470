"""The fields of the kitchen file: names, kinds, bounds, one sentence about each."""

from __future__ import annotations

import re
from typing import get_args

from proofbell.dough.oven import OvenKind
from proofbell.dough.probe import Pt100Class
from proofbell.formula.danger_zone import Region
from proofbell.formula.findings import Findings
from proofbell.formula.kinds import BAD, Bad, Choice, Number, Schema, Several, Text, YesNo, called
from proofbell.formula.measures import Measure
from proofbell.formula.tables import Field, Table, Tables
from proofbell.formula.text.positions import Path
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Notify
from proofbell.quantities import Dimension
from proofbell.units import Degrees, Hours, Weights

_PLACE = Measure(Dimension.TEMPERATURE, -5, 50)
_WATER = Measure(Dimension.TEMPERATURE, 0, 100)
_COLD = Measure(Dimension.TEMPERATURE, -40, 15)
_HEAT = Measure(Dimension.TEMPERATURE, 40, 550)
_RISE = Measure(Dimension.DIFFERENCE, 0, 30)
_STEP = Measure(Dimension.MASS, 0, 100, above=True)
_DEGREES = (("c", "°C"), ("°c", "°C"), ("celsius", "°C"), ("f", "°F"), ("°f", "°F"), ("fahrenheit", "°F"))
_WEIGHTS = (("grams", "g"), ("lb", "oz"), ("ounces", "oz"))
_HOURS = (("24", "24 h"), ("24h", "24 h"), ("12", "12 h"), ("12h", "12 h"))
_CHANGE = Measure(Dimension.TIME, 0, 6 * 3600.0)

DIAL = Table(
    "a line of the dial",
    (
        Field("conventional", _HEAT, "The conventional temperature that a formula asks for.", required=True),
        Field("dial", Text(20), "What to set on this oven for it.", required=True),
    ),
)

OVEN = Table(
    "the oven",
    (
        Field("kind", Choice("a kind of oven", get_args(OvenKind), (("convection", "fan"),)), "What it is."),
        Field("heat_up", _CHANGE, "From ‹20 to 200 °C›."),
        Field("cool_down", _CHANGE, "To fall by ‹100 K›, the door ajar."),
        Field("trays", Number(1, 100, whole=True), "How many places it has."),
        Field("fan_less", Measure(Dimension.DIFFERENCE, 0, 60), "How much lower a fan oven is set."),
        Field("dial", Tables(DIAL, 40, least=0), "The oven's own table, where its maker's differs from the usual one."),
    ),
)

PROBE = Table(
    "the probe",
    (
        Field("offset", Measure(Dimension.DIFFERENCE, -20, 20), "Added to every reading: true = offset + slope × raw."),
        Field("slope", Number(0.8, 1.2), "Each reading is multiplied by this first."),
        Field("tolerance", Measure(Dimension.DIFFERENCE, 0, 10), "How far a reading may be off after that."),
        Field("checked", Text(40), "When the probe was checked last."),
        Field(
            "pt100",
            Choice("a class of Pt100", get_args(Pt100Class)),
            "Its class by IEC 60751, in place of a tolerance.",
        ),
    ),
)

SCALE = Table(
    "the scale",
    (
        Field("step", _STEP, "Smallest step of the scale."),
        Field("fine_step", _STEP, "Smallest step of the fine scale for yeast and salt."),
    ),
)


@dataclass(frozen=True, slots=True)
class Keys:
    """Actions and the keys of one's own for them; an action's id may be written with its dots or in quotes."""

    def read(self, value: object, path: Path, findings: Findings) -> tuple[tuple[str, str], ...] | Bad:
        """Return pairs of action and key. Whether such an action exists, the app knows."""
        if not isinstance(value, dict):
            findings.error(
                path, f"A table is wanted here; this is {called(value)}.", "Write [keys] and a line for each."
            )
            return BAD
        pairs: list[tuple[str, str]] = []
        whole = True
        for name, item in value.items():
            if isinstance(item, dict):
                inner = self.read(item, (*path, name), findings)
                whole = whole and not isinstance(inner, Bad)
                pairs += [] if isinstance(inner, Bad) else [(f"{name}.{rest}", key) for rest, key in inner]
            elif not re.fullmatch(r"[a-z][a-z0-9.-]{0,60}", name):
                findings.error((*path, name), "This is not the name of an action.", "The help lists them.", at_key=True)
                whole = False
            else:
                key = Text(40).read(item, (*path, name), findings)
                whole = whole and not isinstance(key, Bad)
                pairs += [] if isinstance(key, Bad) else [(name, key)]
        return tuple(pairs) if whole else BAD

    def schema(self) -> Schema:
        """Free names with a text each, or tables of such."""
        return {"type": "object"}


NOT_A_NAME = re.compile(r"(?i)[-+−]?[0-9].*|room|fridge")
"""What is a temperature, or a place that every kitchen has, cannot be the name of another place."""


@dataclass(frozen=True, slots=True)
class Places:
    """Named places that a dough can stand in, each with its temperature."""

    def read(self, value: object, path: Path, findings: Findings) -> tuple[tuple[str, float], ...] | Bad:
        if not isinstance(value, dict):
            findings.error(
                path,
                f"A table is wanted here; this is {called(value)}.",
                'Write [places] and a line like larder = "15 °C".',
            )
            return BAD
        found: list[tuple[str, float]] = []
        whole = True
        for name, item in value.items():
            if NOT_A_NAME.fullmatch(name.strip()) or isinstance(
                Text(MOST_NAME).read(name, (*path, name), findings), Bad
            ):
                findings.error((*path, name), "A place cannot have this name.", "Use a word of your own.", at_key=True)
                whole = False
                continue
            temp_c = STANDS_AT.read(item, (*path, name), findings)
            if isinstance(temp_c, Bad):
                whole = False
            else:
                found.append((name.strip(), temp_c))
        return tuple(found) if whole else BAD

    def schema(self) -> Schema:
        return {"type": "object", "additionalProperties": STANDS_AT.schema()}


@dataclass(frozen=True, slots=True)
class Hour:
    """A clock time, as ``22:30``."""

    def read(self, value: object, path: Path, findings: Findings) -> str | Bad:
        match = re.fullmatch(r"([0-9]{1,2})[:.]([0-9]{2})", value.strip()) if isinstance(value, str) else None
        if match is None or int(match[1]) > 23 or int(match[2]) > 59:
            findings.error(path, f"A clock time is wanted here; this is {called(value)}.", 'Write it as "22:30".')
            return BAD
        return f"{int(match[1]):02d}:{match[2]}"

    def schema(self) -> Schema:
        return {"type": "string", "pattern": "^[0-9]{1,2}[:.][0-9]{2}$"}


MOST_NAME = 40
STANDS_AT = Measure(Dimension.TEMPERATURE, -30, 60)

UNITS = Table(
    "the units",
    (
        Field("temperature", Choice("a unit of temperature", get_args(Degrees), _DEGREES), "°C or °F."),
        Field("weight", Choice("a unit of weight", get_args(Weights), _WEIGHTS), "g, or lb and oz."),
        Field("clock", Choice("a clock", get_args(Hours), _HOURS), "24 h or 12 h."),
    ),
)

BELL = Table(
    "the bell",
    (
        Field("heard", YesNo(), "Whether it was heard when it was tried."),
        Field("notify", Choice("a way to notify", get_args(Notify)), "The terminal's own notification, by which way."),
        Field("title", YesNo(), "Whether the window's title counts down."),
    ),
)

KITCHEN = Table(
    "a kitchen",
    (
        Field("name", Text(60), "What the kitchen is called."),
        Field("room", _PLACE, "Usual room temperature."),
        Field("uncertainty", Measure(Dimension.DIFFERENCE, 0, 15), "How far the room may be from that."),
        Field("fridge", _COLD, "Temperature of the fridge."),
        Field("flour", _PLACE, "Temperature of the flour, if it is not the room's."),
        Field("tap", _WATER, "Temperature of the cold tap."),
        Field("tap_hot", _WATER, "Temperature of the hot tap."),
        Field("freezer", Measure(Dimension.TEMPERATURE, -60, 0), "Temperature of the freezer, for ice."),
        Field("rise_hand", _RISE, "Warming by kneading by hand, in this kitchen."),
        Field("rise_machine", _RISE, "Warming by kneading by machine, in this kitchen."),
        Field("altitude", Measure(Dimension.LENGTH, -450, 6000), "Height above the sea, for the boiling point."),
        Field(
            "pressure", Measure(Dimension.PRESSURE, 450, 1100), "Air pressure here, better than the height if known."
        ),
        Field("hands", Number(1, 20, whole=True), "How many people work here."),
        Field("names", Several(Text(MOST_NAME), 20), "Their names, so that a plan can say who does what."),
        Field("quiet", Several(Hour(), 2), "Nobody works from the first of these two hours until the second."),
        Field("region", Choice("a region", get_args(Region)), "Whose allergen list and food-safety figures hold."),
        Field("learn", YesNo(), "Whether past bakes may teach the next plan."),
        Field("theme", Text(40), "Colours of the screens."),
        Field("alarm", Several(Text(500), 40, again=True), "A command of your own to ring: program and arguments."),
        Field("formulas", Several(Text(500), 20), "Folders of your own formulas, from where this file lies."),
        Field("oven", OVEN, "The oven."),
        Field("probe", PROBE, "The probe and its correction."),
        Field("scale", SCALE, "The scale."),
        Field("units", UNITS, "Units for numbers shown, and for those typed without one."),
        Field("bell", BELL, "The bell, beside its sound."),
        Field(
            "places", Places(), "Places that a dough can stand in, beside room and fridge: a name and how warm it is."
        ),
        Field("keys", Keys(), "Keys of one's own: an action's id and the key."),
    ),
)
