"""What a dough would meet at the oven or at the bench if it came at its own moment and not at the plan's.

That is why the plan asks it for another; where it would meet nothing that counts, it need not be asked.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise, takewhile

from proofbell.bench.plan.timetable import BakeTimes, LoadTimes, Timetable
from proofbell.frozen import dataclass
from proofbell.moment_text import MINUTE_US
from proofbell.planner.repair.stability import TOLERANCE_S

HARMLESS_US = TOLERANCE_S * 1_000_000
"""Who meets another for less than this waits for it, and takes no harm."""

NEAR_US = 60 * MINUTE_US
"""An oven takes less than this from one heat to another."""

SMALL_TIMES = 3
"""Nobody moves a dough by more than so many times the work it would else wait for: common practice, no source."""


Moved = Collection[int | None]
"""Indices of the stages of one bake that are moved; None among them: what is weighed for it too."""


@dataclass(frozen=True, slots=True)
class Use:
    """From when until when (UTC, µs) a bake has the hands, or places in the oven, from one heat to another (°C).

    ``soon``: nothing that may be asked about lies before it.
    """

    letter: str
    begins_us: int
    ends_us: int
    places: int = 0
    heats_c: tuple[float, float] | None = None
    weighs: bool = False
    soon: bool = True

    @property
    def oven(self) -> bool:
        """Whether it is of the oven, and not of hands."""
        return self.places > 0


@dataclass(frozen=True, slots=True)
class Met:
    """A use of another that is met for so long (µs); None: the quiet hours, until ``until_us``.

    ``soon``: no later question can do away with it.
    """

    use: Use | None
    by_us: int
    until_us: int = 0
    soon: bool = True


@dataclass(frozen=True, slots=True)
class Way:
    """By how much (µs) a dough has to be moved so that it meets nobody, and for whom, in words; earlier: below 0.

    ``in_part``: less than that is of use too. ``for_letter``: whom it makes way for; empty for nobody, or a night.
    """

    by_us: int
    because: str = ""
    in_part: bool = True
    for_letter: str = ""


def way_for(
    table: Timetable,
    letter: str,
    by_us: int,
    moved: Moved,
    begun: Mapping[str, bool],
    clock: Callable[[int], str] | None = None,
) -> Way | None:
    """What is left of a question for another moment; None where it is not worth asking.

    Args:
        table: the plan.
        letter: the bake that it is about.
        by_us: how much later than its own moment the plan has it (µs; earlier when negative).
        moved: what is moved with it.
        begun: whether each bake has begun.
        clock: a moment as the kitchen's clock has it; without, nothing is said.
    """
    way = _InTheWay(table, letter, by_us, moved, begun)
    met = way.met(by_us)
    counts = [each for each in met if each.soon and each.by_us >= HARMLESS_US and way.counts(each)]
    if not counts:
        return Way(by_us) if way.helps_itself(by_us) or (not met and by_us > 0 and not way.is_late(by_us)) else None
    least_us, last = _least(way, by_us, counts)
    late = way.helps_itself(by_us)
    if late:
        least_us = by_us
    if not any(each.use is None or each.use.oven for each in counts):
        work_us = sum(each.use.ends_us - each.use.begins_us for each in counts if each.use is not None)
        if abs(least_us) > SMALL_TIMES * work_us:
            return None
    because = "" if clock is None else way.words(last, clock)
    return Way(least_us, because, in_part=late, for_letter="" if last.use is None else last.use.letter)


def _least(way: _InTheWay, by_us: int, counts: Sequence[Met]) -> tuple[int, Met]:
    """The least that will do, in whole minutes, and what is met last before that; at most what the plan would like."""
    last, known = way.first(counts), [each.use for each in counts]
    if last.use is None:
        return by_us, last  # The plan keeps away from the edge of a night.
    minute_us = MINUTE_US if by_us > 0 else -MINUTE_US
    for moved_us in range(minute_us, by_us, minute_us):
        # What takes no harm beside it does not keep it waiting either.
        met = [each for each in way.met(by_us - moved_us, soon=True) if way.counts(each, 0)]
        found = [each for each in met if each.by_us >= HARMLESS_US or each.use in known]
        if not found:
            return moved_us, last
        last = way.first(found)
    return by_us, last


class _InTheWay:
    """The others in a plan, seen from one bake that the plan moves."""

    def __init__(self, table: Timetable, letter: str, by_us: int, moved: Moved, begun: Mapping[str, bool]) -> None:
        self._table, self._begun, self._later = table, begun, by_us > 0
        self._times = {bake.letter: bake for bake in table.bakes}
        self._own = self._times[letter]
        # When hands come to it for the first of what is moved.
        self._comes_us = [line.begins_us for at, line in enumerate(self._own.lines) if at in moved][:1]
        others = [*_hands_of_others(table, letter), *_oven(table, [b for b in table.bakes if b.letter != letter])]
        soon = _soon(self._own, moved)
        own = [*_own_hands(table, self._own, moved, soon), *_oven(table, [self._own], moved, soon)]
        # Only who is near its own moment, the plan's or what lies between.
        self._near = [(use, [other for other in others if _is_near(use, other, by_us)]) for use in own]

    def met(self, sooner_us: int, *, soon: bool = False) -> list[Met]:
        """What it meets for a minute or more if it comes so much sooner than in the plan (later when negative).

        ``soon``: only what no later question can do away with.
        """
        found: list[Met] = []
        for planned, near in self._near:
            if soon and not planned.soon:
                continue
            begins_us, ends_us = planned.begins_us - sooner_us, planned.ends_us - sooner_us
            beside_us = NEAR_US if planned.oven else 0
            beside = [
                other
                for other in near
                if other.begins_us < ends_us + beside_us and begins_us < other.ends_us + beside_us
            ]
            if beside:
                use = replace(planned, begins_us=begins_us, ends_us=ends_us)
                found += self._in_the_oven(use, beside) if use.oven else self._at_the_bench(use, beside)
        moments = (*self._comes_us, *(use.begins_us for use, _ in self._near if not use.oven))
        for at_us in moments if sooner_us and self._table.quiet else ():
            night_us = nobody_until(self._table, at_us - sooner_us)
            if night_us is not None:
                found.append(Met(None, max(HARMLESS_US, night_us - at_us + sooner_us), night_us))
        return found

    def _at_the_bench(self, use: Use, near: Sequence[Use]) -> list[Met]:
        beside = [other for other in near if not other.oven and _overlap_us(use, other)]
        busy_us = _full_us(use, beside, self._table.capacity.people, lambda _: 1)
        if busy_us < MINUTE_US:
            return []
        return [Met(other, min(busy_us, _overlap_us(use, other)), soon=use.soon) for other in beside]

    def _in_the_oven(self, use: Use, near: Sequence[Use]) -> list[Met]:
        lacks = [(other, self._lacks_us(use, other)) for other in near if other.oven]
        found = [Met(other, by_us, soon=use.soon) for other, by_us in lacks if by_us >= MINUTE_US]
        beside = [other for other, by_us in lacks if not by_us and _overlap_us(use, other)]
        room = self._table.capacity.trays - use.places + 1
        full_us = _full_us(use, beside, room, lambda other: other.places)
        if full_us >= MINUTE_US:
            found += [Met(other, min(full_us, _overlap_us(use, other)), soon=use.soon) for other in beside]
        return found

    def _lacks_us(self, use: Use, other: Use) -> int:
        """How long (µs) an oven lacks between two that cannot be in it at one heat; 0 for those that can."""
        first, second = (use, other) if use.begins_us < other.begins_us else (other, use)
        if first.heats_c is None or second.heats_c is None or first.heats_c == second.heats_c:
            return 0
        change_us = self._table.capacity.change_s(first.heats_c[1], second.heats_c[0]) * 1_000_000
        return max(0, first.ends_us + change_us - second.begins_us)

    def counts(self, met: Met, harmless_us: int = HARMLESS_US) -> bool:
        """Whether what is met is a reason to move: what can be weighed, or begun, at another time is none.

        ``harmless_us``: a dough that has not begun may be so much (µs) later than it is wanted.
        """
        use = met.use
        if use is None:
            return True
        bake = self._times[use.letter]
        begins = (line.begins_us - use.ends_us for line in bake.lines if not line.past)
        if use.weighs and not any(0 <= after_us < HARMLESS_US for after_us in begins):
            return False
        if self._begun.get(use.letter, False):
            return True
        return bake.wanted_us is not None and bake.off_us(bake.wanted_us) + met.by_us > harmless_us

    def first(self, met: Sequence[Met]) -> Met:
        """What counts most of all that is met: the night, what counts, the oven, the longest, who is free first."""
        return max(met, key=self._weight)

    def _weight(self, met: Met) -> tuple[bool, bool, bool, int, int]:
        use = met.use
        if use is None:
            return True, True, False, met.by_us, 0
        return False, self.counts(met), use.oven, met.by_us, -use.ends_us if self._later else use.begins_us

    def words(self, met: Met, clock: Callable[[int], str]) -> str:
        """``E has the hands until 07:17``, ``so that F can begin at 07:20``, ``nobody works until 05:00``."""
        use = met.use
        if use is None:
            return f"nobody works until {clock(met.until_us)}"
        if not self._begun.get(use.letter, False):
            return f"so that {use.letter} can begin at {clock(self._times[use.letter].begins_us)}"
        at = f"until {clock(use.ends_us)}" if self._later else f"from {clock(use.begins_us)}"
        return f"{use.letter} has the {'oven' if use.oven else 'hands'} {at}"

    def helps_itself(self, by_us: int) -> bool:
        """Whether it would by itself be later than it is wanted, and is less so as the plan has it."""
        return by_us < 0 and self._late_us(by_us) >= HARMLESS_US

    def is_late(self, by_us: int) -> bool:
        """Whether the plan makes it late that would by itself not be."""
        return self._late_us(0) - self._late_us(by_us) >= HARMLESS_US

    def _late_us(self, sooner_us: int) -> int:
        wanted_us = self._own.wanted_us
        return 0 if wanted_us is None else max(0, self._own.ready_us - sooner_us - wanted_us)


def nobody_until(table: Timetable, at_us: int) -> int | None:
    """Until when (UTC, µs) nobody works at a moment; None where somebody does."""
    return next((end_us for begin_us, end_us in table.quiet if begin_us <= at_us < end_us), None)


def _soon(bake: BakeTimes, moved: Moved) -> Moved:
    """Of what is moved the part before a stage whose length is open: by that later questions may be asked."""
    lines = [(at, line) for at, line in enumerate(bake.lines) if at in moved]
    stages = [at for at, _ in takewhile(lambda one: not one[1].may_be_asked, lines)]
    return (None, *stages)


def _own_hands(table: Timetable, bake: BakeTimes, moved: Moved, soon: Moved) -> Iterator[Use]:
    for line in table.hands:
        stages = {act.stage for act in line.acts if act.letter == bake.letter and act.stage in moved}
        if stages:
            # What is weighed after its beginning is for a later stage.
            is_soon = not stages.isdisjoint(soon) and (None not in stages or line.begins_us <= bake.begins_us)
            yield Use(bake.letter, line.begins_us, line.ends_us, soon=is_soon)


def _hands_of_others(table: Timetable, letter: str) -> Iterator[Use]:
    for line in table.hands:
        if all(act.letter != letter for act in line.acts):
            act = line.acts[0]
            yield Use(act.letter, line.begins_us, line.ends_us, weighs=act.does == "weigh")


def _oven(table: Timetable, bakes: Sequence[BakeTimes], moved: Moved | None = None, soon: Moved = ()) -> Iterator[Use]:
    for bake in bakes:
        for at, line in enumerate(bake.lines):
            if line.kind != "bake" or line.past or (moved is not None and at not in moved):
                continue
            for load in line.loads or (LoadTimes(line.begins_us, line.ends_us, 1),):
                heats = [
                    one.temperature_c
                    for one in table.oven
                    if one.letter == bake.letter
                    and one.state == "baking"
                    and load.begins_us <= one.begins_us < load.ends_us
                ]
                found = (heats[0], heats[-1]) if heats else None
                yield Use(bake.letter, load.begins_us, load.ends_us, load.places, found, soon=at in soon)


def _is_near(use: Use, other: Use, by_us: int) -> bool:
    """Whether two of a kind may meet at the moment of the plan, at the other or between, their change of heat too."""
    if use.oven != other.oven:
        return False
    from_us, until_us = use.begins_us - max(0, by_us) - NEAR_US, use.ends_us - min(0, by_us) + NEAR_US
    return from_us < other.ends_us and other.begins_us < until_us


def _overlap_us(one: Use, other: Use) -> int:
    return max(0, min(one.ends_us, other.ends_us) - max(one.begins_us, other.begins_us))


def _full_us(use: Use, beside: Sequence[Use], room: int, takes: Callable[[Use], int]) -> int:
    """How long (µs) within a use those beside it leave no room."""
    edges = {use.begins_us, use.ends_us}
    edges.update(at for one in beside for at in (one.begins_us, one.ends_us) if use.begins_us < at < use.ends_us)
    return sum(
        until_us - from_us
        for from_us, until_us in pairwise(sorted(edges))
        if sum(takes(one) for one in beside if one.begins_us <= from_us < one.ends_us) >= room
    )
