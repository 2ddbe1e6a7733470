"""``proofbell start``: brings a formula onto the bench and begins it, or begins what waits there, from outside."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import replace

from proofbell import __version__, places
from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide, decided
from proofbell.bake.intents import Refused
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.bench.board import free_letter
from proofbell.bench.done_means import is_same_opening
from proofbell.cli.arguments import values
from proofbell.cli.arguments.live_bake import live_in
from proofbell.cli.arguments.reading import read_named
from proofbell.cli.arguments.telling import add_telling, tell
from proofbell.cli.printed.bench_text import seen_at
from proofbell.cli.printed.journal_waiting import say_if_busy
from proofbell.cli.printed.told import Told, print_told
from proofbell.clock import Clock, Patience, WallClock
from proofbell.dough.weights import SizeWish
from proofbell.errors import Failure
from proofbell.formula.model import Formula
from proofbell.journal.bake_id import new_bake_id
from proofbell.journal.faults import LetterTaken
from proofbell.journal.learning.recall import recalled
from proofbell.journal.storage.deciding import opened, patiently, say
from proofbell.journal.storage.store import Journal
from proofbell.kitchen.file import load_kitchen
from proofbell.kitchen.model import Kitchen
from proofbell.quantities import Dimension

EXAMPLE = "proofbell start harbour-knots --pieces 24"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("formula", nargs="?", metavar="FORMULA", help="a formula file, or a short name")
    parser.add_argument("--pieces", metavar="N", help="number of pieces; without a size the formula's own")
    parser.add_argument("--dough", metavar="W", help='dough in the bowl, such as "‹2 kg›"')
    parser.add_argument("--wait", action="store_true", help="only put it on the bench; it waits to be begun")
    add_telling(parser)


def run(args: argparse.Namespace) -> int:
    if args.formula is None:
        if args.wait or args.pieces or args.dough:
            raise Failure("A size is a formula's.", "Name the formula, too.")
        told = tell(args.bake, intents.Begin(), lambda _state, _seen: intents.Begin())
    elif args.bake:
        raise Failure("A new bake gets its own letter.", "Leave out --bake, or leave out the formula.")
    else:
        told = _opened(args)
    print_told(told, as_json=args.json)
    return 0


def _opened(args: argparse.Namespace) -> Told:
    clock, retry = WallClock(), Patience()
    pressed = clock.stamp()
    wish = SizeWish(pieces=values.pieces(args.pieces), dough_g=values.quantity(args.dough, Dimension.MASS, "--dough"))
    formula, kitchen, path = read_named(args.formula), load_kitchen(places.kitchen_file()), places.journal_file()
    say_if_busy(path)
    opening = _opening(formula, kitchen, wish)
    with opened(path, retry) as journal:
        live, state, twice = patiently(lambda: _stored(journal, opening, clock, pressed), retry)
        if twice:
            return Told(state, (), seen_at(live, kitchen, clock.stamp()))
        events = state.events
        if not args.wait:
            begun = say(journal, state.id, intents.Begin(), clock.stamp, retry, seen=state)
            if isinstance(begun, Refused):
                raise Failure(begun.message, begun.remedy, status=1)
            state, events = begun.state, (*events, *begun.events)
    return Told(state, events, seen_at([*live, state], kitchen, clock.stamp()))


def _opening(formula: Formula, kitchen: Kitchen, wish: SizeWish) -> intents.Open:
    """The bake as the bench would open it: with what past bakes showed of this kitchen."""
    known = recalled(places.journal_file(), kitchen, formula)
    out = weigh_out(
        known.weigh_formula,
        known.kitchen,
        wish,
        learned_rise_k=known.rise_k,
        learned_rise_range_k=known.rise_range_k,
        learned_loss_percent=known.bake_loss_percent,
    )
    return intents.Open("", "", formula, out.batch, known.kitchen, __version__)


def _stored(
    journal: Journal, opening: intents.Open, clock: Clock, pressed: Stamp
) -> tuple[Sequence[BakeState], BakeState, bool]:
    """The other live bakes, and this one, on the disk by the first letter that is free; whether it was there before."""
    taken = set(journal.letters())
    while True:
        # Looked at again each time: who took the letter may be this very word, come twice.
        live = live_in(journal).states
        twin = next((one for one in live if is_same_opening(one, opening, pressed)), None)
        if twin is not None:
            return live, twin, True
        letter, now = free_letter(taken), clock.stamp()
        if letter is None:
            raise Failure("The bench holds twelve bakes.", "Finish one or give one up first.", status=1)
        named = replace(opening, bake=new_bake_id(opening.formula.name, now), letter=letter)
        decision = decide(None, named, now)
        if isinstance(decision, Refused):
            raise Failure(decision.message, decision.remedy, status=1)
        try:
            journal.append(decision, 0)
        except LetterTaken as other:
            taken |= {*other.taken, other.letter}
        else:
            return live, decided(None, decision), False
