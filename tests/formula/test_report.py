"""How faults are shown."""

from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.faults import Fault, Source
from proofbell.formula.read import read_formula
from proofbell.formula.report import BEGINS, ENDS, MOST_SHOWN, marked, report
from proofbell.places import house_formulas
from proofbell.visible import harmful_places

KNOTS = house_formulas()["harbour-knots"].read_text(encoding="utf-8")


def test_a_fault_shows_its_place_its_line_its_field_what_is_wrong_and_the_way_out() -> None:
    text = KNOTS.replace('piece  = "75 g"', 'piece  = "75"')
    _, faults = read_formula(text, "knots.toml")
    lines = report(faults, Source("knots.toml", text)).split("\n")
    assert lines == [
        "knots.toml:7:10  refused: batch, piece",
        '     7  piece  = ▸"75"◂',
        '        "75" does not say which unit.',
        '        Write "75 g", with the unit.',
    ]


def test_at_most_twenty_are_shown_by_line_and_the_rest_counted() -> None:
    text = KNOTS + "".join(f'[[stages]]\nname = "s{n}"\nkind = "rest"\ntime = "0 min"\n' for n in range(30))
    _, faults = read_formula(text, "x")
    shown = report(faults, Source("x", text))
    heads = [line for line in shown.split("\n") if line.startswith("x:")]
    assert len(heads) == MOST_SHOWN
    assert "10 more are not shown" in shown
    numbers = [int(head.split(":")[1]) for head in heads]
    assert numbers == sorted(numbers)


def test_refusals_come_before_oddities_when_not_all_are_shown() -> None:
    odd = [Fault("warning", "odd", line=n, column=1) for n in range(1, 30)]
    shown = report([*odd, Fault("error", "wrong", line=40, column=1)], Source("x", "\n" * 50))
    assert "wrong" in shown


@given(st.text(max_size=300).map(lambda text: text.replace("\n", "")), st.integers(1, 320), st.integers(1, 100))
@settings(max_examples=200)
def test_a_line_is_shown_with_its_place_marked_short_and_harmless(line: str, column: int, length: int) -> None:
    shown = marked(line, column, length)
    assert not [each for each in harmful_places(shown) if each[1] not in "\u200c\u200d"]
    assert BEGINS in shown
    assert ENDS in shown
    assert len(shown) <= 160


def test_the_mark_stands_around_the_very_letters() -> None:
    assert marked('  name = "x"  ', 10, 3) == 'name = ▸"x"◂'
    assert marked("a" * 300, 200, 5).count("▸aaaaa◂") == 1
