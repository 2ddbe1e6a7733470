"""What a baker would ask at the bench, and what to press: shown under ``?``, with the keys that hold here."""

from __future__ import annotations

from collections.abc import Iterable

from proofbell.app.widgets.actions import Action, key_name

WHEN: tuple[tuple[str, tuple[str, ...], str], ...] = (
    ("the dough is too warm, too cold", ("bench.reading",), "type what the probe shows"),
    ("it is not ready yet", ("bench.longer", "bench.reading"), "more time, or judge the rise"),
    ("it went too fast", ("bench.done",), "go on now"),
    ("I forgot it, it is long over", ("bench.ended-earlier",), "say how long ago"),
    ("it went into the fridge", ("bench.moved",), "say how long ago"),
    ("I typed it wrong", ("bench.undo", "bench.log"), "take it back, or correct it"),
    ("the power was off", ("bench.time",), "say how long"),
    ("I need more pieces", ("bench.size",), "until the dough is divided"),
    ("it rings, my hands are full", ("bench.quiet",), "it stays due"),
    ("why does it take so long", ("bench.why",), "the working, line by line"),
)
"""What somebody would say, the actions that help in the order of the words behind, and what to do there."""


def when(actions: Iterable[Action]) -> list[tuple[str, str, str]]:
    """The question, the keys as they are in this kitchen, and what to do; only what this screen can do."""
    keys = {action.id: key_name(action.keys[0]) for action in actions}
    return [
        (said, "  ".join(keys[id_] for id_ in ids), do) for said, ids, do in WHEN if all(id_ in keys for id_ in ids)
    ]
