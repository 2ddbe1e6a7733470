"""What comes up beside the dough in hand: no line is cut in the middle of its words, however narrow it is."""

from __future__ import annotations

import pytest
from textual.content import Content

from proofbell.app.alarms.alarm import ring_words
from proofbell.app.bench.far.far_drawing import Around, around, dough_face, far
from proofbell.app.bench.picture.coming_up import ComingUp, coming_lines
from proofbell.app.bench.picture.selected_dough import in_hand
from proofbell.app.drawing.canvas import Canvas
from proofbell.app.drawing.content import own
from proofbell.app.drawing.digits import draw_blocks
from proofbell.bake.stamp import Stamp
from proofbell.bench.agenda import Ahead, ahead
from proofbell.bench.board import board
from tests.support import walking
from tests.support.bakes import house
from tests.support.baking import Baking
from tests.support.kitchen_scene import KNOTS, empty_bench, put_on

NOON = Stamp(1_773_489_600_000_000, 0, "boot-1", 60)
HOUR_US = 3_600_000_000

WORDS = (
    "read the dough's temperature",
    "is the oven hot? 190 °C",
    "divide and tie: 12 × 75 g",
    "take it out, then cool",
)


FAULT = "The plan has stopped after an internal error (KeyError). Your doughs keep running."


def drawn(width: int, height: int, fault: str = "") -> list[str]:
    ahead = [Ahead(NOON.wall_us + (n + 1) * HOUR_US, "A", "bake", words, due=False) for n, words in enumerate(WORDS)]
    column = ComingUp()
    column.show(ahead, NOON, (), fault)
    return column.drawn(width, height).plain.splitlines()


@pytest.mark.parametrize("height", range(2, 14))
def test_words_go_on_below_or_are_left_to_the_next_moment_but_are_never_cut(height: int) -> None:
    lines = drawn(27, height, FAULT)

    assert len(lines) <= height
    assert all(len(line) <= 27 for line in lines)
    whole = " ".join(line.strip() for line in lines)
    assert "…" not in whole
    shown = [words.split(": ")[0].split(",")[0] for words in WORDS if words[:8] in whole]
    assert all(words in whole for words in shown)


def test_what_is_overdue_says_its_hour_and_how_late_it_is() -> None:
    column = ComingUp()
    due = [Ahead(NOON.wall_us - late * 60_000_000, "A", "bake", "oven on", due=True) for late in (26, 0)]
    column.show(due, NOON, (), "")
    assert [line.split() for line in column.drawn(40, 10).plain.splitlines()[1:]] == [
        ["12:34", "A", "oven", "on,", "26", "min", "late"],
        ["now", "A", "oven", "on"],
    ]


def test_what_is_done_inside_a_bake_to_come_is_listed_only_where_everything_has_room_in_full() -> None:
    listed = [
        Ahead(NOON.wall_us + n * HOUR_US, "A", "bake", words, due=False, inside=words == "turn the tray")
        for n, words in enumerate((*WORDS[:3], "turn the tray", WORDS[3]), 1)
    ]
    column = ComingUp()
    column.show(listed, NOON, (), "")

    assert "turn the tray" in column.drawn(50, 6).plain
    for width, height in ((50, 5), (28, 6)):
        assert "turn the tray" not in column.drawn(width, height).plain


def test_bread_that_is_ready_is_never_late() -> None:
    column = ComingUp()
    column.show([Ahead(NOON.wall_us - 26 * 60_000_000, "A", "bake", "ready", due=True, cooled=True)], NOON, (), "")
    assert [line.split() for line in column.drawn(40, 10).plain.splitlines()[1:]] == [["12:34", "A", "ready"]]


async def test_the_hour_of_a_start_far_ahead_is_shown_whole_beside_its_digits() -> None:
    live, _clock = empty_bench()
    bake = await put_on(live, KNOTS, start_in_s=7200)
    view = live.board().of(bake)
    assert view is not None

    lines = in_hand(view, live.board().now, 48, 12, own("w  weigh out   space  begin")).plain.splitlines()

    assert "…" not in "".join(lines)
    words = " ".join(line[26:].strip() for line in lines[1:6])
    assert words.split() == ["Weigh", "out", "left,", "start", "at", "11:30", "▶", "Weigh", "out,", "then", "begin"]


@pytest.mark.parametrize(("name", "stage", "then"), [
    (walking.LAMPLIGHTER, "Stir the preferment", "preferment overnight, "), (walking.KNOTS, "Mix", "knead"),
    (walking.KNOTS, "Knead", "first proof, "), (walking.KNOTS, "First proof", "judge the rise, then divide and tie"),
])  # fmt: skip
def test_what_is_next_across_the_room_is_what_comes_up_first(name: str, stage: str, then: str) -> None:
    baking = walking.at(name, stage, minutes=1)
    found = board([baking.state], baking.now)
    told = around(found, ahead([baking.state], found), baking.state.id, (), "esc back").then
    assert told is not None
    assert told[2].startswith(then)


def test_all_that_is_due_is_said_at_the_bench_and_across_the_room() -> None:
    baking = walking.at(walking.KNOTS, "Final proof", minutes=45)
    view = board([baking.state], baking.now).views[0]
    wanted = {each.words.lower() for each in view.wants}
    assert wanted == {"read the dough's temperature", "oven on, 190 °c"}
    near, across = in_hand(view, baking.now, 80, 12, Content("")), far(dough_face(view, baking.now), Around(), 80, 24)
    assert all(words in near.plain.lower() for words in wanted)
    assert "oven on, 190 °c" in across.plain.lower()
    for line in ("READ THE DOUGHS", "TEMPERATURE"):
        assert in_blocks(line) <= set(map(str.strip, across.plain.splitlines())), "what is due is as large as can be"


def test_what_is_next_is_never_larger_than_what_is_to_be_done_now() -> None:
    baking = walking.at(KNOTS, "First proof")
    found = board([baking.state], baking.now)
    face = dough_face(found.views[0], baking.now)
    then = around(found, ahead([baking.state], found), baking.state.id, (), "esc back")
    for width in (50, 60, 80, 120):
        lines = set(map(str.strip, far(face, then, width, 24).plain.splitlines()))
        assert "Next" not in lines or in_blocks("READ THE DOUGHS TEMPERATURE") <= lines


def in_blocks(text: str) -> set[str]:
    """The lines of block capitals."""
    canvas = Canvas(120, 3)
    draw_blocks(canvas, 0, 0, text, 1, "")
    return set(map(str.strip, canvas.content().plain.splitlines()))


def test_a_bake_that_has_not_begun_says_when_its_oven_is_wanted() -> None:
    baking = Baking(house(walking.KNOTS))
    found = board([baking.state], baking.now)
    told = [(each.words, each.at_us) for each in ahead([baking.state], found) if each.words.startswith("oven on")]
    (heating,) = [use for use in found.oven if use.use == "heating"]
    assert told == [("oven on, 190 °C", heating.begin_us)]


@pytest.mark.parametrize("height", [10, 15, 20])
def test_no_text_of_the_dough_in_hand_is_cut_while_lines_are_free(height: int) -> None:
    baking = walking.at("tidemark-sourdough", "Bake")
    shown = in_hand(board([baking.state], baking.now).views[0], baking.now, 46, height, Content("")).plain
    assert len(shown.splitlines()) <= height
    assert "open at arm's length,\nwith dry gloves." in shown


@pytest.mark.parametrize("stem", ["quay-pan-loaf", "tidemark-sourdough", "regatta-brioche"])
@pytest.mark.parametrize("height", [4, 5, 6, 7])
def test_the_digits_stay_beside_what_is_told_as_it_is_loaded(stem: str, height: int) -> None:
    """With twelve doughs on, the one in hand has few lines at 80 × 24."""
    baking = walking.at(stem, "Bake")
    shown = in_hand(board([baking.state], baking.now).views[0], baking.now, 46, height, Content("")).plain
    assert "█" in shown
    assert "Bake" in shown


@pytest.mark.parametrize("most", [1, 2])
def test_what_is_told_in_fewer_words_is_as_late_as_it_was(most: int) -> None:
    words = "take it out at once: it may burn. Smoke? Oven off, door shut"
    late = Ahead(NOON.wall_us - 32 * 60_000_000, "L", "bake-L", words, due=True)
    told = " ".join(line.plain.strip() for line in coming_lines(late, NOON, 30, most, 5))

    assert told.endswith("take it out at once, 32 min late")


async def test_a_weigh_out_under_way_is_not_late_before_its_start() -> None:
    live, clock = empty_bench()
    await put_on(live, KNOTS, start_in_s=600.0)
    clock.forward(300)
    board, states = live.board(), live.states
    (weighs,) = [one for one in ahead(states, board) if one.words.startswith("weigh out")]
    (line,) = coming_lines(weighs, board.now, 60, 1, 5)

    assert weighs.at_us < board.now.wall_us - 60_000_000
    assert "late" not in line.plain
    assert all("over" not in ring_words(ring, board.now.wall_us) for ring in board.rings)
