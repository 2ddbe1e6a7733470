"""Events as stable names and plain values, with their digest: what the journal stores and reads back.

A new kind of event is one line in ``NAMES``. A kind whose body changes shape gets a higher schema number there
and a function in ``UPCASTS`` that turns the older body into the newer.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from typing import Any

from proofbell.bake import events as kinds
from proofbell.bake.stamp import Stamp
from proofbell.bake.tasks import task_name, task_named
from proofbell.frozen import dataclass
from proofbell.plain import PlainError, from_plain, to_plain

NAMES: dict[str, tuple[type[Any], int]] = {
    "bake opened": (kinds.BakeOpened, 1),
    "start planned": (kinds.StartPlanned, 1),
    "stage begun": (kinds.StageBegun, 1),
    "stage ended": (kinds.StageEnded, 1),
    "stage reopened": (kinds.StageReopened, 1),
    "reading taken": (kinds.ReadingTaken, 1),
    "time adjusted": (kinds.TimeAdjusted, 2),
    "dough moved": (kinds.DoughMoved, 1),
    "resized": (kinds.Resized, 2),
    "task done": (kinds.TaskDone, 2),
    "note added": (kinds.NoteAdded, 1),
    "score given": (kinds.ScoreGiven, 1),
    "bake marked": (kinds.BakeMarked, 1),
    "row taken": (kinds.RowTaken, 1),
    "plan declined": (kinds.PlanDeclined, 1),
    "letter given": (kinds.LetterGiven, 1),
    "oven changed": (kinds.OvenChanged, 1),
    "corrected": (kinds.Corrected, 1),
    "bake closed": (kinds.BakeClosed, 1),
    "put away": (kinds.PutAway, 1),
    "clock set": (kinds.ClockSet, 1),
    "program back": (kinds.ProgramBack, 1),
    "time rebased": (kinds.TimeRebased, 1),
    "timer logged": (kinds.TimerLogged, 1),
}
"""Event name to its body and the schema number that is written today."""


def _task_by_name(body: dict[str, Any]) -> dict[str, Any]:
    """A task was its name in text at first."""
    return {**body, "task": to_plain(task_named(body["task"]))}


def _rough_by_reason(body: dict[str, Any]) -> dict[str, Any]:
    """That a time was a rough guess was only said in the reason at first, in these words."""
    return {**body, "rough": "in the cold this is a rough guess" in body["reason"]}


def _in_loads_as_before(body: dict[str, Any]) -> dict[str, Any]:
    """Another size left the loads as they were at first."""
    return {**body, "loads": 0}


UPCASTS: dict[tuple[str, int], Callable[[dict[str, Any]], dict[str, Any]]] = {
    ("task done", 1): _task_by_name,
    ("time adjusted", 1): _rough_by_reason,
    ("resized", 1): _in_loads_as_before,
}
"""(name, old schema) to a function that gives the body of the next schema."""

_NAME_OF = {kind: name for name, (kind, _) in NAMES.items()}


class NewerError(PlainError):
    """A newer version of this program wrote it, and knows what it means."""


@dataclass(frozen=True, slots=True)
class Row:
    """One event as it is stored: plain columns, and the body as JSON text with sorted keys."""

    id: str
    bake: str
    number: int
    decision: int
    wall_us: int
    boot_us: int
    boot_id: str
    offset_min: int
    name: str
    schema: int
    body: str
    digest: str


def name_of(body: kinds.Body) -> str:
    return _NAME_OF[type(body)]


def body_text(body: kinds.Body) -> str:
    """The body as compact JSON with sorted keys; the same body always gives the same text."""
    plain = to_plain(body)
    text = json.dumps(plain, ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False)
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        # Half of a pair, as a terminal may hand in broken text: no encoding takes it, so it is written as an escape.
        return json.dumps(plain, ensure_ascii=True, sort_keys=True, separators=(",", ":"), allow_nan=False)
    return text


def told(body: kinds.Body) -> dict[str, Any]:
    """The body as files and scripts are told it: a task goes by its name in text."""
    plain: dict[str, Any] = to_plain(body)
    if isinstance(body, kinds.TaskDone):
        plain["task"] = task_name(body.task)
    plain.pop("rough", None)
    return plain


def body_from(name: str, schema: int, plain: Mapping[str, Any]) -> kinds.Body:
    """Read a stored body, lifting older schemas to today's.

    Raises NewerError: the name is unknown, or its schema is newer than this program; PlainError: a field does not fit.
    """
    kind, newest = NAMES.get(name, (None, 0))
    if kind is None or schema > newest:
        raise NewerError(f'"{name}" was written by a newer Proofbell')
    body = dict(plain)
    for old in range(schema, newest):
        try:
            body = UPCASTS[name, old](body)
        except (LookupError, TypeError, ValueError, AttributeError) as error:
            raise PlainError(f'"{name}" as version {old} wrote it does not fit ({error})') from error
    built: kinds.Body = from_plain(kind, body)
    return built


def chained_digest(before: str, row: Row) -> str:
    """16 bytes (hex) over the digest before and every other column: shows a changed, lost or reordered event."""
    parts = (
        before, row.id, row.bake, row.number, row.decision, row.wall_us, row.boot_us, row.boot_id, row.offset_min,
        row.name, row.schema, row.body,
    )  # fmt: skip
    text = json.dumps(parts, ensure_ascii=False, separators=(",", ":"))
    return hashlib.blake2b(text.encode("utf-8", "surrogatepass"), digest_size=16).hexdigest()


def make_event(bake: str, number: int, decision: int, stamp: Stamp, body: kinds.Body, before: str) -> kinds.Event:
    """Number, name and chain one event. The id follows from its content, so it is known before it is stored."""
    name = name_of(body)
    seed = json.dumps((bake, number, stamp.wall_us, stamp.boot_us, stamp.boot_id, name, body_text(body)))
    identity = hashlib.blake2b(
        seed.encode("utf-8", "surrogatepass"), digest_size=12, person=b"proofbell-event"
    ).hexdigest()
    event = kinds.Event(identity, bake, number, decision, stamp, body, "")
    return kinds.Event(identity, bake, number, decision, stamp, body, chained_digest(before, to_row(event)))


def to_row(event: kinds.Event) -> Row:
    """The event as it is stored; one that was read gives the very row again."""
    name = name_of(event.body)
    stamp = event.stamp
    schema, text = event.stored or (NAMES[name][1], body_text(event.body))
    return Row(
        event.id, event.bake, event.number, event.decision, stamp.wall_us, stamp.boot_us, stamp.boot_id,
        stamp.offset_min, name, schema, text, event.digest,
    )  # fmt: skip


def from_row(row: Row) -> kinds.Event:
    """Read an event back from where it is stored.

    Raises NewerError: a newer version of this program wrote it; PlainError: the body is not JSON, or does not fit.
    """
    try:
        plain = json.loads(row.body)
    except (ValueError, RecursionError) as error:
        raise PlainError(f"event {row.number} of bake {row.bake} is not readable: {error}") from error
    if not isinstance(plain, dict):
        raise PlainError(f"event {row.number} of bake {row.bake} is not readable: {row.name} without fields")
    stamp = Stamp(row.wall_us, row.boot_us, row.boot_id, row.offset_min)
    return kinds.Event(
        row.id, row.bake, row.number, row.decision, stamp, body_from(row.name, row.schema, plain), row.digest,
        stored=(row.schema, row.body),
    )  # fmt: skip
