"""``proofbell weigh``: a formula sized for today, the weights, and how warm the liquid must be."""

from __future__ import annotations

import argparse
from typing import Any, get_args

from proofbell import places
from proofbell.bake.decisions.as_opened import as_opened
from proofbell.bake.fermenting.place import place_c, place_name
from proofbell.bake.fermenting.place_words import places_told
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.lines import WeighLine
from proofbell.bake.weigh.weigh_out import WeighOut, weigh_out
from proofbell.cli.arguments import values
from proofbell.cli.arguments.reading import read_named
from proofbell.cli.printed.journal_waiting import say_if_busy
from proofbell.cli.printed.printing import print_json
from proofbell.cli.printed.weigh_text import as_text
from proofbell.dough.allergens import as_lists
from proofbell.dough.tins import read_tin_ml
from proofbell.dough.weights import SizeWish
from proofbell.errors import Failure
from proofbell.formula.model import Formula, TinKind
from proofbell.formula.tin_load import tins
from proofbell.journal.learning.recall import recalled
from proofbell.kitchen.file import load_kitchen
from proofbell.kitchen.model import Today
from proofbell.quantities import Dimension
from proofbell.visible import visible

EXAMPLE = "proofbell weigh harbour-knots --pieces 16"

TINS = '"1600 ml", "round 20 x 7 cm", "box 25 x 11 x 8 cm" or "tapered 23 x 11 / 21 x 10 x 7 cm"'


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("formula", metavar="FORMULA", help="a formula file, or a house formula's short name")
    size = parser.add_argument_group("size (the formula's own without any)")
    size.add_argument("--pieces", metavar="N", help="number of pieces")
    size.add_argument("--tins", metavar="N", help="number of tins, with as many pieces in each as the formula says")
    size.add_argument("--piece", metavar="W", help='weight of one piece at dividing, such as "‹75 g›"')
    size.add_argument("--dough", metavar="W", help="dough in the bowl")
    size.add_argument("--flour", metavar="W", help="all the flour, the preferments' flour included")
    size.add_argument("--have", metavar='"NAME=W"', help='use up what there is, such as "butter=‹200 g›"')
    size.add_argument("--loaf", metavar="W", help='weight of one loaf once it is cool, such as "‹800 g›"')
    size.add_argument("--tin", metavar="TIN", help=f"one tin: {TINS}")
    size.add_argument("--tin-kind", choices=get_args(TinKind), help="what sort of tin, in place of the formula's")
    today = parser.add_argument_group("today (the kitchen file's without any)")
    today.add_argument("--room", metavar="T", help='room temperature, such as "‹23 °C›"')
    today.add_argument("--flour-temp", metavar="T", help="the flour's own temperature")
    today.add_argument("--fridge", metavar="T", help="fridge temperature")
    parser.add_argument("--yeast", metavar="FORM", help="swap the yeast: fresh, active dry or instant")
    parser.add_argument("--yeast-percent", metavar="P", help='another dose of yeast, such as "0.2 %%"')
    parser.add_argument("--why", action="store_true", help="show the working of the liquid's temperature")
    parser.add_argument("--json", action="store_true", help="one JSON document on standard output")


def run(args: argparse.Namespace) -> int:
    """Print the weigh-out. Raises `Failure` for a formula or a size that cannot be right."""
    formula, kitchen = read_named(args.formula), load_kitchen(places.kitchen_file())
    if kitchen.learn:
        say_if_busy(places.journal_file())
    learned = recalled(places.journal_file(), kitchen, formula)
    today = Today(
        values.quantity(args.room, Dimension.TEMPERATURE, "--room"),
        values.quantity(args.flour_temp, Dimension.TEMPERATURE, "--flour-temp"),
        values.quantity(args.fridge, Dimension.TEMPERATURE, "--fridge"),
    )
    found = weigh_out(
        learned.weigh_formula,
        today.over(learned.kitchen),
        _wish(args, formula),
        tin_ml=None if args.tin is None else read_tin_ml(args.tin),
        tin_kind=args.tin_kind,
        yeast=_form(args.yeast),
        yeast_percent=values.quantity(args.yeast_percent, Dimension.PERCENT, "--yeast-percent"),
        learned_rise_k=learned.rise_k,
        learned_rise_range_k=learned.rise_range_k,
        learned_loss_percent=learned.bake_loss_percent,
    )
    opened = as_opened(learned.weigh_formula, found.batch, today.over(learned.kitchen))
    if args.json:
        print_json({**as_plain(found), "proofs": _proofs(opened), **_learned(learned.weigh_words)})
    else:
        print(
            as_text(
                found,
                learned.weigh_words,
                why=args.why,
                placed=places_told(opened, first_told=found.limited is not None),
            )
        )
    return 0


def _proofs(opened: BakeState) -> list[dict[str, Any]]:
    """Each proof with where it stands, its length there and the formula's (s); a range where they differ."""
    found: list[dict[str, Any]] = []
    for index, (stage, run) in enumerate(zip(opened.formula.stages, opened.stages, strict=True)):
        if stage.kind not in ("proof", "chill"):
            continue
        change = run.adjustments[-1].body if run.adjustments else None
        found.append(
            {
                "name": stage.name,
                "place": place_name(opened, index),
                "place_c": _number(place_c(opened, index)),
                "seconds": run.length_s,
                "low_seconds": None if change is None else _number(change.rate_low_s),
                "high_seconds": None if change is None else _number(change.rate_high_s),
                "nominal_seconds": stage.time_s,
            }
        )
    return found


def _learned(words: tuple[str, ...]) -> dict[str, list[str]]:
    """The field that is there only when past bakes had a say."""
    return {"learned": list(words)} if words else {}


def _pieces(args: argparse.Namespace, formula: Formula) -> int | None:
    if args.tins is not None and args.pieces is not None:
        raise Failure("The size is given twice: by pieces and by tins.", "Keep --pieces or --tins.")
    if (number := values.pieces(args.tins, "--tins")) is not None:
        return number * (formula.batch.in_tin or 1)
    return values.pieces(args.pieces)


def _wish(args: argparse.Namespace, formula: Formula) -> SizeWish:
    return SizeWish(
        pieces=_pieces(args, formula),
        piece_g=values.quantity(args.piece, Dimension.MASS, "--piece"),
        dough_g=values.quantity(args.dough, Dimension.MASS, "--dough"),
        flour_g=values.quantity(args.flour, Dimension.MASS, "--flour"),
        have=values.named_weight(args.have, "--have"),
        loaf_g=values.quantity(args.loaf, Dimension.MASS, "--loaf"),
    )


def _form(text: str | None) -> Any:  # noqa: ANN401 - one of the three words, or None
    if text is None or text in {"fresh", "active dry", "instant"}:
        return text
    raise Failure(f'--yeast: "{visible(text, most=40)}" is no form of yeast.', "Write fresh, active dry or instant.")


def as_plain(found: WeighOut) -> dict[str, Any]:
    """Return the weigh-out as plain values: °C, g and percent."""
    advice = found.liquid
    return {
        "formula": found.formula,
        "pieces": found.size.pieces,
        "piece_g": _number(found.size.piece_g),
        "dough_g": _number(found.dough_g),
        "flour_g": _number(found.size.flour_g),
        "total_percent": _number(found.shares.total),
        "hydration_percent": _number(found.shares.hydration),
        "water_percent": _number(found.shares.water),
        "prefermented_percent": _number(found.shares.prefermented),
        "ingredients": [{**_line(line), "use": line.use} for line in (*found.lines, *found.outside)],
        "bowls": [
            {
                "name": bowl.name or bowl.vessel,
                "what": bowl.vessel,
                "when_stage": None if bowl.at is None else found.stages[bowl.at],
                "ingredients": [
                    {**_line(line), **({"at": [found.stages[index] for index in line.at]} if line.at else {})}
                    for line in bowl.lines
                ],
            }
            for bowl in found.bowls
        ],
        "liquid": None
        if advice is None
        else {
            "name": advice.name,
            "temperature_c": _number(advice.answer.temp_c),
            "range_c": None if advice.range_c is None else [_number(value) for value in advice.range_c],
            "ice_g": _number(advice.answer.ice_g),
            "limited": advice.limited,
            "factor_method_c": _number(advice.factor_method.liquid_c),
        },
        "allergens": as_lists(found.eu, found.us, found.unknown),
        **_loaf(found),
        **_in_tins(found),
        **_tin(found),
        "warnings": [*found.warnings, *(caution.text for caution in found.notes.cautions)],
    }


def _line(line: WeighLine) -> dict[str, Any]:
    measure = line.measured
    return {
        "name": line.name,
        "kind": line.kind,
        "percent": _number(line.percent),
        "grams": _number(line.grams),
        "temperature_c": _number(line.temperature_c),
        **({"step_g": line.step_g, "too_small": True} if line.dissolve else {}),
        **({"guess": True} if line.guess else {}),
        **({"starter_g": _number(line.starter_g)} if line.starter_g else {}),
        **({} if measure is None else {"measure": line.by_measure, "grams_by_measure": _by_measure(line)}),
    }


def _by_measure(line: WeighLine) -> list[float | None]:
    """Between what the same measure may weigh (g)."""
    way = line.measured
    return [] if way is None else [_number(line.grams * g / way.unit_g) for g in (way.least_g, way.most_g)]


def _loaf(found: WeighOut) -> dict[str, Any]:
    """The field that is there only when the batch was sized by the cooled loaf."""
    loaf = found.loaf
    if loaf is None:
        return {}
    by = "learned" if loaf.learned else "published"
    return {
        "loaf": {"cooled_g": _number(loaf.cooled_g), "bake_loss_percent": _number(loaf.bake_loss_percent), "by": by}
    }


def _in_tins(found: WeighOut) -> dict[str, Any]:
    """The fields that are there only when the formula says how many pieces go into a tin."""
    in_tin, pieces = found.batch.in_tin, found.size.pieces
    return {} if in_tin is None or pieces is None else {"in_tin": in_tin, "tins": tins(pieces, in_tin)}


def _tin(found: WeighOut) -> dict[str, Any]:
    """The field that is there only when pieces go into tins."""
    tin = found.tin
    if tin is None:
        return {}
    loading_ml = _number(tin.fill.loading_ml)
    return {
        "tin": {"tin_ml": _number(tin.tin_ml), "loading_ml": loading_ml, "verdict": tin.fill.verdict, "kind": tin.kind}
    }


def _number(value: float | None) -> float | None:
    return None if value is None else round(value, 4)
