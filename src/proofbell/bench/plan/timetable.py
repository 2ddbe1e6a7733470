"""A plan as a table of moments (UTC, µs): what a screen, a command or a calendar shows of it."""

from __future__ import annotations

from dataclasses import field, replace

from proofbell.bench.plan.day_hands import SECOND_US, HandsLine, day_hands
from proofbell.bench.plan.stage_steps import WEIGH
from proofbell.frozen import dataclass
from proofbell.moment_text import MINUTE_US
from proofbell.planner.oven_timeline import oven_day
from proofbell.planner.plan import Plan, Times
from proofbell.planner.problem import Capacity, Chain, Problem

TIMED = ("proof", "rest", "chill")
"""Kinds of stages whose length a plan may ask for."""


@dataclass(frozen=True, slots=True)
class LoadTimes:
    """One load of a bake in the oven (UTC, µs), and how many places it takes."""

    begins_us: int
    ends_us: int
    places: int


@dataclass(frozen=True, slots=True)
class Line:
    """One stage of one bake. ``nominal_s`` is the length the formula wants, ``least_s`` and ``most_s`` its bounds.

    ``loads`` are those of a bake; of a batch wider than the oven the stage lasts from the first until the last is out.
    ``cold``: the plan lets it stand in the cold in place of the proof; ``nominal_s`` is the shortest time there then.
    ``stands_until_us``: what has cooled stands from its end until it is wanted; None where it does not.
    """

    letter: str
    name: str
    kind: str
    begins_us: int
    ends_us: int
    nominal_s: int
    least_s: int
    most_s: int
    past: bool
    loads: tuple[LoadTimes, ...] = ()
    cold: bool = False
    stands_until_us: int | None = None

    @property
    def told(self) -> str:
        """``Final proof, in the cold``."""
        return f"{self.name}, in the cold" if self.cold else self.name

    @property
    def seconds(self) -> int:
        """Its length in the plan (s)."""
        return (self.ends_us - self.begins_us) // SECOND_US

    @property
    def may_be_asked(self) -> bool:
        """Whether a plan may ask for another length of it: a bake ends by its core temperature."""
        return self.kind in TIMED and self.least_s < self.most_s

    @property
    def strays_s(self) -> int:
        """How far the plan keeps it from its nominal length (s); in the cold any length that it may have is as good."""
        if self.cold or len(self.loads) > 1:
            return 0
        return self.seconds - self.nominal_s


@dataclass(frozen=True, slots=True)
class OvenLine:
    """One stretch of the oven's day: heating, cooling, holding or baking, at a conventional °C, for a bake.

    ``steam``: the oven is kept full of steam.
    """

    begins_us: int
    ends_us: int
    temperature_c: float
    state: str
    letter: str
    steam: bool = False


@dataclass(frozen=True, slots=True)
class BakeTimes:
    """All stages of one bake, and when it is wanted (UTC, µs; None: as soon as it can be).

    ``weighs`` are its weigh-outs, begin and end (UTC, µs): one for the dough, one for each preferment; ``weighed_for``
    the line that each comes before.
    """

    letter: str
    formula: str
    lines: tuple[Line, ...]
    wanted_us: int | None
    weighs: tuple[tuple[int, int], ...] = ()
    weighed_for: tuple[int, ...] = ()

    @property
    def hands_from_us(self) -> int:
        """When hands are first needed: for a weigh-out, or the first stage."""
        return min([self.begins_us, *(begins_us for begins_us, _ in self.weighs)])

    @property
    def begins_us(self) -> int:
        """When its first stage begins."""
        return min(line.begins_us for line in self.lines)

    @property
    def ready_us(self) -> int:
        """When its last stage ends; bread that stands then until it is wanted is ready all the same."""
        return self.lines[-1].ends_us

    def off_us(self, wanted_us: int) -> int:
        """How much later than wanted it is ready (µs), earlier when negative; 0 where it stands until then."""
        stands_us = self.lines[-1].stands_until_us or self.ready_us
        return max(0, self.ready_us - wanted_us) + min(0, stands_us - wanted_us)


@dataclass(frozen=True, slots=True)
class Timetable:
    """The whole day, bakes in the plan's order; all that hands do, and when nobody works (UTC, µs).

    ``capacity``: the hands and the oven that it was made for.
    """

    bakes: tuple[BakeTimes, ...]
    oven: tuple[OvenLine, ...]
    hands: tuple[HandsLine, ...] = ()
    quiet: tuple[tuple[int, int], ...] = ()
    capacity: Capacity = field(default_factory=Capacity)

    @property
    def ready_us(self) -> int:
        """When the last bake is ready."""
        return max(bake.ready_us for bake in self.bakes)


def timetable(plan: Plan, origin_us: int) -> Timetable:
    """Lay a plan onto the clock: its second 0 is ``origin_us``."""

    def at(second: int) -> int:
        return origin_us + second * SECOND_US

    oven = tuple(
        OvenLine(at(use.begins_s), at(use.ends_s), use.oven_c, use.state, use.letter, use.steam)
        for use in oven_day(plan)
    )
    bakes = bake_times(plan.problem, plan.times, origin_us)
    until_us = max((bake.ready_us for bake in bakes), default=origin_us)
    quiet = tuple((at(begin_s), at(end_s)) for begin_s, end_s in plan.problem.quiet if at(begin_s) < until_us)
    return Timetable(bakes, oven, day_hands(plan, origin_us), quiet, plan.problem.capacity)


def bake_times(problem: Problem, all_times: tuple[Times, ...], origin_us: int) -> tuple[BakeTimes, ...]:
    """The stages of every bake, laid onto the clock; they need not make a plan."""
    now_us = origin_us + problem.now_s * SECOND_US
    return tuple(
        _bake_times(chain, times, origin_us, now_us) for chain, times in zip(problem.chains, all_times, strict=True)
    )


def _bake_times(chain: Chain, times: Times, origin_us: int, now_us: int) -> BakeTimes:
    def at(second: int) -> int:
        return origin_us + second * SECOND_US

    steps = chain.taken(times.instead)
    stages: dict[int, list[int]] = {}
    weighs: list[tuple[int, int]] = []
    weighed_for: list[int] = []
    for index, step in enumerate(chain.steps):
        if step.of is None and step.kind == WEIGH:
            weighs.append((at(times.begins_s[index]), at(times.ends_s[index])))
            weighed_for.append(len(stages))
        else:
            stages.setdefault(index if step.of is None else step.of, []).append(index)
    lines = []
    for _, indices in sorted(stages.items()):
        first, last = steps[indices[0]], indices[-1]
        lines.append(
            Line(
                letter=chain.letter,
                name=chain.steps[indices[0]].name,
                kind=first.kind,
                begins_us=at(times.begins_s[indices[0]]),
                ends_us=at(times.ends_s[last]),
                nominal_s=first.nominal_s,
                least_s=first.least_s,
                most_s=first.most_s,
                past=steps[last].ended,
                loads=tuple(
                    LoadTimes(at(times.begins_s[index]), at(times.ends_s[index]), steps[index].trays)
                    for index in indices
                    if steps[index].kind == "bake"
                ),
                cold=indices[0] in times.instead,
            )
        )
    wanted = None if chain.ready_by_s is None else at(chain.ready_by_s)
    lines[-1] = _cooled(lines[-1], now_us, wanted)
    return BakeTimes(chain.letter, chain.name, tuple(lines), wanted, tuple(weighs), tuple(weighed_for))


def _cooled(line: Line, now_us: int, wanted_us: int | None) -> Line:
    """A last stage that has cooled at its own time, whatever the plan leaves until it is wanted: its bell says so."""
    cooled_us = max(line.begins_us + line.nominal_s * SECOND_US, now_us)
    if line.kind != "cool" or line.past or line.ends_us <= cooled_us:
        return line
    stands = wanted_us is not None and line.ends_us > wanted_us - MINUTE_US
    return replace(line, ends_us=cooled_us, stands_until_us=line.ends_us if stands else None)
