"""A plan as a table of moments (UTC, µs): what a screen, a command or a calendar shows of it."""

from __future__ import annotations

from dataclasses import dataclass

from proofbell.planner.model import Plan, Problem, Times
from proofbell.planner.oven_timeline import oven_day

SECOND_US = 1_000_000


@dataclass(frozen=True, slots=True)
class Line:
    """One stage of one bake. ``nominal_s`` is the length the formula wants, ``least_s`` and ``most_s`` its bounds."""

    letter: str
    formula: str
    name: str
    kind: str
    begins_us: int
    ends_us: int
    nominal_s: int
    least_s: int
    most_s: int
    past: bool

    @property
    def seconds(self) -> int:
        """Its length in the plan (s)."""
        return (self.ends_us - self.begins_us) // SECOND_US

    @property
    def strays_s(self) -> int:
        """How far the plan keeps it from its nominal length (s)."""
        return self.seconds - self.nominal_s


@dataclass(frozen=True, slots=True)
class OvenLine:
    """One stretch of the oven's day: heating, cooling, holding or baking, at a conventional °C, for a bake."""

    begins_us: int
    ends_us: int
    temperature_c: float
    state: str
    letter: str


@dataclass(frozen=True, slots=True)
class BakeTimes:
    """All stages of one bake, and when it is wanted (UTC, µs; None: as soon as it can be)."""

    letter: str
    formula: str
    lines: tuple[Line, ...]
    wanted_us: int | None

    @property
    def begins_us(self) -> int:
        """When its first stage begins."""
        return min(line.begins_us for line in self.lines)

    @property
    def ready_us(self) -> int:
        """When its last stage ends."""
        return self.lines[-1].ends_us


@dataclass(frozen=True, slots=True)
class Timetable:
    """The whole day, bakes in the plan's order."""

    bakes: tuple[BakeTimes, ...]
    oven: tuple[OvenLine, ...]

    @property
    def ready_us(self) -> int:
        """When the last bake is ready."""
        return max(bake.ready_us for bake in self.bakes)

    def in_order(self) -> tuple[Line, ...]:
        """Every stage of every bake in order of time."""
        return tuple(
            sorted((line for bake in self.bakes for line in bake.lines), key=lambda one: (one.begins_us, one.letter))
        )


def timetable(plan: Plan, origin_us: int) -> Timetable:
    """Lay a plan onto the clock: its second 0 is ``origin_us``."""

    def at(second: int) -> int:
        return origin_us + second * SECOND_US

    oven = tuple(
        OvenLine(at(use.begins_s), at(use.ends_s), use.oven_c, use.state, use.letter) for use in oven_day(plan)
    )
    return Timetable(bake_times(plan.problem, plan.times, origin_us), oven)


def bake_times(problem: Problem, all_times: tuple[Times, ...], origin_us: int) -> tuple[BakeTimes, ...]:
    """The stages of every bake, laid onto the clock; they need not make a plan."""

    def at(second: int) -> int:
        return origin_us + second * SECOND_US

    bakes: list[BakeTimes] = []
    for chain, times in zip(problem.chains, all_times, strict=True):
        lines = tuple(
            Line(
                letter=chain.letter,
                formula=chain.name,
                name=step.name,
                kind=step.kind,
                begins_us=at(times.begins_s[index]),
                ends_us=at(times.ends_s[index]),
                nominal_s=step.nominal_s,
                least_s=step.least_s,
                most_s=step.most_s,
                past=step.ended,
            )
            for index, step in enumerate(chain.steps)
        )
        wanted = None if chain.ready_by_s is None else at(chain.ready_by_s)
        bakes.append(BakeTimes(chain.letter, chain.name, lines, wanted))
    return tuple(bakes)
