"""What an answer says of where the thing just said is: on the disk, or in memory only. All answers get it from here."""

from __future__ import annotations

from proofbell.app.session.live import Live

NOT_YET = "Kept, not saved yet"


def kept_words(live: Live, bake: str, done: str) -> str:
    """``Noted.``, or ``Kept, not saved yet · Noted.`` where the disk did not take it: in front, never cut off."""
    return f"{NOT_YET} · {done}" if done and bake in live.unsaved else done
