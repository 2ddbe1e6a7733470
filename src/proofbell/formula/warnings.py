"""What is odd but legal in a formula. A warning never refuses; it asks the baker to look again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from proofbell import words
from proofbell.formula.danger_zone import IN_ALL_S, ZONES, stands_raw
from proofbell.formula.findings import Findings
from proofbell.formula.foods.contains import warn_of_allergens
from proofbell.formula.foods.outside import dough_paths
from proofbell.formula.foods.water import all_water_percent
from proofbell.formula.model import USUAL_ROOM_C, Bands, Formula, Stage, hydration_percent
from proofbell.formula.text.positions import Path
from proofbell.formula.tin_load import fill, load

SALT_PERCENT = (0.5, 3.0)
"""The least of published formulas is 0.6 % (tests/formula/published_ranges.py); less than 0.5 %: common practice."""
HYDRATION_PERCENT = (45.0, 110.0)
WARMEST_DOUGH_C = 30.0
OVEN_C = (120.0, 320.0)
"""Outside of these an oven for bread is likely told in another unit: common practice, no source."""
# Percent of the flour, for doughs that rise in hours to days (common practice, no source), by form; the factors
# between the forms are those of Gisslen, Professional Cooking: fresh 1, active dry 0.5, instant 0.35.
_YEAST_PERCENT = {"fresh": (0.05, 8.0), "active dry": (0.025, 4.0), "instant": (0.0175, 2.8), None: (0.0175, 8.0)}
# A formula knows no kitchen and so no region: the figures that consumers are told in the US hold for all.
_ZONE = ZONES["us"]


def warn(formula: Formula, findings: Findings) -> None:
    """Take down everything odd about a formula that is otherwise sound."""
    _amounts(formula, findings)
    _by_volume(formula, findings)
    _raising(formula, findings)
    _made_for(formula, findings)
    _dough(formula, findings)
    _oven_heats(formula, findings)
    _bakes(formula, findings)
    _standing(formula, findings)
    _bands(formula, findings)
    _tin(formula, findings)
    warn_of_allergens(formula, findings)


def _amounts(formula: Formula, findings: Findings) -> None:
    low, high = SALT_PERCENT
    shares = [*_shares(formula, "salt", dough_paths(findings))]
    salt = sum(percent for _, percent in shares)
    if not low <= salt <= high:
        path = next((path for path, _ in shares), ("ingredients",))
        what = "There is no salt." if salt <= 0 else f"Salt comes to {words.percent(salt, 2)} of the flour."
        findings.warning(path, what, "Most breads have 1 to 3 %. Check that this is intended.")
    paths = dough_paths(findings)
    for path, each in zip(paths, formula.ingredients, strict=True):
        if each.kind != "yeast":
            continue
        low, high = _YEAST_PERCENT[each.form]
        if not low <= each.percent <= high:
            amount = "little" if each.percent < low else "much"
            sort = f"{each.form} " if each.form else ""
            message = f"{words.percent(each.percent, 3)} is {amount} for {sort}yeast."
            remedy = f"Usual is {words.percent(low, 3)} to {words.percent(high, 3)}. Check the number and the form."
            findings.warning(_amount_path(path, findings), message, remedy)
    _wet(formula, paths, findings)


def _wet(formula: Formula, paths: Sequence[Path], findings: Findings) -> None:
    """Hydration out of bounds. Where there is egg, which is mostly water, all water is what tells."""
    lines = formula.ingredients
    egg = any(each.kind == "egg" for each in lines)
    wet = all_water_percent(lines) if egg else hydration_percent(lines)
    low, high = HYDRATION_PERCENT
    if not low <= wet <= high:
        poured = (path for path, each in zip(paths, lines, strict=True) if each.kind in ("water", "milk"))
        path = next(poured, paths[0])
        what = "All water, that in the egg included," if egg else "Hydration"
        message = f"{what} comes to {words.percent(wet)}."
        remedy = f"Most doughs are between {words.percent(low)} and {words.percent(high)}. Check the liquids."
        findings.warning(_amount_path(path, findings), message, remedy)


def _by_volume(formula: Formula, findings: Findings) -> None:
    """What is measured by volume or by count, of the dough and outside it: a scale is better."""
    given = findings.tree["ingredients"]
    places = {each["name"].strip(): ("ingredients", index) for index, each in enumerate(given)}
    for each in (*formula.ingredients, *formula.outside):
        way = each.measured
        if way is None:
            continue
        spread = f"{way.least_g / way.unit_g:.2f} to {way.most_g / way.unit_g:.2f} times that"
        message = f"Taken as {way.unit_g:.3g} g for 1 {way.unit} ({way.like}); it may be {spread}."
        findings.warning((*places[each.name], "weight"), message, "Weigh it: a scale is better than any measure.")


def _shares(formula: Formula, part: str, paths: Sequence[Path]) -> Iterator[tuple[Path, float]]:
    """Where salt (or another part) comes from, and its percentage: ingredients of that kind, and preferments."""
    for path, each in zip(paths, formula.ingredients, strict=True):
        if each.kind == part:
            yield (*path, "percent"), each.percent
        elif each.made_of is not None and part == "salt":
            yield (*path, "made_of"), each.percent * each.made_of.salt / each.made_of.total


def _raising(formula: Formula, findings: Findings) -> None:
    """What raises the dough, where that is not one thing alone, or not what the file says."""
    named, leavens = formula.dough.raising, formula.leavens
    path: Path = ("dough", "raising")
    if named == "sourdough" and "sourdough" not in leavens:
        message = "The dough is said to be raised by sourdough, and there is no levain in it."
        remedy = 'Add the levain: kind = "preferment", made_of = { flour = 100, water = 100, starter = 20 }.'
        findings.warning(path, message, remedy)
    elif named == "yeast" and "yeast" not in leavens:
        what = "only a levain" if leavens else "nothing that raises it"
        message = f"The dough is said to be raised by yeast, and there is {what} in it."
        findings.warning(path, message, 'Take raising out, or write raising = "sourdough".')
    elif named is None and len(leavens) > 1:
        message = f"Levain and yeast both raise this dough; its times go by the rate of {formula.raised_by}."
        remedy = 'Say which does most of it: raising = "yeast" or raising = "sourdough" in [dough].'
        findings.warning(path, message, remedy)


def _made_for(formula: Formula, findings: Findings) -> None:
    """Preferments, and no stage that says whether it makes one."""
    if formula.dough_begins is not None:
        return
    lines = zip(dough_paths(findings), formula.ingredients, strict=True)
    path, line = next((path, line) for path, line in lines if line.kind == "preferment")
    message = "No stage says what it is for, so which of them makes the dough cannot be told."
    remedy = f'Add for = "{line.name}" to each stage that makes it. Until then what hangs on it is not known.'
    findings.warning((*path, "name"), message, remedy)


def _amount_path(path: Path, findings: Findings) -> Path:
    return (*path, "percent") if (*path, "percent") in findings.spots else (*path, "weight")


def _dough(formula: Formula, findings: Findings) -> None:
    wanted = formula.dough.temperature_c
    if wanted is not None and wanted > WARMEST_DOUGH_C:
        message = f"A dough of {words.temperature(wanted)} ferments fast and loses its strength."
        findings.warning(("dough", "temperature"), message, "Most doughs are wanted at 22 to 28 °C.")


def _oven_heats(formula: Formula, findings: Findings) -> None:
    """A heat at which no bread bakes, such as 175 °F: likely the wrong unit."""
    low, high = OVEN_C
    heats: list[tuple[Path, float | None]] = [(("oven", "temperature"), formula.oven.temperature_c)]
    for index, stage in enumerate(formula.stages):
        heats += [(("stages", index, "phases", n, "oven"), phase.oven_c) for n, phase in enumerate(stage.phases)]
    for path, heat_c in heats:
        if heat_c is not None and not low <= heat_c <= high:
            message = (
                f"An oven at {words.temperature(heat_c, 0)} is {'cold' if heat_c < low else 'very hot'} for a bread."
            )
            remedy = f"Check number and unit: most breads bake at {words.temperatures(low, high)}."
            findings.warning(path, message, remedy)


def _bakes(formula: Formula, findings: Findings) -> None:
    for index, stage in enumerate(formula.stages):
        if stage.kind != "bake":
            continue
        if formula.style == "enriched" and stage.core is None and not stage.no_core:
            message = "An enriched dough browns before it is done; the bake has no core temperature."
            remedy = 'Add core = ["88 °C", "94 °C"]; without it the band usual for enriched dough is asked for.'
            findings.warning(("stages", index), message, remedy)
        if not any(later.kind == "cool" for later in formula.stages[index + 1 :]):
            findings.warning(
                ("stages", index), "No cool stage comes after the bake.", "Add one: crumb sets as it cools."
            )


def _standing(formula: Formula, findings: Findings) -> None:
    """Egg or milk dough standing long in the warm: in one stage, and from mixing to the bake or the cold."""
    kinds = {each.kind for each in stands_raw(formula.ingredients)}
    risky = "egg" if "egg" in kinds else "milk"
    if not kinds:
        return
    remedy = "Keep it cold, or shorten the stage; local food-safety rules and licensed advice come first."
    in_all = 0.0
    for index, stage in enumerate(formula.stages):
        if index < (formula.dough_begins or 0):
            continue
        if stage.kind in ("bake", "cool") or not _warm(stage):
            in_all = 0.0
            continue
        before, in_all = in_all, in_all + stage.time_s
        if stage.kind != "hands" and stage.time_s > _ZONE.limit_s:
            message = f"A dough with {risky} stands {words.length(stage.time_s)} in the warm."
            findings.warning(("stages", index), message, remedy)
        elif before <= IN_ALL_S < in_all:
            message = f"By the end of this stage a dough with {risky} has stood {words.length(in_all)} in the warm."
            findings.warning(("stages", index), message, remedy)


def _warm(stage: Stage) -> bool:
    place_c = stage.place_c if stage.place_c is not None else (4.0 if stage.kind == "chill" else USUAL_ROOM_C)
    return _ZONE.low_c < place_c < _ZONE.high_c


def _tin(formula: Formula, findings: Findings) -> None:
    """Dough that overflows its tin, or stays low in it; a tin that is not filled."""
    size = formula.batch
    in_tin = size.in_tin or 1
    left = (size.pieces or 0) % in_tin
    if left:
        message = f"{words.counted(size.pieces or 0, 'piece')}, {in_tin} in a tin, leave {left} for the last tin."
        remedy = f"{(size.pieces or 0) - left + in_tin} would fill them all alike."
        findings.warning(("batch", "pieces"), message, remedy)
    if size.tin_ml is None or size.piece_g is None:
        return
    usual = load(size.tin_kind, formula.style)
    found = fill(size.tin_ml, size.piece_g, usual, in_tin)
    if found.verdict != "sound":
        what = "The piece in its tin is" if in_tin == 1 else f"{in_tin} pieces in a tin are"
        remedy = f"For this tin about {words.grams(size.tin_ml / usual.usual_ml / in_tin)}; or another tin_kind."
        findings.warning(("batch", "tin"), f"{what} {found.words}.", remedy)


def _bands(formula: Formula, findings: Findings) -> None:
    """A band whose time the stretch would never allow."""
    for index, stage in enumerate(formula.stages):
        if not isinstance(stage.adjust, Bands) or stage.stretch is None:
            continue
        low, high = stage.stretch
        for number, band in enumerate(stage.adjust.bands):
            if not low <= band.time_s <= high:
                message = f"{words.length(band.time_s)} is outside the stretch of the stage."
                path: Path = ("stages", index, "adjust", "bands", number, "time")
                findings.warning(path, message, "Widen the stretch, or change the band.")
