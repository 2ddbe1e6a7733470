"""When a dough that was moved is to come out of the cold: now, at an hour, on a day, or nobody can say."""

from __future__ import annotations

import pytest

from proofbell.app.bench.moments.said_late import out_words
from proofbell.bake import intents
from tests.support.baking import Baking
from tests.support.walking import KNOTS, at, chilled, later


def told(baking: Baking) -> str:
    return out_words(baking.state, baking.state.current or 0, baking.now)


def due_in(hours: float) -> Baking:
    """A proof in the fridge that is due in so many hours."""
    baking = chilled(at(KNOTS, "First proof"))
    baking.say(intents.Longer(3600 * hours - baking.left_min * 60))
    return baking


@pytest.mark.parametrize(
    ("hours", "words"), [(5.0, "take it out at 13:00"), (20.0, "take it out at Sun 04:00"), (30.0, "Sun 15 Mar")]
)
def test_a_moment_more_than_a_day_away_has_its_date(hours: float, words: str) -> None:
    assert words in told(due_in(hours))


def test_a_moment_that_has_gone_is_now() -> None:
    assert told(later(due_in(1.0), 66)) == "take it out now"


def test_days_on_in_the_cold_no_moment_is_told() -> None:
    """As a baker had it: a levain put into the fridge at once, to be taken out nine days on."""
    baking = chilled(at("tidemark-sourdough", "Levain overnight"))
    assert "hardly ripens there" in told(baking)
    assert " at " not in told(baking).replace("look at it", "")
