"""What hands do in a plan, and what a night is to it, in words."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from proofbell.bench.plan.day_hands import HandsAct, HandsLine
from proofbell.bench.plan.timetable import BakeTimes, Line, Timetable
from proofbell.formula.readings import LIMITS
from proofbell.words import length, listed


def hands_words(line: HandsLine) -> str:
    """``take A out, load B``, ``read the dough's temperature``; the letter only where there are two."""
    acts = line.acts
    letters = {act.letter for act in acts}
    return ", ".join(act_words(act, act.letter if len(letters) > 1 else "") for act in acts)


def act_words(act: HandsAct, letter: str = "") -> str:
    """One act: ``load``, ``take load 1 of 2 out``, ``weigh out``; with the bake's letter if it is given."""
    load = f"load {act.load} of {act.loads}" if act.loads > 1 else ""
    whose = " ".join(part for part in (f"{letter}'s" if letter and load else letter, load) if part)
    match act.does:
        case "weigh":
            return "weigh out"
        case "load":
            return f"put {whose} in" if load else f"load {letter}".rstrip()
        case "unload":
            return f"take {whose} out" if whose else "take it out"
        case "take out":
            return f"take {letter or 'it'} out of the cold"
        case "turn":
            return f"turn {whose}" if whose else "turn the tray"
        case "read":
            return ", ".join(LIMITS[each].asked for each in act.reads)
        case _:
            return act.name


def who_words(who: int, names: Sequence[str]) -> str:
    """``Jo``, or ``hands 2`` where there is no name."""
    return names[who] if who < len(names) else f"hands {who + 1}"


def night_words(table: Timetable, clock: Callable[[int], str]) -> Iterator[str]:
    """A sentence for each night that the plan spans: what every bake does meanwhile.

    Args:
        table: the plan.
        clock: a moment (UTC, µs) as the kitchen's clock has it.
    """
    begins_us = min((bake.hands_from_us for bake in table.bakes), default=0)
    for begin_us, end_us in table.quiet:
        over = [(bake, line) for bake in table.bakes if (line := _over(bake, begin_us, end_us)) is not None]
        if end_us <= begins_us or begin_us >= table.ready_us or (not over and not _around(table, begin_us, end_us)):
            continue
        told = [_meanwhile(bake, line) for bake, line in over]
        before = [bake.letter for bake in table.bakes if bake.ready_us <= begin_us]
        after = [bake.letter for bake in table.bakes if bake.hands_from_us >= end_us]
        told += [f"{listed(before)} {'is' if len(before) == 1 else 'are'} ready before"] if before else []
        told += [f"{listed(after)} {'is' if len(after) == 1 else 'are'} begun after"] if after else []
        worked = any(line.begins_us < end_us and line.ends_us > begin_us for line in table.hands)
        rest = "Hands are needed between" if worked else "Nobody works from"
        joint = "and" if worked else "to"
        yield f"{rest} {clock(begin_us)} {joint} {clock(end_us)}{': ' if told else ''}{'; '.join(told)}."


def late_hands_words(
    table: Timetable, late: Sequence[tuple[int, int]], hours: tuple[str, str], clock: Callable[[int], str]
) -> Iterator[str]:
    """One sentence about hands in late hours that nobody asked for, and how to keep those free.

    Nothing where a bake is wanted in such hours: then they were asked for.

    Args:
        table: the plan.
        late: each night's late hours (UTC, µs).
        hours: the same as the kitchen file writes them.
        clock: a moment (UTC, µs) as the kitchen's clock has it.
    """
    wanted = [bake.wanted_us for bake in table.bakes if bake.wanted_us is not None]
    if any(begin_us < at_us <= end_us for begin_us, end_us in late for at_us in wanted):
        return
    for begin_us, end_us in late:
        inside = (line.begins_us for line in table.hands if line.begins_us < end_us and line.ends_us > begin_us)
        first_us = min(inside, default=None)
        if first_us is not None:
            yield (
                f"Hands are needed between {clock(begin_us)} and {clock(end_us)}, first at "
                f"{clock(max(begin_us, first_us))}. If nobody works then: "
                f"""proofbell kitchen set quiet '["{hours[0]}", "{hours[1]}"]'"""
            )
            return


def _around(table: Timetable, begin_us: int, end_us: int) -> bool:
    """Whether hands are needed before a night and after it."""
    return any(line.ends_us <= begin_us for line in table.hands) and any(
        line.begins_us >= end_us for line in table.hands
    )


def _over(bake: BakeTimes, begin_us: int, end_us: int) -> Line | None:
    """The stage that a bake is in for most of a night; None for one that has not begun, or is ready."""
    most = max(bake.lines, key=lambda line: min(line.ends_us, end_us) - max(line.begins_us, begin_us))
    return most if min(most.ends_us, end_us) > max(most.begins_us, begin_us) else None


_DOES = {"proof": "proofs", "rest": "rests", "chill": "chills", "bake": "bakes", "cool": "cools"}


def _meanwhile(bake: BakeTimes, line: Line) -> str:
    does = _DOES.get(line.kind, "is being worked")
    where = " in the cold" if line.cold else ""
    return f"{bake.letter} {does}{where} for {length(line.seconds)}"


def late_words(bake: BakeTimes) -> str:
    """``, on time``, ``, 20 min late``; nothing where no time is wanted."""
    if bake.wanted_us is None:
        return ""
    by_s = bake.off_us(bake.wanted_us) // 1_000_000
    if abs(by_s) < 60:
        return ", on time"
    return f", {length(abs(by_s))} {'late' if by_s > 0 else 'early'}"
