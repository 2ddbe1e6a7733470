"""``proofbell [FORMULA…]``: opens the bench and resumes whatever was live."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from proofbell import places
from proofbell.cli.arguments.read_in import read_in
from proofbell.cli.arguments.reading import formula_path
from proofbell.cli.printed.printing import remark
from proofbell.cli.streams import need_terminal
from proofbell.visible import visible
from proofbell.words import counted

if TYPE_CHECKING:
    from proofbell.app.session.live import Live

EXAMPLE = "proofbell harbour-knots"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "formula",
        nargs="*",
        metavar="FORMULA",
        help="a formula to bake: a file, or the short name of an own or a house formula",
    )


def run(args: argparse.Namespace) -> int:
    """Open the screens on the journal. 0: closed by the baker; 1: the journal or the terminal is not to be had."""
    named = [formula_path(name) for name in args.formula]
    need_terminal("The bench", "use the commands that print: weigh, plan, rehearse --print, journal.")
    return open_bench(named)


def open_bench(named: Sequence[Path], *, recipe: bool = False) -> int:
    """Open the screens with these formulas to choose from; with ``recipe`` on the page that makes one of a recipe.

    Returns:
        The exit status, as `run` has it.
    """
    read_in("proofbell.app.app")
    from proofbell.app.app import ProofbellApp
    from proofbell.app.session.live import Live
    from proofbell.app.session.saving.keeping import JournalKeeper
    from proofbell.app.session.saving.last_words import say_last_words
    from proofbell.app.terminal.hang_up import run_to_the_end
    from proofbell.clock import WallClock
    from proofbell.journal.files.lock import Lead
    from proofbell.kitchen.file import load_kitchen

    kitchen_file, journal = places.kitchen_file(), places.journal_file()
    keeper = JournalKeeper(journal)
    leader = Lead(journal)
    live = Live(WallClock(), keeper, load_kitchen(kitchen_file))
    app = ProofbellApp(
        live,
        files=[*named, *places.house_formulas().values()],
        leader=leader,
        start=bool(named),
        first_start=not kitchen_file.exists(),
        recipe=recipe,
        kitchen_file=kitchen_file,
        fault_file=places.fault_file(),
        journal=journal,
    )

    def last_words() -> None:
        say_last_words(live, journal)

    try:
        status = run_to_the_end(app, let_go=leader.resign, last_words=last_words)
    finally:
        keeper.close()
        leader.let_go()
    return _last_words(live, journal) or status


def _last_words(live: Live, journal: Path) -> int:
    """Say where what could not be saved is now. 0: all is saved; 1: something is not in the journal."""
    from proofbell.app.session.saving.last_words import say_last_words

    if not live.unsaved:
        return 0
    count = counted(live.unsaved.count(live.states), "line")
    path = say_last_words(live, journal)
    why = "" if live.unsaved.fault is None else f" ({visible(live.unsaved.fault.message)})"
    remark(f"{count} of the log could not be saved{why}.")
    if path is None:
        remark("No other place could be written to either: write down what matters.")
    else:
        shown = visible(str(path), most=500)
        remark(f"They are in {shown}. To bring them back: proofbell journal restore {shown}")
    return 1
