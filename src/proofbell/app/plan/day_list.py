"""The day of a plan as a list: what hands do, and beside it what is done at the oven."""

from __future__ import annotations

from textual.content import Content

from proofbell.app.drawing.content import outside, own
from proofbell.app.session.local_time import hour_minute
from proofbell.app.widgets.rows import columns
from proofbell.bake.heats import on_the_dial
from proofbell.bake.stamp import Stamp
from proofbell.bench.day_words import hands_words, who_words
from proofbell.bench.oven.acts import act_words, oven_acts
from proofbell.bench.plan.day_hands import HandsLine
from proofbell.bench.plan.timetable import Timetable
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Kitchen
from proofbell.moment_text import MINUTE_US
from proofbell.words import length


@dataclass(frozen=True, slots=True)
class DayLine:
    """What is done from a moment (UTC, µs) on: by hands, for which bake, by whom; and at the oven."""

    at_us: int
    letter: str = ""
    does: str = ""
    who: str = ""
    oven: str = ""


def day_lines(table: Timetable, kitchen: Kitchen) -> tuple[DayLine, ...]:
    """In order of time; what falls into one minute at the oven stands beside what hands do then."""
    shared = any(line.who for line in table.hands)
    turns: dict[int, list[str]] = {}
    for act in oven_acts(table, kitchen.oven):
        words = act_words(act, "" if act.heat_c is None else on_the_dial(kitchen.oven, act.heat_c))
        turns.setdefault(act.at_us // MINUTE_US, []).append(words.removeprefix("oven "))
    found: list[DayLine] = []
    for line in table.hands:
        beside = turns.pop(line.begins_us // MINUTE_US, [])
        letters = {act.letter for act in line.acts}
        who = who_words(line.who, kitchen.names) if shared else ""
        letter = line.acts[0].letter if len(letters) == 1 else ""
        found.append(DayLine(line.begins_us, letter, _does(line), who, "; ".join(beside)))
    found += [DayLine(minute * MINUTE_US, oven="; ".join(words)) for minute, words in turns.items()]
    return tuple(sorted(found, key=lambda line: line.at_us))


def _does(line: HandsLine) -> str:
    words = hands_words(line)
    long = line.acts[0].does in ("weigh", "stage")
    return f"{words}, {length((line.ends_us - line.begins_us) / 1e6)}" if long else words


def day_head(lines: tuple[DayLine, ...], now: Stamp, width: int) -> Content:
    """The names of the columns."""
    return _columns(("", "", "hands", "", "oven"), lines, now, width)


def day_line(lines: tuple[DayLine, ...], index: int, now: Stamp, width: int) -> Content:
    """One line of the list."""
    line = lines[index]
    return _columns((hour_minute(line.at_us, now), line.letter, line.does, line.who, line.oven), lines, now, width)


def _columns(cells: tuple[str, ...], lines: tuple[DayLine, ...], now: Stamp, width: int) -> Content:
    when = max((len(hour_minute(line.at_us, now)) for line in lines), default=5)
    who = max((outside(line.who).cell_length for line in lines), default=0)
    oven = min(max((outside(line.oven).cell_length for line in lines), default=4), width // 2)
    at, letter, does, whose, turn = (outside(cell) for cell in cells)
    found = [(at, -when), (letter.stylize("bold"), 1), (does, 0)]
    found += [(whose, who)] if who else []
    return columns([*found, (own("│ ") + turn, oven + 2)], width)
