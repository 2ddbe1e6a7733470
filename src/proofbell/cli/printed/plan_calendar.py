"""A plan as a calendar whose entries keep their identity when the day is planned again.

Nothing of a plan is stored, so what an entry is called is made from what stays: the kitchen, the formula's name, the
day on which it is wanted, which of that day's bakes of it, and the stage. Other hours, rooms, neighbours or an edited
formula leave it as it is; another day or another name makes another bake.
"""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterator, Mapping

from proofbell.bench.plan.timetable import BakeTimes, Timetable
from proofbell.cli.printed.plan_text import oven_told
from proofbell.clock import offset_min
from proofbell.dough.allergens import contained, named_alone, with_unknown
from proofbell.formula.model import Formula
from proofbell.journal.export.calendar import Entry, calendar
from proofbell.journal.export.calendar_revision import known, revised
from proofbell.journal.reviews.moments import local
from proofbell.kitchen.model import Kitchen


def as_calendar(
    table: Timetable,
    kitchen: Kitchen,
    made_us: int,
    before: str = "",
    formulas: Mapping[str, Formula] | None = None,
) -> str:
    """One entry for each weigh-out, stage or load, and turn of the oven, with an alarm as it begins.

    Args:
        table: the plan.
        kitchen: whose plan it is.
        made_us: now, UTC µs.
        before: the text of the file that this one replaces; empty for none.
        formulas: by letter; their allergens stand in the last entry of each bake, at whose end it is ready.
    """
    keys = _keys(table, kitchen)
    handed = {letter: _handed_out(formula, kitchen) for letter, formula in (formulas or {}).items()}
    entries = [
        entry for bake in table.bakes for entry in _of_bake(bake, keys[bake.letter], handed.get(bake.letter, ""))
    ]
    entries += _of_oven(table, kitchen, keys)
    days = {key.split("-")[0] + "-" for key in keys.values()}
    return calendar(revised(entries, known(before), days, made_us), made_us=made_us)


def _keys(table: Timetable, kitchen: Kitchen) -> dict[str, str]:
    """What the entries of each bake begin with: the day on which it is wanted, and which bake it is."""
    seen: Counter[tuple[str, str]] = Counter()
    found: dict[str, str] = {}
    for bake in table.bakes:
        day = _day(bake.ready_us if bake.wanted_us is None else bake.wanted_us)
        seen[day, bake.formula] += 1
        found[bake.letter] = _key(day, kitchen.name, bake.formula, str(seen[day, bake.formula]))
    return found


def _day(at_us: int) -> str:
    return f"{local(at_us, offset_min(at_us)):%Y%m%d}"


def _key(day: str, *named: str) -> str:
    told = "\0".join(named).encode("utf-8", "surrogatepass")
    return f"{day}-{hashlib.sha256(told).hexdigest()[:16]}"


def _handed_out(formula: Formula, kitchen: Kitchen) -> str:
    """``Allergens: wheat, egg, milk.``, for who hands it out."""
    return f"Allergens: {with_unknown(named_alone(contained(formula), kitchen.region), formula)}."


def _of_bake(bake: BakeTimes, key: str, handed: str) -> Iterator[Entry]:
    """``handed``: what is said of it as it is ready."""
    for number, (begins_us, ends_us) in enumerate(bake.weighs, 1):
        yield Entry(f"{key}-weigh-{number}", begins_us, ends_us, f"{bake.letter} weigh out", bake.formula, remind=True)
    for index, line in enumerate(bake.lines):
        spans = [(load.begins_us, load.ends_us) for load in line.loads] or [(line.begins_us, line.ends_us)]
        for number, (begins_us, ends_us) in enumerate(spans, 1):
            which = f", load {number} of {len(spans)}" if len(spans) > 1 else ""
            title = f"{bake.letter} {line.told}{which}"
            ready = handed and index == len(bake.lines) - 1 and number == len(spans)
            words = f"{bake.formula}. Ready at the end of this. {handed}" if ready else bake.formula
            yield Entry(f"{key}-{index}-{line.kind}-{number}", begins_us, ends_us, title, words, remind=True)


def _of_oven(table: Timetable, kitchen: Kitchen, keys: dict[str, str]) -> Iterator[Entry]:
    """The heats belong to their bakes, up or down; the oven goes off for the day."""
    seen: Counter[str] = Counter()
    whole = _key(max(keys.values()).split("-")[0], kitchen.name)
    for act, words in oven_told(table, kitchen.oven):
        key = f"{whole}-off" if act.turn == "off" else f"{keys[act.letter]}-heat"
        seen[key] += 1
        yield Entry(f"{key}-{seen[key]}", act.at_us, act.until_us, f"O{words[1:]}", remind=True)
