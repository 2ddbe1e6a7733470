"""All that hands do in a plan, in order of time: who does it, and what is one act.

Facts only; `day_words` says them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Literal

from proofbell.bench.plan.stage_steps import TAKE_OUT, WEIGH
from proofbell.formula.model import ReadingKind
from proofbell.formula.readings import READINGS
from proofbell.frozen import dataclass
from proofbell.planner.plan import Plan, Times
from proofbell.planner.problem import Chain, Step

SECOND_US = 1_000_000

FAMILIAR_US = 20 * 60 * SECOND_US
"""Who had a dough last goes on with it unless another has had so much less to do: common practice, no source."""

Does = Literal["weigh", "stage", "load", "unload", "turn", "take out", "read"]


@dataclass(frozen=True, slots=True)
class HandsAct:
    """One thing that hands do for one bake.

    Attributes:
        letter: the bake.
        does: what sort of thing; a stage is worked all through, or begun by hand.
        stage: index of the stage; None for a weigh-out.
        name: the stage's name.
        load: which load of a bake, from 1, of ``loads``.
        loads: how many loads the bake has.
        reads: what is read.
    """

    letter: str
    does: Does
    stage: int | None
    name: str
    load: int = 1
    loads: int = 1
    reads: tuple[ReadingKind, ...] = ()


@dataclass(frozen=True, slots=True)
class HandsLine:
    """What one pair of hands does from a moment until another (UTC, µs); several acts where one hand leads to another.

    ``who`` counts the pairs of hands from 0.
    """

    begins_us: int
    ends_us: int
    acts: tuple[HandsAct, ...]
    who: int = 0


def day_hands(plan: Plan, origin_us: int) -> tuple[HandsLine, ...]:
    """Everything that hands do from now on, shared out among them."""
    lines = [
        line
        for chain, times in zip(plan.problem.chains, plan.times, strict=True)
        for line in _of_chain(chain, times, origin_us)
    ]
    return _shared_out(_joined(lines), plan.problem.capacity.people)


def _of_chain(chain: Chain, times: Times, origin_us: int) -> Iterator[HandsLine]:
    of = [step.of for step in chain.steps]
    for at, step in enumerate(chain.taken(times.instead)):
        if step.ended:
            continue
        begin_s, end_s = times.begins_s[at], times.ends_s[at]
        stage = of[at]
        count = 1 if stage is None else of.count(stage)
        load = 1 if stage is None else 1 + at - of.index(stage)
        act = HandsAct(chain.letter, "stage", stage, chain.steps[at].name, load, count)
        for does, from_s, until_s, reads in _spans(step, begin_s, end_s):
            yield HandsLine(
                origin_us + from_s * SECOND_US, origin_us + until_s * SECOND_US, (replace(act, does=does, reads=reads),)
            )


def _spans(step: Step, begin_s: int, end_s: int) -> Iterator[tuple[Does, int, int, tuple[ReadingKind, ...]]]:
    first: Does = "weigh" if step.kind == WEIGH else "load" if step.kind == "bake" else "stage"
    if step.hands_s is None:
        yield first, begin_s, end_s, ()
    elif step.hands_s and not step.running:
        yield first, begin_s, begin_s + step.hands_s, ()
    for task in step.tasks:
        at_s = task.at_s + (begin_s if task.at_s >= 0 else end_s)
        reads = tuple(kind for kind in READINGS if kind in task.what)
        does: Does = "turn" if task.kind == "turn" else "take out" if task.kind == TAKE_OUT else "read"
        yield does, at_s, at_s + task.hands_s, reads
    if step.hands_end_s:
        yield "unload", end_s - step.hands_end_s, end_s, ()


def _joined(lines: list[HandsLine]) -> list[HandsLine]:
    """In order of time; what is taken out as the next goes in is one act."""
    loads: dict[int, list[HandsLine]] = {}
    for line in lines:
        if line.acts[0].does == "load":
            loads.setdefault(line.begins_us, []).append(line)
    found: list[HandsLine] = []
    for line in sorted(lines, key=lambda line: (line.begins_us, line.ends_us, line.acts[0].letter)):
        if line.acts[0].does == "unload" and loads.get(line.ends_us):
            after = loads[line.ends_us].pop(0)
            found.append(HandsLine(line.begins_us, after.ends_us, (*line.acts, *after.acts)))
        else:
            found.append(line)
    taken = {id(act) for line in found if len(line.acts) > 1 for act in line.acts[1:]}
    return [line for line in found if len(line.acts) > 1 or id(line.acts[0]) not in taken]


def _shared_out(lines: list[HandsLine], people: int) -> tuple[HandsLine, ...]:
    """Each line to somebody who is free: to who has had least to do so far, rather to who had that dough last."""
    free_us, worked_us = [0] * people, [0] * people
    last: dict[str, int] = {}
    found: list[HandsLine] = []
    for line in lines:
        free = [who for who in range(people) if free_us[who] <= line.begins_us] or [free_us.index(min(free_us))]
        known = {last.get(act.letter) for act in line.acts}
        # Who stands at a dough goes on with it, and is not relieved for one reading.
        at_it = {one for one in known if one is not None and free_us[one] == line.begins_us} & set(free)
        who = min(at_it or free, key=lambda one: (worked_us[one] - FAMILIAR_US * (one in known), one))
        free_us[who] = max(free_us[who], line.ends_us)
        worked_us[who] += line.ends_us - line.begins_us
        last.update({act.letter: who for act in line.acts})
        found.append(replace(line, who=who))
    return tuple(found)
