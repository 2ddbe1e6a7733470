"""Where a dough stands, now and before, and the place that its card's time is right for."""

from __future__ import annotations

from proofbell.bake.state import BakeState, Stood
from proofbell.dough.fermenting.rate import COLD_C
from proofbell.formula.model import USUAL_ROOM_C, Formula, Rate, Stage
from proofbell.kitchen.model import Kitchen

ROOM = "room"
FRIDGE = "fridge"


def room_c(state: BakeState, index: int | None = None) -> float:
    """The room (°C): as it was read last, for a stage that is over before its end, or else as the kitchen has it."""
    until_s = None if index is None else state.stages[index].ended_s
    rooms = [
        r.value
        for r in state.readings
        if r.what == "room temperature" and r.value is not None and (until_s is None or r.at_s <= until_s)
    ]
    return rooms[-1] if rooms else state.kitchen.room_c


def place_c(state: BakeState, index: int) -> float:
    """Where the dough stands (°C): where the baker put it last, or else where its stage has it."""
    stood = state.stages[index].stood
    return _stood_c(state, index, stood[-1]) if stood else own_place_c(state, index)


def in_the_room(state: BakeState, index: int) -> bool:
    """Whether a dough stands in the room, so that another room is another place."""
    return _names(place_name(state, index), ROOM)


def place_name(state: BakeState, index: int) -> str:
    """The kitchen's name for where the dough stands; empty where it has none."""
    stood = state.stages[index].stood
    return stood[-1].place if stood else _own_place(state, index)


def places_known(state: BakeState) -> tuple[tuple[str, float], ...]:
    """The places of a bake's kitchen by name (°C), room and fridge first."""
    return ((ROOM, room_c(state)), (FRIDGE, state.kitchen.fridge_c), *state.kitchen.places)


def retard_c(state: BakeState, index: int) -> float | None:
    """The cold place (°C) into which the plan puts a stage's dough; None where it puts it into none."""
    stood = state.stages[index].stood
    return stood[-1].place_c if stood and stood[-1].agreed and stood[-1].place_c < COLD_C else None


def places_before(state: BakeState, index: int) -> tuple[tuple[float, float], ...]:
    """Where it stood in this stage before it came to where it is: (until so many seconds into it, °C)."""
    run = state.stages[index]
    places = [own_place_c(state, index), *(_stood_c(state, index, each) for each in run.stood)]
    left = [max(0.0, each.at_s - (run.begun_s or 0.0)) for each in run.stood]
    return tuple((until_s, there_c) for until_s, there_c in zip(left, places, strict=False) if until_s > 0)


def own_place_c(state: BakeState, index: int) -> float:
    """Where a stage has the dough when nobody has moved it (°C)."""
    if _names(_own_place(state, index), ROOM):
        return room_c(state, index)
    return stands_c(state.stage(index), state.kitchen)


def _own_place(state: BakeState, index: int) -> str:
    return stands_in(state.stage(index), state.kitchen)


def stands_in(stage: Stage, kitchen: Kitchen) -> str:
    """The kitchen's place that a stage has the dough in by itself; empty: at the stage's own temperature.

    A proof stands in the room unless it names another place of this kitchen, or is one in the cold. What chills stands
    in the fridge, or in a cold place that is none.
    """
    if stage.place_name is not None and kitchen.place_c(stage.place_name) is not None:
        return stage.place_name
    cold = stage.place_c is not None and stage.place_c < COLD_C
    if stage.kind == "chill":
        return FRIDGE if cold or stage.place_c is None else ""
    return FRIDGE if cold else ROOM


def stands_c(stage: Stage, kitchen: Kitchen) -> float:
    """How warm it is where a stage has the dough by itself (°C)."""
    known_c = kitchen.place_c(stands_in(stage, kitchen))
    return (kitchen.room_c if stage.place_c is None else stage.place_c) if known_c is None else known_c


def card_place_c(stage: Stage, kitchen: Kitchen) -> float:
    """The place that a stage's time is right for (°C): its rule's, its own, its named one's, or the usual one."""
    if isinstance(stage.adjust, Rate) and stage.adjust.place_c is not None:
        return stage.adjust.place_c
    if stage.place_c is not None:
        return stage.place_c
    named_c = None if stage.place_name is None else kitchen.place_c(stage.place_name)
    if named_c is not None and not _names(stage.place_name or "", ROOM):
        return named_c
    return kitchen.fridge_c if stage.kind == "chill" else USUAL_ROOM_C


def unknown_places(formula: Formula, kitchen: Kitchen) -> dict[str, tuple[str, ...]]:
    """The places that a formula names and this kitchen lacks, each with the stages that stand there."""
    named: dict[str, tuple[str, ...]] = {}
    for stage in formula.stages:
        name = stage.place_name
        if name is not None and kitchen.place_c(name) is None:
            named[name] = (*named.get(name, ()), stage.name)
    return named


def _stood_c(state: BakeState, index: int, stood: Stood) -> float:
    return room_c(state, index) if _names(stood.place, ROOM) else stood.place_c


def _names(place: str, name: str) -> bool:
    return place.casefold() == name
