"""Small kitchens made at random, and the same kitchen later in the day."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import strategies as st

from proofbell.bake.events import LETTERS
from proofbell.planner.oven_timeline import oven_day
from proofbell.planner.plan import Plan
from proofbell.planner.problem import Capacity, Chain, Flexibility, Heat, Problem, Step

MIN = 60


def hands(name: str, minutes: int, wait_minutes: int = 0) -> Step:
    """A stage that is in hand for as long as it lasts."""
    return Step(
        name, "hands", minutes * MIN, minutes * MIN, minutes * MIN, hands_s=None, wait_s=wait_minutes * MIN,
        flexibility=Flexibility.RIGID,
    )  # fmt: skip


def proof(name: str, least: int, nominal: int, most: int) -> Step:
    """A proof in minutes."""
    elastic = Flexibility.ELASTIC
    return Step(name, "proof", least * MIN, nominal * MIN, most * MIN, critical=True, flexibility=elastic)


def baking(minutes: int, *heats_c: float, trays: int = 1) -> Step:
    """A bake of one heat or two, loaded and unloaded by hand."""
    share = minutes * MIN // len(heats_c)
    heats = tuple(Heat(share, heat_c) for heat_c in heats_c)
    length_s = minutes * MIN
    return Step(
        "Bake", "bake", length_s, length_s, length_s, hands_s=MIN, hands_end_s=MIN, critical=True, heats=heats,
        trays=trays,
    )  # fmt: skip


@st.composite
def proofs(draw: st.DrawFn, name: str) -> Step:
    """A proof that forgives something either way."""
    nominal = draw(st.integers(10, 60))
    return proof(name, nominal - draw(st.integers(0, nominal // 2)), nominal, nominal + draw(st.integers(0, 40)))


@st.composite
def step_chains(draw: st.DrawFn) -> tuple[Step, ...]:
    """A chain of four to seven stages."""
    minutes = st.integers(1, 15)
    steps = [hands("Mix", draw(minutes), draw(st.sampled_from((0, 5)))), draw(proofs("First proof"))]
    if draw(st.booleans()):
        steps.append(hands("Shape", draw(minutes), draw(st.sampled_from((0, 5)))))
        steps.append(draw(proofs("Final proof")))
    heats_c = draw(st.sampled_from(((190.0,), (190.0,), (220.0,), (240.0, 210.0))))
    steps.append(baking(draw(st.integers(10, 40)), *heats_c))
    if draw(st.booleans()):
        cool = draw(st.integers(5, 30)) * MIN
        steps.append(Step("Cool", "cool", cool, cool, cool + 600, flexibility=Flexibility.FREE))
    return tuple(steps)


@st.composite
def kitchens(draw: st.DrawFn, most: int = 4, most_each: int = 2) -> Problem:
    """One to four bakes, one or two people, one or two trays; some days are too short for what is wanted."""
    chains = []
    for letter in LETTERS[: draw(st.integers(1, most))]:
        steps = draw(step_chains())
        length_s = sum(step.nominal_s for step in steps)
        ready_s = draw(st.none() | st.integers(-30, 120).map(lambda minutes: length_s + minutes * MIN))  # noqa: B023
        begin_s = draw(st.sampled_from((0, 0, 20 * MIN)))
        latest_s = draw(st.sampled_from((None, None, length_s + 90 * MIN)))
        chains.append(Chain(letter, steps, ready_s, not_before_s=begin_s, latest_s=latest_s))
    capacity = Capacity(
        draw(st.integers(1, most_each)), draw(st.integers(1, most_each)), 6.0, 9.0, draw(st.sampled_from((20.0, 190.0)))
    )
    return Problem(tuple(chains), capacity)


def later(plan: Plan, now_s: int, share: float = 1.0) -> Problem:
    """The same day at a later moment, all done as planned; running proofs take this share of their length."""
    chains = []
    for chain, times in zip(plan.problem.chains, plan.times, strict=True):
        steps = []
        for at, step in enumerate(chain.steps):
            begun_s, ended_s = times.begins_s[at], times.ends_s[at]
            if ended_s <= now_s:
                steps.append(replace(step, begun_s=begun_s, ended_s=ended_s))
            elif begun_s <= now_s:
                steps.append(replace(_other_length(step, share), begun_s=begun_s))
            else:
                steps.append(step)
        chains.append(replace(chain, steps=tuple(steps)))
    capacity = plan.problem.capacity
    heat_c = next((use.oven_c for use in oven_day(plan) if use.begins_s <= now_s < use.ends_s), capacity.room_c)
    return Problem(tuple(chains), replace(capacity, oven_c=heat_c), now_s)


def _other_length(step: Step, share: float) -> Step:
    if step.kind != "proof":
        return step
    least_s, nominal_s, most_s = (round(length_s * share) for length_s in (step.least_s, step.nominal_s, step.most_s))
    return replace(step, least_s=least_s, nominal_s=nominal_s, most_s=most_s)
