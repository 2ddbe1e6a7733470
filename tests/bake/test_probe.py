"""A probe that talks: what its lines say, which are kept, what the bench says of it, what taking back leaves."""

from __future__ import annotations

import contextlib
from itertools import pairwise

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from proofbell.bake import intents
from proofbell.bake.events import ReadingTaken
from proofbell.bake.fold import fold
from proofbell.bake.probe.lines import MOST, LineError, read_line
from proofbell.bake.probe.live import PROBE, SILENT, probe_words, silent
from proofbell.bake.probe.thinning import LATEST_S, SOONEST_S, STEADY_S, Kept, kept
from proofbell.formula.model import ReadingKind, Stage
from tests.support.baking import FIRST_PROOF, Baking, at_stage

DOUGH: ReadingKind = "dough temperature"
CORE: ReadingKind = "core temperature"
ROOM: ReadingKind = "room temperature"


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("26.5", [(DOUGH, "26.5")]),
        (" 79.7 °F\r\n", [(DOUGH, "79.7 °F")]),
        ("core 91.2", [(CORE, "91.2")]),
        ("Room_temperature: -4,5 C", [(ROOM, "-4,5 C")]),
        ("dough=26", [(DOUGH, "26")]),
        ('{"core": 91.2, "battery": 84, "at": "12:00"}', [(CORE, "91.200 °C")]),
        ('{"dough_f": 79, "room_c": 21}', [(DOUGH, "79.000 °F"), (ROOM, "21.000 °C")]),
        ('{"what": "core", "value": 196, "unit": "F"}', [(CORE, "196.000 °F")]),
        ('{"temperature": "26.5"}', [(DOUGH, "26.5")]),
        ("", []),
        ("# core 5", []),
    ],
)
def test_a_line_says_what_and_how_much(line: str, said: list[tuple[str, str]]) -> None:
    assert [(each.what, each.typed) for each in read_line(line, DOUGH)] == said


@pytest.mark.parametrize(
    "line",
    [
        *("warm", "humidity 40", "core", '{"humidity": 40}', '{"core": null}', '{"core": true}', "{"),
        *("[" * 3000, "{" * MOST, '{"a":' * 700 + "1" + "}" * 700, "1" * (MOST + 1)),
        '{"what": "humidity", "value": 26}',
    ],
)
def test_what_says_no_temperature_is_refused(line: str) -> None:
    with pytest.raises(LineError, match="write 26"):
        read_line(line, DOUGH)


@given(st.text(max_size=60) | st.text('{}[]":,.-0123456789eE coredughm_cf', max_size=60))
def test_no_line_does_anything_but_say_or_be_refused(line: str) -> None:
    with contextlib.suppress(LineError):
        read_line(line, DOUGH)


def thinned(values: list[tuple[float, float]], tolerance: float) -> list[Kept]:
    """All that is kept of (seconds since the last line, value)."""
    last: Kept | None = None
    out: list[Kept] = []
    at_s = 0.0
    for gap_s, value in values:
        at_s += gap_s
        new = kept(last, value, at_s, tolerance)
        now = new or last
        assert now is not None
        # What stands is young, or within twice the tolerance of what the probe says; and never old while it talks.
        assert at_s - now.at_s < SOONEST_S or abs(now.value - value) <= 2 * tolerance
        assert at_s - now.at_s < LATEST_S
        if new is not None:
            out.append(new)
            last = new
    return out


LINES = st.lists(st.tuples(st.floats(0.1, 90), st.floats(-20, 110)), min_size=1, max_size=80)


@given(LINES, st.floats(0.05, 2))
def test_what_is_kept_is_never_far_from_what_the_probe_says_nor_old_nor_crowded(
    values: list[tuple[float, float]], tolerance: float
) -> None:
    out = thinned(values, tolerance)
    assert all(after.at_s - before.at_s >= SOONEST_S for before, after in pairwise(out))


@example([1.0, 1.0, 1.0, 1.0, -1.0, -1.0, -1.0, -1.0] * 25, 0.5, 20.0)
@given(st.lists(st.floats(-1, 1), min_size=1, max_size=400), st.floats(0.05, 2), st.floats(0, 90))
def test_noise_within_the_tolerance_is_kept_hardly_more_often_than_once_a_minute(
    noise: list[float], tolerance: float, true_c: float
) -> None:
    values = [(3.0, true_c + 0.999 * tolerance * each) for each in noise]
    minutes = 3.0 * len(noise) / LATEST_S
    # One direction can be taken once in each stretch between two that are kept for their age.
    assert len(thinned(values, tolerance)) <= 2 * (minutes + 1) + 1


def test_a_slow_rise_is_followed_and_a_turn_needs_twice_as_much() -> None:
    assert [each.value for each in thinned([(15.0, 20 + 0.3 * n) for n in range(5)], 0.5)] == pytest.approx(
        [20, 20.6, 21.2]
    )
    up = Kept(21.2, 100.0, up=True)
    assert kept(up, 20.5, 115.0, 0.5) is None
    assert kept(up, 20.1, 115.0, 0.5) == Kept(20.1, 115.0, up=False)


def probe(what: ReadingKind, value_c: float) -> intents.Read:
    return intents.Read(what, f"{value_c:g}", raw=value_c, sure=True, source=PROBE)


def values(baking: Baking) -> list[float | None]:
    return [each.value for each in baking.state.readings]


def test_the_bench_shows_the_newest_its_age_and_when_the_core_is_there() -> None:
    baking = at_stage(Stage("Bake", "bake", 1800.0, core=(88.0, 94.0)))
    baking.wait(seconds=600)
    assert probe_words(baking.state, baking.now_s) == ""
    baking.say(probe(CORE, 26.0))
    assert probe_words(baking.state, baking.now_s).endswith("too cool yet to say when it is 88 °C")
    baking.wait(seconds=300)
    baking.say(probe(CORE, 80.0))
    baking.wait(seconds=20)
    assert probe_words(baking.state, baking.now_s).startswith("Core 80.0 °C, 20 s ago; 88 in ")
    baking.say(probe(CORE, 90.0))
    assert "hot enough" in probe_words(baking.state, baking.now_s)


def test_it_has_fallen_silent_after_three_times_what_is_usual_or_three_of_its_own_pauses() -> None:
    baking = at_stage(FIRST_PROOF)
    assert silent(baking.state, baking.now_s) is None
    baking.say(probe(DOUGH, 25.0))
    baking.wait(seconds=SILENT * STEADY_S)
    assert silent(baking.state, baking.now_s) is None
    baking.wait(seconds=1)
    assert silent(baking.state, baking.now_s) is not None
    baking.say(probe(DOUGH, 25.0))
    baking.wait(seconds=3 * SILENT * STEADY_S)
    assert silent(baking.state, baking.now_s) is None
    baking.say(intents.Done())
    baking.wait(seconds=9 * SILENT * STEADY_S)
    assert silent(baking.state, baking.now_s) is None


def test_taking_back_goes_past_the_probe_to_what_the_baker_said() -> None:
    baking = at_stage(FIRST_PROOF)
    index = baking.state.current
    baking.say(intents.Done())
    baking.wait(seconds=20)
    baking.say(probe(ROOM, 22.0))
    baking.say(intents.Undo())
    assert baking.state.current == index
    assert not values(baking)
    baking.say(probe(DOUGH, 25.0))
    baking.say(intents.AddNote("sticky"))
    baking.say(probe(DOUGH, 25.6))
    baking.say(intents.Undo())
    assert baking.state.notes == ()
    assert values(baking) == [25.0, 25.6]
    longer_s = baking.state.stages[index or 0].length_s
    baking.say(intents.Longer(600.0))
    baking.say(probe(DOUGH, 28.0))
    baking.say(intents.Undo())
    assert baking.state.stages[index or 0].length_s == longer_s
    again = fold(baking.state.events)
    assert again == baking.state
    assert sum(isinstance(each.body, ReadingTaken) for each in again.events) == 4
