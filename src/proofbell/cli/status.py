"""``proofbell status``: the bench in a few lines, for a status bar, a script or a second person. It changes nothing."""

from __future__ import annotations

import argparse

from proofbell import places
from proofbell.bake.asking.timer import Timer
from proofbell.cli.arguments.live_bake import LiveBakes, live_in
from proofbell.cli.printed.bench_text import bench_plain, bench_text, seen_at
from proofbell.cli.printed.printing import print_json, remark
from proofbell.clock import Patience, WallClock
from proofbell.journal.files.place import is_there
from proofbell.journal.storage.deciding import patiently
from proofbell.journal.storage.store import Journal
from proofbell.journal.storage.timers import running
from proofbell.kitchen.file import load_kitchen
from proofbell.visible import visible

EXAMPLE = "proofbell status"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--json", action="store_true", help="one JSON document on standard output")


def run(args: argparse.Namespace) -> int:
    """Print the bench. 0 also when nothing is live; 1: the journal, or a live bake in it, cannot be read."""
    path = places.journal_file()
    live, timers = LiveBakes((), {}), tuple[Timer, ...]()
    if is_there(path):
        retry = Patience()
        with patiently(lambda: Journal.open(path, read_only=True), retry) as journal:
            live, timers = patiently(lambda: (live_in(journal), running(journal)), retry)
    seen = seen_at(live.states, load_kitchen(places.kitchen_file()), WallClock().stamp(), timers)
    if args.json:
        print_json(bench_plain(seen))
    else:
        print(bench_text(seen))
    for fault in live.unread.values():
        remark(f"proofbell: {visible(fault.message, most=300)}")
    return 1 if live.unread else 0
