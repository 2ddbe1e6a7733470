"""A card for each dough of the day: what is weighed into which bowl and by when, how warm, what is read, allergens."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from proofbell.bake.heats import STEAM_IN, STEAM_OUT, on_the_dial
from proofbell.bake.weigh.batch import Batch
from proofbell.bake.weigh.bowls import Bowl
from proofbell.bake.weigh.lines import WeighLine
from proofbell.bake.weigh.made_for import tin_words
from proofbell.bake.weigh.weigh_out import WeighOut
from proofbell.bench.plan.timetable import BakeTimes
from proofbell.dough.allergens import in_one_line
from proofbell.dough.safety import Caution
from proofbell.formula.model import Check, Formula, ReadingKind, Stage
from proofbell.formula.readings import LIMITS
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Kitchen
from proofbell.words import grams, length, pieces, temperature


@dataclass(frozen=True, slots=True)
class CardLine:
    """One thing to weigh: how much, what, and how warm or in which measure; ``note`` is empty for nothing."""

    weight: str
    name: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class CardBowl:
    """What is weighed together; ``by_us`` is when it is wanted (UTC, µs), None where the file does not tell."""

    title: str
    by_us: int | None
    lines: tuple[CardLine, ...]


@dataclass(frozen=True, slots=True)
class SheetCard:
    """One dough.

    Attributes:
        letter: the bake's.
        name: the formula's.
        makes: pieces, tins and dough.
        dough: how warm it is wanted; empty where the formula does not say.
        bowls: what is weighed.
        checks: the readings, each with its stage and what is expected.
        heats: what the oven is set to, on its own dial.
        mind: what is to be known about this batch.
        allergens: by this region's list; empty where none is named.
    """

    letter: str
    name: str
    makes: str
    dough: str
    bowls: tuple[CardBowl, ...]
    checks: tuple[str, ...]
    heats: str
    mind: tuple[str, ...]
    allergens: str


def sheet_card(bake: BakeTimes, formula: Formula, weighed: WeighOut, kitchen: Kitchen) -> SheetCard:
    """The card of one dough of a plan."""
    batch, size = weighed.batch, weighed.size
    tins = tin_words(size.pieces, batch.in_tin)
    if weighed.tin is not None:
        tins = f"{tins or 'in tins'} of {weighed.tin.tin_ml:.0f} ml"
    listed = weighed.us if kitchen.region == "us" else weighed.eu
    allergens = in_one_line(listed, weighed.unknown, none="")
    return SheetCard(
        bake.letter,
        formula.name,
        ", ".join(
            part
            for part in (pieces(size.pieces, size.piece_g), tins, f"{grams(weighed.dough_g, weighed.step_g)} of dough")
            if part
        ),
        "" if formula.dough.temperature_c is None else f"Dough {temperature(formula.dough.temperature_c)}",
        tuple(_bowl(bowl, bake, weighed) for bowl in weighed.bowls if bowl.lines),
        tuple(words for stage in formula.stages for words in _checks(stage)),
        "; ".join(_heats(formula, kitchen)),
        weighed.warnings,
        f"Allergens: {allergens}." if allergens else "",
    )


def shared_cautions(doughs: Sequence[tuple[str, WeighOut]]) -> tuple[tuple[str, Caution], ...]:
    """Every caution once, with the letters it holds for (empty: for all); allergens stand on the cards."""
    found: dict[Caution, list[str]] = {}
    for letter, weighed in doughs:
        for caution in weighed.notes.cautions:
            if caution.about != "allergens":
                found.setdefault(caution, []).append(letter)
    return tuple(("" if len(who) == len(doughs) else ", ".join(who), caution) for caution, who in found.items())


def _note(line: WeighLine, batch: Batch) -> str:
    """How warm the liquid is poured, the dough's with its ice, a preferment's; how a cook would take it."""
    told = [line.by_measure, f"at {temperature(line.temperature_c)}" if line.into and line.temperature_c else ""]
    if line.name == batch.liquid and not line.into and line.use == "dough" and batch.liquid_c is not None:
        told.append(f"at {temperature(batch.liquid_c)}")
        told.append(f"{grams(batch.ice_g)} of it as ice" if batch.ice_g else "")
    return ", ".join(part for part in told if part)


def _bowl(bowl: Bowl, bake: BakeTimes, weighed: WeighOut) -> CardBowl:
    wanted = [index for line in bowl.lines for index in line.at] or ([] if bowl.at is None else [bowl.at])
    # A dough and its preferments are weighed just before their first stage; tins and pieces by the stage itself.
    by_us = min((bake.lines[index].begins_us for index in wanted), default=None)
    before = [begins_us for begins_us, ends_us in bake.weighs if ends_us == by_us]
    lines = tuple(CardLine(line.weight, line.name, _note(line, weighed.batch)) for line in bowl.lines)
    title = bowl.words(weighed.stages)
    return CardBowl(f"{title[:1].upper()}{title[1:]}", before[0] if before else by_us, lines)


def _checks(stage: Stage) -> Iterator[str]:
    asked = [(check, _check(check, stage)) for check in stage.checks]
    told = [words for _, words in asked]
    if stage.rise is not None and all(check.read != "rise" for check, _ in asked):
        told.append(f"rise {_span(stage.rise.wanted, 'rise')}")
    if stage.core is not None and all(check.read != "core temperature" for check, _ in asked):
        told.append(f"core {_span(stage.core, 'core temperature')}")
    if told:
        yield f"{stage.name}: {', '.join(told)}"


def _check(check: Check, stage: Stage) -> str:
    span = check.expect or (stage.core if check.read == "core temperature" else None)
    when = f" after {length(check.at_s)}" if check.when == "into" else " at the end" if check.when == "end" else ""
    limits = LIMITS[check.read]
    # Where nothing is expected of it, what it is of says nothing yet: what is done stands there.
    named = limits.asked if span is None else limits.short
    told = f"{named}{when if check.read not in ('rise', 'core temperature') else ''}"
    return told if span is None else f"{told} {_span(span, check.read)}"


def _span(span: tuple[float, float], read: ReadingKind) -> str:
    return LIMITS[read].span(*span)


def _heats(formula: Formula, kitchen: Kitchen) -> Iterator[str]:
    for stage in formula.stages:
        if stage.kind != "bake":
            continue
        if stage.phases:
            phases = [_heat(stage, number, kitchen) for number in range(len(stage.phases))]
            yield f"{stage.name}: {', then '.join(phases)}"
        elif formula.oven.temperature_c is not None:
            yield f"{stage.name}: {on_the_dial(kitchen.oven, formula.oven.temperature_c)}, {length(stage.time_s)}"


def _heat(stage: Stage, number: int, kitchen: Kitchen) -> str:
    """One heat of a bake: ``240 °C, 15 min with steam``; where the steam is let out, that too."""
    phase = stage.phases[number]
    heat = f"{on_the_dial(kitchen.oven, phase.oven_c)}, {length(phase.time_s)}"
    out = number > 0 and stage.phases[number - 1].steam and not phase.steam
    return f"{heat} {STEAM_IN}" if phase.steam else f"{STEAM_OUT}, {heat}" if out else heat
