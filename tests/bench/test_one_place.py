"""Several doughs and one oven of one place, lived through: what rings can be done, and nothing rings against it."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from proofbell.bake import intents
from proofbell.bake.heats import first_heat_c, takes_s
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask
from proofbell.bench.board import Board, Coming, board
from proofbell.bench.oven.heat import also_off
from proofbell.formula.model import ChillInstead, Formula, OvenWish
from tests.support.bakes import house
from tests.support.decided import at, bake, said

STEP_S = 60.0
NEAR_S = 60.0
"""A change of heat that takes less than this is none."""


def dough(heat_c: float, proof_min: float, bake_min: float, *, judged: bool = True, trays: int = 1) -> Formula:
    """Harbour knots from their final proof on, at another heat and in other times; wider than the oven: in loads."""
    knots = house("harbour-knots")
    proof, baked, cool = knots.stages[4:]
    proof = replace(proof, time_s=proof_min * 60, checks=(), rise=proof.rise if judged else None)
    baked = replace(baked, time_s=bake_min * 60, turn_s=None, checks=())
    oven = OvenWish(heat_c, trays=trays)
    return replace(knots, stages=(proof, baked, cool), oven=oven, outside=())


class Kitchen:
    """Some doughs that somebody looks after, who does what rings, and nothing else; not always at once."""

    def __init__(self, *formulas: Formula, begun_s: tuple[float, ...]) -> None:
        self.doughs = {
            letter: bake(letter, formula, (at_s, intents.Begin()))
            for letter, formula, at_s in zip("ABCD", formulas, begun_s, strict=False)
        }
        self.now_s = max(begun_s)
        self.set_c: float | None = None
        self.at_heat_s = 0.0

    @property
    def states(self) -> list[BakeState]:
        return list(self.doughs.values())

    def seen(self) -> Board:
        return board(self.states, at(self.now_s))

    def say(self, letter: str, *told: intents.Intent) -> None:
        for intent in told:
            self.doughs[letter] = said(self.doughs[letter], self.now_s, intent)
            for other, word in also_off(self.states, self.doughs[letter].id, intent):
                self.doughs[other[0]] = said(self.doughs[other[0]], self.now_s, word)

    def set(self, letter: str, stage: int) -> None:
        state = self.doughs[letter]
        heat_c = first_heat_c(state, stage)
        assert heat_c is not None
        if heat_c != self.set_c:
            self.at_heat_s = self.now_s + takes_s(state, heat_c, self.set_c)
        self.set_c = heat_c

    def inside(self) -> list[str]:
        return [one.letter for one in self.states if one.current is not None and one.stage(one.current).kind == "bake"]

    def answer(self, ring: Coming, rise: str) -> None:
        """Do what a bell asks; ``rise``: as it is judged (%), where that is asked."""
        state, task = self.doughs[ring.letter], ring.prompt.task
        if ring.prompt.reads == "rise" or "judge the rise" in ring.prompt.words:
            self.say(ring.letter, intents.Read("rise", rise, raw=float(rise)))
        elif isinstance(task, OvenTask) and not ring.prompt.ends:
            if task.kind == "oven on":
                self.set(ring.letter, task.stage)
            if task.kind == "oven off":
                self.set_c = None
            self.say(ring.letter, intents.Task(task))
        elif state.current is not None:
            self.say(ring.letter, intents.Done())


def is_load(state: BakeState, ring: Coming) -> bool:
    """Whether a bell asks for bread to be put into the oven now, with nothing to be read first."""
    nxt = None if state.current is None else state.current + 1
    loads = nxt is not None and nxt < len(state.stages) and state.stage(nxt).kind == "bake"
    first = state.current is not None and state.stage(state.current).kind != "bake"
    return loads and first and ring.prompt.over and not waits(ring) and ring.prompt.reads is None


def waits(ring: Coming) -> bool:
    """Whether it says what loading waits for, the oven's place or its own heat from cold, beside the bell for that."""
    return ring.prompt.words.endswith(" is out") or ring.prompt.words.endswith(("load when hot", "in when hot"))


def check(kitchen: Kitchen, seen: Board) -> None:
    """That what rings can be done, in any order, and that no heat is listed under another's bread."""
    inside = kitchen.inside()
    loads = [one for one in seen.rings if is_load(kitchen.doughs[one.letter], one)]
    heats = [one for one in seen.rings if one.prompt.kind == "oven on"]
    told = [f"{one.letter} {one.prompt.words}" for one in seen.rings]
    assert len(loads) + len(heats) <= 1, told
    assert not inside or not (loads or heats), (inside, told)
    for one in loads:
        state = kitchen.doughs[one.letter]
        heat_c = first_heat_c(state, (state.current or 0) + 1)
        assert heat_c is not None
        assert kitchen.set_c is not None, told
        assert takes_s(state, heat_c, kitchen.set_c) < NEAR_S, (kitchen.set_c, told)
        assert kitchen.now_s >= kitchen.at_heat_s - 1, (kitchen.at_heat_s - kitchen.now_s, told)
    out_us = max((there.out_us for there in seen.inside), default=0)
    early = [one for one in seen.coming if one.prompt.kind == "oven on" and one.letter not in inside]
    assert all(one.at_us >= out_us for one in early), [one.prompt.words for one in early]


def live_through(kitchen: Kitchen, by: random.Random, *, quick: float) -> list[tuple[float, str]]:
    """Until every bread is out: what was loaded, and when. ``quick``: how likely somebody comes within a minute."""
    loaded: list[tuple[float, str]] = []
    for _ in range(1200):
        seen = kitchen.seen()
        check(kitchen, seen)
        rings = [one for one in seen.rings if not one.still]
        if rings and by.random() < quick:
            ring = by.choice(rings)
            if waits(ring) and ring.prompt.reads is None:
                continue
            if is_load(kitchen.doughs[ring.letter], ring):
                loaded.append((kitchen.now_s, ring.letter))
            kitchen.answer(ring, by.choice(["65", "65", "30"]))
            continue
        kitchen.now_s += STEP_S
        if all(one.current is None or one.stage(one.current).kind == "cool" for one in kitchen.states):
            return loaded
    pytest.fail(f"not all were baked: {loaded}")


@pytest.mark.parametrize("seed", range(16))
def test_what_rings_for_one_place_can_be_done_on_any_day(seed: int) -> None:
    by = random.Random(seed)
    count = by.randint(2, 4)
    formulas = [
        dough(
            by.choice([170.0, 190.0, 200.0, 230.0, 250.0]),
            by.randint(40, 90),
            by.randint(10, 40),
            judged=by.random() < 0.7,
            trays=by.choice([1, 1, 1, 2]),
        )
        for _ in range(count)
    ]
    begun_s = tuple(60.0 * by.randint(0, 40) for _ in range(count))

    loaded = live_through(Kitchen(*formulas, begun_s=begun_s), by, quick=by.choice([0.1, 0.3, 0.6]))

    assert sorted(letter for _, letter in loaded) == list("ABCD"[:count])


def words(kitchen: Kitchen, letter: str) -> list[tuple[str, bool]]:
    """What is listed of a dough at the oven, and whether it rings."""
    seen = kitchen.seen()
    return [
        (one.prompt.words, one in seen.rings)
        for one in seen.coming
        if one.letter == letter and (one.prompt.kind == "oven on" or one.prompt.over)
    ]


def after_another(first_c: float, *later: Formula, begun_s: tuple[float, ...]) -> Kitchen:
    """A went into the oven at 30 min, and is out at 60."""
    kitchen = Kitchen(dough(first_c, 30, 30, judged=False), *later, begun_s=(0.0, *begun_s))
    kitchen.now_s = 1800.0
    kitchen.say("A", intents.Task(OvenTask("oven on", 1)), intents.Task(OvenTask("oven hot", 1)), intents.Done())
    return kitchen


def test_the_oven_goes_down_for_the_one_that_is_ready_the_longest_and_the_other_waits_behind_it() -> None:
    # C is ready at 50 min, B at 55: by their letters B would come first.
    formulas = (dough(190.0, 55, 20, judged=False), dough(190.0, 50, 17, judged=False))
    kitchen = after_another(230.0, *formulas, begun_s=(0.0, 0.0))
    kitchen.now_s = 3600.0
    kitchen.say("A", intents.Done())

    assert words(kitchen, "C") == [("oven down to 190 °C", True), ("load when at 190 °C", False)]
    assert words(kitchen, "B") == [("load once C is out", False)]
    shown = kitchen.seen().of("C-bake")
    assert shown is not None
    assert shown.do == "Oven down to 190 °C"
    kitchen.say("C", intents.Task(OvenTask("oven on", 1, from_c=230.0)))
    assert round(takes_s(kitchen.doughs["C"], 190.0, 230.0) / 60) == 8
    shown = kitchen.seen().of("C-bake")
    assert shown is not None
    assert shown.do == "Load when hot, 190 °C, 01:08"


def test_what_waits_for_its_place_is_neither_called_nor_late_though_its_oven_was_said_to_be_on() -> None:
    formulas = (dough(190.0, 40, 20, judged=False),)
    kitchen = after_another(190.0, *formulas, begun_s=(0.0,))
    kitchen.say("B", intents.Task(OvenTask("oven on", 1)))
    kitchen.now_s = 3300.0

    assert words(kitchen, "B") == [("load once A is out", False)]
    kitchen.now_s = 3660.0  # a minute after A should be out
    kitchen.say("A", intents.Done())
    (load,) = [one for one in kitchen.seen().rings if one.letter == "B"]
    assert (load.at_us, load.prompt.words) == (3_660_000_000, "load when hot, 190 °C")


def test_a_load_is_not_called_before_its_heat_is_told_and_reached() -> None:
    kitchen = after_another(220.0, dough(250.0, 40, 20, judged=False, trays=3), begun_s=(0.0,))
    kitchen.now_s = 3600.0
    kitchen.say("A", intents.Done())

    assert words(kitchen, "B") == [("oven up to 250 °C", True), ("put load 1 of 3 in when hot", False)]


def test_no_change_of_heat_is_listed_while_another_bread_is_in() -> None:
    # B is ready at 35 min at A's heat, C at 36 at another: C waits for A and for B.
    formulas = (dough(200.0, 35, 17, judged=False), dough(230.0, 36, 17, judged=False))
    kitchen = after_another(200.0, *formulas, begun_s=(0.0, 0.0))
    kitchen.now_s = 2400.0

    (up,) = [one for one in kitchen.seen().coming if one.prompt.words == "oven up to 230 °C"]
    assert up.at_us == (60 + 17) * 60_000_000


@pytest.mark.parametrize("late_min", [0, 6, 20])
def test_who_was_told_to_be_next_is_next_however_late_the_bread_before_comes_out(late_min: float) -> None:
    formulas = (dough(230.0, 58, 20, judged=False), dough(190.0, 40, 17, judged=False))
    kitchen = after_another(200.0, *formulas, begun_s=(0.0, 0.0))
    kitchen.now_s = 2700.0
    told = words(kitchen, "C")
    kitchen.now_s = 3600.0 + 60 * late_min
    kitchen.say("A", intents.Done())

    assert ("load once A is out", False) in told
    assert [one.prompt.words for one in kitchen.seen().rings if one.letter in "BC"] == ["oven down to 190 °C"]
    assert ("load once C is out", False) in words(kitchen, "B")


def test_an_oven_that_is_set_for_one_dough_is_set_for_no_other_at_another_heat() -> None:
    kitchen = Kitchen(*(dough(heat_c, 60, 20) for heat_c in (190.0, 230.0, 190.0)), begun_s=(0.0, 0.0, 0.0))
    for letter in "AC":
        kitchen.say(letter, intents.Task(OvenTask("oven on", 1)))
    kitchen.say("B", intents.Task(OvenTask("oven on", 1)))

    on = [state.letter for state in kitchen.states if state.done(OvenTask("oven on", 1))]
    assert on == ["B"]
    kitchen.say("A", intents.Task(OvenTask("oven on", 1)))
    assert [state.letter for state in kitchen.states if state.done(OvenTask("oven on", 1))] == ["A"]


def test_who_goes_first_after_all_is_told_from_which_heat_the_oven_was_set() -> None:
    kitchen = Kitchen(dough(190.0, 40, 20), dough(250.0, 44, 20, judged=False), begun_s=(0.0, 0.0))
    kitchen.now_s = 1200.0
    kitchen.say("A", intents.Task(OvenTask("oven on", 1)))
    kitchen.now_s = 2400.0
    kitchen.say("A", intents.Read("rise", "10", raw=10.0), intents.Longer(1800.0))
    kitchen.now_s = 2640.0

    assert words(kitchen, "B")[0] == ("oven up to 250 °C", True)


def test_an_oven_that_has_stood_hot_for_hours_is_turned_up_and_not_on() -> None:
    kitchen = Kitchen(dough(190.0, 130, 20), dough(250.0, 134, 20, judged=False), begun_s=(0.0, 0.0))
    kitchen.now_s = 1200.0
    kitchen.say("A", intents.Task(OvenTask("oven on", 1)))
    kitchen.now_s = 7800.0
    kitchen.say("A", intents.Read("rise", "10", raw=10.0), intents.Longer(3600.0))
    kitchen.now_s = 8040.0

    assert words(kitchen, "B")[0] == ("oven up to 250 °C", True)


def test_a_dough_that_waits_for_its_place_in_the_cold_stays_there_until_it_is_loaded() -> None:
    cold = dough(190.0, 55, 17, judged=False)
    cold = replace(
        cold, stages=(replace(cold.stages[0], chill_instead=ChillInstead(4.0, 1800.0, 7200.0)), *cold.stages[1:])
    )
    kitchen = after_another(190.0, cold, begun_s=(0.0,))
    kitchen.say("B", intents.Accept(0, 3300.0, "The oven is not free.", 4.0))
    kitchen.say("B", intents.Task(OvenTask("oven on", 1)))
    kitchen.now_s = 3540.0

    assert words(kitchen, "B") == [("leave it in the cold, load once A is out", False)]
    kitchen.now_s = 3600.0
    kitchen.say("A", intents.Done())
    assert words(kitchen, "B") == [("take it out of the cold, load the oven", True)]
