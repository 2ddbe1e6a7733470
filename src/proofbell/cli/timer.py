"""``proofbell timer``: a timer of one's own, set, stopped or listed from outside; the open bench rings for it."""

from __future__ import annotations

import argparse
import secrets
from pathlib import Path
from typing import Any

from proofbell import places
from proofbell.app.session.local_time import hour_minute
from proofbell.bake import intents
from proofbell.bake.asking.timer import Over, Timer, timer_name, timer_refused
from proofbell.bake.intents import Refused
from proofbell.bake.stamp import Stamp
from proofbell.cli.arguments.live_bake import add_bake, live_in
from proofbell.cli.arguments.values import minutes
from proofbell.cli.printed.bench_text import timer_plain
from proofbell.cli.printed.journal_waiting import say_if_busy
from proofbell.cli.printed.printing import print_json, remark
from proofbell.clock import Clock, Patience, Retry, WallClock
from proofbell.errors import Failure
from proofbell.journal.files.lock import Lead
from proofbell.journal.storage import timers
from proofbell.journal.storage.deciding import opened, patiently, say
from proofbell.journal.storage.store import Journal
from proofbell.visible import visible
from proofbell.words import length

EXAMPLE = 'proofbell timer "rinse rice" 12'


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("name", nargs="?", metavar="NAME", help='a word or three, such as "rinse rice"')
    parser.add_argument("minutes", nargs="?", metavar="MIN", help='12 (minutes), "90 s", "1 h 20"')
    parser.add_argument("--stop", action="store_true", help="stop the timer of that name, or answer it when it rings")
    add_bake(parser)
    parser.add_argument("--json", action="store_true", help="one JSON document on standard output")


def run(args: argparse.Namespace) -> int:
    """Do it, and print the timer, or all that run. Raises `Failure` when there can be no such timer."""
    clock, retry, path = WallClock(), Patience(), places.journal_file()
    if args.stop and (args.name is None or args.minutes is not None):
        raise Failure("Which timer is to stop?", 'Give its name alone: proofbell timer --stop "rinse rice".')
    if args.name is not None and not args.stop and args.minutes is None:
        raise Failure("How long is the timer?", 'Give minutes, too: proofbell timer "rinse rice" 12.')
    length_s = None if args.minutes is None else minutes(args.minutes, "MIN")
    say_if_busy(path)
    with opened(path, retry) as journal:
        running = patiently(lambda: timers.running(journal), retry)
        if args.stop:
            found, what = _stopped(journal, running, args.name, clock, retry), "stopped"
        elif length_s is not None:
            found, what = _set(journal, running, args, length_s, clock, retry), "set"
        else:
            found, what = None, ""
    now = clock.stamp()
    if args.json:
        shown = running if found is None else (found,)
        print_json({"did": what or None, "timers": [timer_plain(one, now) for one in shown]})
    else:
        print("\n".join(_line(one, now, what) for one in (running if found is None else (found,))) or "No timer runs.")
    if what == "set" and not _somebody_rings(path):
        remark("proofbell: no bench is open; it rings once one is.")
    return 0


def _set(
    journal: Journal, running: tuple[Timer, ...], args: argparse.Namespace, length_s: float, clock: Clock, retry: Retry
) -> Timer:
    bake = "" if args.bake is None else patiently(lambda: live_in(journal), retry).chosen(args.bake).id
    name = timer_name(args.name)
    refused = timer_refused(name, length_s, len(running))
    if refused is not None:
        raise Failure(refused.message, refused.remedy, status=1)
    timer = Timer(secrets.token_hex(8), name, length_s, clock.stamp(), bake)
    patiently(lambda: timers.keep(journal, timer), retry)
    _log(journal, timer, intents.LogTimer(name, length_s, "set"), clock, retry)
    return timer


def _stopped(journal: Journal, running: tuple[Timer, ...], typed: str, clock: Clock, retry: Retry) -> Timer:
    found = [one for one in running if one.name.casefold() == timer_name(typed).casefold()]
    if not found:
        known = ", ".join(visible(one.name) for one in running)
        raise Failure(f"No timer {visible(typed, most=40)} runs.", f"These run: {known}." if known else "", status=1)
    now = clock.stamp()
    # Of two of one name the one that rings first.
    timer = min(found, key=lambda one: one.left_s(now))
    late_s = -timer.left_s(now)
    how: Over = "answered" if late_s >= 0 else "stopped"
    if patiently(lambda: timers.end(journal, timer, how, now), retry):
        _log(journal, timer, intents.LogTimer(timer.name, timer.length_s, how, late_s), clock, retry)
    return timer


def _log(journal: Journal, timer: Timer, intent: intents.LogTimer, clock: Clock, retry: Retry) -> None:
    if timer.bake:
        said: Any = say(journal, timer.bake, intent, clock.stamp, retry)
        if isinstance(said, Refused):
            raise Failure(said.message, said.remedy, status=1)


def _line(timer: Timer, now: Stamp, what: str) -> str:
    name, left_s = visible(timer.name), timer.left_s(now)
    if what == "stopped":
        return f"{name}: {'answered' if left_s <= 0 else 'stopped'}."
    if left_s <= 0:
        return f"{name}: rings, {length(-left_s)} over."
    return f"{name}: {length(left_s)} left, rings at {hour_minute(timer.due_us(now), now)}."


def _somebody_rings(journal: Path) -> bool:
    """Whether a bench is open that rings."""
    lead = Lead(journal)
    try:
        lead.take()
        return not lead.held
    finally:
        lead.let_go()
