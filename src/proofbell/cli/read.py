"""``proofbell read``: hands a reading to a live bake from another terminal, a script or a probe's own program.

With ``-`` it takes line after line from standard input.
"""

from __future__ import annotations

import argparse
from typing import Any

from proofbell import places
from proofbell.bake import events as kinds
from proofbell.bake import intents
from proofbell.bake.advice.advise import advice_of_reading
from proofbell.bake.advice.core_words import core_says
from proofbell.bake.advice.situation import Advice
from proofbell.bake.asking.offered import USUAL, usually_read
from proofbell.bake.asking.prompt import OvenBefore
from proofbell.bake.events import Event
from proofbell.bake.fold import fold
from proofbell.bake.intents import Refused
from proofbell.bake.probe.lines import Said as Named
from proofbell.bake.probe.lines import named_value
from proofbell.bake.readings import (
    LIMITS,
    ReadingError,
    is_pair,
    meant_in_f,
    parse_reading,
    told_by_unit,
    with_its_unit,
)
from proofbell.bake.state import BakeState
from proofbell.bench.oven.queue import oven_queue
from proofbell.bench.oven.turns import oven_before
from proofbell.cli.arguments.live_bake import add_bake, live_in, no_bake
from proofbell.cli.arguments.scripted import reading_kind
from proofbell.cli.of_read.stream import Stream, read_stream
from proofbell.cli.printed.journal_waiting import say_if_busy
from proofbell.cli.printed.printing import print_json, print_json_line
from proofbell.clock import Patience, WallClock
from proofbell.errors import Failure
from proofbell.formula.model import ReadingKind
from proofbell.journal.files.place import is_there
from proofbell.journal.storage.deciding import Said, opened, patiently, say
from proofbell.visible import visible
from proofbell.words import told_length

EXAMPLE = "proofbell read 26.5 --bake A"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "value",
        metavar="VALUE",
        help='such as 26.5, "79.7 °F", "core 91.2", "‹912 g›"; a rise: "60 %%", two heights or volumes in a straight '
        'jar ("6 cm to 10 cm", "400 ml to 640 ml"), or by eye (not yet, ready, too far); - takes temperatures line by '
        "line from standard input",
    )
    add_bake(parser)
    parser.add_argument(
        "--what",
        metavar="WHAT",
        help="dough, room or core temperature, rise or weight; else by VALUE: a bare number is a dough temperature, "
        "in the oven a core's",
    )
    parser.add_argument("--sure", action="store_true", help="take the value although it looks odd")
    parser.add_argument("--json", action="store_true", help="one JSON document on standard output")


def run(args: argparse.Namespace) -> int:
    """Take the reading and say what it changed. Raises `Failure` when it cannot be taken."""
    what = None if args.what is None else reading_kind(args.what, "--what")
    if args.value == "-":
        show = _print_document if args.json else _print_short
        return read_stream(Stream(what or USUAL, args.bake, args.sure, _intent, show))
    path = places.journal_file()
    if not is_there(path):
        _asked(args.value, what, sure=args.sure)
        raise no_bake()
    say_if_busy(path)
    retry = Patience()
    with opened(path, retry) as journal:
        live = patiently(lambda: live_in(journal), retry)
        chosen = live.chosen(args.bake)
        bake = chosen.id
        intent = _asked(args.value, what, sure=args.sure, usual=usually_read(chosen))
        said = say(journal, bake, intent, WallClock().stamp, retry)
    if isinstance(said, Refused):
        raise Failure(said.message, "Add --sure if it is right." if said.odd else said.remedy)
    state, events = said.state, said.events
    others = [one for one in live.states if one.id != bake]
    states, now = [*others, state], state.last.stamp
    before = oven_before(oven_queue(states, now, state.kitchen.oven.trays), states, now).get(bake)
    if args.json:
        print_json(_plain(state, events, before))
    else:
        print(_text(state, events, before))
    return 0


def _asked(value: str, what: ReadingKind | None, *, sure: bool, usual: ReadingKind = USUAL) -> intents.Read:
    """The reading that a value is, by ``what``, else by its name or its unit; a bare number is the ``usual`` one.

    Raises `Failure` where it is none.
    """
    if not value.strip():
        raise Failure("There is no value to read.", "Give one, such as 26.5.")
    usual = what or told_by_unit(value) or usual
    named = named_value(value, usual) or Named(usual, value)
    try:
        return _intent(named.what, named.typed, sure=sure)
    except Failure as failure:
        if what is not None or not isinstance(failure.__cause__, ReadingError):
            raise
        raise Failure(failure.message, f"{failure.remedy} Say with --what if it is something else.") from failure


def _print_short(said: Said) -> None:
    """One line for a reading of many; another where it changes a time."""
    change = _change(said.events)
    lines = _text(said.state, said.events).splitlines()[:1] + (
        [] if change is None else [visible(change.reason, most=300)]
    )
    print("\n".join(lines), flush=True)


def _print_document(said: Said) -> None:
    print_json_line(_plain(said.state, said.events))


def _intent(what: ReadingKind, typed: str, *, sure: bool, source: str = "command") -> intents.Read:
    try:
        value = parse_reading(what, typed)
    except ReadingError as error:
        raise Failure(
            f"{visible(typed, most=80)} is not a {what}.", f"{str(error)[:1].upper()}{str(error)[1:]}."
        ) from error
    in_f = meant_in_f(what, typed)
    if in_f:
        raise Failure(f"A {what} of {visible(typed.strip(), most=20)} °C cannot be right.", f'{in_f}? Write "{in_f}".')
    if isinstance(value, str):
        return intents.Read(what, typed, eye=value, sure=sure, source=source)
    return intents.Read(what, with_its_unit(what, typed), raw=value, sure=sure, source=source)


def _reading(events: tuple[Event, ...]) -> kinds.ReadingTaken:
    return next(event.body for event in events if isinstance(event.body, kinds.ReadingTaken))


def _change(events: tuple[Event, ...]) -> kinds.TimeAdjusted | None:
    return next((event.body for event in events if isinstance(event.body, kinds.TimeAdjusted)), None)


def _left_s(state: BakeState) -> float | None:
    """What is left of the running stage just after the newest event (s); less than nothing when it is over."""
    index = state.current
    due_s = None if index is None else state.stages[index].due_s
    return None if due_s is None else due_s - state.now_s(state.last.stamp)


def _plain(state: BakeState, events: tuple[Event, ...], before: OvenBefore | None = None) -> dict[str, Any]:
    reading, change = _reading(events), _change(events)
    return {
        "bake": state.id,
        "letter": state.letter,
        "formula": state.formula.name,
        "stage": None if reading.stage is None else state.stage(reading.stage).name,
        "what": reading.what,
        "value": reading.value,
        "raw": reading.raw,
        "eye": reading.eye,
        "left_s": _left_s(state),
        "adjustment": None
        if change is None
        else {"from_s": change.from_s, "to_s": change.to_s, "by": change.by, "reason": change.reason},
        "says": list(_says(state, reading)),
        "advice": [{"situation": each.situation, "says": each.says} for each in _advice(state, events, before)],
    }


def _says(state: BakeState, reading: kinds.ReadingTaken) -> tuple[str, ...]:
    """What the reading says beside what it changes: whether the core is done, and else how long it takes yet."""
    if reading.what != "core temperature" or reading.value is None:
        return ()
    at_s = state.readings[-1].at_s
    return core_says(state, reading.stage, reading.value, None if reading.stage is None else at_s)


def _advice(state: BakeState, events: tuple[Event, ...], before: OvenBefore | None) -> tuple[Advice, ...]:
    """What is to be said since the reading and was not before it; ``before``: another bake has the oven first."""
    return advice_of_reading(fold(state.events[: -len(events)]), state, state.readings[-1].at_s, before)


def _value(reading: kinds.ReadingTaken) -> str:
    """The value as it counts, after the probe's correction: `` 26.4 °C``; as it was typed when it was worked out."""
    if reading.value is None:
        return f" {reading.eye}" if reading.eye else ""
    worked_out = f" ({visible(reading.typed, most=40)})" if is_pair(reading.typed) else ""
    return f" {LIMITS[reading.what].said(reading.value)}{worked_out}"


def _text(state: BakeState, events: tuple[Event, ...], before: OvenBefore | None = None) -> str:
    reading, change, left_s = _reading(events), _change(events), _left_s(state)
    where = "" if reading.stage is None else f", {visible(state.stage(reading.stage).name, most=60)}"
    lines = [f"{state.letter}  {visible(state.formula.name, most=60)}{where}: {reading.what}{_value(reading)} taken."]
    lines += [visible(line, most=300) for line in _says(state, reading)]
    lines += [visible(each.short, most=300) for each in _advice(state, events, before)]
    lines.append("No time changes." if change is None else visible(change.reason, most=300))
    if left_s is not None:
        lines.append(f"{told_length(left_s)} left." if left_s > 0 else f"Overdue by {told_length(-left_s)}.")
    return "\n".join(lines)
