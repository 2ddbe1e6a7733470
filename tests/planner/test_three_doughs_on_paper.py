"""The plan of one morning of three doughs, worked through by hand, and held against the planner.

Harbour knots (A), quay pan loaf (B) and breakwater flatbread (C) are wanted at noon, minute 300 of a morning that
begins at 7:00. One pair of hands, one oven with one place. The oven rises by 10 K and falls by 5 K in a minute; the
kitchen has 20 °C. Loading and unloading take a minute each, inside the bake. Lengths in minutes:

            mix    proof                 bake           cool
    A        20    62 (50 to 100)        15 at 190 °C   30
    B        20    65 (never shorter)    35 at 220 °C   30
    C        20    60 (45 to 100)        20 at 220 °C   30

A minute late weighs 60, a minute of hot oven 3, a minute that a proof strays 2, a minute early 1. All three would
leave the oven at minute 270; only one can. Nobody need be late, for all may be early. The three bakes are 70 min;
heat-up is 17 min to 190 °C and 20 min to 220 °C, change-over 3 min up and 6 min down. Early minutes are how far
the first two ends lie before 270:

    order    ends            early         oven                       together
    A B C    212, 250, 270   58 + 20 = 78  17 + 70 + 3     = 90: 270   348
    A C B    212, 235, 270   58 + 35 = 93  90: 270                     363
    B C A    229, 249, 270   41 + 21 = 62  20 + 70 + 6     = 96: 288   350
    C B A    214, 249, 270   56 + 21 = 77  96: 288                     365
    B A C    226, 247, 270   44 + 23 = 67  20 + 70 + 6 + 3 = 99: 297   364
    C A B    211, 232, 270   59 + 38 = 97  99: 297                     394

By the oven alone A B C is best. But there A goes in at 197 and B at 215, so A is mixed from 115 to 135 and B from
130 to 150: five minutes of two doughs in one pair of hands. B's proof forgives nothing downwards, so A's takes five
minutes more (10), or B's or a bake's move costs more still: 358. In B C A the mixing is from 109 (B), 149 (C) and
173 (A), and no minute is wanted twice: B is loaded at 194 and unloaded at 228, C at 229 and 248, A at 255 and 269.
So B C A it is, at 350.
"""

from __future__ import annotations

from proofbell.planner.oven_timeline import oven_day
from proofbell.planner.problem import Capacity, Chain, Flexibility, Heat, Problem, Step
from proofbell.planner.search import plan
from tests.benchmarks import exact

MIN = 60


def dough(letter: str, proof: tuple[int, int, int], bake: int, oven_c: float) -> Chain:
    """One dough of the morning; minutes."""

    def fixed(name: str, kind: str, minutes: int) -> Step:
        return Step(name, kind, minutes * MIN, minutes * MIN, minutes * MIN)

    least, nominal, most = (minutes * MIN for minutes in proof)
    length = bake * MIN
    return Chain(
        letter,
        (
            Step("Mix", "hands", 20 * MIN, 20 * MIN, 20 * MIN, hands_s=None, flexibility=Flexibility.RIGID),
            Step("Proof", "proof", least, nominal, most, critical=True, flexibility=Flexibility.ELASTIC),
            Step("Bake", "bake", length, length, length, MIN, MIN, critical=True, heats=(Heat(length, oven_c),)),
            fixed("Cool", "cool", 30),
        ),
        ready_by_s=300 * MIN,
    )


MORNING = Problem(
    (dough("A", (50, 62, 100), 15, 190.0), dough("B", (65, 65, 100), 35, 220.0), dough("C", (45, 60, 100), 20, 220.0)),
    Capacity(people=1, trays=1, up_s_per_k=6.0, down_s_per_k=12.0, oven_c=20.0, room_c=20.0),
)


def test_the_morning_of_three_doughs_agrees_with_the_paper() -> None:
    found = plan(MORNING, 200)

    minutes = {times.letter: [second / MIN for second in (*times.begins_s, times.ready_s)] for times in found}
    assert minutes == {
        "A": [173, 193, 255, 270, 300],
        "B": [109, 129, 194, 229, 259],
        "C": [149, 169, 229, 249, 279],
    }
    assert found.cost.total == 350 * MIN
    assert (found.cost.early_s, found.cost.oven_s) == (62 * MIN, 96 * MIN)
    assert (found.cost.late_s, found.cost.critical_s, found.cost.violation_s) == (0, 0, 0)
    assert found.proved


def test_the_oven_of_that_morning_heats_up_bakes_three_times_and_cools_down_once() -> None:
    day = [(use.begins_s // MIN, use.ends_s // MIN, use.oven_c, use.state) for use in oven_day(plan(MORNING, 200))]

    assert day == [
        (174, 194, 220.0, "heating"),
        (194, 229, 220.0, "baking"),
        (229, 249, 220.0, "baking"),
        (249, 255, 190.0, "cooling"),
        (255, 270, 190.0, "baking"),
    ]


def test_an_exact_solver_finds_the_same_price_for_that_morning() -> None:
    answer = exact.solve(MORNING, 120.0, 1)

    assert (answer.status, answer.total) == ("optimal", 350 * MIN)
