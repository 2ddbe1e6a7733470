"""Generated kitchens: one oven, one pair of hands, and as many doughs as asked for.

Four sorts of day take turns: an easy one; a morning in which everything is wanted within one hour or two; a
late start, in which something may have to be late; and a day that mixes all of these.
"""

from __future__ import annotations

import random
from dataclasses import replace

from proofbell.bake.events import LETTERS
from proofbell.planner.plan import Times
from proofbell.planner.problem import Capacity, Chain, Flexibility, Heat, Problem, Step

MIN = 60
SORTS = ("easy", "one hour", "late start", "mixed")


def hands(name: str, minutes: int) -> Step:
    """A hands stage of one fixed length."""
    return Step(name, "hands", minutes * MIN, minutes * MIN, minutes * MIN, hands_s=None, flexibility=Flexibility.RIGID)


def loose(name: str, kind: str, nominal: int, least: int, most: int, *, critical: bool) -> Step:
    """A stage without hands that may be shorter or longer."""
    return Step(name, kind, least * MIN, nominal * MIN, most * MIN, critical=critical, flexibility=Flexibility.ELASTIC)


def proof(rng: random.Random, name: str, nominal: int) -> Step:
    """A proof with its least and most."""
    least = nominal - round(nominal * rng.uniform(0.1, 0.35))
    most = nominal + round(nominal * rng.uniform(0.15, 0.6))
    return loose(name, "proof", nominal, least, most, critical=True)


def bake(rng: random.Random) -> Step:
    """A bake of one heat or two, loaded and unloaded by hand."""
    style = rng.choice(("enriched", "enriched", "lean", "lean", "rye"))
    if style == "enriched":
        minutes = rng.randint(14, 30)
        heats: tuple[Heat, ...] = (Heat(minutes * MIN, rng.choice((180.0, 190.0, 200.0))),)
    elif style == "lean":
        minutes = rng.randint(30, 45)
        heats = (Heat(15 * MIN, rng.choice((230.0, 240.0))), Heat((minutes - 15) * MIN, 210.0))
    else:
        minutes = rng.randint(45, 60)
        heats = (Heat(10 * MIN, 250.0), Heat((minutes - 10) * MIN, 200.0))
    return Step(
        "Bake",
        "bake",
        (minutes - rng.randint(0, 2)) * MIN,
        minutes * MIN,
        (minutes + rng.randint(0, 4)) * MIN,
        hands_s=MIN,
        hands_end_s=MIN,
        critical=True,
        heats=heats,
    )


def stages(rng: random.Random) -> tuple[Step, ...]:
    """A chain of 11 to 15 stages."""
    steps = [hands("Weigh", rng.randint(3, 8)), hands("Mix", rng.randint(4, 8))]
    if rng.random() < 0.6:
        nominal = rng.randint(20, 40)
        steps.append(loose("Soak", "rest", nominal, nominal - 5, nominal + rng.randint(10, 30), critical=False))
    steps.append(hands("Knead", rng.randint(5, 12)))
    for fold in range(rng.randint(1, 2)):
        steps.append(proof(rng, f"First proof {fold + 1}", rng.randint(25, 50)))
        steps.append(hands(f"Fold {fold + 1}", rng.randint(2, 4)))
    steps.append(proof(rng, "First proof", rng.randint(25, 60)))
    steps.append(hands("Divide", rng.randint(4, 10)))
    nominal = rng.randint(10, 25)
    steps.append(loose("Bench rest", "rest", nominal, nominal - 5, nominal + rng.randint(5, 20), critical=False))
    steps.append(hands("Shape", rng.randint(5, 18)))
    if rng.random() < 0.15:
        nominal = rng.randint(60, 120)
        steps.append(loose("Chill", "chill", nominal, nominal - 20, nominal + 120, critical=False))
    steps.append(proof(rng, "Final proof", rng.randint(35, 80)))
    if rng.random() < 0.4:
        steps.append(hands("Glaze", rng.randint(2, 4)))
    steps.append(bake(rng))
    cool = rng.randint(20, 60)
    steps.append(Step("Cool", "cool", cool * MIN, cool * MIN, cool * MIN, flexibility=Flexibility.FREE))
    return tuple(steps)


def nominal_s(steps: tuple[Step, ...]) -> int:
    """Seconds of a chain when nothing stands in its way."""
    return sum(step.nominal_s for step in steps)


def ready_by_s(rng: random.Random, sort: str, count: int, length_s: int) -> int:
    """When one bake of a day of this sort is wanted."""
    if sort == "easy":
        return length_s + rng.randint(30, 60 + 70 * count) * MIN
    if sort == "one hour":
        return 9 * 3600 + rng.randint(0, 60 + 10 * count) * MIN
    if sort == "late start":
        return length_s + rng.randint(-20, 10 + 30 * count) * MIN
    return length_s + rng.randint(0, 60 + 40 * count) * MIN


def kitchen(number: int, count: int) -> Problem:
    """One generated kitchen; the same number and count give the same kitchen.

    Args:
        number: which kitchen; its sort of day follows from it.
        count: how many doughs; beyond twelve their names are a letter and a number.
    """
    rng = random.Random(number * 1009 + count * 9176 + 5)
    sort = SORTS[number % len(SORTS)]
    chains = []
    for place in range(count):
        letter = LETTERS[place % len(LETTERS)] + (str(place // len(LETTERS)) if place >= len(LETTERS) else "")
        steps = stages(rng)
        chains.append(Chain(letter, steps, ready_by_s(rng, sort, count, nominal_s(steps))))
    return Problem(tuple(chains), Capacity(up_s_per_k=6.0, down_s_per_k=12.0))


def under_way(problem: Problem, times: tuple[Times, ...], now_s: int, rng: random.Random) -> Problem:
    """The same day at a later moment: what the plan had by then has happened, and one thing went otherwise.

    Either a reading changes the length of a stage that runs, by up to a third either way, or a stage that should
    have ended has not, or a new wish moves "ready by".

    Args:
        problem: the day.
        times: the plan that was kept to so far.
        now_s: the moment.
        rng: decides what changes.
    """
    chains = []
    hot_c = problem.capacity.room_c
    for chain, moments in zip(problem.chains, times, strict=True):
        steps = []
        for at, own in enumerate(chain.steps):
            begin_s, end_s = moments.begins_s[at], moments.ends_s[at]
            longer = own.instead if at in moments.instead and begin_s <= now_s else None
            step = own if longer is None else replace(longer, tasks=own.tasks, after=own.after)
            if end_s <= now_s:
                steps.append(replace(step, begun_s=begin_s, ended_s=end_s))
                if step.heats and now_s - end_s < 600:
                    hot_c = step.heats[-1].oven_c
            elif begin_s <= now_s:
                steps.append(replace(step, begun_s=begin_s))
                if step.heats:
                    hot_c = step.heats[-1].oven_c
            else:
                steps.append(step)
        chains.append(replace(chain, steps=tuple(steps)))
    changed = otherwise(chains, now_s, rng)
    capacity = replace(problem.capacity, oven_c=hot_c)
    return replace(problem, chains=tuple(changed), capacity=capacity, now_s=now_s)


def otherwise(chains: list[Chain], now_s: int, rng: random.Random) -> list[Chain]:
    """One thing that went otherwise than planned."""
    running = [
        (number, at)
        for number, chain in enumerate(chains)
        for at, step in enumerate(chain.steps)
        if step.running and step.kind != "bake"
    ]
    if not running:
        return chains
    number, at = rng.choice(running)
    chain = chains[number]
    step = chain.steps[at]
    begun_s = step.begun_s or 0
    if step.kind == "proof" and rng.random() < 0.7:
        share = rng.uniform(0.7, 1.33)
        lengths = [round(seconds * share / MIN) * MIN for seconds in (step.least_s, step.nominal_s, step.most_s)]
        step = replace(step, least_s=lengths[0], nominal_s=lengths[1], most_s=lengths[2])
    else:
        over_s = max(0, now_s - begun_s - step.nominal_s) + rng.randint(1, 8) * MIN
        step = replace(
            step,
            least_s=step.least_s + over_s,
            nominal_s=step.nominal_s + over_s,
            most_s=max(step.most_s, step.nominal_s + over_s),
        )
    steps = (*chain.steps[:at], step, *chain.steps[at + 1 :])
    return [*chains[:number], replace(chain, steps=steps), *chains[number + 1 :]]
