"""What ``proofbell plan`` is asked, as a value that a way out changes, and as the command that asks the same."""

from __future__ import annotations

import argparse
import re
import shlex
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from proofbell.bake.events import LETTERS
from proofbell.bake.stamp import Stamp
from proofbell.cli.arguments import values
from proofbell.cli.printed.printing import remark
from proofbell.clock import offset_min
from proofbell.clock_changes import moment_us, twice_words
from proofbell.errors import Failure
from proofbell.formula.model import Formula
from proofbell.frozen import dataclass
from proofbell.journal.reviews.moments import local, twice_mark
from proofbell.moment_text import whole_minute_us
from proofbell.planner.changes import Change, LeaveOut, MorePeople, MoveDue, Overrun, Split
from proofbell.planner.problem import Problem
from proofbell.quantities import Dimension
from proofbell.visible import visible

MOST_HANDS = 20
SAY_PIECES = 'Write --pieces "A = 12".'
_PIECES = re.compile(r"^\s*([A-La-l])\s*=\s*([0-9]{1,4})\s*$")
SAY_LONGER = 'Write --longer "B Final proof = 15 min".'
_LONGER = re.compile(r"^\s*([A-La-l])\s+(\S.*?)\s*=\s*([^=]+)$")


@dataclass(frozen=True, slots=True)
class Longer:
    """One stage of one formula (its index) may last so many seconds longer than its dough forgives."""

    formula: int
    stage: str
    by_s: int


@dataclass(frozen=True, slots=True)
class Asked:
    """A day that is asked for.

    Attributes:
        named: the formulas, as they were named.
        ready_us: when each is wanted (UTC, µs), None for as soon as it can be.
        start_us: the moment (UTC, µs) before which nothing begins; None for now.
        hands: how many pairs of hands, None for the kitchen's.
        longer: stages that may last longer.
        pieces: how many of each, None for as many as the formula says; empty where that holds for all.
        awake: hands at any hour, in the kitchen's quiet ones too.
        rest: what else was said, word by word.
    """

    named: tuple[str, ...]
    ready_us: tuple[int | None, ...]
    start_us: int | None = None
    hands: int | None = None
    longer: tuple[Longer, ...] = ()
    pieces: tuple[int | None, ...] = ()
    awake: bool = False
    rest: tuple[str, ...] = ()

    @property
    def command(self) -> str:
        words = ["proofbell", "plan", *self.named]
        for at_us in dict.fromkeys(self.ready_us) if len(set(self.ready_us)) == 1 else self.ready_us:
            words += [] if at_us is None else ["--ready", _moment(at_us)]
        words += [] if self.start_us is None else ["--start", _moment(self.start_us)]
        words += [] if self.hands is None else ["--hands", str(self.hands)]
        for letter, many in zip(LETTERS, self.pieces, strict=False):
            words += [] if many is None else ["--pieces", f"{letter} = {many}"]
        for one in self.longer:
            words += ["--longer", f"{LETTERS[one.formula]} {one.stage} = {one.by_s / 60:g} min"]
        return shlex.join([*words, *(["--awake"] if self.awake else []), *self.rest])

    def taken(self, change: Change, origin_us: int, pieces: Sequence[int | None] = ()) -> Asked:
        """The same day with a way out taken; letters are those of this day's formulas in order.

        ``pieces``: how many each has, which a way that makes half batches of one needs.
        """
        match change:
            case MoveDue(letter, _, to_s):
                at = LETTERS.index(letter)
                return replace(self, ready_us=_with(self.ready_us, at, origin_us + to_s * 1_000_000))
            case Overrun(letter, step, by_s):
                return replace(self, longer=(*self.longer, Longer(LETTERS.index(letter), step.name, by_s)))
            case MorePeople(people):
                return replace(self, hands=people)
            case LeaveOut(letter):
                return self._without(LETTERS.index(letter))
            case Split(letter):
                return self._halved(LETTERS.index(letter), pieces)

    def _halved(self, at: int, pieces: Sequence[int | None]) -> Asked:
        """One formula twice, the second time as the last of the day."""
        whole = pieces[at] or 0
        said = [*(self.pieces or (None,) * len(self.named)), whole // 2]
        said[at] = whole - whole // 2
        named, ready_us = (*self.named, self.named[at]), (*self.ready_us, self.ready_us[at])
        return replace(self, named=named, ready_us=ready_us, pieces=tuple(said))

    def _without(self, at: int) -> Asked:
        longer = (replace(one, formula=one.formula - (one.formula > at)) for one in self.longer if one.formula != at)
        return replace(
            self,
            named=(*self.named[:at], *self.named[at + 1 :]),
            ready_us=(*self.ready_us[:at], *self.ready_us[at + 1 :]),
            longer=tuple(longer),
            pieces=(*self.pieces[:at], *self.pieces[at + 1 :]),
        )

    def on(self, problem: Problem, formulas: Sequence[Formula]) -> Problem:
        """The problem with the stages that may last longer. Raises Failure: there is no such stage."""
        chains = list(problem.chains)
        for one in self.longer:
            chain = chains[one.formula]
            names = [stage.name.casefold() for stage in formulas[one.formula].stages]
            if one.stage.casefold() not in names:
                raise Failure(
                    f"{LETTERS[one.formula]} has no stage “{visible(one.stage, most=60)}”.",
                    f"Its stages: {', '.join(visible(stage.name) for stage in formulas[one.formula].stages)}.",
                )
            stage = names.index(one.stage.casefold())
            steps = (replace(step, most_s=step.most_s + one.by_s) if step.of == stage else step for step in chain.steps)
            chains[one.formula] = replace(chain, steps=tuple(steps))
        return replace(problem, chains=tuple(chains))


def _with(several: Sequence[int | None], at: int, value: int) -> tuple[int | None, ...]:
    return (*several[:at], value, *several[at + 1 :])


def _moment(at_us: int) -> str:
    offset = offset_min(at_us)
    return f"{local(at_us, offset):%Y-%m-%d %H:%M}{twice_mark(at_us, offset)}"


def read_asked(args: argparse.Namespace, now: Stamp, here: datetime) -> Asked:
    """What was typed, with its moments as UTC; ``here`` is now on the kitchen's clock.

    Raises Failure: something that cannot be read, or does not go together.
    """
    start_us = None if args.start is None else _whole_us(args.start, here, now.wall_us)
    wanted = [_whole_us(text, here, now.wall_us) for text in args.ready or []]
    if start_us is not None and wanted and min(wanted) <= start_us:
        raise Failure(
            f"--start {visible(args.start, most=40)} is not before the --ready time.",
            "Begin earlier, or ask for it later.",
        )
    if len(wanted) not in (0, 1, len(args.formula)):
        raise Failure(
            f"--ready is given {len(wanted)} times for {len(args.formula)} formulas.",
            "Give it once for all of them, or once for each in order.",
        )
    ready: tuple[int | None, ...] = tuple(wanted) or (None,)
    return Asked(tuple(args.formula), ready * len(args.formula) if len(ready) == 1 else ready, start_us)


def read_more(asked: Asked, args: argparse.Namespace) -> Asked:
    """With what only ``plan`` can be asked for.

    Raises Failure: something that cannot be read, or does not go together.
    """
    rest = [] if args.room is None else ["--room", args.room]
    rest += [] if args.fridge is None else ["--fridge", args.fridge]
    longer = tuple(_longer(text, len(args.formula)) for text in args.longer or [])
    pieces = _pieces(args.pieces or (), len(args.formula))
    return replace(asked, hands=_hands(args.hands), longer=longer, pieces=pieces, awake=args.awake, rest=tuple(rest))


def _pieces(texts: Sequence[str], formulas: int) -> tuple[int | None, ...]:
    found: list[int | None] = [None] * formulas
    for text in texts:
        match = _PIECES.match(text)
        if match is None or LETTERS.index(match[1].upper()) >= formulas or not int(match[2]):
            raise Failure(f'--pieces: "{visible(text, most=60)}" says no number of pieces of a dough.', SAY_PIECES)
        found[LETTERS.index(match[1].upper())] = int(match[2])
    return tuple(found) if texts else ()


def _hands(text: str | None) -> int | None:
    if text is None:
        return None
    if text.isascii() and text.isdecimal() and len(text) < 4 and 1 <= int(text) <= MOST_HANDS:
        return int(text)
    raise Failure(f"--hands: “{visible(text, most=40)}” is no number of pairs of hands.", f"Write 1 to {MOST_HANDS}.")


def _whole_us(text: str, here: datetime, now_us: int) -> int:
    at_us = moment_us(text, here, now_us)
    if words := twice_words(text, at_us):
        remark(words)
    return whole_minute_us(at_us)


def _longer(text: str, formulas: int) -> Longer:
    match = _LONGER.match(text)
    if match is None or LETTERS.index(match[1].upper()) >= formulas:
        raise Failure(f'--longer: "{visible(text, most=60)}" names no stage of a dough.', SAY_LONGER)
    by_s = values.quantity(match[3], Dimension.TIME, "--longer")
    if by_s is None or by_s <= 0:
        raise Failure(f'--longer: "{visible(text, most=60)}" says no time.', SAY_LONGER)
    return Longer(LETTERS.index(match[1].upper()), match[2], round(by_s))
