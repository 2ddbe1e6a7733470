"""Which of the bench's keys stand on its row: those that do something for the dough in hand as it is. Pure."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from proofbell.bake.view import BakeView

_LEADING = ("bench.start", "bench.journal", "bench.plan", "bench.kitchen")
_EMPTY = (*_LEADING, "bench.help")
_CLOSED = ("bench.put-away", "bench.log", "bench.undo", "bench.note", *_LEADING, "bench.help")
_OTHER = "bench.other"
_BESIDE = ("bench.done", "bench.reading", _OTHER, "bench.longer", "bench.undo", "bench.note", "bench.help")
_WAITING = ("bench.done", "bench.weigh-out", "bench.size", "bench.note", *_LEADING, "bench.give-up", "bench.help")


def not_begun(view: BakeView) -> bool:
    """Whether a bake still waits for its first stage."""
    return view.mode != "closed" and not view.kind


def keys_for(view: BakeView | None, *, beside: bool = False) -> tuple[str, ...]:
    """The actions' ids, the most needed first; none when those of the registry are right.

    ``beside``: two preferments of the dough run or wait side by side.
    """
    if view is None:
        return _EMPTY
    if view.mode == "closed":
        # What is left of a bake that is over: an oven that nobody has turned off.
        return ("bench.oven", *_CLOSED) if view.wants else _CLOSED
    if not_begun(view):
        return (_WAITING[0], _OTHER, *_WAITING[1:]) if beside else _WAITING
    return _BESIDE if beside else ()


def words_for(view: BakeView | None, ringing: Collection[str] = ()) -> Mapping[str, str]:
    """Words in place of the registry's. While another dough rings (ids), the key names the one that it acts on."""
    word = "begin" if view is not None and not_begun(view) else "done"
    if view is not None and any(bake != view.bake for bake in ringing):
        return {"bench.done": f"{view.letter} {word}"}
    return {} if word == "done" else {"bench.done": word}
