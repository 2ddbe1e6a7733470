"""Which of the bench's keys stand on its row: those that do something for the dough in hand as it is. Pure."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from proofbell.bake.view import BakeView

_LEADING = ("bench.start", "bench.journal", "bench.plan", "bench.kitchen")
_EMPTY = (*_LEADING, "bench.help")
_CLOSED = ("bench.put-away", "bench.log", "bench.undo", "bench.note", *_LEADING, "bench.help")
_OTHER = "bench.other"
_WAITING = ("bench.done", "bench.weigh-out", "bench.size", "bench.note", *_LEADING, "bench.give-up", "bench.help")
_ALSO = ("bench.timer", "bench.far", *_LEADING[:1], "bench.plan", "bench.log", "bench.whole-day", *_LEADING[1:2])
_HANDS = ("bench.weigh-out", "bench.undo", "bench.note", "bench.longer", "bench.size", "bench.ended-earlier")
_TIMED = ("bench.longer", "bench.undo", "bench.note", "bench.moved", "bench.shorter", "bench.ended-earlier")


def not_begun(view: BakeView) -> bool:
    """Whether a bake still waits for its first stage."""
    return view.mode != "closed" and not view.kind


def keys_for(
    view: BakeView | None, *, beside: bool = False, others: bool = False, rings: bool = False, oven: bool = False
) -> tuple[str, ...]:
    """The actions' ids, the most needed first.

    ``beside``: two preferments of the dough run or wait side by side. ``others``: more doughs are on. ``rings``: the
    bell does. ``oven``: something about the oven is asked, or will be.
    """
    if view is None:
        return _EMPTY
    tab = ("bench.next-dough",) if others else ()
    quiet = ("bench.quiet",) if rings else ()
    if view.mode == "closed":
        # What is left of a bake that is over: an oven that nobody has turned off.
        return (*(("bench.oven",) if view.wants else ()), _CLOSED[0], *tab, *_CLOSED[1:])
    other = (_OTHER,) if beside else ()
    if not_begun(view):
        return (_WAITING[0], *other, _WAITING[1], *tab, *quiet, *_WAITING[2:])
    rest: tuple[str, ...] = _HANDS if view.kind == "hands" else _TIMED
    if view.kind in ("bake", "cool"):  # Another place is for a dough.
        rest = tuple(each for each in rest if each != "bench.moved")
    asked = ("bench.oven",) if oven else ()
    if view.chill_now:  # Where it is put is what is asked for.
        asked, rest = ("bench.moved", *asked), tuple(each for each in rest if each != "bench.moved")
    return ("bench.done", "bench.reading", *tab, *other, *quiet, rest[0], *asked, *rest[1:], *_ALSO, "bench.help")


def words_for(view: BakeView | None, ringing: Collection[str] = ()) -> Mapping[str, str]:
    """Words in place of the registry's. While another dough rings (ids), the key names the one that it acts on."""
    word = "begin" if view is not None and not_begun(view) else "done"
    if view is not None and any(bake != view.bake for bake in ringing):
        return {"bench.done": f"{view.letter} {word}"}
    return {} if word == "done" else {"bench.done": word}
