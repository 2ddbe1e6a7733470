"""A day of three house doughs, worked through on paper beside the planner.

Whole stages only: nothing is weighed out, read or turned here. The flat bread's first proof takes 60 min on paper and
its final proof 90 min, unlike in the house formula.

The kitchen: one pair of hands, one oven with one place, room 21 °C; the oven rises 180 K in 25 min (8.33 s/K) and
falls 100 K in 20 min (12 s/K). It is Friday the 13th, 17:30. Wanted on Saturday: the pan loaf (A) at 12:30, begun no
earlier than 07:00; the knots (B) at 11:13; the flat bread (C), which spends the night in the cold, at 11:40.

1. Each alone, counted back from "ready by" at its usual lengths:

       A  mix 07:00, first proof 07:14, divide 08:29, rest 08:37, mould 08:52, final proof 09:00, bake 09:55, cool 10:30
       B  mix 07:56, knead 08:02, first proof 08:12, tie 09:22, final proof 09:42, bake 10:32, cool 10:48
       C  ..., into the tray 09:20, final proof 09:28, bake 10:58, cool 11:20

2. The oven. A has it at 220 °C until 10:30. Down to 190 °C for B are 30 K × 12 s = 6 min: B bakes at 10:36 and not at
   10:32. A begins at 07:00 already; to be out earlier it would rest less and then cool longer, 2 for each second. So B
   is 4 min later throughout, and cools 4 min less, 21 min; at least are 20. Cost: 240 s × 1.
   B is out at 10:52. Up to 230 °C for C are 40 K × 8.33 s = 334 s: C can bake at 10:57:34. Until 10:58 the oven would
   stand hot and empty, 3 for each second; C goes in at once instead, and cools 26 s longer or is ready 26 s early,
   which costs the same. Cost: 26 s × 1.

3. The hands. B is tied from 09:26 to 09:46. C's tray, 8 min, is filled from 09:19:34 to 09:27:34; before B it would
   have to end by 09:26, and as C proves from when hands leave it, its final proof would be 94 s longer. Or B is tied
   94 s later and its final proof is 94 s shorter: either costs 2 a second. After B would be too late for C's oven.
   Cost: 94 s × 2. The planner takes the second: all of B before that is 94 s later, the mix at 08:01:34. C before its
   tray: the cold from 19:19:34 to 09:19:34, the second fold 19:15:34, the first proof 18:15:34, the first fold
   18:12:34, the rest 17:52:34, the mix 17:44:34 on Friday.
   A's hands: 07:00 to 07:06, 08:29 to 08:37, 08:52 to 09:00, 09:55 and 10:29, a minute each. B's: 08:01:34 to
   08:17:34, 10:36 and 10:51. C's in the morning: 09:19:34 to 09:27:34, 10:57:34 and 11:18:34. None of these overlap.

4. The oven is on from 09:27:21 (220 − 21 = 199 K × 8.33 s = 1659 s before 09:55) until 11:19:34: 6733 s × 3.

Nothing is late. Total: 240 + 26 + 188 + 3 × 6733 = 20 653.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from proofbell.bench.plan.planning_problem import Wish, problem_of
from proofbell.bench.plan.timetable import Timetable, timetable
from proofbell.formula.model import Formula, Stage
from proofbell.formula.read import load
from proofbell.kitchen.model import Kitchen
from proofbell.planner.plan import Plan
from proofbell.planner.problem import Problem
from proofbell.planner.search import plan
from tests.benchmarks import exact
from tests.support.planned import whole_stages_only
from tests.support.rules import broken, unforgiven_s

FORMULAS = Path(__file__).parents[2] / "formulas"
FRIDAY, SATURDAY = 13, 14

LOAF = "Mix and knead 07:00:00, First proof 07:14:00, Divide and round 08:29:00, Bench rest 08:37:00, "
LOAF += "Mould into tins 08:52:00, Final proof 09:00:00, Bake 09:55:00, Cool 10:30:00"
KNOTS = "Mix 08:01:34, Knead 08:07:34, First proof 08:17:34, Divide and tie 09:27:34, Final proof 09:47:34, "
KNOTS += "Bake 10:36:00, Cool 10:52:00"
FLAT = "Mix 17:44:34, Rest 17:52:34, First fold 18:12:34, First proof 18:15:34, Second fold 19:15:34, "
FLAT += "Overnight in the cold 19:19:34, Into the tray 09:19:34, Final proof 09:27:34, Bake 10:57:34, Cool 11:19:34"

OVEN = """\
09:27:21 heating 220 for A
09:55:00 baking 220 for A
10:30:00 cooling 190 for B
10:36:00 baking 190 for B
10:52:00 heating 230 for C
10:57:34 baking 230 for C"""


def us(day: int, hour: int, minute: int) -> int:
    return round(datetime(2026, 3, day, hour, minute, tzinfo=UTC).timestamp() * 1_000_000)


PAPER_MIN = {"First proof": (40, 60, 90), "Final proof": (60, 90, 150)}
"""The flat bread's proofs on paper: shortest, usual, longest (min)."""

NOW_US = us(FRIDAY, 17, 30)


def clock(at_us: int) -> str:
    return f"{datetime.fromtimestamp(at_us / 1_000_000, UTC):%H:%M:%S}"


def house(name: str) -> bytes:
    return (FORMULAS / f"{name}.toml").read_bytes()


def flat_bread() -> Formula:
    def as_on_paper(stage: Stage) -> Stage:
        if stage.name not in PAPER_MIN:
            return stage
        least, usual, most = (60.0 * minutes for minutes in PAPER_MIN[stage.name])
        return replace(stage, time_s=usual, stretch=(least, most))

    formula = load(house("breakwater-flatbread"), "")
    return replace(formula, stages=tuple(map(as_on_paper, formula.stages)))


@pytest.fixture(scope="module")
def day() -> Problem:
    wishes = (
        Wish("A", whole_stages_only(load(house("quay-pan-loaf"), "")), us(SATURDAY, 12, 30), us(SATURDAY, 7, 0)),
        Wish("B", whole_stages_only(load(house("harbour-knots"), "")), us(SATURDAY, 11, 13)),
        Wish("C", whole_stages_only(flat_bread()), us(SATURDAY, 11, 40)),
    )
    return problem_of(wishes, Kitchen(), NOW_US)


@pytest.fixture(scope="module")
def found(day: Problem) -> Plan:
    return plan(day, 200)


@pytest.fixture(scope="module")
def table(found: Plan) -> Timetable:
    return timetable(found, NOW_US)


@pytest.mark.parametrize(("letter", "on_paper"), [("A", LOAF), ("B", KNOTS), ("C", FLAT)])
def test_every_stage_begins_when_it_does_on_paper(table: Timetable, letter: str, on_paper: str) -> None:
    (bake,) = [bake for bake in table.bakes if bake.letter == letter]

    said = [f"{line.name} {clock(line.begins_us)}" for line in bake.lines]
    assert ", ".join(said) == on_paper


def test_the_flat_bread_is_begun_on_the_evening_before(table: Timetable) -> None:
    assert us(FRIDAY, 17, 44) < table.bakes[2].begins_us < us(FRIDAY, 17, 45)


def test_nothing_is_late_and_only_the_flat_bread_may_be_26_s_early(table: Timetable) -> None:
    loaf, knots, flat = table.bakes
    assert (loaf.ready_us, knots.ready_us) == (us(SATURDAY, 12, 30), us(SATURDAY, 11, 13))
    assert 0 <= us(SATURDAY, 11, 40) - flat.ready_us <= 26_000_000


def test_the_oven_does_what_it_does_on_paper(table: Timetable) -> None:
    said = [f"{clock(use.begins_us)} {use.state} {use.temperature_c:.0f} for {use.letter}" for use in table.oven]

    assert "\n".join(said) == OVEN
    assert clock(table.oven[-1].ends_us) == "11:19:34"


def test_the_day_costs_what_it_does_on_paper(found: Plan) -> None:
    cost = found.cost
    assert (cost.violation_s, cost.late_s, cost.critical_s) == (0, 0, 94)
    assert (cost.other_s + cost.early_s, cost.wait_s, cost.oven_s) == (240 + 26, 0, 6733)
    assert cost.total == 20_653
    assert broken(found) == []
    assert unforgiven_s(found) == 0


def test_the_exact_solver_finds_nothing_cheaper_than_the_paper(day: Problem) -> None:
    answer = exact.solve(day, 20.0)

    assert answer.total is not None
    assert answer.bound <= 20_653 <= answer.total
    # On a busy machine it may not get to the end in its time.
    assert answer.status == "feasible" or answer.total == 20_653
