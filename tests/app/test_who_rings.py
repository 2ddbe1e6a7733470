"""Which window raises the alarms, in words."""

from __future__ import annotations

import pytest

from proofbell.app.alarms.who_rings import who_rings
from proofbell.journal.files.lock import Holder
from tests.support.stage import MORNING_US, HandClock

PTS = Holder(41, "pts/3", MORNING_US, MORNING_US + 120_000_000)


@pytest.mark.parametrize(
    ("holder", "leads", "words"),
    [
        (None, True, ""),
        (None, False, "Another window rings."),
        (PTS, False, "Another window rings: the one on pts/3, since 09:30."),
        (Holder(41, "", MORNING_US, MORNING_US), False, "Another window rings: process 41, since 09:30."),
        (
            Holder(41, "pts/3", MORNING_US, MORNING_US + 120_000_000, answers=False),
            True,
            "The other window, the one on pts/3, has not answered since 09:32: this one rings too. Close the other.",
        ),
    ],
)
def test_who_rings_is_said_where_it_is_not_this_window(
    monkeypatch: pytest.MonkeyPatch, holder: Holder | None, *, leads: bool, words: str
) -> None:
    monkeypatch.setattr("proofbell.app.session.local_time.offset_min", lambda _: 60)

    assert who_rings(holder, HandClock().stamp(), leads=leads) == words
