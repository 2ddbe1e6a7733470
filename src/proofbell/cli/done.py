"""``proofbell done``: what space is on the bench, from a foot switch, a script or another room."""

from __future__ import annotations

import argparse

from proofbell import places
from proofbell.app.session.local_time import hour_minute
from proofbell.bake import intents
from proofbell.bake.intents import Intent
from proofbell.bake.state import BakeState
from proofbell.bench.done_means import done_means, night_hands_us
from proofbell.cli.arguments.telling import add_telling, tell
from proofbell.cli.printed.bench_text import Seen
from proofbell.cli.printed.told import print_told
from proofbell.errors import Failure
from proofbell.nights import nights
from proofbell.visible import visible

EXAMPLE = "proofbell done --bake A"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_telling(parser)
    parser.add_argument("--sure", action="store_true", help="also where the bench would ask first")


def run(args: argparse.Namespace) -> int:
    """Say it, and print what came of it. Raises `Failure` where the bench would ask first, and nobody is sure."""

    def meant(state: BakeState, seen: Seen) -> Intent:
        found = done_means(state, seen.board)
        asked = list(found.questions)
        if found.start_us is not None:
            asked.append(f"Its start is planned for {hour_minute(found.start_us, seen.now)}.")
            at_us = night_hands_us(state, seen.now, nights(seen.kitchen, seen.now.wall_us))
            if at_us is not None:
                asked.append(f"Begun now it wants hands at {hour_minute(at_us, seen.now)}, in your quiet hours.")
        if asked and not args.sure:
            name = f"{state.letter}  {visible(state.formula.name, most=60)}: "
            raise Failure(name + visible(" ".join(asked), most=400), "Add --sure if it is done all the same.", status=1)
        return found.intent

    told = tell(args.bake, intents.Done(), meant)
    print_told(told, as_json=args.json)
    if told.events and told.state.closed is not None:
        _back_up()
    return 0


def _back_up() -> None:
    """A bake is over: what stands in the journal is copied, as the bench does. A fault of that is told there."""
    from proofbell.journal.recovery.rotation import rotate_in_steps
    from proofbell.journal.storage.writer import to_the_end

    to_the_end(rotate_in_steps(places.journal_file()))
