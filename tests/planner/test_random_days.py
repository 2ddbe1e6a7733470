"""Random days of house formulas, held to rules that were written apart from the planner; and the rules themselves."""

from __future__ import annotations

import copy
import random
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import pytest

from proofbell.bake.events import LETTERS
from proofbell.bench.plan.planning_problem import Wish, problem_of
from proofbell.bench.plan.timetable import timetable
from proofbell.cli.printed.plan_text import as_plain
from proofbell.formula.model import Formula
from proofbell.kitchen.model import Kitchen, Oven
from proofbell.nights import nights
from proofbell.planner.search import plan
from tests.support.bakes import house
from tests.support.day_rules import faults
from tests.support.stage import FORMULAS

DAYS = 50
"""Days in each run; 500 by hand."""

NOW_US = 1_773_477_000_000_000
"""14 March 2026, 08:30 UTC."""

NAMES = sorted(path.stem for path in FORMULAS.glob("*.toml"))


def day_of(wanted: dict[str, tuple[Formula, int]], kitchen: Kitchen, steps: int = 6) -> dict[str, Any]:
    """The document of a day: each formula, and in how many hours it is wanted."""
    wishes = [Wish(letter, each, NOW_US + hours * 3_600_000_000) for letter, (each, hours) in wanted.items()]
    last_us = max(wish.ready_us or 0 for wish in wishes)
    problem = problem_of(wishes, kitchen, NOW_US, quiet=nights(kitchen, NOW_US, last_us))
    found = plan(problem, steps)
    return as_plain(found, timetable(found, NOW_US), NOW_US, kitchen)


def random_day(number: int) -> tuple[dict[str, tuple[Formula, int]], Kitchen]:
    rng = random.Random(number)
    quiet = rng.choice(((), ("22:30", "06:00"), ("21:00", "05:30"), ("23:00", "07:00")))
    oven = Oven(heat_up_s=rng.randint(15, 60) * 60.0, trays=rng.choice((1, 1, 2, 3)))
    kitchen = Kitchen(hands=rng.choice((1, 1, 2, 3)), quiet=quiet, oven=oven)
    wanted = {}
    for letter in LETTERS[: rng.choice((1, 1, 2, 2, 3, 4, 5))]:
        formula = house(rng.choice(NAMES))
        wide = replace(formula, oven=replace(formula.oven, trays=rng.choice((1, 1, 1, 2, 3, 4))))
        wanted[letter] = wide, rng.randint(8, 44)
    return wanted, kitchen


@pytest.mark.parametrize("share", range(5))
def test_random_days_keep_every_rule(share: int) -> None:
    for number in range(share, DAYS, 5):
        wanted, kitchen = random_day(number)
        formulas = {letter: formula for letter, (formula, _) in wanted.items()}

        found = day_of(wanted, kitchen)

        assert faults(found, formulas, kitchen, NOW_US / 1e6) == [], number
        wishes = {letter: NOW_US / 1e6 + hours * 3600 for letter, (_, hours) in wanted.items()}
        late = {
            bake["letter"]
            for bake in found["bakes"]
            if datetime.fromisoformat(bake["stages"][-1]["ends"]).timestamp() - wishes[bake["letter"]] >= 60
        }
        told = {reason["letter"] for reason in found["reasons"]}
        assert late <= told, "whatever is late has its reason"
        assert found["feasible"] or told


Day = dict[str, Any]


def later(text: str, seconds: float) -> str:
    return (datetime.fromisoformat(text) + timedelta(seconds=seconds)).isoformat(timespec="seconds")


def moved(row: Day, begins_s: float, ends_s: float) -> None:
    row["begins"], row["ends"] = later(row["begins"], begins_s), later(row["ends"], ends_s)


def stage(day: Day, letter: str, kind: str, number: int = 0) -> Day:
    bake = next(bake for bake in day["bakes"] if bake["letter"] == letter)
    found: Day = [row for row in bake["stages"] if row["kind"] == kind][number]
    return found


def line(day: Day, does: str, letter: str = "A") -> Day:
    found: Day = next(row for row in day["hands"] if does in row["does"] and row["letter"] == letter)
    return found


def to_the_night(day: Day) -> None:
    row = line(day, "Mix")
    begins = datetime.fromisoformat(row["begins"]).replace(hour=2)
    length = datetime.fromisoformat(row["ends"]) - datetime.fromisoformat(row["begins"])
    row["begins"], row["ends"] = begins.isoformat(), (begins + length).isoformat()


def swapped(day: Day) -> None:
    day["hands"] = [{**row, "who": "hands 1"} for row in day["hands"]]


def waits_too_long(day: Day) -> None:
    moved(stage(day, "C", "bake")["loads"][-1], 7200, 7200)
    moved(stage(day, "C", "bake"), 0, 7200)


def into_another_heat(day: Day) -> None:
    load, other = stage(day, "B", "bake")["loads"][0], stage(day, "C", "bake")["loads"][0]
    length = datetime.fromisoformat(load["ends"]) - datetime.fromisoformat(load["begins"])
    load["begins"] = other["begins"]
    load["ends"] = later(other["begins"], length.total_seconds())
    stage(day, "B", "bake").update(begins=load["begins"], ends=load["ends"])


BREAKS: dict[str, Callable[[Day], object]] = {
    "a stage left out": lambda day: day["bakes"][0]["stages"].pop(3),
    "a bake left out": lambda day: day["bakes"].pop(),
    "a proof cut short": lambda day: moved(stage(day, "B", "proof"), 0, -3600),
    "a proof too long": lambda day: moved(stage(day, "B", "proof"), -7200, 0),
    "a cold proof too long": lambda day: moved(stage(day, "A", "chill"), 0, 9 * 3600),
    "hands before the proof is over": lambda day: moved(stage(day, "B", "hands", 2), -300, -300),
    "left standing": lambda day: moved(stage(day, "B", "proof"), 120, 0),
    "a load too wide": lambda day: stage(day, "C", "bake")["loads"][0].update(places=2),
    "a load left out": lambda day: stage(day, "C", "bake")["loads"].pop(),
    "a load cut short": lambda day: moved(stage(day, "C", "bake")["loads"][0], 0, -60),
    "a load that waits too long": waits_too_long,
    "two loads at once": lambda day: moved(stage(day, "C", "bake")["loads"][1], -240, -240),
    "into an oven of another heat": into_another_heat,
    "nobody to load": lambda day: day["hands"].remove(line(day, "load", "B")),
    "nobody to take out": lambda day: day["hands"].remove(line(day, "take", "B")),
    "nobody to turn": lambda day: day["hands"].remove(line(day, "turn", "B")),
    "nobody to read": lambda day: day["hands"].remove(line(day, "read", "B")),
    "nobody to shape": lambda day: day["hands"].remove(line(day, "Divide", "B")),
    "not weighed out": lambda day: day["hands"].remove(line(day, "weigh out", "B")),
    "weighed out too late": lambda day: moved(line(day, "weigh out", "B"), 3600, 3600),
    "hands in the night": to_the_night,
    "one does it all": swapped,
    "three do it": lambda day: line(day, "Divide", "B").update(who="hands 3"),
}
"""Ways to break a sound day, one thing at a time."""


@pytest.fixture(scope="module")
def sound() -> tuple[Day, dict[str, Formula], Kitchen]:
    """A day with a night, a retard, a batch in three loads, and two people at once."""
    pittas = house("lantern-pittas")
    wanted = {
        "A": (house("tidemark-sourdough"), 27),
        "B": (house("harbour-knots"), 27),
        "C": (replace(pittas, oven=replace(pittas.oven, trays=3)), 28),
    }
    kitchen = Kitchen(hands=2, quiet=("22:30", "06:00"), oven=Oven(trays=1))
    return day_of(wanted, kitchen, 40), {letter: each for letter, (each, _) in wanted.items()}, kitchen


def test_the_day_that_is_broken_is_sound(sound: tuple[Day, dict[str, Formula], Kitchen]) -> None:
    day, formulas, kitchen = sound

    assert faults(day, formulas, kitchen, NOW_US / 1e6) == []
    assert day["feasible"]
    assert {row["who"] for row in day["hands"]} == {"hands 1", "hands 2"}
    assert stage(day, "A", "chill")["cold"]
    assert len(stage(day, "C", "bake")["loads"]) == 3


@pytest.mark.parametrize("broken", BREAKS)
def test_each_rule_that_is_broken_is_seen(sound: tuple[Day, dict[str, Formula], Kitchen], broken: str) -> None:
    day, formulas, kitchen = sound
    changed = copy.deepcopy(day)

    BREAKS[broken](changed)

    assert faults(changed, formulas, kitchen, NOW_US / 1e6)
