"""The list [[stages]]: what is done, how long, what is read, what a reading changes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, get_args

from proofbell.formula.kinds import Choice, Number, Text, YesNo
from proofbell.formula.measures import NONE, Later, Measure, MeasureOrName, NoneOr, Pair, WordOr
from proofbell.formula.model import (
    Band,
    Bands,
    Check,
    ChillInstead,
    Phase,
    Rate,
    ReadingKind,
    RiseWish,
    Stage,
    StageKind,
)
from proofbell.formula.oven_heat import OvenHeat
from proofbell.formula.readings import ALSO_READINGS, BY_READING, READINGS, reading_value
from proofbell.formula.tables import Draft, Field, Table, Tables
from proofbell.quantities import Dimension

MOST_CHECKS = 20
START = "start"

CHECK = Table(
    "a check",
    (
        Field("read", Choice("a reading", READINGS, ALSO_READINGS), "What to read.", required=True),
        Field(
            "when",
            WordOr(("start", "end"), Measure(Dimension.TIME, 0, 14 * 24 * 3600.0, above=True)),
            "At the start, at the end, or a time into the stage.",
        ),
        Field(
            "expect",
            Later((Dimension.TEMPERATURE, Dimension.PERCENT, Dimension.MASS), pair=True),
            "Lowest and highest expected reading.",
        ),
    ),
)

CHECKS = Tables(CHECK, MOST_CHECKS)


def checks(drafts: Sequence[Draft]) -> tuple[Check, ...]:
    return tuple(_check(draft) for draft in drafts)


def _check(draft: Draft) -> Check:
    when: Any = draft.get("when", START)
    expect: list[str] | None = draft.get("expect")
    read: Any = draft.get("read")
    bounds = (reading_value(expect[0], read), reading_value(expect[1], read)) if expect else None
    if isinstance(when, str):
        return Check(read, "end" if when == "end" else "start", None, bounds)
    return Check(read, "into", float(when), bounds)


MOST_STAGES = 100
LONGEST_STAGE_S = 14 * 86400.0
"""No stage may be longer."""
WARMEST_PROOF_C = 60.0
EXTEND_S = 10 * 60.0
AT_MOST = 3

KINDS: tuple[StageKind, ...] = get_args(StageKind)
MAKE_A_PREFERMENT: tuple[StageKind, ...] = ("hands", "proof", "rest", "chill")
_ALSO_KINDS = (
    ("mix", "hands"), ("knead", "hands"), ("fold", "hands"), ("shape", "hands"), ("hand", "hands"), ("work", "hands"),
    ("ferment", "proof"), ("bulk", "proof"), ("rise", "proof"), ("wait", "rest"), ("autolyse", "rest"),
    ("retard", "chill"), ("fridge", "chill"), ("cold", "chill"), ("oven", "bake"), ("cooling", "cool"),
)  # fmt: skip

_LENGTH = Measure(Dimension.TIME, 0, LONGEST_STAGE_S, above=True)
_PLACE = Measure(Dimension.TEMPERATURE, -30, WARMEST_PROOF_C)
_CORE = Pair(Measure(Dimension.TEMPERATURE, 40, 120))
PLACE = MeasureOrName(_PLACE, 40)
_DOUGH = Measure(Dimension.TEMPERATURE, 0, WARMEST_PROOF_C)

BAND = Table(
    "a band",
    (
        Field("below", Later((Dimension.TEMPERATURE, Dimension.PERCENT)), "Readings below this; not on the last band."),
        Field("time", _LENGTH, "Length of the whole stage for such a reading.", required=True),
    ),
)

ADJUST = Table(
    "an adjust",
    (
        Field(
            "by", Choice("a way to adjust", ("bands", "rate")), "By the formula's bands or by the rate.", required=True
        ),
        Field("read", Choice("a reading to adjust by", BY_READING), "What the bands are read by.", only=("bands",)),
        Field("bands", Tables(BAND, 50), "From the top: the first whose bound is above the reading.", only=("bands",)),
        Field("at", _DOUGH, "Temperature of the dough that the stage's time is right for.", only=("rate",)),
        Field("place", _PLACE, "Temperature of the place that the stage's time is right for.", only=("rate",)),
    ),
    governed_by="by",
    beside={
        "if": {"properties": {"by": {"const": "rate"}}},
        "then": {"required": ["at"]},
        "else": {"required": ["bands"]},
    },
)

RISE = Table(
    "a rise",
    (
        Field(
            "wanted", Pair(Measure(Dimension.PERCENT, 0, 1000)), "Wanted rise in volume, low and high.", required=True
        ),
        Field("extend", _LENGTH, "How much longer when it is short."),
        Field("at_most", Number(0, 20, whole=True), "How often it may be made longer."),
    ),
)

PHASE = Table(
    "a phase",
    (
        Field("time", _LENGTH, "Length of the phase.", required=True),
        Field("oven", OvenHeat(), "For a conventional oven, unless it says fan or gas.", required=True),
        Field("steam", YesNo(), "Whether there is steam in the oven."),
    ),
)

CHILL_INSTEAD = Table(
    "a chill_instead",
    (
        Field("place", Measure(Dimension.TEMPERATURE, -5, 15), "Temperature of the cold place.", required=True),
        Field("time", Pair(_LENGTH), "Shortest and longest time in it.", required=True),
    ),
)

STAGE = Table(
    "a stage",
    (
        Field("name", Text(60), "What it is called; no two alike.", required=True),
        Field("for", Text(60), "The preferment that it makes; without it, the dough.", only=MAKE_A_PREFERMENT),
        Field("kind", Choice("a kind of stage", KINDS, _ALSO_KINDS), "What sort of stage it is.", required=True),
        Field("text", Text(2000, breaks=True), "What to do, for the one at the bench."),
        Field("loading", Text(500, breaks=True), "What to do as it goes in; shown for a few minutes.", only=("bake",)),
        Field("time", _LENGTH, "Nominal length."),
        Field("stretch", Pair(_LENGTH), "Shortest and longest acceptable length; holds the time."),
        Field("hands", Measure(Dimension.TIME, 0, LONGEST_STAGE_S), "Hands that it needs at its start."),
        Field("checks", CHECKS, "Readings to ask for."),
        Field("adjust", ADJUST, "How a reading changes the time.", only=("proof", "rest", "chill")),
        Field("rise", RISE, "Wanted rise, and what to do when it is short.", only=("proof",)),
        Field("turn", _LENGTH, "Turn the tray this far into the bake.", only=("bake",)),
        Field("core", NoneOr(_CORE), 'Core temperature when done; "none": no core to read.', only=("bake",)),
        Field("phases", Tables(PHASE, 20), "Heats of the bake one after another, in place of time.", only=("bake",)),
        Field(
            "place",
            PLACE,
            "Where its time is right for: a temperature, or a place of the kitchen.",
            only=("proof", "chill"),
        ),
        Field("chill_instead", CHILL_INSTEAD, "This proof may be retarded, if the plan needs it.", only=("proof",)),
    ),
    governed_by="kind",
    beside={"anyOf": [{"required": ["time"]}, {"required": ["phases"]}], "not": {"required": ["time", "phases"]}},
)

STAGES = Tables(STAGE, MOST_STAGES)


def time_s(draft: Draft) -> float | None:
    """Nominal length of a stage as far as it is known: its time, or its phases together."""
    phases: tuple[Draft, ...] = draft.get("phases", ())
    if phases and all("time" in phase.values for phase in phases):
        return float(sum(phase.get("time") for phase in phases))
    given: float | None = draft.get("time")
    return given


def stage(draft: Draft, preferments: Mapping[str, str]) -> Stage:
    """Build one stage; everything in it has been checked. ``preferments`` are their names by these in small letters."""
    rise: Draft | None = draft.get("rise")
    place: str | float | None = draft.get("place")
    chill: Draft | None = draft.get("chill_instead")
    phases: tuple[Draft, ...] = draft.get("phases", ())
    return Stage(
        name=draft.get("name"),
        kind=draft.get("kind"),
        time_s=time_s(draft) or 0.0,
        text=draft.get("text", ""),
        stretch=draft.get("stretch"),
        hands_s=draft.get("hands"),
        checks=checks(draft.get("checks", ())),
        adjust=_adjust(draft.get("adjust")),
        rise=RiseWish(rise.get("wanted"), rise.get("extend", EXTEND_S), rise.get("at_most", AT_MOST)) if rise else None,
        turn_s=draft.get("turn"),
        core=None if draft.get("core") == NONE else draft.get("core"),
        no_core=draft.get("core") == NONE,
        phases=tuple(Phase(each.get("time"), each.get("oven"), each.get("steam", False)) for each in phases),
        place_c=None if isinstance(place, str) else place,
        place_name=place if isinstance(place, str) else None,
        chill_instead=ChillInstead(chill.get("place"), *chill.get("time")) if chill else None,
        made_for=preferments.get(draft.get("for", "").casefold()),
        loading=draft.get("loading", ""),
    )


def _adjust(draft: Draft | None) -> Bands | Rate | None:
    if draft is None:
        return None
    if draft.get("by") == "rate":
        return Rate(draft.get("at"), draft.get("place"))
    read: Any = draft.get("read", BY_READING[0])
    return Bands(read, tuple(_band(each, read) for each in draft.get("bands")))


def _band(draft: Draft, read: ReadingKind) -> Band:
    below: str | None = draft.get("below")
    return Band(None if below is None else reading_value(below, read), draft.get("time"))
