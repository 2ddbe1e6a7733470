"""Bakes of house formulas walked to a moment: so far into a stage, read, moved, and so much later."""

from __future__ import annotations

from proofbell.bake import intents
from proofbell.bake.tasks import OvenTask
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.formula.model import Formula
from proofbell.kitchen.model import Kitchen
from tests.support.bakes import house
from tests.support.baking import Baking

KNOTS, LAMPLIGHTER, PAN, FLAT = "harbour-knots", "lamplighter-loaf", "quay-pan-loaf", "breakwater-flatbread"


def at(name: str | Formula, stage: str, *, minutes: float = 0.0, kitchen: Kitchen | None = None) -> Baking:
    """A house formula so far into one of its stages."""
    made, where = house(name) if isinstance(name, str) else name, kitchen or Kitchen()
    baking = Baking(made, where, batch=weigh_out(made, where).batch)
    baking.to_stage([each.name for each in made.stages].index(stage))
    baking.wait(minutes=minutes)
    return baking


def read(baking: Baking, *values: float, what: str = "dough temperature") -> Baking:
    """A reading, and others ten minutes after each other."""
    for number, value in enumerate(values):
        baking.wait(minutes=10 if number else 0)
        baking.read(value, what)
    return baking


def later(baking: Baking, minutes: float) -> Baking:
    """The same bake so much later."""
    baking.wait(minutes=minutes)
    return baking


def hot(baking: Baking) -> Baking:
    """The oven of the next bake was turned on and is hot."""
    bake = next(i for i, each in enumerate(baking.state.formula.stages) if each.kind == "bake")
    baking.say(intents.Task(OvenTask("oven on", bake)))
    baking.wait(minutes=30)
    baking.say(intents.Task(OvenTask("oven hot", bake)))
    return baking


def done(baking: Baking) -> Baking:
    """The stage is over."""
    baking.say(intents.Done())
    return baking


def chilled(baking: Baking) -> Baking:
    """Put into the fridge by hand."""
    baking.say(intents.Move("fridge"))
    return baking
