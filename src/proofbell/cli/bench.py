"""``proofbell [FORMULA…]``: opens the bench and takes up whatever was live."""

from __future__ import annotations

import argparse

from proofbell import places
from proofbell.cli.reading import formula_path
from proofbell.cli.terminal import need_terminal

HELP = "open the bench; takes up whatever was live"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say what the command takes."""
    parser.add_argument(
        "formula", nargs="*", metavar="FORMULA", help="a formula file, or a house formula's short name, to bake"
    )


def run(args: argparse.Namespace) -> int:
    """Open the screens on the journal. 0: closed by the baker; 1: the journal or the terminal is not to be had."""
    named = [formula_path(name) for name in args.formula]
    need_terminal("The bench", "use the commands that print: weigh, plan, rehearse --print, journal.")
    from proofbell.app.app import ProofbellApp
    from proofbell.app.hang_up import run_to_the_end
    from proofbell.app.keeping import JournalKeeper
    from proofbell.app.live import Live
    from proofbell.clock import WallClock
    from proofbell.journal.lock import Lead
    from proofbell.kitchen.file import load_kitchen

    kitchen_file, journal = places.kitchen_file(), places.journal_file()
    keeper = JournalKeeper(journal)
    leader = Lead(journal)
    house = [path for path in places.house_formulas().values() if path not in named]
    live = Live(WallClock(), keeper, load_kitchen(kitchen_file))
    app = ProofbellApp(live, files=[*named, *house], leader=leader, start=bool(named), kitchen_file=kitchen_file)
    try:
        return run_to_the_end(app, let_go=leader.resign)
    finally:
        keeper.close()
        leader.let_go()
