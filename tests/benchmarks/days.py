"""Generated days of a small bakery: nights, retards, batches wider than the oven, slow ovens, one or two people.

The doughs are those of `kitchens`, with a weigh-out, readings and turning; some are wanted for a breakfast, so that a
night lies before them.
"""

from __future__ import annotations

import random
from dataclasses import replace

from proofbell.bake.events import LETTERS
from proofbell.planner.problem import Capacity, Chain, Flexibility, Problem, Step, Task
from tests.benchmarks import kitchens
from tests.benchmarks.kitchens import MIN

HOUR = 60 * MIN
DAY = 24 * HOUR
WAIT_S = 12 * HOUR


def with_tasks(rng: random.Random, step: Step) -> Step:
    """A proof that is read as it begins or ends; a bake that is turned halfway."""
    if step.kind == "proof" and rng.random() < 0.4:
        return replace(step, tasks=(Task("read", rng.choice((0, -MIN)), MIN),))
    if step.kind == "bake" and rng.random() < 0.6:
        return replace(step, tasks=(Task("turn", step.least_s // 2, MIN),))
    return step


def in_loads(steps: tuple[Step, ...], places: int, room: int) -> tuple[Step, ...]:
    """The same chain with its bake in as many loads as the oven needs for it."""
    at = next(index for index, step in enumerate(steps) if step.heats)
    loads = -(-places // room)
    if loads == 1:
        return (*steps[:at], replace(steps[at], trays=places), *steps[at + 1 :])
    since = max(index for index in range(at) if steps[index].kind not in ("hands", "weigh"))
    lag_s = sum(step.nominal_s for step in steps[since + 1 : at])
    before = [replace(step, shared=True) if index == since else step for index, step in enumerate(steps[:at])]
    bakes = [
        replace(
            steps[at],
            name=f"Bake {number + 1}",
            trays=min(room, places - number * room),
            wait_s=WAIT_S if number + 1 < loads else steps[at].wait_s,
            since=since if number else None,
            lag_s=lag_s if number else 0,
        )
        for number in range(loads)
    ]
    return (*before, *bakes, *steps[at + 1 :])


def chain(rng: random.Random, letter: str, room: int, night_begins_s: int, night_ends_s: int, count: int) -> Chain:
    """One dough of such a day, wanted in the morning after the night, or on the day before it."""
    steps = [with_tasks(rng, step) for step in kitchens.stages(rng)]
    minutes = rng.randint(4, 10)
    steps[0] = replace(steps[0], name="Weigh out", kind="weigh", nominal_s=minutes * MIN, least_s=minutes * MIN,
                       most_s=minutes * MIN, wait_s=WAIT_S)  # fmt: skip
    proofs = [index for index, step in enumerate(steps) if step.kind == "proof" and step.nominal_s >= 25 * MIN]
    for index in proofs[-2:]:
        if rng.random() < 0.45:
            least, most = rng.choice(((8, 14), (10, 16), (8, 18)))
            cold = Step("cold", "chill", least * HOUR, least * HOUR, most * HOUR, critical=True,
                        flexibility=Flexibility.ELASTIC, tasks=steps[index].tasks, flat=True)  # fmt: skip
            steps[index] = replace(steps[index], instead=cold)
    places = rng.choice((1, 1, 1, room, room, room + 1, 2 * room))
    length_s = kitchens.nominal_s(tuple(steps))
    if rng.random() < 0.7:
        ready_s = night_ends_s + rng.randint(50, 120 + 60 * count) * MIN
    else:
        ready_s = max(night_begins_s - rng.randint(0, 240) * MIN, length_s + rng.randint(10, 60 * count) * MIN)
    return Chain(letter, in_loads(tuple(steps), places, room), ready_s)


def day(number: int, count: int) -> Problem:
    """One generated day; the same number and count give the same day.

    Args:
        number: which day.
        count: how many doughs, 1 to 12.
    """
    rng = random.Random(number * 7919 + count * 104729 + 11)
    people, room = rng.choice((1, 1, 1, 2)), rng.choice((1, 1, 2, 3))
    begins_s = rng.randint(6, 15) * HOUR
    length_s = rng.randint(6, 9) * HOUR
    quiet = tuple((begins_s + at * DAY, begins_s + length_s + at * DAY) for at in range(6))
    rate = rng.randint(15, 60) * MIN / 180
    chains = tuple(chain(rng, letter, room, begins_s, begins_s + length_s, count) for letter in LETTERS[:count])
    return Problem(chains, Capacity(people, room, up_s_per_k=rate, down_s_per_k=1.5 * rate), 0, quiet)
