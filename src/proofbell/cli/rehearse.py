"""``proofbell rehearse``: a whole bake on a faster clock on the screen, or at once as text or JSON. Keeps nothing."""

from __future__ import annotations

import argparse

from proofbell import __version__, places
from proofbell.bake.events import LETTERS
from proofbell.bake.rehearse import Scripted, ScriptedSaid, read_scripted, rehearse
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.weigh_out import WeighOut, weigh_out
from proofbell.cli.arguments import values
from proofbell.cli.arguments.reading import read_all
from proofbell.cli.arguments.scripted import scripted_moves, scripted_readings, scripted_sizes
from proofbell.cli.printed.printing import print_json
from proofbell.cli.printed.rehearse_text import as_plain, as_text
from proofbell.cli.streams import need_terminal
from proofbell.dough.weights import SizeWish
from proofbell.errors import Failure
from proofbell.formula.model import Formula
from proofbell.kitchen.file import load_kitchen
from proofbell.kitchen.model import Kitchen, Today
from proofbell.quantities import Dimension

EXAMPLE = 'proofbell rehearse harbour-knots --print --room "‹14 °C›"'

SPEED = 60.0
FASTEST = 100_000.0


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("formula", nargs="+", metavar="FORMULA", help="formula files, or house formulas' short names")
    parser.add_argument("--speed", metavar="N", help=f"on screen, this many times as fast ({SPEED:.0f})")
    parser.add_argument("--print", action="store_true", dest="as_text", help="run it at once and print what happened")
    parser.add_argument("--json", action="store_true", help="run it at once; one JSON document on standard output")
    parser.add_argument(
        "--reading",
        action="append",
        default=[],
        metavar='"STAGE: WHAT = VALUE"',
        help='what the probe or the eye says, such as "First proof: dough temperature = ‹27 °C›", '
        'or with its moment in the stage "Bake: core temperature = ‹62 °C› at 12 min"; as often as needed',
    )
    parser.add_argument("--room", metavar="T", help='room temperature, such as "‹23 °C›" (the kitchen file\'s)')
    parser.add_argument("--fridge", metavar="T", help="fridge temperature (the kitchen file's)")
    parser.add_argument(
        "--place",
        action="append",
        default=[],
        metavar='"STAGE = PLACE"',
        help="where the dough stands: room, fridge, a place of the kitchen or a temperature, such as "
        '"First proof = fridge", or with the moment in the stage "First proof = ‹4 °C› from 20 min"; '
        "as often as needed",
    )
    parser.add_argument(
        "--size",
        action="append",
        default=[],
        metavar='"STAGE = SIZE"',
        help='another size once it is on, such as "Mix = 16 pieces", "Mix = 16 x ‹80 g›", "Mix = ‹700 g› flour" or, '
        'with the moment in the stage, "Knead = ‹1.8 kg› dough from 2 min"; as often as needed',
    )
    parser.add_argument("--pieces", metavar="N", help="number of pieces (the formula's own)")


def run(args: argparse.Namespace) -> int:
    """Rehearse. Raises `Failure` for a formula that is refused or a reading that cannot be right."""
    formulas = read_all(args.formula)
    if len(formulas) > len(LETTERS):
        raise Failure(f"The bench holds {len(LETTERS)} bakes.", "Name fewer formulas.")
    readings = scripted_readings(args.reading, formulas)
    for reading in readings:
        read_scripted(reading)
    moves, sizes = scripted_moves(args.place, formulas), scripted_sizes(args.size, formulas)
    today = Today(
        values.quantity(args.room, Dimension.TEMPERATURE, "--room"),
        fridge_c=values.quantity(args.fridge, Dimension.TEMPERATURE, "--fridge"),
    )
    kitchen = today.over(load_kitchen(places.kitchen_file()))
    size = SizeWish(pieces=values.pieces(args.pieces))
    sized = [weigh_out(each, kitchen, size) for each in formulas]
    speed = _speed(args.speed)
    if not (args.as_text or args.json):
        if readings:
            raise Failure("--reading goes with --print or --json.", "On the screen, readings are typed when asked for.")
        if moves:
            raise Failure("--place goes with --print or --json.", "On the screen, a key says where it stands.")
        if sizes:
            raise Failure("--size goes with --print or --json.", "On the screen, a key says another size.")
        need_terminal("A rehearsal on the screen", "add --print or --json, and it is run at once and printed.")
        from proofbell.app.rehearsal import run_rehearsal

        return run_rehearsal(list(zip(formulas, [one.batch for one in sized], strict=True)), kitchen, speed=speed)
    states = _at_once(formulas, sized, kitchen, readings, [*moves, *sizes])
    if args.json:
        print_json(as_plain(states))
    else:
        print(as_text(states))
    return 0


def _at_once(
    formulas: list[Formula], sized: list[WeighOut], kitchen: Kitchen, readings: list[Scripted], said: list[ScriptedSaid]
) -> list[BakeState]:
    """Every bake by itself from its own start."""
    start = Stamp(0, 0, "rehearsal")
    return [
        rehearse(
            formula,
            one.batch,
            kitchen,
            start=start,
            version=__version__,
            letter=letter,
            readings=[each for each in readings if each.stage in {stage.name for stage in formula.stages}],
            said=[each for each in said if each.stage in {stage.name for stage in formula.stages}],
        )
        for formula, one, letter in zip(formulas, sized, LETTERS, strict=False)
    ]


def _speed(text: str | None) -> float:
    try:
        speed = SPEED if text is None else float(text)
    except ValueError:
        speed = 0.0
    if not 0 < speed <= FASTEST:
        raise Failure("--speed: not a valid speed.", f"Write a number above 0, such as {SPEED:.0f}.")
    return speed
