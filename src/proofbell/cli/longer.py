"""``proofbell longer``: the running stage gets longer, or shorter, from outside."""

from __future__ import annotations

import argparse

from proofbell.bake import intents
from proofbell.bake.intents import Intent
from proofbell.bake.state import BakeState
from proofbell.bench.done_means import BY_HAND_S, left_if_over_s, longer_by_s
from proofbell.cli.arguments.telling import add_telling, tell
from proofbell.cli.arguments.values import minutes
from proofbell.cli.printed.bench_text import Seen
from proofbell.cli.printed.told import print_told
from proofbell.errors import Failure
from proofbell.visible import visible
from proofbell.words import told_length

EXAMPLE = "proofbell longer 10 --bake A"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "minutes",
        nargs="?",
        metavar="MIN",
        help='how much longer: 10 (minutes), "1 h"; without it 5 min, or what a low core or a short rise asks for',
    )
    parser.add_argument("--less", action="store_true", help="shorter by so much instead")
    add_telling(parser)
    parser.add_argument("--sure", action="store_true", help="also where --less ends the stage")


def run(args: argparse.Namespace) -> int:
    """Say it, and print what came of it. Raises `Failure` where the stage would be over by it, and nobody is sure."""
    by_s = None if args.minutes is None else minutes(args.minutes, "MIN")
    sign = -1.0 if args.less else 1.0

    def meant(state: BakeState, seen: Seen) -> Intent:
        now_s = state.now_s(seen.now)
        said_s = sign * (by_s or (BY_HAND_S if args.less else longer_by_s(state, now_s)))
        left_s = left_if_over_s(state, said_s, now_s)
        if left_s is not None and state.current is not None and not args.sure:
            name, stage = state.formula.name, state.stage(state.current).name
            raise Failure(
                f"{state.letter}  {visible(name, most=60)}: {visible(stage, most=60)} has {told_length(left_s)} left; "
                "so much shorter it is over now.",
                "Add --sure if that is meant.",
                status=1,
            )
        return intents.Longer(said_s)

    told = tell(args.bake, intents.Longer(sign * (by_s or BY_HAND_S)), meant)
    print_told(told, as_json=args.json)
    return 0
