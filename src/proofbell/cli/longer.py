"""``proofbell longer``: the running stage gets longer, or shorter, from outside."""

from __future__ import annotations

import argparse

from proofbell.bake import intents
from proofbell.bake.intents import Intent
from proofbell.bake.state import BakeState
from proofbell.bench.done_means import BY_HAND_S, longer_by_s
from proofbell.cli.arguments.telling import add_telling, tell
from proofbell.cli.arguments.values import minutes
from proofbell.cli.printed.bench_text import Seen
from proofbell.cli.printed.told import print_told

HELP = "five minutes more for the stage, or as many as said"

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


def run(args: argparse.Namespace) -> int:
    by_s = None if args.minutes is None else minutes(args.minutes, "MIN")
    sign = -1.0 if args.less else 1.0

    def meant(state: BakeState, seen: Seen) -> Intent:
        usual_s = BY_HAND_S if args.less else longer_by_s(state, state.now_s(seen.now))
        return intents.Longer(sign * (by_s or usual_s))

    told = tell(args.bake, intents.Longer(sign * (by_s or BY_HAND_S)), meant)
    print_told(told, as_json=args.json)
    return 0
