"""A dough that was read beside what is meant of it, and whether it has come nearer since."""

from __future__ import annotations

from proofbell.bake.advice.scene import Scene
from proofbell.bake.checks import carried
from proofbell.bake.fermenting.meant import meant_c
from proofbell.bake.state import Reading
from proofbell.formula.model import ReadingKind


def beside(scene: Scene, reading: Reading) -> tuple[float, float] | None:
    """What a reading is meant to be (°C), where it lies beside that by more than the probe is good to; else None."""
    meant = meant_c(scene.state, scene.index, reading.check, carried=reading.stage != scene.index)
    if meant is None or reading.value is None or within(scene, reading.value, meant):
        return None
    return meant


def read_before(scene: Scene, reading: Reading) -> list[Reading]:
    """The readings of the dough in its stage before one, the newest first, with the one that it came with."""
    what: ReadingKind = "dough temperature"
    came = carried(scene.state, scene.index, what)
    taken = [*([] if came is None else [came]), *scene.state.readings_in(scene.index, what)]
    return [each for each in reversed(taken) if each.number < reading.number]


def no_nearer(scene: Scene, reading: Reading) -> tuple[float, float] | None:
    """What was meant of a dough (°C) that was read beside it, and is no nearer by now; None where it was not.

    On the way a dough may drift further from what is meant at the start; one that was off already has not come right.
    """
    if meant_c(scene.state, scene.index, reading.check, carried=reading.stage != scene.index) is None:
        return None
    for before in read_before(scene, reading):
        meant = beside(scene, before)
        if meant is None or before.value is None or reading.value is None:
            continue
        warm = before.value > meant[1]
        return meant if (reading.value >= before.value if warm else reading.value <= before.value) else None
    return None


def within(scene: Scene, value_c: float, meant: tuple[float, float]) -> bool:
    good_k = scene.state.kitchen.probe.good_to_k(value_c)
    return meant[0] - good_k <= value_c <= meant[1] + good_k
