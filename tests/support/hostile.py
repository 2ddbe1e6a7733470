"""Text that somebody may write to do harm, bakes that are full of it, and the look at what comes out.

The sorts are those that CWE-150 (escape, meta and control sequences), CVE-2021-42574 (turned reading order) and Unicode
Technical Report 36 (characters that hide) describe. The bakes are made from events, so that they hold
names too which no formula file may have: a journal may come from anywhere.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any, get_type_hints

from proofbell.bake import events as kinds
from proofbell.bake.events import Body, Event
from proofbell.bake.record import make_event
from proofbell.bake.rehearse import rehearse
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import Named
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.formula.model import Formula
from proofbell.formula.read import load
from proofbell.journal.reviews.score_sheet import SHEET
from proofbell.journal.storage.store import Journal
from proofbell.kitchen.model import Kitchen, Oven, OvenDial, Probe
from proofbell.visible import harmful_places

TEXTS = {
    "sequences": "\x1b[2J\x1b]0;title\x07\x9b31m\x90q\x9c\x00\x08\r\n\t\x7f\x85 bread",
    "turned and hidden": "\u202e\u2066\u200f\u200b\u2060\ufeff\u00ad\u2028\U000e0041\ue000\ud800 bread",
    "heaped": "b" + "\u0301\u0489\u20dd" * 40 + " bread",
    "markup and length": "[/b][@click=app.quit]x[/] [$x \\[ {0} %s " + "brioche" * 60,
    "other scripts": "خبز‌ها لحم 面包🥖👩\u200d🍳ﷺ bread",
}
"""One of each sort; what does harm comes first, so that no narrow column cuts it off."""

LETTERS = (
    ("\x1b[2J\x1b]0;title\x07\x9b31m\x00\r\n", "[/b][@click=app.quit]A[/]", "A" * 4000),
    ("\u202eA\u2066\u200b\U000e0041", "A" + "\u0301" * 40, ""),
    ("AB", "面", "\ud800"),
)
"""What three bakes may name as their letters in a journal from anywhere."""

OWN_MEANING = frozenset({"letter", "version", "digest", "task", "line"})
"""Fields of events by which the program finds something: a name in them is never a baker's own."""

FORMULAS = Path(__file__).parents[2] / "formulas"


def harmful(shown: str) -> list[tuple[int, str]]:
    """What in the words that come out must not be there; line breaks may, also as calendars and tables write them.

    A joiner at which a line was cut does nothing.
    """
    return [
        found for found in harmful_places(shown.replace("\r\n", "\n"), breaks=True) if found[1] not in "\u200c\u200d"
    ]


_hints_of = cache(get_type_hints)


def spoiled(value: Any, text: str) -> Any:  # noqa: ANN401 - whatever an event is made of
    """The same with ``text`` at the beginning of every name and every word that somebody wrote."""
    if isinstance(value, tuple):
        return tuple(text + item if isinstance(item, str) else spoiled(item, text) for item in value)
    if not dataclasses.is_dataclass(value) or isinstance(value, type):
        return value
    hints = _hints_of(type(value))
    changed = {}
    for field in dataclasses.fields(value):
        old = getattr(value, field.name)
        if hints[field.name] is str:
            changed[field.name] = old if field.name in OWN_MEANING else text + old
        else:
            changed[field.name] = spoiled(old, text)
    return replace(value, **changed)


@cache
def hostile_formula(text: str, stem: str = "harbour-knots") -> Formula:
    """One of the house formulas, with it everywhere."""
    whole: Formula = spoiled(load((FORMULAS / f"{stem}.toml").read_bytes(), stem), text)
    return whole


def hostile_kitchen(text: str) -> Kitchen:
    """A kitchen with it everywhere."""
    whole: Kitchen = spoiled(
        Kitchen(
            name="Guesthouse",
            oven=Oven(dial=(OvenDial(150.0, "low"), OvenDial(250.0, "high"))),
            probe=Probe(offset_k=0.4, checked="on Monday"),
            alarm_command=("true",),
        ),
        text,
    )
    return replace(whole, keys=((text, text),), theme=text)


def hostile_bakes(text: str, start: Stamp, *, letters: Sequence[str] = "ABC") -> dict[str, list[Event]]:
    """Bakes by id: one for each letter, begun at ``start``, at its first proof, and before them two that are closed."""
    return {bake: [*events] for bake, events in _hostile_bakes(text, start, tuple(letters)).items()}


@cache
def _hostile_bakes(text: str, start: Stamp, letters: tuple[str, ...]) -> dict[str, list[Event]]:
    before = replace(start, wall_us=start.wall_us - 86_400_000_000, boot_us=start.boot_us, boot_id="boot-0")
    named = text[:40].replace("\ud800", "")  # SQLite takes no half characters.
    bakes = {
        name: _bake(name, text, before, letters[0], closed=True) for name in (f"{named}-done-1", f"{named}-done-2")
    }
    for name, letter in zip("ABC", letters, strict=True):
        bakes[f"live-{name}"] = _bake(f"live-{name}", text, start, letter, closed=False)
    return bakes


def fill(path: Path, text: str, start: Stamp, *, letters: Sequence[str] = "ABC") -> dict[str, list[Event]]:
    """Put them into the journal at ``path``."""
    bakes = hostile_bakes(text, start, letters=letters)
    with Journal.open(path) as journal:
        for events in bakes.values():
            journal.append(events, 0)
    return bakes


def _bake(bake: str, text: str, start: Stamp, letter: str, *, closed: bool) -> list[Event]:
    whole = _rehearsed(start, letter)
    said = [(event.stamp, spoiled(event.body, text)) for event in whole.events]
    said = said if closed else _until_the_proof(said)
    last = said[-1][0]
    wordy: list[Body] = [
        kinds.NoteAdded(text),
        *(kinds.ScoreGiven(line.name, 7, text) for line in SHEET),
        kinds.ScoreGiven(text, 3, text),
        kinds.BakeMarked(typical=False, why=text),
        kinds.TaskDone(Named(text)),
        kinds.ProgramBack(60.0, text),
    ]
    reading = next((n for n, (_, body) in enumerate(said, 1) if isinstance(body, kinds.ReadingTaken)), None)
    if reading is not None:
        wordy.append(kinds.Corrected((reading,), undone=False, value=24.0, typed=text, why=text))
    # After the end of a bake only notes and points are taken.
    end = len(said) - closed
    after = [(last, body) for body in (kinds.NoteAdded(text), kinds.ScoreGiven(SHEET[0].name, 4, text)) if closed]
    return _chained(bake, [*said[:end], *((last, body) for body in wordy), *said[end:], *after])


@cache
def _rehearsed(start: Stamp, letter: str) -> BakeState:
    """A whole bake of harbour knots."""
    formula = load((FORMULAS / "harbour-knots.toml").read_bytes(), "knots")
    kitchen = Kitchen()
    return rehearse(formula, weigh_out(formula, kitchen).batch, kitchen, start=start, version="0", letter=letter)


def _until_the_proof(said: Sequence[tuple[Stamp, Any]]) -> list[tuple[Stamp, Any]]:
    """Up to the first proof's check and what followed from it."""
    begun = [n for n, (_, body) in enumerate(said) if isinstance(body, kinds.StageBegun)]
    ended = next(n for n, (_, body) in enumerate(said) if isinstance(body, kinds.StageEnded) and n > begun[2])
    return list(said[:ended])


def _chained(bake: str, said: Sequence[tuple[Stamp, Any]]) -> list[Event]:
    events: list[Event] = []
    for number, (stamp, body) in enumerate(said, 1):
        events.append(make_event(bake, number, number, stamp, body, events[-1].digest if events else ""))
    return events
