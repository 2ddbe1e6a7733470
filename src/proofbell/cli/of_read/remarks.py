"""What is said of lines that come to nothing: each kind at most once a minute, however many come."""

from __future__ import annotations

from collections.abc import Callable, Hashable

AGAIN_S = 60.0


class Remarks:
    """Tells through ``tell``; what is held back is counted, and told with the next of its kind."""

    def __init__(self, tell: Callable[[str], None]) -> None:
        self._tell = tell
        self._last_s: dict[Hashable, float] = {}
        self._held: dict[Hashable, int] = {}
        self._waits: dict[Hashable, str] = {}

    def trouble(self, kind: Hashable, text: str, at_s: float) -> None:
        """Something is wrong with a line, at ``at_s`` of a clock that only goes forward."""
        last_s = self._last_s.get(kind)
        if last_s is not None and at_s - last_s < AGAIN_S:
            self._held[kind] = self._held.get(kind, 0) + 1
            return
        held = self._held.pop(kind, 0)
        self._last_s[kind] = at_s
        self._tell(f"{text} ({held} more like it before)" if held else text)

    def wait(self, kind: Hashable, text: str) -> None:
        """What is waited for: told when it is another thing than before; nothing for waiting no more."""
        if text != self._waits.get(kind, ""):
            self._waits[kind] = text
            if text:
                self._tell(text)
